"""Code on numbers that are not known takes every way that it can take with numbers, and no other."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.proof.symbolic import Assumptions, Unknown, form_of, possible, ways
from rungbook.proof.symbolic.inequalities import Known, inequality


def numbers(under: Assumptions) -> tuple[Unknown, Unknown]:
    return Unknown(under, {"x": 1}), Unknown(under, {"y": 1})


def clipped(x: object, y: object) -> object:
    """As a timer gathers its time: up to its end, and one more if it is over."""
    return min(x + y, 5) + (1 if y - x >= 2 else 0)  # type: ignore[operator]


def points(known: Known) -> set[tuple[int, int]]:
    def at(name: str, place: int) -> Known:
        one = inequality({name: 1}, -place, strict=False)
        return frozenset({one, one.opposite})

    return {(x, y) for x in range(-4, 9) for y in range(-4, 9) if possible(known | at("x", x) | at("y", y))}


def test_the_ways_part_all_numbers_among_them_and_each_says_what_they_come_to() -> None:
    seen: set[tuple[int, int]] = set()
    count = 0
    for under, found in ways(frozenset(), lambda under: clipped(*numbers(under))):
        here = points(under.known)
        assert not here & seen
        seen |= here
        terms, constant = form_of(found)
        for x, y in here:
            assert terms.get("x", 0) * x + terms.get("y", 0) * y + constant == clipped(x, y)
        count += 1
    assert len(seen) == 13 * 13
    assert count == 4


def test_what_is_known_is_not_asked_again() -> None:
    known = frozenset({inequality({"x": 1, "y": -1}, 0, strict=True)})  # x > y
    found = [
        (result, under.taken) for under, result in ways(known, lambda under: numbers(under)[0] <= numbers(under)[1])
    ]
    assert found == [(False, [])]


def test_whole_numbers_leave_nothing_between_0_and_1() -> None:
    known = frozenset({inequality({"x": 1}, 0, strict=True).whole})

    def run(under: Assumptions) -> bool:
        return numbers(under)[0] < 1

    assert [found for _, found in ways(known, run, whole=True)] == [False]
    assert sorted(found for _, found in ways(known - known | {inequality({"x": 1}, 0, strict=True)}, run)) == [
        False,
        True,
    ]


@given(st.integers(-9, 9), st.integers(-9, 9))
def test_sums_and_comparisons_are_those_of_numbers(x: int, y: int) -> None:
    at = {name: inequality({name: 1}, -place, strict=False) for name, place in (("x", x), ("y", y))}
    known = frozenset({*at.values(), *(one.opposite for one in at.values())})
    for make in (
        lambda a, b: a < b,
        lambda a, b: a <= b,
        lambda a, b: a > b,
        lambda a, b: 3 - a >= b + 1,
        lambda a, b: a == b,
        lambda a, b: a != b,
        lambda a, b: bool(a - b),
        lambda a, b: 2 + a - b - 2 < a,
    ):
        assert [found for _, found in ways(known, lambda under, make=make: make(*numbers(under)))] == [make(x, y)]


def test_what_is_no_number_is_refused() -> None:
    with pytest.raises(TypeError, match="a whole number or an Unknown"):
        Unknown(Assumptions(frozenset()), {"x": 1}) + 0.5
