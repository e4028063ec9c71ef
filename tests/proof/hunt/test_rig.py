"""Hunts by hand on the holding circuit: what a person sees and reads with each fault."""

import pytest

from hunting import faulty, wash_case
from rungbook import LadderError
from rungbook.behaviour.actions import read_script
from rungbook.circuit import direct
from rungbook.proof.hunt import Case, Rig


def do(rig, script):
    for step in read_script(script, rig.panel.devices):
        assert rig.can(step)
        rig.do(step)
    return rig.seen()


def volts(rig, a, b):
    return rig.read("volts", a, b).shown


def ohms(rig, a, b):
    return rig.read("ohms", a, b).shown


class TestHunts:
    def test_the_sound_board_starts_holds_and_stops(self):
        rig = Rig(wash_case().board, wash_case().leads)
        assert rig.seen() == "Q1 out, P1 dark"
        assert do(rig, "press S2, let S2 go") == "Q1 in, P1 lit"
        assert do(rig, "press S1") == "Q1 out, P1 dark"

    def test_an_open_wire_has_full_voltage_before_it_and_none_behind(self):
        rig = faulty("F1", "wire at 95 is open")
        assert do(rig, "press S2") == "Q1 out, P1 dark"
        assert (volts(rig, "S2:14", "X2"), volts(rig, "F1:95", "X2")) == ("120.0 V", "0.0 V")
        assert volts(rig, "S2:14", "F1:95") == "120.0 V"  # through the coil behind it

    def test_an_open_stop_contact_has_full_voltage_across_it_once_start_is_pressed(self):
        rig = faulty("S1", "contact 11-12 stays open")
        assert volts(rig, "S1:11", "S1:12") == "0.0 V"  # S2 is open as well: the wire between is floating
        do(rig, "press S2")
        assert volts(rig, "S1:11", "S1:12") == "120.0 V"
        assert volts(rig, "S1:12", "X2") == "0.0 V"

    def test_a_welded_auxiliary_starts_by_itself_and_again_when_stop_is_let_go(self):
        rig = faulty("Q1", "contact 13-14 stays closed")
        assert rig.seen() == "Q1 in, P1 lit"
        assert do(rig, "press S1") == "Q1 out, P1 dark"
        assert do(rig, "let S1 go") == "Q1 in, P1 lit"
        do(rig, "switch the supply off")
        assert str(rig.read("continuity", "Q1:13", "Q1:14")) == "continuity: 0.0 ohm, beeps"

    def test_an_open_coil_has_its_voltage_and_no_resistance(self):
        rig = faulty("Q1", "coil is open")
        assert do(rig, "press S2") == "Q1 out, P1 dark"
        assert volts(rig, "Q1:A1", "Q1:A2") == "120.0 V"
        do(rig, "let S2 go, switch the supply off")
        assert ohms(rig, "Q1:A1", "Q1:A2") == "OL"

    def test_a_blown_control_fuse_leaves_no_voltage_at_all(self):
        rig = faulty("supply", "fuse is blown")
        assert do(rig, "press S2") == "Q1 out, P1 dark"
        assert volts(rig, "X1", "X2") == "0.0 V"
        assert do(rig, "switch the supply off, switch the supply on") == "Q1 out, P1 dark"
        rig.begin()
        assert volts(rig, "X1", "X2") == "0.0 V"  # blown as it was found, not while working

    def test_an_open_neutral_shows_full_voltage_on_both_sides_of_the_coil(self):
        rig = faulty("supply", "wire at X2 is open")
        assert do(rig, "press S2") == "Q1 out, P1 dark"
        assert volts(rig, "Q1:A1", "X2") == "120.0 V"
        assert volts(rig, "Q1:A2", "X2") == "120.0 V"  # the phantom, through the coil
        assert volts(rig, "Q1:A1", "Q1:A2") == "0.0 V"
        assert volts(rig, "X1", "X2") == "120.0 V"

    def test_behind_the_lamp_the_phantom_is_smaller_by_what_the_meter_draws(self):
        rig = faulty("P1", "wire at X2 is open")
        do(rig, "press S2")
        assert volts(rig, "P1:X2", "X2") == "119.8 V"  # 120 V less the drop of the coil, times 10 / (10 + 0.0072)

    def test_a_tripped_overload_relay_opens_between_95_and_96(self):
        rig = faulty("F1", "stays tripped")
        do(rig, "press S2")
        assert (volts(rig, "F1:95", "X2"), volts(rig, "F1:96", "X2")) == ("120.0 V", "0.0 V")
        do(rig, "let S2 go, trip F1, reset F1, press S2")
        assert volts(rig, "F1:96", "X2") == "0.0 V"

    def test_a_dead_lamp_has_its_voltage(self):
        rig = faulty("P1", "lamp is burnt out")
        assert do(rig, "press S2") == "Q1 in, P1 dark"
        assert volts(rig, "P1:X1", "P1:X2") == "119.9 V"

    def test_a_grounded_wire_melts_the_fuse_when_start_is_pressed_and_it_is_new_as_found(self):
        rig = faulty("wire 4", "touches ground")
        assert volts(rig, "X1", "X2") == "120.0 V"
        do(rig, "press S2")
        assert volts(rig, "X1", "X2") == "0.0 V"
        rig.begin()
        assert volts(rig, "X1", "X2") == "120.0 V"
        do(rig, "switch the supply off")
        assert ohms(rig, "F1:95", "X2") == "0.0 ohm"

    def test_with_the_left_rail_on_ground_x1_is_on_ground(self):
        rig = faulty("wire 1", "touches ground")
        do(rig, "switch the supply off")
        assert ohms(rig, "X1", "X2") == "0.0 ohm"


