"""`rungbook class remark`: mark one exercise again after its test cell was corrected.

The corrected test cell stands in the class's own source, solutions/LAB/labNN.md; or the correction is in this package.
The class is marked in a copy first, so that what would change is known before anything is written.
"""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import nbformat
from nbformat.notebooknode import NotebookNode

from rungbook.classroom.build import instructor_notebook, notebook_text
from rungbook.classroom.class_folder import ClassFolder, write_bytes
from rungbook.classroom.labs import Lab
from rungbook.classroom.marking.engine import How, mark_lab
from rungbook.classroom.nbgrader_step import must_succeed, quiet
from rungbook.errors import LadderError

_COPIED = ("nbgrader_config.py", "class.json", "gradebook.db")


@dataclass(frozen=True)
class Grade:
    """Points of one student in the exercise. points: by machine, None if never marked. waits: for a person. manual: a
    person's points, which count instead; None if there are none."""

    points: float | None
    waits: bool
    manual: float | None


@dataclass(frozen=True)
class Change:
    """What changes for one student."""

    student: str
    old: Grade
    new: Grade

    @property
    def differs(self) -> bool:
        """True if the points differ, or whether a person must look; who was given points by hand waits for nobody."""
        waits = self.old.manual is None and self.old.waits != self.new.waits
        return waits or self.old.points != self.new.points

    @property
    def told(self) -> str:
        """As one line."""
        parts = [f"{self.student}: {_points(self.old)} -> {_points(replace(self.new, manual=self.old.manual))}"]
        if self.old.manual is not None:
            parts.append(f"a person gave {self.old.manual:g}, which stays")
        return "; ".join(parts)


def _points(grade: Grade) -> str:
    points = "not marked" if grade.points is None else f"{grade.points:g}"
    return f"{points}, waits for a person" if grade.waits and grade.manual is None else points


def remark(place: ClassFolder, lab: Lab, exercise: str, how: How, write: bool = False) -> list[Change]:
    """Return whose marks in `exercise` (the grade_id of a test cell) change, from what to what; write them if told so.

    Marks that a person gave, comments, and every other exercise stay as they are. A run that is cut off while it writes
    leaves some students with new marks and the others with old ones; run again, it does the rest.

    Raises LadderError, and writes nothing, if there is no such test cell, the corrected source differs in any other
    cell or in points, nothing was marked yet, the gradebook is no file of the class folder, or marking fails.
    """
    corrected = _corrected(place, lab, exercise)
    own = (place.root / "gradebook.db").resolve()
    if not own.is_file() or place.api().coursedir.db_url != f"sqlite:///{own}":
        raise LadderError("Gradebook", "is no file of the class folder, so it cannot be copied to try", str(place.root))
    with quiet(), tempfile.TemporaryDirectory(prefix="rungbook-remark-") as made:
        trial = ClassFolder(Path(made) / "class")
        _copy(place, trial, lab)
        if corrected is not None:
            path = trial.root / "source" / lab.name / f"{lab.short}.ipynb"
            write_bytes(path, notebook_text(corrected).encode())
            must_succeed(trial.api().generate_assignment(lab.name, force=True), "trying the corrected test cell")
        mark_lab(trial, Lab(trial.root, lab.name), how)
        with _grades(place, lab, exercise) as (_, rows):
            old = {student: _grade(row) for student, row in rows.items()}
        with _grades(trial, lab, exercise) as (_, rows):
            new = {student: _grade(row) for student, row in rows.items()}
        if not old:
            raise LadderError(lab.name, "nothing is marked yet; first collect and mark")
        both = [Change(student, old[student], new[student]) for student in sorted(old) if student in new]
        changes = [one for one in both if one.differs]
        if write:
            _write(place, trial, lab, exercise, [one.student for one in both])
    return changes


