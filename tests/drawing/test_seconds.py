from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.drawing.seconds import seconds, ticks, trimmed


@pytest.mark.parametrize(
    ("time", "words"),
    [
        (0, "0 s"),
        (0.000004, "0.000004 s"),
        (1.02, "1.02 s"),
        (119, "119 s"),
        (120, "120 s (2 min)"),
        (7200, "7200 s (2 h)"),
        (28_800.000001, "28800.000001 s (8 h)"),
    ],
)
def test_a_time_is_told_to_the_microsecond_and_a_long_one_in_minutes_or_hours_too(time: float, words: str) -> None:
    assert seconds(time) == words


def test_zeros_at_the_end_and_a_sign_before_nothing_are_left_out() -> None:
    assert (trimmed(2.50, 2), trimmed(100, 0), trimmed(-0.001, 1)) == ("2.5", "100", "0")


@pytest.mark.parametrize(
    ("end", "unit", "words"),
    [
        (0.02, "s", ("0", "0.005", "0.01", "0.015", "0.02")),
        (1, "s", ("0", "0.2", "0.4", "0.6", "0.8", "1")),
        (38, "s", ("0", "10", "20", "30")),
        (300, "s", ("0", "50", "100", "150", "200", "250", "300")),
        (301, "min", ("0", "1", "2", "3", "4", "5")),
        (3600, "min", ("0", "10", "20", "30", "40", "50", "60")),
        (28_800, "h", ("0", "2", "4", "6", "8")),
    ],
)
def test_ticks_stand_at_usual_numbers(end: float, unit: str, words: tuple[str, ...]) -> None:
    found, marks = ticks(0, end, 6)
    assert (found, tuple(word for _, word in marks)) == (unit, words)


@given(st.floats(0, 1e5), st.floats(0.001, 2.6e6), st.integers(2, 20))
def test_ticks_are_as_many_as_have_room_and_equally_far_apart(start: float, span: float, most: int) -> None:
    _, marks = ticks(start, start + span, most)
    assert len(marks) <= most + 1
    assert all(start - 1e-6 * span <= time <= start + span * (1 + 1e-6) for time, _ in marks)
    steps = [after - before for (before, _), (after, _) in pairwise(marks)]
    assert all(step == pytest.approx(steps[0], rel=1e-6) for step in steps)
    assert len({word for _, word in marks}) == len(marks)
