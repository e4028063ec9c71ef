"""Write what was marked: notebooks into autograded/, marks and comments into nbgrader's gradebook.

One writer, in one process, many submissions in one transaction. What `nbgrader autograde` would write is written, and
nothing that a person has written is touched: manual scores, manual comments and extra credit stay.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import nbformat

from rungbook.classroom.marking.paper import Paper
from rungbook.classroom.marking.submission import Outcome
from rungbook.replacing import replace_bytes


class Recorder:
    """Writes outcomes of one lab. api: nbgrader's Python interface on the class folder (`folder.open_class`)."""

    def __init__(self, api: Any, lab: str, name: str) -> None:
        from nbgrader.api import Gradebook

        self.api, self.lab, self.name = api, lab, name
        self.gradebook = Gradebook(api.coursedir.db_url, api.course_id)
        self._lab: Any = None  # the gradebook's entry of the lab, kept while a batch is written

    def close(self) -> None:
        """Close the gradebook."""
        self.gradebook.close()

    def check(self, paper: Paper) -> None:
        """Raise LadderError if the gradebook does not know the lab, or knows other cells and points than `paper`."""
        from nbgrader.api import MissingEntry

        from rungbook.errors import LadderError

        try:
            notebook = self.gradebook.find_notebook(self.name, self.lab)
        except MissingEntry:
            rule = f"is not in the gradebook; release it first: rungbook class release {self.name}"
            raise LadderError(f"Lab {self.lab}", rule) from None
        theirs = {cell.name: cell.max_score for cell in notebook.grade_cells}
        ours = {cell.grade_id: float(cell.meta["points"]) for cell in paper.cells if cell.meta.get("grade")}
        if theirs != ours:
            differ = sorted(str(name) for name, points in theirs.items() ^ ours.items())
            rule = "the gradebook has other test cells or points than the source; release the lab again"
            raise LadderError(f"Lab {self.lab}", rule, ", ".join(dict.fromkeys(name for name in differ)))

    def marked(self) -> set[str]:
        """Students whose work has a mark, or the note that a person must mark it, in every cell with points."""
        return {
            submission.student.id
            for submission in self.gradebook.notebook_submissions(self.name, self.lab)
            if all(
                g.auto_score is not None or g.needs_manual_grade or g.manual_score is not None
                for g in submission.grades
            )
            and self._place(submission.student.id, f"{self.name}.ipynb").is_file()
        }

    def students(self) -> list[str]:
        """All students of the class."""
        return [student.id for student in self.gradebook.students]

    def _place(self, student: str, file: str) -> Path:
        coursedir = self.api.coursedir
        return Path(coursedir.format_path(coursedir.autograded_directory, student, self.lab)) / file

    def record(self, outcomes: list[tuple[Outcome, dict[str, bytes]]]) -> dict[str, tuple[float, float]]:
        """Write outcomes, with the files that lay beside each notebook. Returns student -> (points, maximum).

        Files come first, marks second: a run that is cut off between them marks these submissions again.
        """
        beside = {name: path.read_bytes() for name, path in self._source_files().items()}
        for outcome, files in outcomes:
            for name, data in (files | beside).items():
                _replace(self._place(outcome.student, name), data)
            _replace(self._place(outcome.student, f"{self.name}.ipynb"), outcome.text.encode())
        with _one_transaction(self.gradebook):
            return self._save([outcome for outcome, _ in outcomes])

    def _source_files(self) -> dict[str, Path]:
        """What lies beside the instructor's notebook, which stands in the place of the student's copy of it."""
        coursedir = self.api.coursedir
        folder = Path(coursedir.format_path(coursedir.source_directory, ".", self.lab))
        return {
            str(path.relative_to(folder)): path
            for path in folder.rglob("*")
            if path.is_file() and path.suffix != ".ipynb" and ".ipynb_checkpoints" not in path.parts
        }

    def _save(self, outcomes: list[Outcome]) -> dict[str, tuple[float, float]]:
        """Save marks and comments, as nbgrader's SaveAutoGrades and AssignLatePenalties do of one submission."""
        from nbgrader.api import SubmittedNotebook

        submissions = self._submissions([outcome.student for outcome in outcomes])
        notebooks = {one.student: self._fill_in(one, submissions[one.student]) for one in outcomes}
        session = self.gradebook.db
        session.flush()
        wanted = SubmittedNotebook.id.in_([notebook.id for notebook in notebooks.values()])
        asked = session.query(SubmittedNotebook.id, SubmittedNotebook.score, SubmittedNotebook.max_score)
        scores = {row[0]: (row[1], row[2]) for row in asked.filter(wanted)}
        for notebook in notebooks.values():
            self._penalty(notebook.assignment, notebook)
        return {student: scores[notebook.id] for student, notebook in notebooks.items()}

    def _submissions(self, students: list[str]) -> dict[str, Any]:
        """student -> their submission in the gradebook, with all that belongs to it; a missing one is made."""
        known = self._known(students)
        new = [student for student in students if student not in known]
        session = self.gradebook.db()
        for student in new:
            self.gradebook.update_or_create_student(student)
        session.flush()
        with session.no_autoflush:
            made = {student: self.gradebook.add_submission(self.lab, student) for student in new}
        session.flush()
        return known | made

    def _known(self, students: list[str]) -> dict[str, Any]:
        """student -> the submission that is in the gradebook, with all that belongs to it, in a few queries."""
        from nbgrader.api import Assignment, Notebook, SubmittedAssignment, SubmittedNotebook
        from sqlalchemy.orm import joinedload, selectinload

        session = self.gradebook.db
        lab = session.query(Assignment).filter(Assignment.name == self.lab)
        self._lab = lab.options(selectinload(Assignment.notebooks).selectinload(Notebook._base_cells)).one()
        parts = selectinload(SubmittedAssignment.notebooks)
        found = (
            session.query(SubmittedAssignment)
            .filter(SubmittedAssignment.assignment_id == self._lab.id, SubmittedAssignment.student_id.in_(students))
            .options(
                joinedload(SubmittedAssignment.student),
                parts.selectinload(SubmittedNotebook.grades),
                parts.selectinload(SubmittedNotebook.comments),
            )
        )
        return {submission.student_id: submission for submission in found}

    def _fill_in(self, outcome: Outcome, submission: Any) -> Any:
        """Fill in time, marks and comments of a submission; return the entry of its notebook."""
        from nbgrader.utils import compute_checksum, determine_grade, parse_utc

        coursedir = self.api.coursedir
        folder = coursedir.format_path(coursedir.submitted_directory, outcome.student, self.lab)
        try:
            timestamp = coursedir.get_existing_timestamp(folder)
        except (SystemExit, Exception):  # nbgrader ends the program over a time that it cannot read
            timestamp = None
        if timestamp is not None:
            submission.timestamp = parse_utc(timestamp)
        notebook = next(one for one in submission.notebooks if one.name == self.name)
        grades = {grade.cell.name: grade for grade in notebook.grades}
        comments = {comment.cell.name: comment for comment in notebook.comments}
        for plain in outcome.graded:
            cell = nbformat.from_dict(plain)
            meta = cell.metadata.nbgrader
            if meta.grade:
                grade = grades[meta.grade_id]
                grade.auto_score, _ = determine_grade(cell)
                by_hand = grade.manual_score is not None or grade.auto_score is None
                grade.needs_manual_grade = by_hand or meta.grade_id in outcome.waiting
            if (meta.solution or meta.get("task")) and meta.grade_id in comments:
                untouched = not meta.get("task") and meta.get("checksum") == compute_checksum(cell)
                comments[meta.grade_id].auto_comment = "No response." if untouched else None
        return notebook

    def _penalty(self, submission: Any, notebook: Any) -> None:
        notebook.late_submission_penalty = None
        if submission.total_seconds_late > 0:
            from nbgrader.preprocessors import AssignLatePenalties

            step = AssignLatePenalties(config=self.api.config)
            step.init_plugin()
            penalty = step.plugin_inst.late_submission_penalty(
                submission.student.id, notebook.score, submission.total_seconds_late
            )
            if penalty is not None:
                notebook.late_submission_penalty = step._check_late_penalty(notebook, penalty)


@contextmanager
def _one_transaction(gradebook: Any) -> Iterator[None]:
    """Make one transaction of all that nbgrader's methods would commit one by one."""
    session = gradebook.db()
    session.commit = lambda: None
    try:
        yield
    except BaseException:
        del session.commit
        session.rollback()
        raise
    del session.commit
    session.commit()


def _replace(path: Path, data: bytes) -> None:
    """Write a file whole or not at all, readable and, as nbgrader leaves it, not to be written."""
    path.parent.mkdir(parents=True, exist_ok=True)
    replace_bytes(path, data, 0o444)
