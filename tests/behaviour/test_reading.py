from hypothesis import given
from hypothesis import strategies as st

from oracle import passes, paths
from rungbook import NC, NO, Ladder, coil
from rungbook.behaviour import bridging, closed_way, conducts
from strategies import trees

TAGS = ("S1", "S2", "S3", "F1")


def places(tree, operated):
    """Every contact of `tree` by its place, and whether it is closed with these devices operated."""
    return [(contact, (contact.device in operated) == (contact.kind == "NO")) for contact in tree.contacts()]


class Own:
    """A tree whose contacts are told apart by place: each is its own object, as on a rung."""

    def __init__(self, tree, operated, bridged=None):
        self.closed = {id(contact): shut for contact, shut in places(tree, operated)}
        if bridged is not None:
            self.closed[id(bridged)] = True

    def __call__(self, contact):
        return self.closed[id(contact)]


def fresh(tree):
    """A copy in which no contact object stands in two places."""
    ladder = Ladder()
    ladder.rung(tree, coil("Q9"))
    return ladder.rungs[0].contacts


operations = st.sets(st.sampled_from(TAGS))


class TestConducts:
    @given(trees(TAGS), operations)
    def test_it_conducts_exactly_if_some_path_is_closed_throughout(self, tree, operated):
        tree = fresh(tree)
        closed = Own(tree, operated)
        assert bool(conducts(tree, lambda c: int(closed(c)))) == passes(tree, closed)

    @given(trees(TAGS))
    def test_all_states_at_once_are_the_states_one_by_one(self, tree):
        sets = [{tag for k, tag in enumerate(TAGS) if row >> k & 1} for row in range(16)]
        column = {
            (tag, kind): sum(1 << row for row, s in enumerate(sets) if (tag in s) == (kind == "NO"))
            for tag in TAGS
            for kind in ("NO", "NC")
        }
        whole = conducts(tree, lambda c: column[c.device, c.kind], 0xFFFF)
        for row, operated in enumerate(sets):
            one = conducts(tree, lambda c, s=operated: int((c.device in s) == (c.kind == "NO")))
            assert whole >> row & 1 == one

    def test_no_contacts_conduct_always(self):
        assert conducts(None, lambda c: 0) == 1
        assert conducts(None, lambda c: 0, 0b1111) == 0b1111


class TestBridging:
    @given(trees(TAGS), operations)
    def test_it_is_each_open_contact_whose_bridge_alone_closes_the_way(self, tree, operated):
        tree = fresh(tree)
        closed = Own(tree, operated)
        found = [id(contact) for contact in bridging(tree, lambda c: int(closed(c)))]
        wanted = [
            id(contact)
            for contact, shut in places(tree, operated)
            if not passes(tree, closed) and not shut and passes(tree, Own(tree, operated, bridged=contact))
        ]
        assert found == wanted

    def test_of_the_holding_circuit_at_rest_start_and_holding_contact_would_do(self):
        tree = NC("S1") & (NO("S2") | NO("Q1")) & NC("F1")
        assert bridging(tree, lambda c: int(c.kind == "NC")) == (NO("S2"), NO("Q1"))

    def test_where_two_contacts_in_series_are_open_no_single_bridge_does(self):
        assert bridging(NO("S1") & NO("S2"), lambda c: 0) == ()

    def test_no_contacts_need_no_bridge(self):
        assert bridging(None, lambda c: 0) == ()


class TestClosedWay:
    @given(trees(TAGS), operations)
    def test_it_is_the_uppermost_closed_path_or_nothing(self, tree, operated):
        tree = fresh(tree)
        closed = Own(tree, operated)
        way = closed_way(tree, lambda c: int(closed(c)))
        ways = [[id(c) for c in path] for path in paths(tree)]
        if not passes(tree, closed):
            assert way == ()
        else:
            assert all(closed(c) for c in way)
            assert [id(c) for c in way] in ways

    def test_of_two_closed_branches_the_upper_one_is_told(self):
        assert closed_way(NC("S1") & (NO("S2") | NO("Q1")), lambda c: 1) == (NC("S1"), NO("S2"))

    def test_of_two_branches_the_closed_one_is_told(self):
        assert closed_way(NO("S2") | NC("Q1"), lambda c: int(c.kind == "NC")) == (NC("Q1"),)
