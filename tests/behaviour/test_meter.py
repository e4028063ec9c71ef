import pytest

from rungbook import NC, NO, LadderError, coil, lamp
from rungbook.behaviour.meter import LIVE, measure_continuity, measure_ohms, measure_volts
from rungbook.behaviour.network import Branch, Link, Network, Source
from rungbook.behaviour.wired import wire_up
from rungbook.circuit import Wired

OFF = frozenset()
ON = frozenset({"supply"})


@pytest.fixture
def open_neutral():
    """The press pump's lamp, its right terminal on a wire 4 that should go on to the right rail 2."""
    return wire_up([Wired(NC("S1"), 1, 3), Wired(lamp("P1"), 3, 4)]).network


S1 = "0 NC('S1')"


class TestVolts:
    def test_between_the_rails_it_shows_the_supply(self, open_neutral):
        assert measure_volts(open_neutral, 1, 2, ON).value == pytest.approx(120, abs=0.01)
        assert measure_volts(open_neutral, 1, 2, OFF).value == 0

    def test_across_an_open_neutral_it_shows_full_voltage_through_the_lamp(self, open_neutral):
        closed = frozenset({"supply", S1})
        assert open_neutral.solve(closed).across(3, 4) == pytest.approx(0)
        reading = measure_volts(open_neutral, 4, 2, closed)
        assert reading.value == pytest.approx(120 * 10e6 / (10e6 + 7200), rel=1e-5)
        assert reading.shown == "119.9 V"
        assert str(reading) == "voltage: 119.9 V"

    def test_with_both_leads_on_one_node_it_shows_0(self, open_neutral):
        assert measure_volts(open_neutral, 3, 3, ON).value == 0
        assert measure_volts(open_neutral, 1, 3, frozenset({"supply", S1})).value == 0

    def test_across_an_open_contact_it_shows_full_voltage_through_the_load(self):
        network = wire_up([Wired(NO("S2"), 1, 3), Wired(coil("Q1"), 3, 2)]).network
        assert measure_volts(network, 1, 3, ON).value == pytest.approx(120, abs=0.01)
        assert measure_volts(network, 3, 2, ON).value == pytest.approx(0, abs=0.01)

    def test_across_two_open_contacts_in_series_a_lead_on_the_wire_between_shows_nothing(self):
        network = wire_up([Wired(NO("S2"), 1, 3), Wired(NO("S3"), 3, 4), Wired(coil("Q1"), 4, 2)]).network
        assert measure_volts(network, 1, 3, ON).value == 0
        assert measure_volts(network, 1, 4, ON).value == pytest.approx(120, abs=0.01)

    def test_the_meter_loads_a_circuit_of_high_resistance(self):
        network = Network((Branch("R", 1, 2, 10e6),), (Source("E", 1, 0, 120, 1),), ())
        assert measure_volts(network, 2, 0, OFF).value == pytest.approx(60)

    def test_a_part_named_meter_is_no_hindrance(self):
        network = Network((Branch("meter", 1, 0, 100),), (Source("meter'", 1, 0, 10, 100),), ())
        assert measure_volts(network, 1, 0, OFF).value == pytest.approx(5, rel=1e-4)

    def test_an_unknown_node_is_refused_and_not_made(self, open_neutral):
        with pytest.raises(LadderError, match="no node 9"):
            measure_volts(open_neutral, 1, 9, ON)
        with pytest.raises(LadderError, match=r"no such link to close. Given: 'S7'"):
            measure_volts(open_neutral, 1, 2, frozenset({"S7"}))


class TestOhms:
    def test_a_lamp_a_coil_and_an_open_contact(self):
        items = [Wired(NO("S2"), 1, 3), Wired(coil("Q1"), 3, 2), Wired(NC("S1"), 1, 4), Wired(lamp("P1"), 4, 2)]
        network = wire_up(items).network
        assert measure_ohms(network, 3, 2, OFF).value == pytest.approx(168)
        assert measure_ohms(network, 3, 2, OFF).shown == "168.0 ohm"
        assert measure_ohms(network, 4, 2, OFF).shown == "7200 ohm"
        assert measure_ohms(network, 1, 2, OFF).value is None
        assert measure_ohms(network, 1, 2, OFF).shown == "OL"
        assert measure_ohms(network, 1, 4, frozenset({"2 NC('S1')"})).value == 0

    def test_a_parallel_path_is_read_as_well(self):
        network = wire_up([Wired(lamp("P1"), 1, 2), Wired(lamp("P2"), 1, 2)]).network
        assert measure_ohms(network, 1, 2, OFF).value == pytest.approx(3600)

    def test_from_40_megohm_upwards_it_is_open(self):
        network = Network((Branch("leak", 1, 2, 41e6), Branch("damp", 3, 2, 39e6)), (), ())
        assert measure_ohms(network, 1, 2, OFF).value is None
        assert measure_ohms(network, 3, 2, OFF).value == pytest.approx(39e6)

    @pytest.mark.parametrize("leads", [(1, 2), (3, 2), (1, 3), (3, 3), ("supply", 2)])
    def test_on_a_live_circuit_there_is_a_warning_and_no_number(self, leads):
        network = wire_up([Wired(NC("S1"), 1, 3), Wired(coil("Q1"), 3, 2)]).network
        reading = measure_ohms(network, *leads, frozenset({"supply", "0 NC('S1')"}))
        assert (reading.value, reading.warning, reading.shown) == (None, LIVE, "---")
        assert str(reading).startswith("resistance: ---. The circuit is live: switch the supply off")

    def test_with_the_supply_off_the_same_leads_give_a_number(self):
        network = wire_up([Wired(NC("S1"), 1, 3), Wired(coil("Q1"), 3, 2)]).network
        assert measure_ohms(network, 1, 2, frozenset({"0 NC('S1')"})).value == pytest.approx(168)
        assert measure_ohms(network, 1, 2, frozenset({"0 NC('S1')"})).warning == ""

    def test_a_dead_wire_of_a_live_panel_can_be_measured(self):
        network = wire_up([Wired(NO("S2"), 1, 3), Wired(NO("S3"), 3, 4), Wired(coil("Q1"), 4, 2)]).network
        assert measure_ohms(network, 4, 2, ON).value == pytest.approx(168)
        assert measure_ohms(network, 1, 2, ON).warning == LIVE


class TestContinuity:
    def test_it_beeps_through_a_closed_contact_and_not_through_a_coil_or_an_open_one(self):
        network = wire_up([Wired(NC("S1"), 1, 3), Wired(coil("Q1"), 3, 2)]).network
        closed = frozenset({"0 NC('S1')"})
        assert measure_continuity(network, 1, 3, closed).beeps
        assert str(measure_continuity(network, 1, 3, closed)) == "continuity: 0.0 ohm, beeps"
        assert not measure_continuity(network, 3, 2, closed).beeps
        assert not measure_continuity(network, 1, 3, OFF).beeps

    def test_it_beeps_below_30_ohm(self):
        network = Network((Branch("R", 1, 0, 29.9), Branch("S", 2, 0, 30)), (), (Link("W", 5, 6),))
        assert measure_continuity(network, 1, 0, OFF).beeps
        assert not measure_continuity(network, 2, 0, OFF).beeps

    def test_on_a_live_circuit_it_warns_and_is_silent(self):
        network = wire_up([Wired(NC("S1"), 1, 3), Wired(coil("Q1"), 3, 2)]).network
        reading = measure_continuity(network, 1, 3, frozenset({"supply", "0 NC('S1')"}))
        assert (reading.value, reading.beeps, reading.warning) == (None, False, LIVE)
