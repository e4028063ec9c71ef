"""Lab 10: what it says of its hunts and its numbers is what the engine finds."""

from functools import cache
from pathlib import Path

import pytest

from labs.harness import run_cell
from rungbook.behaviour import PowerFaults, energise
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.classroom.variants import load_pools
from rungbook.motors.units import read_quantity
from rungbook.proof.hunt import Case

LAB = find_lab(Path(__file__).parents[2], "lab10-fault-finding")
CIRCUITS = {5: "elevator", 6: "elevator", 7: "line"}


@cache
def solved() -> dict:
    """The names of the solved notebook after its last cell."""
    namespace: dict = {"__name__": "__main__"}
    for cell in instructor_notebook(LAB).cells:
        if cell.cell_type == "code":
            run_cell(cell.source, namespace)
    return namespace


def case_of(number: int) -> Case:
    return Case(solved()[CIRCUITS.get(number, "pump")], "lab10", built=number == 8)


# hunt -> suspects with the same symptom, readings that the best strategy needs at worst, as notes.md tells them
@pytest.mark.parametrize(
    ("number", "suspects", "readings"),
    [(1, 3, 2), (2, 5, 3), (3, 19, 4), (4, 19, 4), (5, 10, 3), (6, 12, 4), (7, 9, 4), (8, 44, 5)],
)
def test_every_fault_of_a_pool_has_the_symptom_that_the_operator_tells(number, suspects, readings):
    case = case_of(number)
    pool = load_pools(LAB)[number - 1]
    faults = [case.hidden(token) for token, _ in pool.together]
    likes = {case.evidence.like(fault) for fault in faults}
    assert len(faults) == len(set(faults)) >= 2
    assert [like.bit_count() for like in likes] == [suspects]
    assert case.evidence.cost(likes.pop()).worst == readings


@pytest.mark.parametrize("number", range(1, 9))
def test_the_words_of_a_pool_name_the_fault_of_its_token(number):
    case = case_of(number)
    for token, words in load_pools(LAB)[number - 1].together:
        assert case.hidden(token) in case.claims.faults(tuple(words.split('", "')))


def test_the_practice_hides_what_the_notes_say():
    case = Case(solved()["fan"], "lab10")
    left = solved()["practice"]
    assert [row["shown"] for row in left.answer()["acts"]] == ["Q1 out, P1 dark", "120.0 V"]
    assert case.names([case.hidden(left.answer()["token"])]) == "F1: contact 95-96 stays open"


def test_numbers_of_suspects_in_the_text_are_those_of_the_engine():
    text = LAB.source.read_text(encoding="utf-8")
    for number, told in ((3, "Nineteen suspects"), (5, "Sixty-four suspects"), (8, "Ninety-three suspects")):
        assert told in text, number
    assert [len(case_of(n).evidence.classes) for n in (3, 5, 8)] == [32, 64, 93]


def test_the_open_pole_of_part_10_leaves_the_motor_on_two_phases():
    feed = energise(solved()["power"], {"Q9", "Q1"}, PowerFaults(open={("Q1", "3-4")}))["M1"]
    assert (feed.state, feed.phases) == ("single-phasing", ("L1", "", "L3"))


def test_voltages_of_part_10_follow_from_the_star_point_in_the_middle():
    """Computed: phasors of 208 V between lines (check-values 5: √3), no current in the winding that is not fed."""
    ground = 208 / 3**0.5
    line = [ground * complex(0, 1) ** (-4 * k / 3) for k in range(3)]
    dead = (line[0] + line[2]) / 2
    assert abs(abs(line[0] - line[1]) - 208) < 1e-9
    assert abs(abs(dead - line[0]) - 104) < 1e-9
    (written,) = read_quantity(solved()["side"]["volts across this pole, Q1 in"], "volts").numbers
    assert abs(written - abs(line[1] - dead)) < 1
