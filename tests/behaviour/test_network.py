import cmath
import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.behaviour.network import Branch, Link, Network, Source

NONE = frozenset()


def divider(upper=100, lower=300, links=()):
    """10 V behind 100 ohm at node 1 against 0; `upper` from 1 to 2, `lower` from 2 to 0."""
    return Network((Branch("R1", 1, 2, upper), Branch("R2", 2, 0, lower)), (Source("E", 1, 0, 10, 100),), links)


class TestVoltagesAndCurrents:
    def test_a_divider_divides(self):
        found = divider().solve(NONE)
        assert found.across(1, 0) == pytest.approx(8)
        assert found.across(2, 0) == pytest.approx(6)
        assert found.across(0, 2) == pytest.approx(-6)
        assert found.amps("R1") == pytest.approx(0.02)
        assert found.amps("R2") == pytest.approx(0.02)
        assert found.amps("E") == pytest.approx(0.02)

    def test_a_current_counts_from_a_to_b(self):
        network = Network((Branch("R", 0, 1, 100),), (Source("E", 1, 0, 10, 100),), ())
        assert network.solve(NONE).amps("R") == pytest.approx(-0.05)

    def test_resistance_and_reactance_add_as_phasors(self):
        network = Network(
            (Branch("L", 1, 2, 3 + 0.001j), Branch("C", 2, 0, 0.001 + 4j)), (Source("E", 1, 0, 5, 1e-6),), ()
        )
        found = network.solve(NONE)
        assert abs(found.amps("L")) == pytest.approx(5 / abs(3.001 + 4.001j), rel=1e-6)
        assert math.degrees(cmath.phase(found.amps("L"))) == pytest.approx(-53.13, abs=0.02)

    def test_a_wheatstone_bridge_in_balance_has_no_voltage_across_its_middle(self):
        arms = (("A", 1, 2, 10), ("B", 2, 0, 20), ("C", 1, 3, 30), ("D", 3, 0, 60), ("M", 2, 3, 5))
        found = Network([Branch(*arm) for arm in arms], (Source("E", 1, 0, 12, 1),), ()).solve(NONE)
        assert found.across(2, 3) == pytest.approx(0, abs=1e-12)
        assert found.amps("E") == pytest.approx(12 / (1 + 1 / (1 / 30 + 1 / 90)))

    def test_a_sealed_branch_counts_with_its_sealed_impedance(self):
        network = Network((Branch("Q1", 1, 0, 100, 300),), (Source("E", 1, 0, 10, 100),), ())
        assert network.solve(NONE).across(1, 0) == pytest.approx(5)
        assert network.solve(NONE, frozenset({"Q1"})).across(1, 0) == pytest.approx(7.5)
        assert network.solve(NONE, frozenset({"Q1"})).amps("Q1") == pytest.approx(0.025)

    def test_a_small_load_beside_a_heavy_one_is_not_lost(self):
        network = Network(
            (Branch("thin", 1, 2, 1e11), Branch("thick", 2, 3, 1e-6), Branch("end", 3, 0, 1e11)),
            (Source("E", 1, 0, 100, 1e-6),),
            (),
        )
        found = network.solve(NONE)
        assert found.across(2, 0) == pytest.approx(50, rel=1e-9)
        assert found.amps("thin") == pytest.approx(5e-10, rel=1e-9)

    def test_resonance_gives_a_large_voltage_and_no_error(self):
        network = Network((Branch("L", 1, 2, 1 + 100j), Branch("C", 2, 0, 1 - 100j)), (Source("E", 1, 0, 10, 1),), ())
        found = network.solve(NONE)
        assert found.amps("E") == pytest.approx(10 / 3)
        assert abs(found.across(2, 0)) == pytest.approx(10 / 3 * abs(1 - 100j))


