"""What each fault does to a holding circuit, to a reversing circuit, and that none of them upsets the timeline."""

import random
from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from contract.circuits import CIRCUITS, build
from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.behaviour.actions import possible_steps, read_script
from rungbook.behaviour.board import Board
from rungbook.behaviour.faults import (
    HeldContact,
    blown_fuse,
    blown_phase_fuse,
    broken_interlock,
    dead_contact,
    lost_phase,
    open_load,
    open_pole,
    open_rail,
    open_wire,
    shorted_coil,
    single_faults,
    single_power_faults,
    stuck_device,
    swapped_leads,
    swapped_phases,
    welded_contact,
    welded_contactor,
    welded_pole,
    welded_poles,
    wire_to_ground,
    wrong_coil,
    wrong_contact,
    wrong_setting,
    wrong_terminal,
)
from rungbook.behaviour.power import PowerFaults, energise
from rungbook.behaviour.script import read_timed
from rungbook.behaviour.timeline import Timeline
from rungbook.behaviour.wired import SOURCE, wire_up
from rungbook.circuit import Contact
from rungbook.circuit.power import direct, reversing, star_delta
from rungbook.errors import LadderError
from rungbook.kit import Device
from strategies import ladders

SECOND = 1_000_000


def board_of(title, *rungs, devices=()):
    ladder = Ladder(title)
    for rung in rungs:
        ladder.rung(*rung)
    return Board.of(ladder, devices)


