import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.behaviour import conducts
from rungbook.behaviour.wired import wire_up
from rungbook.circuit import Wired, wire_numbers
from rungbook.kit.ratings import CONTACTOR_COIL, LAMP, TIMER_COIL, CoilRating, LampRating, SupplyRating
from strategies import trees

STIFF = SupplyRating(ohms=1e-3)


@pytest.fixture
def wash_pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def at_rest(contact):
    return contact.kind == "NC"


class TestNames:
    def test_links_are_named_by_place_and_contact_and_branches_by_load(self, wash_pump):
        wired = wire_up(wash_pump)
        assert dict(wired.contacts) == {
            0: "0 NC('S1')",
            1: "1 NO('S2')",
            2: "2 NO('Q1')",
            3: "3 NC('F1')",
            5: "5 NO('Q1')",
        }
        assert dict(wired.loads) == {"Q1": "Q1", "P1": "P1"}
        assert [link.name for link in wired.network.links] == ["supply", *wired.contacts.values()]

    def test_closed_lists_the_links_whose_contact_is_closed(self, wash_pump):
        wired = wire_up(wash_pump)
        assert wired.closed(at_rest) == {"supply", "0 NC('S1')", "3 NC('F1')"}
        assert wired.closed(at_rest, supply=False) == {"0 NC('S1')", "3 NC('F1')"}

    def test_a_list_of_wires_becomes_the_same_network_as_the_ladder(self, wash_pump):
        by_hand = [
            Wired(NC("S1"), 1, 3),
            Wired(NO("S2"), 3, 4),
            Wired(NO("Q1"), 3, 4),
            Wired(NC("F1"), 4, 5),
            Wired(coil("Q1"), 5, 2),
            Wired(NO("Q1"), 1, 6),
            Wired(lamp("P1", "green"), 6, 2),
        ]
        one, other = wire_up(iter(by_hand)), wire_up(wash_pump)
        assert one.items == other.items == tuple(w for rung in wire_numbers(wash_pump) for w in rung.items)
        assert (one.network.branches, one.network.links) == (other.network.branches, other.network.links)


class TestVoltages:
    def test_a_load_gets_nearly_all_or_nothing(self, wash_pump):
        wired = wire_up(wash_pump)
        rest = wired.network.solve(wired.closed(at_rest))
        assert wired.volts(rest, "Q1") == 0
        pressed = wired.network.solve(wired.closed(lambda c: at_rest(c) or c.device == "S2"))
        assert wired.voltage_share(pressed, "Q1") == pytest.approx(
            240 / abs(240 * (0.7 + 0.714143j) + 1.5 + 0.8j), rel=1e-6
        )
        assert wired.voltage_share(pressed, "P1") == 0
        held = wired.network.solve(wired.closed(lambda c: at_rest(c) or c.device == "Q1"), frozenset({"Q1"}))
        assert 0.997 < wired.voltage_share(held, "Q1") < 1
        assert 119.7 < wired.volts(held, "P1") < 120

    def test_without_supply_nothing_gets_any(self, wash_pump):
        wired = wire_up(wash_pump)
        dead = wired.network.solve(wired.closed(lambda c: True, supply=False))
        assert wired.volts(dead, "Q1") == wired.volts(dead, "P1") == 0

    def test_two_equal_coils_in_series_get_half_each(self):
        wired = wire_up([Wired(coil("Q1"), 1, 3), Wired(coil("Q2"), 3, 2)], supply=STIFF)
        found = wired.network.solve(wired.closed(at_rest))
        assert wired.voltage_share(found, "Q1") == pytest.approx(0.5, rel=1e-4)
        assert wired.voltage_share(found, "Q2") == pytest.approx(0.5, rel=1e-4)
        assert wired.voltage_share(found, "Q1") < CONTACTOR_COIL.pull_in

    def test_of_two_coils_in_series_the_sealed_one_takes_most(self):
        wired = wire_up([Wired(coil("Q1"), 1, 3), Wired(coil("Q2"), 3, 2)], supply=STIFF)
        found = wired.network.solve(wired.closed(at_rest), frozenset({"Q1"}))
        assert wired.voltage_share(found, "Q1") > 0.85
        assert wired.voltage_share(found, "Q2") < 0.2

    def test_a_coil_fed_through_a_lamp_stays_out_and_the_lamp_lights(self):
        wired = wire_up([Wired(NO("S1"), 1, 3), Wired(lamp("P1"), 1, 3), Wired(coil("Q1"), 3, 2)], supply=STIFF)
        sneak = wired.network.solve(wired.closed(at_rest))
        assert wired.voltage_share(sneak, "Q1") == pytest.approx(0.0325, abs=0.001)
        assert wired.voltage_share(sneak, "P1") > 0.97
        pressed = wired.network.solve(wired.closed(lambda c: True))
        assert wired.volts(pressed, "P1") == 0
        assert wired.voltage_share(pressed, "Q1") == pytest.approx(1, abs=1e-4)

    def test_a_shorted_supply_delivers_its_short_circuit_current(self):
        wired = wire_up([Wired(NO("S1"), 1, 2), Wired(lamp("P1"), 1, 2)])
        closed = wired.closed(lambda c: True)
        short = wired.network.solve(closed)
        assert abs(short.amps("source")) == pytest.approx(120 / 1.7)
        assert wired.volts(short, "P1") == 0
        assert wired.network.path(closed, "supply", 2) == ("supply", "0 NO('S1')")

    def test_ratings_follow_the_letter_unless_given(self):
        loads = [Wired(load, 1, 2) for load in (coil("Q1"), coil("K1"), coil("K2"), lamp("P1"), lamp("P2"))]
        wired = wire_up(loads, supply=STIFF, ratings={"K2": TIMER_COIL, "P2": LampRating(24, 1.2)})
        found = wired.network.solve(wired.closed(at_rest), frozenset({"Q1", "K1", "K2"}))
        va = {tag: 120 * abs(found.amps(tag)) for tag in ("Q1", "K1", "K2", "P1")}
        assert va == pytest.approx({"Q1": 8, "K1": 2.4, "K2": 2, "P1": 2}, rel=1e-3)
        assert wired.voltage_share(found, "P2") == pytest.approx(5, rel=1e-3)