def _corrected(place: ClassFolder, lab: Lab, exercise: str) -> NotebookNode | None:
    """The instructor's notebook from the class's source; None if there is no source, or it is as it was."""
    path = place.root / "source" / lab.name / f"{lab.short}.ipynb"
    now = nbformat.read(path, as_version=4)
    tests = {cell["id"] for cell in now.cells if (own := _own(cell)).get("grade") and cell.cell_type == "code" and own}
    if exercise not in tests:
        raise LadderError("--exercise", f"no such test cell in {lab.name}", exercise, tuple(sorted(tests)))
    if not lab.source.is_file():
        return None
    corrected = instructor_notebook(lab)
    if [_own(cell) for cell in now.cells] != [_own(cell) for cell in corrected.cells]:
        raise LadderError(lab.name, "the corrected source has other cells or points; only a test cell may differ")
    pairs = zip(now.cells, corrected.cells, strict=True)
    differ = [cell["id"] for cell, other in pairs if cell.source != other.source]
    others = [one for one in differ if one != exercise]
    if others:
        rule = f"the source differs in other cells than {exercise}; mend them one by one, or release the lab again"
        raise LadderError(lab.name, rule, ", ".join(others))
    return corrected if differ else None


def _own(cell: NotebookNode) -> dict[str, Any]:
    return dict(cell.metadata.get("nbgrader", {}))


def _copy(place: ClassFolder, trial: ClassFolder, lab: Lab) -> None:
    """What marking needs, in another place."""
    trial.root.mkdir()
    for name in _COPIED:
        if (place.root / name).is_file():
            shutil.copy2(place.root / name, trial.root / name)
    if place.record(lab).is_file():
        trial.record(lab).parent.mkdir()
        shutil.copy2(place.record(lab), trial.record(lab))
    for folder in (f"source/{lab.name}", f"solutions/{lab.name}"):
        if (place.root / folder).is_dir():
            shutil.copytree(place.root / folder, trial.root / folder)
    for submitted in sorted(place.root.glob(f"submitted/*/{lab.name}")):
        shutil.copytree(submitted, trial.root / submitted.relative_to(place.root), symlinks=True)


@contextmanager
def _grades(place: ClassFolder, lab: Lab, exercise: str) -> Iterator[tuple[Any, dict[str, Any]]]:
    """nbgrader's gradebook, and in it student -> grade of the exercise."""
    from nbgrader.api import MissingEntry

    with place.api().gradebook as gradebook:
        try:
            submissions = gradebook.notebook_submissions(lab.short, lab.name)
        except MissingEntry:
            submissions = []
        rows = {one.student.id: grade for one in submissions for grade in one.grades if grade.name == exercise}
        yield gradebook, rows


def _grade(row: Any) -> Grade:
    return Grade(row.auto_score, bool(row.needs_manual_grade), row.manual_score)


def _write(place: ClassFolder, trial: ClassFolder, lab: Lab, exercise: str, students: list[str]) -> None:
    """Take over the exercise from the trial: feedback, then the marks in one transaction, then the source."""
    for student in students:
        paths = [one.root / "autograded" / student / lab.name / f"{lab.short}.ipynb" for one in (place, trial)]
        if all(path.is_file() for path in paths):
            mine, theirs = (json.loads(path.read_text(encoding="utf-8")) for path in paths)
            fresh = {_grade_id(cell): cell for cell in theirs["cells"]}
            mine["cells"] = [fresh.get(exercise, c) if _grade_id(c) == exercise else c for c in mine["cells"]]
            write_bytes(paths[0], (json.dumps(mine, indent=1, ensure_ascii=False) + "\n").encode())
    with _grades(trial, lab, exercise) as (_, rows):
        new = {student: _grade(row) for student, row in rows.items()}
    with trial.api().gradebook as gradebook:
        cell = gradebook.find_source_cell(exercise, lab.short, lab.name)
        source, checksum = cell.source, cell.checksum
    with _grades(place, lab, exercise) as (gradebook, rows):
        for student in students:
            rows[student].auto_score = new[student].points
            if rows[student].manual_score is None:
                rows[student].needs_manual_grade = new[student].waits
        kept = gradebook.find_source_cell(exercise, lab.short, lab.name)
        kept.source, kept.checksum = source, checksum
        gradebook.db.commit()
    built = trial.root / "source" / lab.name / f"{lab.short}.ipynb"
    write_bytes(place.root / "source" / lab.name / built.name, built.read_bytes())


def _grade_id(cell: dict[str, Any]) -> str | None:
    found = cell.get("metadata", {}).get("nbgrader", {}).get("grade_id")
    return found if isinstance(found, str) else None