class TestLinks:
    LINKS = (Link("K1", 2, 0), Link("K2", 1, 2), Link("W", 7, 8))

    def test_an_open_link_plays_no_part_and_a_closed_one_has_no_voltage(self):
        network = divider(links=self.LINKS)
        assert network.solve(NONE).across(2, 0) == pytest.approx(6)
        assert network.solve(frozenset({"K1"})).across(2, 0) == 0
        assert network.solve(frozenset({"K1"})).amps("R1") == pytest.approx(0.05)
        assert network.solve(frozenset({"K1"})).amps("R2") == 0

    def test_a_shorted_source_delivers_what_its_impedance_lets_through(self):
        found = divider(links=self.LINKS).solve(frozenset({"K1", "K2"}))
        assert found.same(1, 0)
        assert found.across(1, 0) == 0
        assert found.amps("E") == pytest.approx(0.1)
        assert found.amps("R1") == found.amps("R2") == 0

    def test_nodes_that_nothing_joins_float(self):
        network = divider(links=self.LINKS)
        assert network.solve(NONE).across(7, 0) is None
        assert network.solve(NONE).across(7, 8) is None
        assert not network.solve(NONE).joined(7, 8)
        assert network.solve(frozenset({"W"})).across(7, 8) == 0
        assert network.solve(frozenset({"W"})).same(7, 8)
        assert network.solve(frozenset({"W"})).across(8, 0) is None

    def test_a_load_joins_its_ends_but_does_not_merge_them(self):
        found = divider().solve(NONE)
        assert found.joined(1, 2)
        assert not found.same(1, 2)

    def test_a_ring_of_closed_links_is_one_node(self):
        links = (Link("a", 1, 2), Link("b", 2, 3), Link("c", 3, 1), Link("d", 1, 2), Link("e", 3, 3))
        found = Network((Branch("R", 3, 0, 100),), (Source("E", 1, 0, 10, 100),), links).solve(frozenset("abcde"))
        assert found.across(2, 0) == pytest.approx(5)
        assert found.same(1, 3)

    def test_two_sources_on_two_islands_do_not_see_each_other(self):
        network = Network(
            (Branch("R", 1, 0, 100), Branch("S", 11, 10, 300)),
            (Source("E", 1, 0, 10, 100), Source("F", 11, 10, 8, 100)),
            (Link("bond", 0, 10),),
        )
        found = network.solve(NONE)
        assert found.across(1, 0) == pytest.approx(5)
        assert found.across(11, 10) == pytest.approx(6)
        assert found.across(1, 11) is None
        assert network.solve(frozenset({"bond"})).across(1, 11) == pytest.approx(-1)

    def test_two_sources_on_one_load_share_it(self):
        network = Network((Branch("R", 1, 0, 50),), (Source("E", 1, 0, 10, 100), Source("F", 1, 0, 10, 100)), ())
        found = network.solve(NONE)
        assert found.across(1, 0) == pytest.approx(5)
        assert found.amps("E") == found.amps("F") == pytest.approx(0.05)

    def test_an_island_without_a_source_is_dead(self):
        found = Network((Branch("R", 1, 2, 5), Branch("S", 2, 3, 5)), (), ()).solve(NONE)
        assert found.across(1, 3) == 0
        assert found.amps("R") == 0

    def test_an_empty_network_solves(self):
        assert Network((), (), (Link("W", 1, 2),)).solve(NONE).across(1, 2) is None


class TestKept:
    def test_the_same_state_gives_the_same_object(self):
        network = divider(links=TestLinks.LINKS)
        assert network.solve(frozenset({"K1"})) is network.solve(frozenset({"K1"}))
        assert network.solve(frozenset({"K1"})) is not network.solve(NONE)

    def test_the_oldest_goes_when_too_many_are_kept(self, monkeypatch):
        monkeypatch.setattr("rungbook.behaviour.network.MOST_KEPT", 2)
        network = divider(links=TestLinks.LINKS)
        first = network.solve(NONE)
        second = network.solve(frozenset({"K1"}))
        network.solve(frozenset({"K2"}))
        assert network.solve(frozenset({"K1"})) is second
        assert network.solve(NONE) is not first
        assert network.solve(NONE).across(2, 0) == first.across(2, 0)


class TestPath:
    NETWORK = Network(
        (), (), (Link("a", 1, 2), Link("b", 2, 3), Link("c", 3, 4), Link("d", 1, 4), Link("e", 4, 3), Link("f", 9, 9))
    )

    def test_it_is_a_shortest_one(self):
        assert self.NETWORK.path(frozenset("abcd"), 1, 4) == ("d",)
        assert self.NETWORK.path(frozenset("abc"), 1, 4) == ("a", "b", "c")
        assert self.NETWORK.path(frozenset("abc"), 4, 1) == ("c", "b", "a")

    def test_of_two_equal_ones_the_link_listed_first_is_told(self):
        assert self.NETWORK.path(frozenset("ce"), 3, 4) == ("c",)

    def test_it_is_empty_where_links_do_not_join_or_both_ends_are_one(self):
        assert self.NETWORK.path(frozenset("ab"), 1, 4) == ()
        assert self.NETWORK.path(frozenset("ab"), 1, 1) == ()
        assert self.NETWORK.path(frozenset("f"), 1, 9) == ()