class TestErrors:
    def test_a_load_is_wired_once(self):
        with pytest.raises(LadderError, match="Branch Q1: the name stands twice in this network"):
            wire_up([Wired(coil("Q1"), 1, 2), Wired(coil("Q1"), 1, 3)])

    def test_a_rating_must_belong_to_a_load_here_and_fit_it(self):
        with pytest.raises(LadderError, match=r"a rating for Q2, which is no load here.*Choices: Q1"):
            wire_up([Wired(coil("Q1"), 1, 2)], ratings={"Q2": CONTACTOR_COIL})
        with pytest.raises(LadderError, match=r"Rating of coil\('Q1'\): a coil has a CoilRating"):
            wire_up([Wired(coil("Q1"), 1, 2)], ratings={"Q1": LAMP})
        with pytest.raises(LadderError, match="Branch Q1: an impedance has a resistance of at least"):
            wire_up([Wired(coil("Q1"), 1, 2)], ratings={"Q1": CoilRating(inrush_pf=0)})

    def test_an_unknown_load_is_told_with_the_known_ones(self, wash_pump):
        wired = wire_up(wash_pump)
        with pytest.raises(LadderError, match=r"no load 'Q7'.*Choices: Q1, P1"):
            wired.voltage_share(wired.network.solve(frozenset()), "Q7")

    def test_an_entry_must_be_a_wired_item(self):
        with pytest.raises(LadderError, match=r"items are Wired records.*Choices: Wired\(NO\('S1'\), 1, 3\)"):
            wire_up([NO("S1")])


class TestAgreement:
    TAGS = ("S1", "S2", "S3", "F1")

    @given(st.lists(trees(TAGS), min_size=1, max_size=4), st.sets(st.sampled_from(TAGS)), st.booleans())
    def test_a_load_gets_85_percent_exactly_if_its_rung_conducts(self, rungs, operated, sealed):
        ladder = Ladder()
        for n, tree in enumerate(rungs, 1):
            ladder.rung(tree, coil(f"K{n}"), lamp(f"P{n}"))

        def closed(contact):
            return (contact.device in operated) == (contact.kind == "NO")

        wired = wire_up(ladder)
        coils = frozenset(ladder.coils()) if sealed else frozenset()
        found = wired.network.solve(wired.closed(closed), coils)
        for n, rung in enumerate(ladder.rungs, 1):
            wanted = bool(conducts(rung.contacts, lambda c: int(closed(c))))
            for load in (f"K{n}", f"P{n}"):
                share = wired.voltage_share(found, load)
                assert (share >= 0.85) is wanted, (load, share)
                assert share >= 0.85 or share == 0, (load, share)