class TestReading:
    def test_ohms_on_a_live_lead_warn(self):
        rig = Rig(wash_case().board, wash_case().leads)
        found = rig.read("ohms", "S1:11", "S1:12")
        assert (found.value, found.shown) == (None, "---")
        assert found.warning.startswith("The circuit is live")

    def test_the_resistance_of_coil_and_lamp(self):
        rig = Rig(wash_case().board, wash_case().leads)
        do(rig, "switch the supply off")
        assert ohms(rig, "Q1:A1", "Q1:A2") == "168.0 ohm"  # 120 V, 60 VA, power factor 0.7: 240 ohm times 0.7
        assert ohms(rig, "P1:X1", "X2") == "7200 ohm"
        assert ohms(rig, "S2:13", "S2:14") == "OL"

    def test_a_meter_has_three_functions(self):
        rig = Rig(wash_case().board, wash_case().leads)
        with pytest.raises(LadderError, match=r"no such function. Given: 'amps'. Choices: volts, ohms, continuity"):
            rig.read("amps", "X1", "X2")

    @pytest.mark.parametrize("script", ["", "press S2", "press S2, let S2 go", "press S1", "trip F1"])
    def test_foreseen_values_are_those_that_are_read(self, script):
        case = wash_case()
        for fault in case.faults:
            rig = Rig(case.board, case.leads, fault)
            do(rig, script)
            pairs = [(a, b) for a in ("X1", "X2", "S1:12") for b in case.leads.names if a != b]
            for pair, value in zip(pairs, rig.foresee("volts", pairs), strict=True):
                assert rig.read("volts", *pair).value == pytest.approx(value, rel=1e-3, abs=1e-6), (
                    fault.sentence,
                    pair,
                )
            do(rig, "switch the supply off")
            for pair, value in zip(pairs, rig.foresee("ohms", pairs), strict=True):
                assert rig.read("ohms", *pair).value == value, (fault.sentence, pair)


class TestSeen:
    def test_a_motor_is_seen_if_there_is_a_power_circuit(self):
        case = Case(wash_case().board, power=direct())
        rig = Rig(case.board, case.leads, None, case.power)
        assert rig.seen() == "Q1 out, P1 dark, M1 stands still"
        assert do(rig, "press S2") == "Q1 in, P1 lit, M1 runs forwards"
