from collections import Counter
from itertools import pairwise

from hypothesis import given

from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.circuit import Contact, Series, wire_numbers
from strategies import ladders


def joined(ladder):
    """The electrical nodes, found without numbers: ends of contacts and loads, joined where wires join.

    Returns for each rung the list of (item, node left, node right); a node is the root of its ends.
    """
    parent = {"left": "left", "right": "right"}

    def root(end):
        while parent[end] != end:
            end = parent[end]
        return end

    def join(a, b):
        parent[root(a)] = root(b)

    found, number = [], 0

    def ends(part, items):
        nonlocal number
        if isinstance(part, Contact):
            number += 1
            left, right = (number, "in"), (number, "out")
            parent[left], parent[right] = left, right
            items.append((part, left, right))
            return left, right
        pairs = [ends(inner, items) for inner in part.parts]
        for (left, right), (later_left, later_right) in pairwise(pairs):
            if isinstance(part, Series):
                join(right, later_left)
            else:
                join(left, later_left)
                join(right, later_right)
        return (pairs[0][0], pairs[-1][1])

    for rung in ladder.rungs:
        items = []
        last = "left"
        if rung.contacts is not None:
            first, last = ends(rung.contacts, items)
            join(first, "left")
        found.append(items + [(load, last, "right") for load in rung.loads])
    return [[(item, root(a), root(b)) for item, a, b in items] for items in found], root("left"), root("right")


class TestNodes:
    """Common practice in control panels, as in Lessons in Electric Circuits, vol. IV, ch. 6: one number for a node,
    across every junction; another number beyond each contact or load."""

    @given(ladders())
    def test_two_ends_carry_one_number_exactly_if_they_are_one_node(self, ladder):
        nodes, left_rail, right_rail = joined(ladder)
        number_of = {left_rail: 1, right_rail: 2}
        for rung, wired in zip(nodes, wire_numbers(ladder), strict=True):
            assert [item for item, _, _ in rung] == [one.item for one in wired.items]
            for (_, left, right), one in zip(rung, wired.items, strict=True):
                assert number_of.setdefault(left, one.left) == one.left
                assert number_of.setdefault(right, one.right) == one.right
        assert len(set(number_of.values())) == len(number_of)

    @given(ladders())
    def test_the_number_changes_across_each_contact_and_load(self, ladder):
        assert all(one.left != one.right for rung in wire_numbers(ladder) for one in rung.items)

    @given(ladders())
    def test_numbers_run_without_a_gap_in_reading_order_of_their_first_use(self, ladder):
        seen = [n for rung in wire_numbers(ladder) for one in rung.items for n in (one.left, one.right)]
        assert set(seen) | {1, 2} == set(range(1, max(seen) + 1))

    @given(ladders())
    def test_no_number_but_the_rails_is_on_two_rungs(self, ladder):
        rungs = [{n for one in rung.items for n in (one.left, one.right)} - {1, 2} for rung in wire_numbers(ladder)]
        assert max(Counter(n for rung in rungs for n in rung).values(), default=1) == 1


class TestHoldingCircuit:
    def test_its_numbers_as_on_paper(self):
        ladder = Ladder("Wash pump")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
        ladder.rung(NO("Q1"), lamp("P1"))
        first, second = wire_numbers(ladder)
        assert [(w.item.device, w.left, w.right) for w in first.items] == [
            ("S1", 1, 3),
            ("S2", 3, 4),
            ("Q1", 3, 4),
            ("F1", 4, 5),
            ("Q1", 5, 2),
        ]
        assert [(w.item.device, w.left, w.right) for w in second.items] == [("Q1", 1, 6), ("P1", 6, 2)]

    def test_contacts_and_loads_apart_and_the_node_between_them(self):
        ladder = Ladder()
        ladder.rung(NO("S1"), coil("Q1"), lamp("P1"))
        (rung,) = wire_numbers(ladder)
        assert [w.item.device for w in rung.contacts] == ["S1"]
        assert [(w.item.device, w.left, w.right) for w in rung.loads] == [("Q1", 3, 2), ("P1", 3, 2)]
        assert rung.before_load == 3

    def test_a_load_between_the_rails_has_no_number_of_its_own(self):
        ladder = Ladder()
        ladder.rung(lamp("P1"))
        (rung,) = wire_numbers(ladder)
        assert [(w.left, w.right) for w in rung.items] == [(1, 2)]
        assert rung.before_load == 1

    def test_no_rungs_have_no_wires(self):
        assert wire_numbers(Ladder()) == ()
