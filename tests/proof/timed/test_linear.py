"""The small exact linear program."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from rungbook.proof.timed.linear import maximise


def test_the_best_corner_is_found_exactly() -> None:
    # maximise 3x + 2y with x + y <= 4, x + 3y <= 6, x <= 3: the corner (3, 1)
    assert maximise([3, 2], [([1, 1], 4), ([1, 3], 6), ([1, 0], 3)]) == [3, 1]


def test_a_corner_may_be_a_fraction() -> None:
    assert maximise([1, 1], [([2, 1], 3), ([1, 2], 3)]) == [1, 1]
    assert maximise([1, 0], [([3, 0], 1)]) == [Fraction(1, 3), 0]


def test_without_an_end_there_is_no_best() -> None:
    assert maximise([1, 0], [([0, 1], 1)]) is None


SMALL = st.integers(-3, 3)


@given(st.tuples(SMALL, SMALL), st.lists(st.tuples(st.tuples(SMALL, SMALL), st.integers(0, 6)), min_size=1, max_size=5))
def test_no_point_of_a_fine_grid_is_better(gain: tuple[int, int], rows: list[tuple[tuple[int, int], int]]) -> None:
    box = [((1, 0), 5), ((0, 1), 5)]
    best = maximise(gain, [*rows, *box])
    assert best is not None
    assert all(a * best[0] + b * best[1] <= most for (a, b), most in [*rows, *box])
    grid = [Fraction(k, 4) for k in range(21)]
    for x in grid:
        for y in grid:
            if all(a * x + b * y <= most for (a, b), most in rows):
                assert gain[0] * x + gain[1] * y <= gain[0] * best[0] + gain[1] * best[1]
