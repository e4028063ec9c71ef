from math import sqrt
from pathlib import Path

import pytest

from rungbook.classroom.labs import Lab
from rungbook.classroom.marks import MARKED, Exercise, LabMarks
from rungbook.classroom.reporting.numbers import judge, point_biserial
from rungbook.classroom.reporting.papers import Paper
from rungbook.classroom.roster import Student


class TestPointBiserial:
    def test_is_the_difference_of_the_means_by_the_spread(self) -> None:
        # by hand: means 8 and 4 of 3 and 3, spread over all 6 is sqrt(20/3); (8 - 4) / s * sqrt(9/36)
        told = point_biserial([True, True, True, False, False, False], [6, 8, 10, 2, 4, 6])
        assert told == pytest.approx(2 / sqrt(20 / 3))

    def test_says_nothing_without_a_spread_or_of_a_few(self) -> None:
        assert point_biserial([True] * 6, [1, 2, 3, 4, 5, 6]) is None
        assert point_biserial([True, False] * 3, [4] * 6) is None
        assert point_biserial([True, False, True, False], [1, 2, 3, 4]) is None

    def test_is_negative_if_the_better_ones_fail(self) -> None:
        told = point_biserial([True, True, False, False, False], [0, 0, 5, 5, 5])
        assert told == pytest.approx(-1)


def test_an_exercise_is_judged_by_those_who_were_marked_and_mistakes_are_counted_without_wire_numbers() -> None:
    lab = Lab(Path(), "lab02-x")

    def marks(student: str, points: float, waits: bool = False) -> LabMarks:
        exercises = (Exercise("lab02-a-marks", points, 10), Exercise("lab02-e", 0, 5, written=True, waits=waits))
        return LabMarks(Student(student), lab, MARKED, exercises)

    told = "There is no closed path around S2{} after it opens."
    papers = {
        "b": Paper("b", {"lab02-a-marks": told.format(" (wires 3–4)")}),
        "c": Paper("c", {"lab02-a-marks": told.format(" (wires 5–6)")}),
        "a": Paper("a", {"lab02-a-marks": ""}),
    }
    most = {"lab02-a-marks": 10.0, "lab02-e": 5.0}
    one, essay = judge([marks("a", 10), marks("b", 4, True), marks("c", 4, True)], most, papers)
    assert (one.count, one.full, one.share, one.discrimination) == (3, 1, 0.6, None)
    assert one.mistakes == ((2, told.format("")),)
    assert (essay.count, essay.share) == (1, 0), "what waits for a reader is not counted"
