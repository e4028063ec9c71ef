"""What faults lead to, against textbooks and manuals. The source stands beside each check.

[L4-5], [L4-6] are *Lessons in Electric Circuits*, T. Kuphaldt, vol. IV, chapters 5 and 6. [NV] is NAVEDTRA 14104,
chapter 12. The sources state what the sound circuit is for; what is left of it under a fault is computed from that.
"""

import pytest

from rungbook import NC, NO, Device, Ladder, coil
from rungbook.behaviour.board import Board
from rungbook.behaviour.faults import (
    dead_contact,
    open_wire,
    single_faults,
    stuck_device,
    welded_contact,
    welded_contactor,
    welded_pole,
    wrong_terminal,
)
from rungbook.behaviour.power import energise
from rungbook.behaviour.script import read_timed
from rungbook.behaviour.timeline import Timeline
from rungbook.circuit.power import direct, reversing


def board_of(title, *rungs, devices=()):
    ladder = Ladder(title)
    for rung in rungs:
        ladder.rung(*rung)
    return Board.of(ladder, devices)


def after(board, script, *tags):
    timeline = Timeline(board)
    todo, end = read_timed(script, board.devices)
    for one in todo:
        timeline.advance(one.time)
        if one.step is not None:
            timeline.do(one.step)
    timeline.advance(end)
    return tuple(timeline.position(tag) for tag in tags)


TWO_WIRE = board_of("Cellar fan", (NO("S1") & NC("F1"), coil("Q1")), devices=[Device("S1", "two-position selector")])
# places of contacts: 0 NC S1, 1 NO S2, 2 NO Q1 (holding), 3 NC F1
THREE_WIRE = board_of("Wash pump", (NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1")))
# 0 NC S1, 1 NO S2, 2 NO Q1, 3 NC Q2 (interlock); 4 NC S1, 5 NO S3, 6 NO Q2, 7 NC Q1 (interlock)
ELEVATOR = board_of(
    "Apple elevator",
    (NC("S1") & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1")),
    (NC("S1") & (NO("S3") | NO("Q2")) & NC("Q1"), coil("Q2")),
)
POWER_FAILS = "press S2, let S2 go, switch the supply off, switch the supply on"


class TestReturnOfPower:
    """Check-values 6.7 and 6.8, [NV]: a maintained contact restarts the motor, a momentary one does not."""

    def test_three_wire_control_stays_off_until_start_is_pressed(self):
        assert after(THREE_WIRE, POWER_FAILS, "Q1") == ("out",)
        assert after(THREE_WIRE, f"{POWER_FAILS}, press S2", "Q1") == ("in",)

    @pytest.mark.parametrize(
        "fault",
        [welded_contact(THREE_WIRE, 1), welded_contact(THREE_WIRE, 2), stuck_device(THREE_WIRE, "S2", "pressed")],
    )
    def test_a_fault_that_makes_its_start_a_maintained_contact_takes_that_protection_away(self, fault):
        broken = fault.apply(THREE_WIRE)
        assert after(broken, "wait 1 s, switch the supply off, switch the supply on", "Q1") == ("in",)
        assert after(TWO_WIRE, "turn S1 on, switch the supply off, switch the supply on", "Q1") == ("in",)

    def test_a_stuck_selector_takes_from_two_wire_control_its_only_way_to_stop(self):
        broken = stuck_device(TWO_WIRE, "S1", "on").apply(TWO_WIRE)
        assert after(broken, "switch the supply off, switch the supply on", "Q1") == ("in",)

    def test_of_all_faults_of_one_contact_or_device_just_these_restart_it(self):
        kinds = ("welded contact", "dead contact", "stuck device", "dead overload relay", "open coil", "open wire")
        found = [
            fault.sentence
            for fault in single_faults(THREE_WIRE)
            if fault.kind in kinds
            and after(fault.apply(THREE_WIRE), "wait 1 s, switch the supply off, switch the supply on", "Q1") == ("in",)
        ]
        assert found == [
            "the contact NO S2 at wires 3–4 is welded",
            "the contact NO Q1 at wires 3–4 is welded",
            "S2 is stuck and stays pressed",
        ]


class TestOverload:
    """Check-values 7.8, [L4-5]: the NC contact opens the coil's circuit; the heaters do not open the power circuit."""

    TRIP = "press S2, let S2 go, trip F1"

    def test_the_contact_stops_the_motor_by_way_of_the_contactor(self):
        assert after(THREE_WIRE, self.TRIP, "F1", "Q1") == ("tripped", "out")
        assert energise(direct(), {"Q9"})["M1"].state == "off"

    @pytest.mark.parametrize("fault", [welded_contact(THREE_WIRE, 3), wrong_terminal(THREE_WIRE, 4, "left", 4)])
    def test_bridged_or_not_in_the_coils_way_it_trips_and_the_motor_runs_on(self, fault):
        assert after(fault.apply(THREE_WIRE), self.TRIP, "F1", "Q1") == ("tripped", "in")
        assert energise(direct(), {"Q9", "Q1"})["M1"].state == "direct"  # tripped or not: heaters do not open

    def test_a_welded_main_contactor_runs_on_after_the_trip_too(self):
        broken = welded_contactor(THREE_WIRE, "Q1").apply(THREE_WIRE)
        assert after(broken, "trip F1", "F1", "Q1") == ("tripped", "in")
        circuit, faults = direct(), None
        for pole in ("1-2", "3-4", "5-6"):
            circuit, faults = welded_pole("Q1", pole).apply(circuit, faults)
        assert faults.welded == {("Q1", "1-2"), ("Q1", "3-4"), ("Q1", "5-6")}
        assert energise(circuit, {"Q9"}, faults)["M1"].state == "direct"  # with the coil dead


class TestReversing:
    """Check-values 6.11 and 6.12, [L4-6]: both contactors in short two phases; the NC contact of each keeps out the
    other. A mirror contact stays open while a main pole is welded: IEC 60947-4-1, annex F, from memory."""

    BOTH = "press S2, let S2 go, press S3"

    def test_with_the_interlock_the_second_stays_off(self):
        assert after(ELEVATOR, self.BOTH, "Q1", "Q2") == ("in", "out")

    def test_with_a_welded_pole_it_still_does(self):
        broken = welded_contactor(ELEVATOR, "Q1").apply(ELEVATOR)
        assert after(broken, "press S1, let S1 go, press S3", "Q1", "Q2") == ("in", "out")

    def test_with_the_interlock_bridged_both_come_in_and_two_phases_are_shorted(self):
        broken = ELEVATOR
        for place in (3, 7):
            broken = welded_contact(broken, place).apply(broken)
        assert after(broken, self.BOTH, "Q1", "Q2") == ("in", "in")
        reading = energise(reversing(), {"Q9", "Q1", "Q2"})
        assert [short.phases for short in reading.shorts] == [("L1", "L3")]

    def test_a_broken_wire_at_the_interlock_fails_to_the_safe_side(self):
        broken = open_wire(ELEVATOR, 8, "left").apply(ELEVATOR)  # item 8: NC Q1, behind the first coil
        assert after(broken, "press S3", "Q1", "Q2") == ("out", "out")
        assert after(dead_contact(ELEVATOR, 7).apply(ELEVATOR), "press S3", "Q2") == ("out",)
