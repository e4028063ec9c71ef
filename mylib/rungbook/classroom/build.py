"""Build a lab: Markdown text -> the instructor's notebook -> the released notebook.

The source is Markdown notebook text as jupytext reads it. Cells carry nbgrader metadata in short form, which is
completed here:

| in the source | becomes |
|---|---|
| code, `nbgrader={"grade_id": "x"}` | an answer cell (solution) |
| code, `nbgrader={"grade_id": "x", "points": 10}` | a test cell (grade, locked) |
| Markdown region, `nbgrader={"grade_id": "x", "points": 10}` | a written answer, marked by hand |

Solutions and hidden tests are cut by nbgrader's own preprocessors, so its commands give the same release. The result
has no outputs and is the same to the byte whenever it is built from the same text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import nbformat
from nbformat.notebooknode import NotebookNode

from rungbook.classroom.aims import load_aims
from rungbook.classroom.bench_sheet import bench_sheet
from rungbook.classroom.glossary import built_at, glossary
from rungbook.classroom.labs import Lab, find_labs
from rungbook.classroom.site.contents import FIRST_LESSON, first_lesson
from rungbook.errors import LadderError
from rungbook.grading.variants import Variant, renamed
from rungbook.replacing import replace_bytes

CODE_STUB = "# YOUR WORK HERE"
TEXT_STUB = "*Write your answer here.*"
_KERNEL = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}


def instructor_notebook(lab: Lab, variant: Variant | None = None) -> NotebookNode:
    """Return the lab's notebook with solutions and hidden tests, from its Markdown source.

    variant: a renaming of words; its name is kept in the notebook's metadata. Left out, the source as it stands.

    Raises LadderError if a cell's metadata is incomplete, a grade_id stands twice, the points do not add up to 100, or
    the lab's aims are stated wrongly (`load_aims`).
    """
    import jupytext

    text = lab.source.read_text(encoding="utf-8")
    notebook = jupytext.reads(text if variant is None else renamed(text, variant), fmt="md")
    notebook.metadata = NotebookNode(kernelspec=_KERNEL, language_info={"name": "python"})
    if variant is not None:
        notebook.metadata["rungbook"] = {"lab": lab.name, "variant": variant.name}
    seen: set[str] = set()
    points: float = 0
    for number, cell in enumerate(notebook.cells):
        meta = _complete(lab, cell)
        cell.metadata = nbformat.from_dict({"nbgrader": meta} if meta else {})
        cell["id"] = meta["grade_id"] if meta else f"{lab.short}-cell-{number:03d}"
        if meta:
            if meta["grade_id"] in seen:
                raise LadderError(f"{lab.name}", "one grade_id, one cell", meta["grade_id"])
            seen.add(meta["grade_id"])
            points += meta.get("points", 0)
    if points != 100:
        raise LadderError(f"{lab.name}", "the points of a lab add up to 100", points)
    load_aims(lab, [cell["id"] for cell in notebook.cells if cell.metadata.get("nbgrader", {}).get("grade")])
    return notebook


def _complete(lab: Lab, cell: NotebookNode) -> dict[str, Any]:
    """The full nbgrader metadata of `cell` from the short form; empty for a plain cell."""
    given = dict(cell.metadata.get("nbgrader", {}))
    hidden = "BEGIN HIDDEN TESTS" in cell.source
    solved = "BEGIN SOLUTION" in cell.source
    if not given:
        if hidden or solved:
            raise LadderError(lab.name, "a cell with a solution or hidden tests needs a grade_id", cell.source[:40])
        return {}
    unknown = set(given) - {"grade_id", "points"}
    if unknown or "grade_id" not in given:
        raise LadderError(lab.name, "nbgrader metadata is a grade_id and, if marked, points", given)
    graded = "points" in given
    written = cell.cell_type == "markdown"
    if written and not graded:
        raise LadderError(lab.name, "a written answer needs points", given["grade_id"])
    if not written and graded and not hidden:
        raise LadderError(lab.name, "a test cell needs hidden tests", given["grade_id"])
    meta = {
        "grade": graded,
        "grade_id": given["grade_id"],
        "locked": graded and not written,
        "schema_version": 3,
        "solution": written or not graded,
        "task": False,
    }
    return meta | ({"points": given["points"]} if graded else {})


def released_notebook(notebook: NotebookNode) -> NotebookNode:
    """Return a copy of an instructor's notebook as students get it: no solution, no hidden test, no output."""
    from nbgrader import preprocessors as pp
    from traitlets.config import Config

    config = Config()
    config.ClearSolutions.code_stub = {"python": CODE_STUB}
    config.ClearSolutions.text_stub = TEXT_STUB
    released = nbformat.from_dict(notebook.copy())
    released = nbformat.reads(nbformat.writes(released), as_version=4)
    resources: dict[str, Any] = {}
    for step in (pp.LockCells, pp.ClearSolutions, pp.ClearOutput, pp.ClearHiddenTests, pp.ClearMarkScheme):
        released, resources = step(config=config).preprocess(released, resources)
    for step in (pp.ComputeChecksums, pp.CheckCellMetadata):
        released, resources = step(config=config).preprocess(released, resources)
    return released


