"""Find the graders of a lab in the learner's own copy of the course, and make them plain data.

They stand in `solutions/`, which is no part of the installed package; the edition for the browser has them as sealed
packs. jupytext and nbgrader are loaded here, on use.
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

from rungbook.alone.graders import Exercise, Graders, Part
from rungbook.errors import LadderError

_LAB = re.compile(r"lab[0-9]{2}")
_NONE = (
    "the graders are not in this copy of the course: they lie in solutions/, which an instructor keeps. Hand your "
    "notebook in as your instructor says; check(ladder, …) in the notebook still tries a few steps"
)


def find_graders(lab: str, start: Path | None = None) -> Graders:
    """Return the graders of `lab` ("lab02", "lab02-holding-circuit") from the nearest solutions/, from `start` upwards,
    or from this edition's packs if there is none.

    Raises LadderError if this copy of the course has neither, or there is no such lab.
    """
    from rungbook.alone.pack import has_packs, packed
    from rungbook.classroom.labs import find_lab, find_root

    try:
        root = find_root(start)
    except LadderError as none:
        if not has_packs():
            raise LadderError("Graders", _NONE, str(none.value)) from None
        root = None
    if root is None:
        return packed(lab)
    found = find_lab(root, lab)
    return _made(root, found.name, found.source.stat().st_mtime_ns)


def sealed_packs(root: Path) -> dict[str, bytes]:
    """Return the package of packs for an edition without sources: path -> content; empty if `root` has no sources."""
    from rungbook.alone.pack import PACKAGE, seal
    from rungbook.classroom.labs import find_labs

    packs = {f"{PACKAGE}/{lab.name}.pack": seal(find_graders(lab.name, root)) for lab in find_labs(root)}
    return {f"{PACKAGE}/__init__.py": b'"""Sealed packs of graders."""\n'} | packs if packs else {}


@lru_cache(maxsize=4)
def _made(root: Path, name: str, changed: int) -> Graders:
    from rungbook.classroom.build import instructor_notebook
    from rungbook.classroom.labs import Lab
    from rungbook.classroom.marking.paper import make_paper

    lab = Lab(root, name)
    notebook = instructor_notebook(lab)
    paper = make_paper(lab.name, lab.short, notebook)
    exercises: list[Exercise] = []
    parts: list[Part] = []
    for cell, solved in zip(paper.cells, notebook.cells, strict=True):
        if cell.meta.get("solution"):
            lines = (line for line in solved.source.split("\n") if not line.startswith("### "))
            parts.append(Part(str(cell.grade_id), cell.source, "\n".join(lines).strip("\n")))
        if cell.meta.get("grade"):
            test = cell.source if cell.test else ""
            exercises.append(Exercise(str(cell.grade_id), cell.meta["points"], test, cell.names, tuple(parts)))
            parts = []
    return Graders(lab.name, tuple(exercises))


def lab_here() -> str:
    """Return the lab in whose folder this process works, as a notebook's kernel does.

    Raises LadderError if it is none.
    """
    name = Path.cwd().name
    if not _LAB.match(name):
        raise LadderError(
            "check", "say which lab, or which exercise", name, ('check("lab02")', 'check("lab02-holding")')
        )
    return name


def lab_of(exercise: str) -> str:
    """Return "lab02" for "lab02-holding" and "lab02"; for a name without a lab, the lab of this folder."""
    return exercise[:5] if _LAB.match(exercise) else lab_here()


def find_notebook(lab: str, start: Path | None = None) -> Path:
    """Return the learner's notebook of `lab` under course/. Raises LadderError if there is none."""
    from rungbook.classroom.labs import find_root

    root = find_root(start, students=True)
    found = sorted(root.glob(f"course/{lab[:5]}-*/{lab[:5]}.ipynb")) if _LAB.match(lab) else []
    if len(found) != 1:
        labs = tuple(path.parent.name for path in sorted(root.glob("course/lab[0-9][0-9]-*/lab[0-9][0-9].ipynb")))
        raise LadderError("Lab", "no such lab", lab, labs)
    return found[0]
