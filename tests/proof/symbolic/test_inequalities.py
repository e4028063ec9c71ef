"""Against a linear program of scipy, and against the numbers themselves."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
import scipy.optimize
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook.proof.symbolic.inequalities import Inequality, Known, example, follows, inequality, possible, projected

NAMES = ("x", "y", "z")
INEQUALITIES = st.builds(
    lambda factors, constant, strict: inequality(dict(zip(NAMES, factors, strict=True)), constant, strict=strict),
    st.tuples(*[st.integers(-2, 2)] * 3),
    st.integers(-4, 4),
    st.booleans(),
)
SYSTEMS = st.frozensets(INEQUALITIES, max_size=6)


def value(one: Inequality, at: dict[str, Fraction]) -> Fraction:
    return sum((factor * at[name] for name, factor in one.terms), Fraction(one.constant))


def holds(one: Inequality, at: dict[str, Fraction]) -> bool:
    return value(one, at) > 0 if one.strict else value(one, at) >= 0


def by_linear_program(known: Known) -> bool:
    """Whether there is a point with room on every strict side: the widest such room is more than 0."""
    if not known:
        return True
    rows = [[-one.factor(name) for name in NAMES] + [int(one.strict)] for one in known]
    bounds = [(None, None)] * 3 + [(0, 1)]
    found = scipy.optimize.linprog([0, 0, 0, -1], A_ub=rows, b_ub=[one.constant for one in known], bounds=bounds)
    return bool(found.status == 0 and (found.x[3] > 1e-9))


@settings(max_examples=300, deadline=None)
@given(SYSTEMS)
def test_whether_all_can_hold_is_what_a_linear_program_says(known: Known) -> None:
    assert possible(known) == by_linear_program(known)


@settings(max_examples=200, deadline=None)
@given(SYSTEMS)
def test_an_example_fulfils_all_of_it(known: Known) -> None:
    if possible(known):
        found = dict.fromkeys(NAMES, Fraction(0)) | example(known)
        assert all(holds(one, found) for one in known)


@settings(max_examples=100, deadline=None)
@given(SYSTEMS)
def test_what_is_left_without_a_name_is_where_there_is_a_number_for_it(known: Known) -> None:
    left = projected(known, ("x", "y"))
    assert {name for one in left for name, _ in one.terms} <= {"x", "y"}
    for x, y in product((-3, -1, 0, 2), repeat=2):
        at = {"x": Fraction(x), "y": Fraction(y), "z": Fraction(0)}
        here = [inequality({name: sign}, -sign * place, strict=False) for name, place in (("x", x), ("y", y))
                for sign in (1, -1)]  # fmt: skip
        assert all(holds(one, at) for one in left) == possible([*known, *here])


def test_what_follows() -> None:
    above = inequality({"x": 1, "y": -1}, 0, strict=True)  # x > y
    known = frozenset({above, inequality({"y": 1}, -2, strict=False)})  # y >= 2
    assert follows(known, inequality({"x": 1}, -2, strict=True))  # x > 2
    assert not follows(known, inequality({"x": 1}, -3, strict=False))  # x >= 3


def test_an_equation_is_two_halves_and_is_put_in() -> None:
    half = inequality({"x": 2, "y": -4}, 6, strict=False)
    assert half == Inequality((("x", 1), ("y", -2)), 3, False)
    below = inequality({"x": -1}, 5, strict=False)  # x <= 5
    assert projected([half, half.opposite, below], ["y"]) == frozenset({inequality({"y": -1}, 4, strict=False)})


def test_between_whole_numbers_more_than_0_is_1_or_more() -> None:
    one = inequality({"x": 1}, 0, strict=True)
    assert one.whole == Inequality((("x", 1),), -1, False)
    assert (~one).whole == Inequality((("x", -1),), 0, False)


@pytest.mark.parametrize(
    ("low", "high", "expected"), [(0, 1, Fraction(1, 2)), (0, 4, 2), (1, None, 2), (None, 3, 2), (None, None, 0)]
)
def test_an_example_is_round_where_there_is_room(low: int | None, high: int | None, expected: Fraction) -> None:
    known = [inequality({"x": 1}, -low, strict=True)] if low is not None else []
    known += [inequality({"x": -1}, high, strict=True)] if high is not None else []
    assert example(known).get("x", 0) == expected