# places of contacts: 0 NC S1 (1-3), 1 NO S2 (3-4), 2 NO Q1 (3-4, holding), 3 NC F1 (4-5), 4 NO Q1 (1-6); the coil is
# on 5-2 and item 4, the lamp on 6-2 and item 6
PUMP = board_of(
    "Wash pump",
    (NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1")),
    (NO("Q1"), lamp("P1")),
)
STOP, START, HOLD, TRIP, LAMP_CONTACT = range(5)
RUN = "press S2, let S2 go"


def play(board, script):
    timeline = Timeline(board)
    todo, end = read_timed(script, board.devices)
    for one in todo:
        timeline.advance(one.time)
        if one.step is not None:
            timeline.do(one.step)
    timeline.advance(end)
    return timeline


def changes(timeline):
    return [(change.time / 1000, change.device, change.state) for change in timeline.changes]


def after(board, script, *tags):
    timeline = play(board, script)
    return tuple(timeline.position(tag) for tag in tags)


def pump(fault, script):
    """Contactor and lamp at the end."""
    return after(fault.apply(PUMP), script, "Q1", "P1")


class TestTheSoundPump:
    def test_starts_holds_and_stops(self):
        assert after(PUMP, "wait 1 s", "Q1", "P1") == ("out", "dark")
        assert after(PUMP, RUN, "Q1", "P1") == ("in", "lit")
        assert after(PUMP, f"{RUN}, press S1, let S1 go", "Q1", "P1") == ("out", "dark")

    def test_stays_off_when_the_supply_returns(self):
        assert after(PUMP, f"{RUN}, switch the supply off, switch the supply on", "Q1") == ("out",)


class TestContacts:
    def test_a_welded_holding_contact_starts_the_pump_by_itself_when_the_supply_returns(self):
        fault = welded_contact(PUMP, HOLD)
        assert fault.sentence == "the contact NO Q1 at wires 3–4 is welded"
        assert fault.describe() == "The contact NO Q1 at wires 3–4 is welded."
        assert (fault.device, fault.kind) == ("Q1", "welded contact")
        assert pump(fault, "wait 1 s") == ("in", "lit")
        assert pump(fault, "press S1") == ("out", "dark")
        assert pump(fault, "press S1, let S1 go") == ("in", "lit")
        assert pump(fault, "switch the supply off") == ("out", "dark")
        assert pump(fault, "switch the supply off, switch the supply on") == ("in", "lit")

    def test_a_holding_contact_that_does_not_close_gives_jogging(self):
        fault = dead_contact(PUMP, HOLD)
        assert fault.sentence == "the contact NO Q1 at wires 3–4 does not close"
        assert pump(fault, "press S2") == ("in", "lit")
        assert pump(fault, RUN) == ("out", "dark")

    def test_a_welded_stop_contact_leaves_only_the_overload_and_the_supply_to_stop_it(self):
        fault = welded_contact(PUMP, STOP)
        assert pump(fault, f"{RUN}, press S1") == ("in", "lit")
        assert pump(fault, f"{RUN}, trip F1") == ("out", "dark")
        assert pump(fault, f"{RUN}, switch the supply off") == ("out", "dark")

    def test_a_welded_overload_contact_lets_the_motor_run_on_after_the_trip(self):
        assert pump(welded_contact(PUMP, TRIP), f"{RUN}, trip F1") == ("in", "lit")

    def test_a_lamp_contact_alone_lies_about_the_contactor(self):
        assert pump(welded_contact(PUMP, LAMP_CONTACT), "wait 1 s") == ("out", "lit")
        assert pump(dead_contact(PUMP, LAMP_CONTACT), RUN) == ("in", "dark")

    def test_two_contacts_alike_are_told_apart(self):
        board = board_of("Mill", (NO("S1") | NO("S1"), lamp("P1")))
        assert welded_contact(board, 1).sentence == "the contact NO S1 at wires 1–3 (number 2 of 2) is welded"

    def test_terminals_are_named_where_they_are_known(self):
        board = board_of("Mill", (NO("S1", "13-14"), lamp("P1")))
        assert welded_contact(board, 0).sentence == "the contact NO S1 13-14 at wires 1–3 is welded"


class TestDevices:
    def test_a_welded_contactor_keeps_the_lamp_lit_and_stop_does_nothing(self):
        fault = welded_contactor(PUMP, "Q1")
        assert fault.sentence == "a main pole of Q1 is welded, so its armature stays in"
        assert pump(fault, "wait 1 s") == ("in", "lit")
        assert pump(fault, "press S1") == ("in", "lit")
        assert pump(fault, "trip F1") == ("in", "lit")
        assert pump(fault, "switch the supply off") == ("in", "dark")  # the motor runs on, without a lamp to say so

    @pytest.mark.parametrize(
        ("tag", "position", "script", "seen"),
        [
            ("S1", "released", f"{RUN}, press S1", ("in", "lit")),
            ("S1", "pressed", "press S2", ("out", "dark")),
            ("S2", "released", "press S2", ("out", "dark")),
            ("S2", "pressed", "wait 1 s", ("in", "lit")),
            ("S2", "pressed", "press S1, let S1 go", ("in", "lit")),
            ("F1", "set", f"{RUN}, trip F1", ("in", "lit")),
            ("F1", "tripped", "press S2", ("out", "dark")),
            ("Q1", "out", "press S2", ("out", "dark")),
        ],
    )
    def test_a_stuck_device_stays_where_it_is(self, tag, position, script, seen):
        assert pump(stuck_device(PUMP, tag, position), script) == seen

    def test_an_overload_relay_that_does_not_trip_is_named_so(self):
        assert stuck_device(PUMP, "F1", "set").sentence == "the overload relay F1 does not trip"
        assert stuck_device(PUMP, "F1", "tripped").sentence == "F1 is stuck and stays tripped"

    def test_an_open_coil_never_pulls_in_and_a_burnt_out_lamp_stays_dark(self):
        assert open_load(PUMP, "Q1").sentence == "the coil of Q1 is open"
        assert pump(open_load(PUMP, "Q1"), "press S2") == ("out", "dark")
        assert open_load(PUMP, "P1").sentence == "the lamp P1 is burnt out"
        assert pump(open_load(PUMP, "P1"), RUN) == ("in", "dark")

    def test_a_coil_for_twice_the_voltage_does_not_pull_in(self):
        fault = wrong_coil(PUMP, "Q1", 240)
        assert fault.sentence == "the coil of Q1 is one for 240 V instead of 120 V"
        assert pump(fault, "press S2") == ("out", "dark")
        assert pump(wrong_coil(PUMP, "Q1", 132), RUN) == ("in", "lit")  # 120 V are 91 % of 132 V

    def test_a_blown_fuse_kills_the_whole_circuit(self):
        assert blown_fuse(PUMP).sentence == "the fuse of the control supply is blown"
        assert pump(blown_fuse(PUMP), "press S2") == ("out", "dark")

    def test_a_selector_sticks_in_each_of_its_positions(self):
        board = board_of("Mill", (NO("S1"), coil("Q1")), devices=[Device("S1", "three-position selector")])
        found = [fault.sentence for fault in single_faults(board) if fault.kind == "stuck device"]
        assert found == [f"S1 is stuck and stays {word}" for word in ("off", "left", "right")]


class TestSettings:
    BOARD = board_of(
        "Filling line",
        (NO("S1") & NC("F1"), coil("K1")),
        (NO("K1"), lamp("P1")),
        devices=[
            Device("K1", "timer relay", setting="on-delay 5 s"),
            Device("F1", setting="2.4 A class 10 manual"),
        ],
    )

    def test_a_timer_set_wrong_comes_late(self):
        fault = wrong_setting(self.BOARD, "K1", "on-delay 50 s")
        assert fault.sentence == "K1 is set to on-delay 50 s instead of on-delay 5 s"
        assert after(self.BOARD, "press S1, wait 10 s", "P1") == ("lit",)
        assert after(fault.apply(self.BOARD), "press S1, wait 10 s", "P1") == ("dark",)
        assert after(fault.apply(self.BOARD), "press S1, wait 51 s", "P1") == ("lit",)

    def test_the_catalogue_of_wrong_settings(self):
        found = [fault.sentence for fault in single_faults(self.BOARD) if fault.kind == "wrong setting"]
        assert found == [
            "F1 is set to 3 A class 10 manual instead of 2.4 A class 10 manual",
            "F1 is set to 1.92 A class 10 manual instead of 2.4 A class 10 manual",
            "F1 is set to 2.4 A class 10 automatic instead of 2.4 A class 10 manual",
            "K1 is set to on-delay 50 s instead of on-delay 5 s",
            "K1 is set to on-delay 0.5 s instead of on-delay 5 s",
            "K1 is set to off-delay 5 s instead of on-delay 5 s",
        ]

    @pytest.mark.parametrize(
        "setting",
        [
            "flash 1 ms",
            "off-delay 100 h",
            "on-delay 1.234 s",
            "one-shot on rising edge 5999 min",
            "on-delay 1234.567 s",
        ],
    )
    def test_every_other_setting_of_a_timer_is_a_legal_one(self, setting):
        board = board_of("Mill", (NO("S1"), coil("K1")), devices=[Device("K1", "timer relay", setting=setting)])
        found = [fault for fault in single_faults(board) if fault.kind == "wrong setting"]
        assert found
        assert all(fault.apply(board).devices["K1"].setting == fault.setting for fault in found)

    def test_a_setting_that_cannot_be_read_is_refused(self):
        with pytest.raises(LadderError, match="this is no setting of a timer relay"):
            wrong_setting(self.BOARD, "K1", "on-delay")


class TestOpenWires:
    @pytest.mark.parametrize("end", ["left", "right"])
    def test_an_open_wire_at_an_nc_stop_button_stops_the_pump_which_is_why_it_is_nc(self, end):
        fault = open_wire(PUMP, STOP, end)
        assert fault.sentence == f"the wire on the {end} of the contact NC S1 at wires 1–3 is open"
        assert pump(fault, RUN) == ("out", "dark")

    def test_with_a_no_stop_button_and_a_relay_the_same_broken_wire_leaves_no_stop(self):
        # S1 works a relay K1 whose NC contact stops the pump: a stop that needs current
        board = board_of(
            "Wash pump",
            (NO("S1"), coil("K1")),
            (NC("K1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1")),
        )
        assert after(board, f"{RUN}, press S1", "Q1") == ("out",)
        broken = open_wire(board, 0, "left").apply(board)
        assert after(broken, f"{RUN}, press S1", "Q1") == ("in",)

    def test_an_open_wire_at_the_holding_contact_gives_jogging(self):
        assert pump(open_wire(PUMP, HOLD, "right"), "press S2") == ("in", "lit")
        assert pump(open_wire(PUMP, HOLD, "right"), RUN) == ("out", "dark")

    def test_an_open_wire_takes_off_one_end_alone(self):
        found = open_wire(PUMP, HOLD, "right").apply(PUMP)
        assert [(wired.left, wired.right) for wired in found.items] == [
            (1, 3),
            (3, 4),
            (3, 7),
            (4, 5),
            (5, 2),
            (1, 6),
            (6, 2),
        ]

    def test_a_wire_between_two_terminals_is_open_from_either_end_and_counts_once(self):
        found = [fault.sentence for fault in single_faults(PUMP) if fault.kind == "open wire"]
        assert "the wire on the right of the contact NC F1 at wires 4–5 is open" in found
        assert "the wire on the left of the coil Q1 at wires 5–2 is open" not in found
        assert open_wire(PUMP, 4, "left").apply(PUMP) != PUMP

    def test_with_an_open_neutral_nothing_works_and_the_neutral_is_live(self):
        fault = open_rail(PUMP, 2)
        assert fault.sentence == "the right rail, wire 2, is open at the supply"
        broken = fault.apply(PUMP)
        assert after(broken, "press S2", "Q1", "P1") == ("out", "dark")
        wired = wire_up(broken.items)
        solution = wired.network.solve(wired.closed(lambda contact: contact.device != "Q1"))  # S2 pressed
        assert abs(solution.across(7, 2)) == pytest.approx(120)  # what was the right rail, against ground
        assert wired.voltage_share(solution, "Q1") == 0

    def test_with_an_open_left_rail_nothing_works(self):
        assert pump(open_rail(PUMP, 1), "press S2") == ("out", "dark")


class TestGround:
    def test_the_left_rail_on_ground_is_a_short_and_blows_the_fuse(self):
        fault = wire_to_ground(PUMP, 1)
        assert fault.sentence == "wire 1 touches ground: a short of the supply, so its fuse blows"
        assert fault.apply(PUMP).blown
        assert pump(fault, "press S2") == ("out", "dark")

    def test_behind_the_closed_stop_button_it_blows_the_fuse_with_its_path_told(self):
        fault = wire_to_ground(PUMP, 3)
        assert fault.sentence == "wire 3 touches ground: a short of the supply over NC S1, so its fuse blows"
        assert fault.apply(PUMP).blown

    def test_behind_the_start_button_it_waits_and_shorts_the_supply_when_start_is_pressed(self):
        fault = wire_to_ground(PUMP, 4)
        assert fault.sentence == "wire 4 touches ground"
        broken = fault.apply(PUMP)
        assert not broken.blown
        assert changes(play(broken, "press S2, let S2 go, press S2")) == [  # the coil is bypassed, not the button
            (1000, "S2", "pressed"),
            (1005.206, "supply", "fuse blown"),  # 4 ms of travel, then the fuse
            (2000, "S2", "released"),
            (3000, "S2", "pressed"),
        ]
        wired = wire_up(broken.items)
        rest = wired.network.solve(wired.closed(lambda contact: contact.kind == "NC"))
        assert abs(rest.amps(SOURCE)) == pytest.approx(0, abs=1e-9)
        pressed = wired.network.solve(wired.closed(lambda contact: contact.kind == "NC" or contact.device == "S2"))
        assert abs(pressed.amps(SOURCE)) == pytest.approx(120 / 1.7)  # |1.5 + 0.8j| = 1.7 ohm; a fuse of 2 A
        assert wired.voltage_share(pressed, "Q1") == 0

    def test_an_earth_fault_in_a_rung_on_the_wrong_side_of_the_loads_would_start_the_motor(self):
        # why loads hang on the grounded conductor: with the contacts on that side, ground bridges them
        board = board_of("Wash pump", (NC("S1"), coil("Q1")))
        swapped = wrong_terminal(board, 1, "left", 1).apply(board)  # coil on the left rail …
        swapped = wrong_terminal(swapped, 0, "left", 2).apply(swapped)  # … S1 between ground and wire 3
        swapped = wrong_terminal(swapped, 1, "right", 3).apply(swapped)
        assert after(swapped, "press S1", "Q1") == ("out",)
        assert after(wire_to_ground(swapped, 3).apply(swapped), "press S1", "Q1") == ("in",)

    def test_a_second_fault_that_completes_the_short_blows_the_fuse_in_either_order(self):
        ground, weld = wire_to_ground(PUMP, 4), welded_contact(PUMP, START)
        assert not ground.apply(PUMP).blown
        assert weld.apply(ground.apply(PUMP)).blown
        assert ground.apply(weld.apply(PUMP)) == weld.apply(ground.apply(PUMP))


class TestWrongTerminals:
    def test_the_holding_contact_before_the_stop_button_holds_through_stop(self):
        fault = wrong_terminal(PUMP, HOLD, "left", 1)
        assert fault.sentence == "the left end of the contact NO Q1 at wires 3–4 is on wire 1 instead of 3"
        assert pump(fault, f"{RUN}, press S1") == ("in", "lit")

    def test_the_coil_before_the_overload_contact_runs_on_after_the_trip(self):
        assert pump(wrong_terminal(PUMP, 4, "left", 4), f"{RUN}, trip F1") == ("in", "lit")

    def test_a_contact_across_the_rails_is_a_short(self):
        fault = wrong_terminal(PUMP, STOP, "right", 2)
        assert fault.sentence == (
            "the right end of the contact NC S1 at wires 1–3 is on wire 2 instead of 3: "
            "a short of the supply over NC S1, so its fuse blows"
        )
        assert fault.apply(PUMP).blown


class TestReversing:
    INTERLOCKED = board_of(
        "Apple elevator",
        (NC("S1") & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1")),
        (NC("S1") & (NO("S3") | NO("Q2")) & NC("Q1"), coil("Q2")),
    )
    Q1_MIRROR = 7  # NC Q1 in the rung of Q2

    def test_the_mirror_contact_of_a_welded_contactor_keeps_the_other_out(self):
        broken = welded_contactor(self.INTERLOCKED, "Q1").apply(self.INTERLOCKED)
        assert after(broken, "press S1, let S1 go, press S3", "Q1", "Q2") == ("in", "out")

    def test_with_that_contact_bridged_as_well_both_are_in(self):
        assert self.INTERLOCKED.contacts[self.Q1_MIRROR] == NC("Q1")
        broken = welded_contactor(self.INTERLOCKED, "Q1").apply(self.INTERLOCKED)
        bridged = welded_contact(broken, self.Q1_MIRROR).apply(broken)
        assert after(bridged, "press S3", "Q1", "Q2") == ("in", "in")


class TestWrongContact:
    def test_a_stop_on_its_make_contact_lets_nothing_run_until_it_is_pressed(self):
        fault = wrong_contact(PUMP, STOP)
        assert fault.sentence == "the contact NC S1 at wires 1–3 is wired on NO terminals of S1"
        assert pump(fault, RUN) == ("out", "dark")
        assert pump(fault, "press S1, press S2") == ("in", "lit")

    def test_a_device_without_such_a_contact_cannot_have_it(self):
        board = board_of("Mill", (NO("S1") & NC("F2"), coil("Q1")), devices=[Device("F2", "fuse")])
        with pytest.raises(LadderError, match="F2 has no such contact"):
            wrong_contact(board, 1)


class TestShortedCoil:
    def test_the_fuse_melts_when_the_coil_gets_voltage_and_nothing_else_runs_then(self):
        fault = shorted_coil(PUMP, "Q1")
        assert fault.sentence == "the coil of Q1 is shorted"
        assert not fault.apply(PUMP).blown
        assert pump(fault, "press S2") == ("out", "dark")
        timeline = Timeline(fault.apply(PUMP))
        timeline.do(read_script("press S2", PUMP.devices)[0])
        timeline.advance(SECOND)
        assert not timeline.fuse_whole


class TestBrokenInterlock:
    def test_the_armature_it_held_out_comes_in(self):
        board = board_of("Apple elevator", (NO("S2"), coil("Q1")), (NO("S3"), coil("Q2")))
        locked = replace(board, mechanical_interlock=(("Q1", "Q2"),))
        fault = broken_interlock(locked, ("Q1", "Q2"))
        assert fault.describe() == "The mechanical interlock between Q1 and Q2 does not act."
        assert after(locked, "press S2, press S3", "Q1", "Q2") == ("in", "out")
        assert after(fault.apply(locked), "press S2, press S3", "Q1", "Q2") == ("in", "in")
        assert fault in single_faults(locked)
        with pytest.raises(LadderError, match="no such mechanical interlock here"):
            broken_interlock(board, ("Q1", "Q2"))


class TestErrors:
    @pytest.mark.parametrize(
        ("make", "words"),
        [
            (lambda: welded_contact(PUMP, 5), "no contact at this place"),
            (lambda: welded_contact(PUMP, -1), "no contact at this place"),
            (lambda: dead_contact(PUMP, True), "no contact at this place"),
            (lambda: welded_contactor(PUMP, "Q2"), "no such device on this board"),
            (lambda: welded_contactor(PUMP, "S1"), "S1 has no coil"),
            (lambda: stuck_device(PUMP, "S9", "pressed"), "no such device on this board"),
            (lambda: stuck_device(PUMP, "S1", "latched"), "no such position"),
            (lambda: stuck_device(PUMP, "P1", "lit"), "a lamp does not stick"),
            (lambda: open_load(PUMP, "S1"), "no such coil or lamp here"),
            (lambda: open_wire(PUMP, 7, "left"), "no item at this place"),
            (lambda: open_wire(PUMP, 0, "top"), "an item has two ends"),
            (lambda: wrong_terminal(PUMP, 0, "left", 9), "no such wire on this board"),
            (lambda: wrong_terminal(PUMP, 0, "left", 1), "this changes nothing"),
            (lambda: wrong_terminal(PUMP, 0, "left", 3), "both ends of an item cannot be on one wire"),
            (lambda: wire_to_ground(PUMP, 9), "no such wire on this board"),
            (lambda: wire_to_ground(PUMP, 2), "grounded already"),
            (lambda: open_rail(PUMP, 3), "no such rail"),
            (lambda: wrong_setting(PUMP, "K1", "on-delay 5 s"), "no such device on this board"),
            (lambda: wrong_setting(PUMP, "F1", ""), "this changes nothing"),
            (lambda: wrong_coil(PUMP, "P1", 240), "P1 has no coil"),
            (lambda: wrong_coil(PUMP, "Q1", 0), "above 0"),
            (lambda: wrong_coil(PUMP, "Q1", 120), "this changes nothing"),
            (lambda: wrong_coil(open_load(PUMP, "Q1").apply(PUMP), "Q1", 240), "is open"),
            (lambda: HeldContact("Q1", "welded contact", "?", 0, True).apply(PUMP), "is none of Q1"),
            (lambda: swapped_phases("L1", "L4"), "no such phase"),
            (lambda: swapped_phases("L1", "L1").apply(direct()), "this changes nothing"),
            (lambda: lost_phase("L4"), "no such phase"),
            (lambda: single_faults(Ladder("Mill")), r"is made for a Board.*Board.of\(ladder\)"),
            (lambda: welded_contact(Ladder("Mill"), 0), "is made for a Board"),
            (lambda: stuck_device(PUMP, ["S1"], "pressed"), "no such device on this board"),
            (lambda: wire_to_ground(PUMP, [3]), "no such wire on this board"),
            (lambda: lost_phase("L1").apply(direct(), PowerFaults(lost={"L1"})), "this changes nothing"),
            (lambda: welded_pole("Q5", "1-2").apply(direct()), "no such pole here"),
            (lambda: welded_pole("F9", "1-2").apply(direct()), "only poles that switch can weld"),
            (lambda: swapped_leads("M2", "U1", "V1").apply(direct()), "no such motor here"),
            (lambda: swapped_leads("M1", "U1", "U2").apply(direct()), "no such terminal"),
        ],
    )
    def test_what_cannot_be_is_refused_in_words(self, make, words):
        with pytest.raises(LadderError, match=words):
            make()

    def test_the_same_fault_twice_changes_nothing(self):
        for fault in single_faults(PUMP):
            with pytest.raises(LadderError):
                fault.apply(fault.apply(PUMP))


class TestSingleFaults:
    def test_the_catalogue_of_a_single_lamp_and_button(self):
        board = board_of("Cellar fan", (NO("S1"), lamp("P1")))
        assert [fault.describe() for fault in single_faults(board)] == [
            "The contact NO S1 at wires 1–3 is welded.",
            "The contact NO S1 at wires 1–3 does not close.",
            "The contact NO S1 at wires 1–3 is wired on NC terminals of S1.",
            "The lamp P1 is burnt out.",
            "S1 is stuck and stays released.",
            "S1 is stuck and stays pressed.",
            "The fuse of the control supply is blown.",
            "The left rail, wire 1, is open at the supply.",
            "The right rail, wire 2, is open at the supply.",
            "Wire 1 touches ground: a short of the supply, so its fuse blows.",
            "Wire 3 touches ground.",
            "The wire on the right of the contact NO S1 at wires 1–3 is open.",  # those on the rails: open rails
            "The left end of the contact NO S1 at wires 1–3 is on wire 2 instead of 1.",
            "The right end of the contact NO S1 at wires 1–3 is on wire 2 instead of 3.",
            "The left end of the lamp P1 at wires 3–2 is on wire 1 instead of 3.",
            "The right end of the lamp P1 at wires 3–2 is on wire 1 instead of 2.",
        ]

    def test_an_overload_relay_is_only_found_not_to_trip(self):
        found = [
            fault.sentence for fault in single_faults(PUMP) if fault.device == "F1" and "wires" not in fault.sentence
        ]
        assert found == ["the overload relay F1 does not trip"]

    def test_every_kind_of_the_issue_is_there(self):
        board = board_of(
            "Filling line",
            (NO("S1") & NC("F1"), coil("K1")),
            (NO("K1") & NC("F2"), coil("Q1"), lamp("P1")),
            devices=[
                Device("K1", "timer relay", setting="on-delay 5 s"),
                Device("F1", setting="2.4 A class 10 manual"),
                Device("F2", "fuse"),
            ],
        )
        assert {fault.kind for fault in single_faults(board)} == {
            "welded contact",
            "dead contact",
            "wrong contact",
            "open coil",
            "shorted coil",
            "burnt-out lamp",
            "welded contactor",
            "wrong coil",
            "stuck device",
            "dead overload relay",
            "blown fuse",
            "wrong setting",
            "open rail",
            "wire to ground",
            "open wire",
            "wrong terminal",
        }

    def test_an_empty_board_has_nothing_but_a_fuse_to_lose(self):
        board = Board("Mill", (), MappingProxyType({}))
        assert [fault.kind for fault in single_faults(board)] == ["blown fuse"]


def check_board(board, orders, seed, share=1):
    """All faults of `board`: data keep their order and identity, sentences differ, the timeline runs."""
    found = single_faults(board)
    assert len({fault.describe() for fault in found}) == len(found)
    assert found == single_faults(board)
    for number, fault in enumerate(found):
        broken = fault.apply(board)
        assert broken.contacts == board.contacts or fault.kind == "wrong contact"
        assert broken.loads == board.loads
        assert {tag: device.kind for tag, device in broken.devices.items()} == {
            tag: device.kind for tag, device in board.devices.items()
        }
        assert broken != board
        chance = random.Random(f"{seed} {number}")
        timeline = Timeline(broken)
        steps = possible_steps(timeline.devices.values())
        for _ in range(orders):
            timeline.do(chance.choice([step for step in steps if timeline.can(step)]))
            timeline.advance(timeline.now + SECOND)
        assert timeline.now == orders * SECOND
        for tag, word in broken.stuck.items():
            assert timeline.position(tag) == word, fault.sentence


@pytest.mark.parametrize("name", CIRCUITS)
def test_every_fault_of_every_named_circuit_applies_and_runs(name):
    board = Board.of(build(name))
    before = Board.of(build(name))
    check_board(board, 20, name)
    assert board == before


def positions_under(board, orders, seed):
    chance = random.Random(seed)
    timeline = Timeline(board)
    steps = possible_steps(timeline.devices.values())
    for _ in range(orders):
        timeline.do(chance.choice([step for step in steps if timeline.can(step)]))
        timeline.advance(timeline.now + SECOND)
        yield timeline.positions()


@pytest.mark.parametrize("name", CIRCUITS)
def test_an_open_load_acts_as_an_open_wire_at_it_does(name):
    board = Board.of(build(name))
    for place, wired in enumerate(board.items):
        if not isinstance(wired.item, Contact):
            cut = open_load(board, wired.item.device).apply(board)
            lifted = open_wire(board, place, "right").apply(board)
            assert list(positions_under(cut, 20, name)) == list(positions_under(lifted, 20, name))


class TestRandomLadders:
    @given(ladders(plain=True, most=3), st.integers(0, 1000))
    def test_every_fault_applies_and_runs(self, ladder, seed):
        check_board(Board.of(ladder), 2, seed)

    @given(ladders(), st.randoms(use_true_random=False))
    def test_two_faults_on_different_things_can_stand_together(self, ladder, chance):
        board = Board.of(ladder)
        one = chance.choice(single_faults(board))
        broken = one.apply(board)
        two = chance.choice(single_faults(broken))
        assert two.apply(broken) != broken  # it may well be sound again: ground at the end of a lifted neutral
        timeline = Timeline(two.apply(broken))
        timeline.advance(SECOND)
        assert timeline.now == SECOND


class TestPower:
    def test_without_mirror_contacts_all_main_poles_may_weld_while_the_auxiliary_contacts_drop_out(self):
        fault = welded_poles("Q1")
        assert fault.describe() == "The main poles of Q1 are welded, but its auxiliary contacts drop out."
        assert self.reading(direct(), fault)["M1"].state == "direct"
        found = single_power_faults(reversing(), mirror_contacts=("Q1",))
        kinds = ("welded pole", "welded poles")
        assert {fault.device for fault in found if fault.kind in kinds} == {"Q9", "Q2"}

    def reading(self, circuit, fault, *closed):
        changed, found = fault.apply(circuit)
        return energise(changed, {"Q9", *closed}, found)

    def test_a_lost_phase_lets_the_motor_hum(self):
        fault = lost_phase("L2")
        assert fault.describe() == "Phase L2 does not arrive."
        assert self.reading(direct(), fault, "Q1")["M1"].state == "single-phasing"

    def test_a_blown_fuse_and_an_open_pole_do_the_same(self):
        assert blown_phase_fuse("F9", "3-4").sentence == "the fuse 3-4 of F9 is blown"
        assert self.reading(direct(), blown_phase_fuse("F9", "3-4"), "Q1")["M1"].state == "single-phasing"
        assert self.reading(direct(), open_pole("Q1", "5-6"), "Q1")["M1"].state == "single-phasing"

    def test_two_faults_add_up(self):
        circuit, found = direct(), None
        for fault in (lost_phase("L1"), lost_phase("L2"), blown_phase_fuse("F9", "1-2"), open_pole("Q1", "5-6")):
            circuit, found = fault.apply(circuit, found)
        assert found == PowerFaults(open={("F9", "1-2"), ("Q1", "5-6")}, lost={"L1", "L2"})
        assert energise(circuit, {"Q9", "Q1"}, found)["M1"].state == "off"

    def test_swapped_phases_turn_every_motor_and_a_second_swap_turns_them_back(self):
        fault = swapped_phases("L1", "L3")
        assert fault.sentence == "L1 and L3 are swapped"
        assert self.reading(direct(), fault, "Q1")["M1"].direction == -1
        circuit, found = swapped_phases("L1", "L2").apply(*fault.apply(direct()))
        assert energise(circuit, {"Q9", "Q1"}, found)["M1"].direction == 1

    def test_swapped_leads_turn_this_motor_and_leave_the_sound_circuit_as_it_was(self):
        circuit = direct()
        fault = swapped_leads("M1", "U1", "V1")
        assert fault.sentence == "the wires on U1 and V1 of M1 are swapped"
        assert self.reading(circuit, fault, "Q1")["M1"].direction == -1
        assert circuit == direct()

    def test_swapped_leads_in_star_delta_show_only_in_delta(self):
        fault = swapped_leads("M1", "U2", "V2")
        assert self.reading(star_delta(), fault, "Q1", "Q2")["M1"].state == "star"
        assert self.reading(star_delta(), fault, "Q1", "Q3")["M1"].state == "delta, wrong phase pairs"

    def test_a_welded_pole_of_a_reversing_starter_shorts_when_the_other_comes_in(self):
        fault = welded_pole("Q1", "1-2")
        assert fault.sentence == "the pole 1-2 of Q1 is welded"
        assert (
            self.reading(reversing(), fault, "Q2").shorts[0].sentence
            == "L1 and L3 are shorted: " + ", ".join(["Q9 1-2", "F9 1-2", "Q1 1-2", "Q2 5-6", "F9 5-6", "Q9 5-6"]) + "."
        )

    def test_the_catalogue_of_a_direct_starter(self):
        found = single_power_faults(direct())
        assert len({fault.describe() for fault in found}) == len(found)
        kinds = [fault.kind for fault in found]
        assert {kind: kinds.count(kind) for kind in kinds} == {
            "lost phase": 3,
            "swapped phases": 3,
            "welded poles": 1,
            "welded pole": 6,
            "open pole": 9,
            "blown fuse": 3,
            "swapped leads": 3,
        }

    @pytest.mark.parametrize(
        "circuit", [direct(), reversing(), star_delta()], ids=["direct", "reversing", "star-delta"]
    )
    def test_every_fault_of_the_catalogue_applies(self, circuit):
        sound = {str(energise(circuit, some)) for some in ((), {"Q9", "Q1"})}
        for fault in single_power_faults(circuit):
            changed, found = fault.apply(circuit)
            assert (str(changed), found) != (str(circuit), PowerFaults())
            assert len(energise(changed, {"Q9", "Q1"}, found).motors) == 1
        assert {str(energise(circuit, some)) for some in ((), {"Q9", "Q1"})} == sound


def test_a_fault_is_data():
    assert welded_contact(PUMP, 2) == welded_contact(PUMP, 2)
    assert len({welded_contact(PUMP, 2), welded_contact(PUMP, 2), dead_contact(PUMP, 2)}) == 2
    assert welded_contact(PUMP, 0) != welded_contact(PUMP, 1)
