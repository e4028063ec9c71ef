"""The marks of a class as plain data: of each student and lab what was handed in, marked, and still waits."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.labs import Lab
from rungbook.classroom.nbgrader_step import quiet
from rungbook.classroom.roster import Student

NOT_HANDED_IN, NOT_MARKED, NEWER = "not handed in", "not marked yet", "handed in again since"
WAITS, MARKED = "waits for a reader", "marked"


@dataclass(frozen=True)
class Exercise:
    """Marks of one exercise. name: its grade_id. written: marked by hand. waits: for a reader. manual: a person gave
    the points."""

    name: str
    points: float
    most: float
    written: bool = False
    waits: bool = False
    manual: bool = False


@dataclass(frozen=True)
class LabMarks:
    """One student's marks in one lab. status: one of the five words above. late [s]. penalty [points]."""

    student: Student
    lab: Lab
    status: str
    exercises: tuple[Exercise, ...] = ()
    late: float = 0
    penalty: float = 0

    @property
    def score(self) -> float | None:
        """Points earned, the penalty taken off; None if nothing was marked."""
        if self.status in (NOT_HANDED_IN, NOT_MARKED):
            return None
        return max(0.0, sum(one.points for one in self.exercises) - self.penalty)


def most(place: ClassFolder, lab: Lab) -> dict[str, float]:
    """Exercise -> its points at most, in the order of the lab."""
    source = json.loads((place.root / "source" / lab.name / f"{lab.short}.ipynb").read_text(encoding="utf-8"))
    own = (cell["metadata"].get("nbgrader", {}) for cell in source["cells"])
    return {one["grade_id"]: one["points"] for one in own if one.get("grade")}


def read_marks(place: ClassFolder, labs: Sequence[Lab]) -> list[LabMarks]:
    """Return the marks of every student of the class in each of `labs`, by last name, then lab."""
    found: list[LabMarks] = []
    with quiet(), place.api().gradebook as gradebook:
        students = [Student(s.id, s.first_name or "", s.last_name or "", s.email or "") for s in gradebook.students]
        students.sort(key=lambda one: (one.last_name.casefold(), one.first_name.casefold(), one.id))
        marked = {lab.name: _submissions(gradebook, lab) for lab in labs}
        orders = {lab.name: list(most(place, lab)) for lab in labs}
        for student in students:
            for lab in labs:
                found.append(_of(place, student, lab, marked[lab.name].get(student.id), orders[lab.name]))
    return found


def _submissions(gradebook: Any, lab: Lab) -> dict[str, tuple[Any, list[Exercise]]]:
    """student -> (nbgrader's submission, its exercises; none if marking has not come to them)."""
    from nbgrader.api import Grade, GradeCell, MissingEntry, SubmittedAssignment, SubmittedNotebook

    try:
        assignment = gradebook.find_assignment(lab.name)
    except MissingEntry:
        return {}
    found: dict[str, tuple[Any, list[Exercise]]] = {one.student_id: (one, []) for one in assignment.submissions}
    rows = (
        gradebook.db.query(SubmittedAssignment.student_id, Grade, GradeCell)
        .join(SubmittedNotebook, SubmittedNotebook.assignment_id == SubmittedAssignment.id)
        .join(Grade, Grade.notebook_id == SubmittedNotebook.id)
        .join(GradeCell, GradeCell.id == Grade.cell_id)
        .filter(SubmittedAssignment.assignment_id == assignment.id)
    )
    reached = set()
    for student, grade, cell in rows:
        if grade.auto_score is not None or grade.manual_score is not None:
            reached.add(student)
        given = grade.auto_score if grade.manual_score is None else grade.manual_score
        points = (given or 0.0) + (grade.extra_credit or 0.0)
        written = cell.cell_type == "markdown"
        waits = bool(grade.needs_manual_grade)
        found[student][1].append(
            Exercise(cell.name, points, cell.max_score, written, waits, grade.manual_score is not None)
        )
    return {student: (one, exercises if student in reached else []) for student, (one, exercises) in found.items()}


def _of(
    place: ClassFolder, student: Student, lab: Lab, found: tuple[Any, list[Exercise]] | None, order: list[str]
) -> LabMarks:
    folder = place.root / "submitted" / student.id / lab.name
    handed_in = (folder / f"{lab.short}.ipynb").is_file()
    if found is None or not found[1]:
        return LabMarks(student, lab, NOT_MARKED if handed_in else NOT_HANDED_IN)
    submission, exercises = found
    place_of = {name: number for number, name in enumerate(order)}
    exercises.sort(key=lambda one: (place_of.get(one.name, len(order)), one.name))
    status = WAITS if any(one.waits for one in exercises) else MARKED
    stamp = folder / "timestamp.txt"
    if stamp.is_file() and submission.timestamp is not None and _parse(stamp.read_text()) > submission.timestamp:
        status = NEWER
    late = submission.total_seconds_late
    return LabMarks(student, lab, status, tuple(exercises), late, submission.late_submission_penalty or 0.0)


def _parse(text: str) -> Any:
    from nbgrader.utils import parse_utc

    return parse_utc(text.strip())


def by_student(marks: Iterable[LabMarks]) -> dict[str, dict[str, LabMarks]]:
    """student id -> lab -> marks, in the order given."""
    found: dict[str, dict[str, LabMarks]] = {}
    for one in marks:
        found.setdefault(one.student.id, {})[one.lab.short] = one
    return found
