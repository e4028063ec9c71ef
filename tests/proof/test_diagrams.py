from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.proof.diagrams import ALWAYS, NEVER, Diagrams, TooLarge

SIZES = (2, 3, 2, 2)
ROWS = list(product(*map(range, SIZES)))
# steps 0, 1, … of the devices in order; the second has two positions away from rest, the last one two steps to go
ORDERS = (((), (0,)), ((), (1,), (2,)), ((), (3,)), ((), (4, 5)))

formulas = st.recursive(
    st.builds(
        lambda place, ks: (place, frozenset(k for k in ks if k < SIZES[place])),
        st.integers(0, 3),
        st.sets(st.integers(0, 2)),
    ),
    lambda inner: (
        st.tuples(st.sampled_from(("both", "either", "differ")), inner, inner) | st.tuples(st.just("no"), inner)
    ),
    max_leaves=8,
)


def node(diagrams, formula):
    if isinstance(formula[0], int):
        return diagrams.where(*formula)
    return getattr(diagrams, formula[0])(*(node(diagrams, inner) for inner in formula[1:]))


def true(formula, row):
    if isinstance(formula[0], int):
        return row[formula[0]] in formula[1]
    first, last = true(formula[1], row), true(formula[-1], row)
    return {"no": not first, "both": first and last, "either": first or last, "differ": first != last}[formula[0]]


def orders(row):
    return tuple(step for place, position in enumerate(row) for step in ORDERS[place][position])


class TestAgainstRows:
    @given(formulas, formulas)
    def test_two_functions_are_one_number_exactly_if_all_rows_agree(self, one, other):
        diagrams = Diagrams(SIZES, 1000)
        same = all(true(one, row) == true(other, row) for row in ROWS)
        assert (node(diagrams, one) == node(diagrams, other)) == same

    @given(formulas)
    def test_the_nearest_row_is_the_one_with_the_fewest_orders_and_the_first_numbers(self, formula):
        diagrams = Diagrams(SIZES, 1000)
        wanted = min((orders(row) for row in ROWS if true(formula, row)), key=lambda o: (len(o), o), default=None)
        assert diagrams.nearest(node(diagrams, formula), ORDERS) == wanted


class TestNodes:
    def test_a_row_of_contacts_takes_a_node_each(self):
        diagrams = Diagrams((2,) * 40, 1000)
        value = ALWAYS
        for place in reversed(range(40)):
            value = diagrams.both(diagrams.where(place, frozenset({1})), value)
        assert diagrams.nearest(value, [((), (k,)) for k in range(40)]) == tuple(range(40))
        assert len(diagrams) == 2 + 40 + 39  # two constants, a contact each, and the series below each but the last

    def test_a_contact_that_is_always_closed_asks_nothing(self):
        diagrams = Diagrams((2,), 1000)
        assert diagrams.where(0, frozenset({0, 1})) == ALWAYS
        assert diagrams.where(0, frozenset()) == NEVER

    def test_a_position_that_no_order_reaches_is_no_way(self):
        diagrams = Diagrams((2,), 1000)
        assert diagrams.nearest(diagrams.where(0, frozenset({1})), [((), None)]) is None

    def test_past_the_limit_of_nodes_it_says_so(self):
        diagrams = Diagrams((2, 2), 3)
        diagrams.where(0, frozenset({1}))
        with pytest.raises(TooLarge):
            diagrams.where(1, frozenset({1}))
