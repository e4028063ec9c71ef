"""Zones: bounds on differences of clocks."""

from rungbook.proof.timed.zones import (
    NO_CLOCKS,
    add,
    at_most,
    fixed,
    later,
    less_than,
    rearranged,
    together,
    within,
)

BOTH_0 = rearranged([NO_CLOCKS], [(0, 0), (0, 0)])


def bounds(zone: tuple[int, ...], size: int, i: int, j: int) -> str:
    bound = zone[i * size + j]
    return f"{'<=' if bound & 1 else '<'} {bound >> 1}"


class TestBounds:
    def test_at_most_and_less_than_add_to_less_than(self) -> None:
        assert add(at_most(3), less_than(4)) == less_than(7)
        assert add(at_most(3), at_most(-5)) == at_most(-2)


class TestLater:
    def test_clocks_that_began_together_stay_together_below_the_shorter_preset(self) -> None:
        zone = later(BOTH_0, [5, 3])
        assert zone is not None
        assert [bounds(zone, 3, i, j) for i, j in ((1, 0), (2, 0), (0, 1), (1, 2), (2, 1))] == [
            "< 3",
            "< 3",
            "< 0",
            "<= 0",
            "<= 0",
        ]

    def test_the_longer_one_cannot_end_first(self) -> None:
        assert later(BOTH_0, [5, 3], frozenset({0})) is None
        ended = later(BOTH_0, [5, 3], frozenset({1}))
        assert ended is not None
        assert bounds(ended, 3, 1, 0) == "<= 3"

    def test_a_clock_begun_meanwhile_is_younger_by_less_than_the_preset(self) -> None:
        first = later(rearranged([NO_CLOCKS], [(0, 0)]), [5])
        assert first is not None
        both = rearranged([first], [(0, 1), (0, 0)])
        assert (bounds(both, 3, 1, 2), bounds(both, 3, 2, 1)) == ("< 5", "< 0")


class TestTogether:
    def test_equal_presets_begun_at_one_instant_end_at_one_instant(self) -> None:
        assert together(BOTH_0, [5, 5]) == [frozenset({0, 1})]
        assert together(BOTH_0, [5, 4]) == [frozenset({0}), frozenset({1})]

    def test_a_chain_of_two_and_three_ends_with_five(self) -> None:
        after_two = later(BOTH_0, [2, 5], frozenset({0}))
        assert after_two is not None
        assert together(rearranged([after_two], [(0, 0), (0, 2)]), [3, 5]) == [frozenset({0, 1})]

    def test_clocks_that_may_end_together_need_not(self) -> None:
        first = later(rearranged([NO_CLOCKS], [(0, 0)]), [5])
        assert first is not None
        assert together(rearranged([first], [(0, 1), (0, 0)]), [5, 3]) == [frozenset({0}), frozenset({1})]


class TestRearranged:
    def test_clocks_of_two_zones_have_their_bounds_and_no_more(self) -> None:
        kept = (at_most(0), less_than(-1), less_than(4), at_most(0))
        zone = rearranged([NO_CLOCKS, kept], [(0, 0), (1, 1)])
        assert [bounds(zone, 3, i, j) for i, j in ((2, 0), (0, 2), (2, 1), (1, 2))] == ["< 4", "< -1", "< 4", "< -1"]

    def test_a_clock_that_stops_leaves_the_others_as_they_were(self) -> None:
        assert rearranged([BOTH_0], [(0, 2)]) == rearranged([NO_CLOCKS], [(0, 0)])


class TestWithin:
    def test_an_instant_lies_within_the_time_around_it(self) -> None:
        wide = later(rearranged([NO_CLOCKS], [(0, 0)]), [5])
        narrow = later(rearranged([NO_CLOCKS], [(0, 0)]), [3])
        assert wide is not None
        assert narrow is not None
        assert within(narrow, wide)
        assert not within(wide, narrow)

    def test_fixed_differences_are_told_apart(self) -> None:
        wide = later(rearranged([NO_CLOCKS], [(0, 0)]), [5])
        assert wide is not None
        assert fixed(wide, 2) == ()
        assert fixed(BOTH_0, 3) == ((3, at_most(0)), (6, at_most(0)), (7, at_most(0)))
