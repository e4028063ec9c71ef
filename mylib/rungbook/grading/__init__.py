"""What an exercise asks: requirements with points, the mark, the feedback, and the student's own check.

Enters: a declared answer (a `Ladder`, or a form of words) and the instructor's requirements. Leaves: a number of
points and a few printed lines in the language of the bench. Imports `kit`, `circuit`, `behaviour`, `proof`,
`motors`, `exchange`.
"""

from rungbook.grading.check import Checked, check
from rungbook.grading.finding import Finding
from rungbook.grading.how_read import Readings, how_read
from rungbook.grading.hunt import choose_fault, finds_fault, hunt_tokens
from rungbook.grading.in_text import in_text
from rungbook.grading.mark import asks_for_a_reader, declared, first_to_mend, mark
from rungbook.grading.on_kit import OnKit, fits, on_kit
from rungbook.grading.power_form import power_form
from rungbook.grading.quantity import quantity
from rungbook.grading.requirement import Requirement, lens, must, picks, predicts, same_as
from rungbook.grading.review import good_practice
from rungbook.grading.scenario import scenario
from rungbook.grading.table import table

__all__ = [
    "Checked",
    "Finding",
    "OnKit",
    "Readings",
    "Requirement",
    "asks_for_a_reader",
    "check",
    "choose_fault",
    "declared",
    "finds_fault",
    "first_to_mend",
    "fits",
    "good_practice",
    "how_read",
    "hunt_tokens",
    "in_text",
    "lens",
    "mark",
    "must",
    "on_kit",
    "picks",
    "power_form",
    "predicts",
    "quantity",
    "same_as",
    "scenario",
    "table",
]
