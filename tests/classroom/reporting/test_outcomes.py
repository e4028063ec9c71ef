"""Who reached an aim, counted by hand."""

from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.classroom.aims import Aim
from rungbook.classroom.labs import Lab
from rungbook.classroom.marks import MARKED, NOT_HANDED_IN, NOT_MARKED, WAITS, Exercise, LabMarks
from rungbook.classroom.reporting.outcomes import outcomes
from rungbook.classroom.roster import Student

LAB, OTHER = Lab(Path(), "lab07-small"), Lab(Path(), "lab08-other")
AIMS = (Aim(1, "draw", ("a", "b")), Aim(2, "say", ("essay",)), Aim(3, "hand back", unmarked="at the bench"))


def marks(student: str, a: float, b: float, essay: float, waits: bool = False, lab: Lab = LAB) -> LabMarks:
    exercises = (Exercise("a", a, 20), Exercise("b", b, 10), Exercise("essay", essay, 10, True, waits))
    return LabMarks(Student(student), lab, WAITS if waits else MARKED, exercises, late=9, penalty=40)


CLASS = (
    marks("alder", 20, 10, 10),
    marks("birch", 18, 0, 6),  # 18 of 30 are 60 %
    marks("cedar", 7, 10, 0, waits=True),
    marks("elder", 0, 0, 5.9),
    LabMarks(Student("hazel"), LAB, NOT_HANDED_IN),
    LabMarks(Student("larch"), LAB, NOT_MARKED),
    marks("alder", 0, 0, 0, lab=OTHER),
)


def told(threshold: float) -> list[tuple]:
    found = outcomes(LAB, AIMS, CLASS, threshold)
    return [(one.points, one.students, one.reached, one.share, one.waiting, one.missing) for one in found]


def test_are_counted_over_those_who_are_marked_and_without_penalties() -> None:
    assert told(60) == [
        (30, 4, 2, 50.0, 0, 2),
        (10, 3, 2, pytest.approx(66.67, abs=0.01), 1, 2),
        (0, 0, 0, None, 0, 0),
    ]


def test_follow_the_threshold() -> None:
    assert [one[2] for one in told(100)] == [1, 1, 0]
    assert [one[2] for one in told(50)] == [3, 3, 0]


def test_of_an_aim_without_marks_are_words(tmp_path: Path) -> None:
    row = outcomes(LAB, AIMS, CLASS)[2].row(60)
    assert row == ["lab07", 3, "hand back", "", *[None] * 7, "at the bench"]


@pytest.mark.parametrize("threshold", [0, -1, 100.5, float("nan")])
def test_need_a_threshold_in_percent(threshold: float) -> None:
    with pytest.raises(LadderError, match="above 0 and at most 100"):
        outcomes(LAB, AIMS, CLASS, threshold)
