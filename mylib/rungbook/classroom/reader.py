"""A step of nbgrader's marking: a test cell in which something was not decided waits for a person.

Loaded by the class folder's settings only, since it needs nbgrader. nbgrader calls a test cell with points on it done;
this step, right after the points are saved, says otherwise of those that `mark` could not decide in full.
"""

from __future__ import annotations

from nbconvert.exporters.exporter import ResourcesDict
from nbformat.notebooknode import NotebookNode
from nbgrader import utils
from nbgrader.api import Gradebook
from nbgrader.converters import Autograde
from nbgrader.preprocessors import NbGraderPreprocessor, SaveAutoGrades

from rungbook.grading import asks_for_a_reader


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
    """nbgrader's own steps of marking, with `AskForReader` right after the one that saves the points."""
    steps = list(Autograde.class_traits()["autograde_preprocessors"].default())
    return [one for step in steps for one in ((step, AskForReader) if step is SaveAutoGrades else (step,))]