def notebook_text(notebook: NotebookNode) -> str:
    """The notebook as it is written to a file: the same bytes for the same notebook."""
    nbformat.validate(notebook)
    return nbformat.writes(notebook, indent=1, sort_keys=True) + "\n"


def build(labs: Iterable[Lab]) -> list[Path]:
    """Build every lab and return the files whose content changed. A file is replaced whole or not at all.

    Raises LadderError as `instructor_notebook`; the labs before the faulty one are then built, it and later ones not.
    """
    changed = []
    for lab in labs:
        notebook = instructor_notebook(lab)
        made = {lab.instructor: notebook_text(notebook)} | for_students(lab, notebook)
        changed += _replaced(made)
    return changed


def build_glossary(root: Path) -> list[Path]:
    """Build the glossary and return its notebook if that changed. Raises LadderError as `glossary`."""
    return _replaced(_glossary(root))


def stale_glossary(root: Path) -> list[Path]:
    """Return the glossary's notebook if it differs from a fresh build. Writes nothing."""
    return _differing(_glossary(root))


def _glossary(root: Path) -> dict[Path, str]:
    notebook = glossary(root, find_labs(root))
    return {} if notebook is None else {built_at(root): notebook_text(notebook)}


def build_first_lesson(root: Path) -> list[Path]:
    """Build course/first-lesson.ipynb in a checkout of the course; return it if it changed."""
    return _replaced(_first_lesson(root))


def stale_first_lesson(root: Path) -> list[Path]:
    """Return course/first-lesson.ipynb if it differs from a fresh build. Writes nothing."""
    return _differing(_first_lesson(root))


def _first_lesson(root: Path) -> dict[Path, str]:
    if not (root / "pyproject.toml").is_file():  # an instructor's own labs
        return {}
    return {root / "course" / FIRST_LESSON: first_lesson(browser=False)}


def for_students(lab: Lab, notebook: NotebookNode, variant: Variant | None = None) -> dict[Path, str]:
    """Return what the lab's folder under course/ holds: path -> text. Raises LadderError as `bench_sheet`."""
    made = {lab.released: notebook_text(released_notebook(notebook))}
    sheet = bench_sheet(lab, variant)
    return made if sheet is None else made | {lab.bench_sheet: sheet}


def stale(labs: Iterable[Lab]) -> list[Path]:
    """Return the released notebooks and bench sheets that differ from a fresh build. Writes nothing."""
    return [path for lab in labs for path in _differing(for_students(lab, instructor_notebook(lab)))]


def _replaced(made: Mapping[Path, str]) -> list[Path]:
    """Write what differs; return it."""
    return [path for path, text in made.items() if replace_file(path, text)]


def _differing(made: Mapping[Path, str]) -> list[Path]:
    """What is not there, or reads otherwise."""
    return [path for path, text in made.items() if not path.is_file() or path.read_text(encoding="utf-8") != text]


def replace_file(path: Path, text: str) -> bool:
    """Write `text` to `path` whole or not at all; return False if it already holds just that."""
    if path.is_file() and path.read_text(encoding="utf-8") == text:
        return False
    path.parent.mkdir(parents=True, exist_ok=True)
    replace_bytes(path, text.encode(), 0o644)
    return True