class TestResistance:
    def test_parallel_loads_and_the_source_count(self):
        network = divider(links=TestLinks.LINKS)
        assert network.resistance(NONE, NONE, 1, 0) == pytest.approx(80)  # 100 beside 400
        assert network.resistance(NONE, NONE, 1, 0, isolated=True) == pytest.approx(400)
        assert network.resistance(frozenset({"K1"}), NONE, 1, 2, isolated=True) == pytest.approx(100)

    def test_closed_links_are_0_ohm_and_open_ones_none(self):
        network = divider(links=TestLinks.LINKS)
        assert network.resistance(frozenset({"K2"}), NONE, 1, 2) == 0
        assert network.resistance(NONE, NONE, 7, 8) is None

    def test_an_inductance_counts_with_its_resistance_alone(self):
        network = Network((Branch("Q1", 1, 0, 40 + 300j, 90 + 900j), Branch("P1", 1, 0, 120)), (), ())
        assert network.resistance(NONE, NONE, 1, 0) == pytest.approx(30)
        assert network.resistance(NONE, frozenset({"Q1"}), 1, 0) == pytest.approx(1 / (1 / 90 + 1 / 120))


class TestErrors:
    @pytest.mark.parametrize(
        "ohms", [0, -5, -5 + 3j, 4j, 1e-9, 1e13, math.nan, math.inf, complex(1, math.nan), "12", None]
    )
    def test_an_impedance_must_be_a_resistance_above_0(self, ohms):
        for make in (
            lambda: Branch("R7", 1, 0, ohms),
            lambda: Source("R7", 1, 0, 120, ohms),
            lambda: Branch("R7", 1, 0, 5, ohms if ohms is not None else 0),
        ):
            item = make()
            with pytest.raises(
                LadderError, match=r"R7: an impedance (is a finite number|has a resistance of at least)"
            ):
                Network([item] if isinstance(item, Branch) else [], [item] if isinstance(item, Source) else [], ())

    @pytest.mark.parametrize("volts", [math.nan, math.inf, 2e6, "120"])
    def test_an_emf_must_be_finite(self, volts):
        with pytest.raises(LadderError, match=r"Source E: an e\.m\.f\. is a finite number of at most 1e\+06 V"):
            Network((), (Source("E", 1, 0, volts, 1),), ())

    def test_a_name_stands_once(self):
        with pytest.raises(LadderError, match="Link A: the name stands twice in this network"):
            Network((Branch("A", 1, 2, 5),), (), (Link("A", 1, 2),))

    def test_an_entry_must_be_a_part_of_a_network(self):
        with pytest.raises(LadderError, match=r"is made of branches, sources and links.*Choices: Branch, Source, Link"):
            Network(("R1",), (), ())
        with pytest.raises(LadderError, match="Link W: a node is a whole number or text"):
            Network((), (), (Link("W", None, 1),))
        with pytest.raises(LadderError, match="Link: a name is text"):
            Network((), (), (Link(3, 2, 1),))

    def test_unknown_names_are_told_with_the_known_ones(self):
        network = Network((Branch("Q1", 1, 0, 5, 9), Branch("P1", 1, 0, 5)), (), (Link("K1", 1, 2),))
        with pytest.raises(LadderError, match=r"no such link to close. Given: 'K9'. Choices: K1"):
            network.solve(frozenset({"K1", "K9"}))
        with pytest.raises(LadderError, match=r"no such link to close. Given: 'K9'"):
            network.path(frozenset({"K9"}), 1, 2)
        with pytest.raises(LadderError, match=r"no such branch with a sealed impedance. Given: 'P1'. Choices: Q1"):
            network.solve(NONE, frozenset({"P1"}))
        with pytest.raises(LadderError, match=r"no node 5. Given: 5. Choices: 1, 0, 2"):
            network.solve(NONE).across(1, 5)
        with pytest.raises(LadderError, match=r"no branch or source 'K1'. Given: 'K1'. Choices: Q1, P1"):
            network.solve(NONE).amps("K1")

    @pytest.mark.parametrize("closed", [{"K1"}, ["K1"]])
    def test_names_are_given_as_frozensets(self, closed):
        with pytest.raises(LadderError, match=r"are frozensets, as solutions are kept by them"):
            Network((), (), (Link("K1", 1, 2),)).solve(closed)


phasors = st.builds(complex, st.floats(-200, 200), st.floats(-200, 200))
impedances = st.builds(complex, st.floats(0.1, 1e5), st.floats(-1e4, 1e5))


