"""Two steps of ours in nbgrader's marking, for a class folder on which somebody runs plain `nbgrader autograde`.

Loaded by the class folder's settings only, since they need nbgrader. The first refuses a lab that was released in
variants, which nbgrader would mark by the lab as it stands, and so wrongly. The second: nbgrader calls a test cell with
points on it done; right after the points are saved, this step says otherwise of those that `mark` could not decide in
full.
"""

from __future__ import annotations

from pathlib import Path

from nbconvert.exporters.exporter import ResourcesDict
from nbformat.notebooknode import NotebookNode
from nbgrader import utils
from nbgrader.api import Gradebook
from nbgrader.converters import Autograde
from nbgrader.preprocessors import NbGraderPreprocessor, SaveAutoGrades

from rungbook.classroom.class_folder import find_class
from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError
from rungbook.grading import asks_for_a_reader


class RefuseVariants(NbGraderPreprocessor):  # type: ignore[misc]
    """Stop before a cell is run, and before a mark is written, if the lab was released in variants."""

    def preprocess(self, nb: NotebookNode, resources: ResourcesDict) -> tuple[NotebookNode, ResourcesDict]:
        """Return what was given. Raises LadderError, naming the command that marks variants."""
        name = resources["nbgrader"]["assignment"]
        place = find_class(Path(resources["metadata"]["path"]))
        if place.read_record(Lab(place.root, name)).get("varied"):
            rule = (
                "was released in variants, a student's own words each, and plain nbgrader knows only the lab as it "
                f"stands; it would take points for right answers. No mark was changed. Run: rungbook class mark {name}"
            )
            self.log.error("%s %s", name, rule)
            raise LadderError(name, rule.rstrip("."))
        return nb, resources


class AskForReader(NbGraderPreprocessor):  # type: ignore[misc]  # nbgrader carries no types
    """Set `needs_manual_grade` in the gradebook for each test cell whose output says that something was not decided.

    The points of what was decided stand as the automatic score meanwhile. Run after `SaveAutoGrades`.
    """

    def preprocess(self, nb: NotebookNode, resources: ResourcesDict) -> tuple[NotebookNode, ResourcesDict]:
        """Look at every test cell; `nb` is not changed."""
        waiting = [cell.metadata.nbgrader.grade_id for cell in nb.cells if _waits(cell)]
        if waiting:
            place = resources["nbgrader"]
            with Gradebook(place["db_url"]) as gradebook:
                for grade_id in waiting:
                    grade = gradebook.find_grade(grade_id, place["notebook"], place["assignment"], place["student"])
                    grade.needs_manual_grade = True
                    self.log.warning(
                        "%s of %s was not decided in full; it needs a manual grade", grade_id, grade.student
                    )
                gradebook.db.commit()
        return nb, resources


def _waits(cell: NotebookNode) -> bool:
    if cell.cell_type != "code" or not utils.is_grade(cell) or utils.is_solution(cell):
        return False
    return any(output.get("name") == "stdout" and asks_for_a_reader(output.text) for output in cell.outputs)


def autograde_steps() -> list[type]:
    """nbgrader's own steps of marking, `RefuseVariants` before them, `AskForReader` after the one that saves points."""
    steps = [RefuseVariants, *Autograde.class_traits()["autograde_preprocessors"].default()]
    return [one for step in steps for one in ((step, AskForReader) if step is SaveAutoGrades else (step,))]
