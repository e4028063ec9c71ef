"""Divisions, and the best order of readings: greedy against exact, and the half-split of the textbooks."""

import random
from functools import cache
from math import ceil, log2

import pytest

from rungbook import NC, NO, Ladder, coil
from rungbook.proof.hunt import Case, Cost, Tree, best_division, bits, division, told_apart
from rungbook.proof.hunt.partition import Best


class TestToldApart:
    def test_volts_apart_by_more_than_5_percent_are(self):
        assert told_apart([0.0, 120.0, 119.2, 60.0, 0.4], "volts") == (0, 2, 2, 1, 0)

    def test_open_is_a_group_of_its_own(self):
        assert told_apart([None, 7200.0, 168.0, None, 0.0, 0.5], "ohms") == (3, 2, 1, 3, 0, 0)

    def test_what_lies_between_joins_its_neighbours(self):
        assert told_apart([100.0, 109.0], "volts") == (0, 1)
        assert told_apart([100.0, 104.0, 109.0], "volts") == (0, 0, 0)


class TestBits:
    def test_halves_give_one_bit_and_quarters_two(self):
        assert bits((0b0011, 0b1100), 0b1111) == 1
        assert bits((1, 2, 4, 8), 0b1111) == 2
        assert bits((0b1111,), 0b1111) == 0

    def test_classes_that_are_excluded_do_not_count(self):
        assert bits((0b0001, 0b1110), 0b0011) == 1

    def test_the_best_division_has_most_bits_then_leaves_fewest_then_is_the_first(self):
        one, half, other = division("abbb"), division("aabb"), division("abab")
        assert best_division([one, half, other], 0b1111) == Best(1, 1.0, 2)
        assert best_division([one], 0b1110) is None


def optimum(divisions, among):
    """Worst case and sum of the exact strategy, by plain recursion over every division."""

    @cache
    def solve(left):
        if left.bit_count() < 2:
            return (0, 0)
        found = []
        for parts in divisions:
            cut = [part & left for part in parts if part & left]
            if len(cut) > 1:
                deep = [solve(part) for part in cut]
                found.append((1 + max(d for d, _ in deep), left.bit_count() + sum(t for _, t in deep)))
        return min(found, default=(0, 0))

    return solve(among)


def some_divisions(chance, count, number):
    return [division([chance.randrange(chance.choice([2, 2, 3])) for _ in range(count)]) for _ in range(number)]


def all_parted(divisions, count):
    """True if the divisions together tell each class from each other one."""
    signs = [tuple(k_in(parts, k) for parts in divisions) for k in range(count)]
    return len(set(signs)) == count


def k_in(parts, k):
    return next(place for place, part in enumerate(parts) if part >> k & 1)


class TestTree:
    @pytest.mark.parametrize("chance", range(60))
    def test_exact_finds_what_plain_recursion_finds(self, chance):
        chance = random.Random(chance)
        count = chance.randint(2, 9)
        divisions = some_divisions(chance, count, chance.randint(4, 9))
        every = (1 << count) - 1
        worst, total = optimum(tuple(divisions), every)
        assert Tree(divisions, exact=True).cost(every) == Cost(worst, total / count)

    def test_greedy_is_rarely_worse_than_exact_and_never_better(self):
        worse = tried = 0
        for seed in range(200):
            chance = random.Random(seed)
            divisions = some_divisions(chance, 9, 9)
            if not all_parted(divisions, 9):
                continue
            tried += 1
            greedy = Tree(divisions, exact=False, width=1).cost(511)
            exact = Tree(divisions, exact=True).cost(511)
            assert (greedy.worst, greedy.mean) >= (exact.worst, exact.mean)
            assert greedy.worst <= exact.worst + 2
            worse += greedy.worst > exact.worst
        assert tried > 100
        assert worse < tried / 4

    def test_with_three_tried_to_the_end_it_is_nearer_to_exact_than_with_one(self):
        one = three = 0
        for seed in range(100):
            divisions = some_divisions(random.Random(seed), 10, 10)
            exact = Tree(divisions, exact=True).cost(1023).mean
            one += Tree(divisions, exact=False, width=1).cost(1023).mean - exact
            three += Tree(divisions, exact=False, width=3).cost(1023).mean - exact
        assert 0 <= three < one

    def test_what_nothing_parts_costs_nothing(self):
        tree = Tree([division("aab")])
        assert tree.cost(0b011) == Cost(0, 0)
        assert tree.choose(0b011) is None
        assert tree.choose(0b111) == 0

    def test_greed_by_information_can_be_worse(self):
        divisions = [division(groups) for groups in ("bbbacc", "ccbaaa", "bcbbcb", "cccbac")]
        assert Tree(divisions, exact=False, width=1).cost(63) == Cost(3, 13 / 6)
        assert Tree(divisions, exact=True).cost(63) == Tree(divisions).cost(63) == Cost(2, 11 / 6)


class TestHalfSplit:
    """A string of contacts in series with one open: halve it (usual practice in fault-finding; C: log2 of n)."""

    @pytest.mark.parametrize("count", [2, 3, 4, 8, 11, 16])
    def test_a_series_string_needs_log2_of_its_length(self, count):
        ladder = Ladder("String")
        way = NO("S20")
        for n in range(1, count + 1):
            way = way & NC(f"B{n}")
        ladder.rung(way, coil("Q1"))
        every = Case(ladder).faults
        dead = [fault for fault in every if fault.kind == "dead contact" and fault.device[0] == "B"]
        evidence = Case(ladder, faults=dead).evidence
        assert len(evidence.classes) == count
        assert evidence.cost(evidence.every).worst == ceil(log2(count))

    def test_the_first_reading_is_in_the_middle(self):
        ladder = Ladder("String")
        way = NC("B1")
        for n in range(2, 9):
            way = way & NC(f"B{n}")
        ladder.rung(way, coil("Q1"))
        dead = [fault for fault in Case(ladder).faults if fault.kind == "dead contact"]
        first = Case(ladder, faults=dead).evidence.next_reading(255)
        assert (str(first.probe), first.bits, first.left) == ("volts B4:12 – X2 (at rest)", 1.0, 4)
