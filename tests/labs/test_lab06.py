"""Lab 06: what its wire list really makes, and its worked number."""

from functools import cache
from pathlib import Path

from labs.harness import run_cell
from rungbook.behaviour import Board
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.kit import TRAINING_KIT
from rungbook.motors import synchronous_speed
from rungbook.motors.units import read_quantity
from rungbook.proof import decide, holds_in, never_together, no_races, off_while, pulls_in


@cache
def solved() -> dict:
    """The names of the solved notebook after its last cell."""
    namespace: dict = {"__name__": "__main__"}
    for cell in instructor_notebook(find_lab(Path(__file__).parents[2], "lab06-reversing")).cells:
        if cell.cell_type == "code":
            run_cell(cell.source, namespace)
    return namespace


def test_the_wire_list_makes_the_elevator_with_its_interlocks_and_limit_switches():
    there = solved()
    board = Board.from_wires("Elevator", there["wires"], TRAINING_KIT, there["panel"])
    rules = [
        pulls_in("Q1", when="press S2"),
        pulls_in("Q2", when="press S3"),
        holds_in("Q1", after="let S2 go"),
        holds_in("Q2", after="let S3 go"),
        never_together("Q1", "Q2"),
        *(off_while("Q1", tag, where) for tag, where in (("S1", "pressed"), ("F1", "tripped"), ("B1", "reached"))),
        *(off_while("Q2", tag, where) for tag, where in (("S1", "pressed"), ("F1", "tripped"), ("B2", "reached"))),
        no_races(),
    ]
    found = decide(BoardPanel(board), rules)
    assert found, found


def test_the_slip_at_the_change_over_is_that_of_a_field_of_1800_rpm():
    """Check-values 5.2 (120 f / p, computed) and the definition of slip (5.3); the rotor runs against the field."""
    field = synchronous_speed(60, 4)
    assert field.value == 1800
    (written,) = read_quantity(solved()["slip"]["slip after the change"], "slip").numbers
    assert abs(written - (field.value + 1725) / field.value) < 0.01