@st.composite
def networks(draw):
    """Up to 9 nodes, loads, sources and links anywhere between them; and the links closed."""
    ends = st.tuples(st.integers(0, 8), st.integers(0, 8))
    branches = [Branch(f"R{k}", *draw(ends), draw(impedances)) for k in range(draw(st.integers(1, 12)))]
    sources = [Source(f"E{k}", *draw(ends), draw(phasors), draw(impedances)) for k in range(draw(st.integers(1, 3)))]
    links = [Link(f"K{k}", *draw(ends)) for k in range(draw(st.integers(0, 8)))]
    closed = draw(st.sets(st.sampled_from([link.name for link in links]))) if links else ()
    return Network(branches, sources, links), frozenset(closed)


def merged(network, closed):
    """Sets of nodes that closed links join, found by colouring; independent of the solution's own merging."""
    colour = {node: node for node in network.nodes}
    for link in network.links:
        if link.name in closed:
            old, new = colour[link.b], colour[link.a]
            colour = {node: new if c == old else c for node, c in colour.items()}
    return [{node for node in colour if colour[node] == c} for c in set(colour.values())]


class TestLaws:
    @given(networks())
    def test_closed_links_and_nothing_else_merge_nodes(self, drawn):
        network, closed = drawn
        found = network.solve(closed)
        for group in merged(network, closed):
            for a in network.nodes:
                for b in group:
                    assert found.same(a, b) is (a in group), (a, b)

    @given(networks())
    def test_currents_into_a_node_add_up_to_nothing(self, drawn):
        network, closed = drawn
        found = network.solve(closed)
        for group in merged(network, closed):
            flows = [found.amps(b.name) * ((b.a in group) - (b.b in group)) for b in network.branches]
            flows += [found.amps(s.name) * ((s.b in group) - (s.a in group)) for s in network.sources]
            most = max((abs(found.amps(e.name)) for e in (*network.branches, *network.sources)), default=0)
            assert abs(sum(flows)) <= 1e-9 * most + 1e-12, (group, flows)

    @given(networks())
    def test_voltages_round_a_loop_add_up_to_nothing(self, drawn):
        network, closed = drawn
        found = network.solve(closed)
        for source in network.sources:
            assert found.across(source.a, source.b) == pytest.approx(
                source.volts - found.amps(source.name) * source.ohms, abs=1e-9
            )
        for branch in network.branches:
            assert found.across(branch.a, branch.b) == pytest.approx(found.amps(branch.name) * branch.ohms, abs=1e-9)

    @given(networks())
    def test_sources_act_as_the_sum_of_each_alone(self, drawn):
        network, closed = drawn
        whole = network.solve(closed)
        parts = []
        for one in network.sources:
            alone = [Source(s.name, s.a, s.b, s.volts if s is one else 0, s.ohms) for s in network.sources]
            parts.append(Network(network.branches, alone, network.links).solve(closed))
        for branch in network.branches:
            total = sum(part.across(branch.a, branch.b) for part in parts)
            assert whole.across(branch.a, branch.b) == pytest.approx(total, abs=1e-8)

    @given(networks(), st.integers(0, 8), st.integers(0, 8))
    def test_resistance_is_the_voltage_that_one_ampere_makes(self, drawn, a, b):
        network, closed = drawn
        if not {a, b} <= set(network.nodes):
            return
        plain = [Branch(r.name, r.a, r.b, complex(r.ohms).real) for r in network.branches]
        probe = Source("probe", a, b, 1e5, 1e5)
        found = Network(plain, (probe,), network.links).solve(closed)
        ohms = network.resistance(closed, NONE, a, b, isolated=True)
        if ohms is None:
            assert abs(found.amps("probe")) < 1e-9
        else:
            assert (found.across(a, b) / found.amps("probe")).real == pytest.approx(ohms, rel=1e-6, abs=1e-9)

    def test_the_order_of_nodes_and_names_changes_nothing(self):
        shuffle = random.Random(7)
        branches = [Branch(f"R{k}", k % 5, (k * k + 1) % 5, 10 + 7 * k + 3j * k) for k in range(9)]
        wanted = Network(branches, (Source("E", 0, 4, 120, 1),), ()).solve(NONE)
        for _ in range(20):
            shuffle.shuffle(branches)
            found = Network(branches, (Source("E", 0, 4, 120, 1),), ()).solve(NONE)
            for node in range(1, 5):
                assert found.across(node, 0) == pytest.approx(wanted.across(node, 0), rel=1e-12)
