"""Motors, overload relays and the fuse behind a control circuit: traces as literal (seconds, device, state)."""

import math

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, run
from rungbook.behaviour import MICRO, Timeline, read_script
from rungbook.behaviour.board import Board
from rungbook.behaviour.motor import Motor
from rungbook.behaviour.neighbours import SupplyFuse
from rungbook.behaviour.overload import Overload, trip_time
from rungbook.behaviour.plant import Drive, Plant, drive_of
from rungbook.behaviour.power import PowerFaults
from rungbook.circuit import Wired
from rungbook.circuit.power import direct, reversing, star_delta
from rungbook.kit.ratings import SupplyRating


def pump(reset="manual"):
    panel = [Device("S1"), Device("S2"), Device("F1", setting=f"1 A class 10 {reset}"), Device("Q1"), Device("P1")]
    ladder = Ladder("Wash pump", panel)
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("F1"), lamp("P1"))
    return ladder


def fan(reset):
    panel = [Device("S1", "two-position selector"), Device("F1", setting=f"1 A class 10 {reset}"), Device("Q1")]
    ladder = Ladder("Cellar fan", panel)
    ladder.rung(NO("S1") & NC("F1"), coil("Q1"))
    return ladder


def elevator():
    panel = [Device(tag) for tag in ("S1", "S2", "S3", "Q1", "Q2")]
    ladder = Ladder("Apple elevator", panel)
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    ladder.rung(NC("S1") & (NO("S3") | NO("Q2")), coil("Q2"))
    return ladder


def plant_of(circuit, load=0.5, reset="manual", **options):
    return Plant(circuit, {"M1": Drive(Motor(load), 1.0, "F1", 1.0, Overload("10", reset))}, **options)


def changes(trace, *tags):
    return [(round(time, 3), tag, word) for time, tag, word in trace.changes if tag in tags]


class TestMotor:
    def test_runs_up_runs_and_coasts_with_its_contactor(self):
        trace = run(pump(), "press S2, let S2 go, wait 5 s, press S1", plant_of(direct()))
        assert [(tag, word) for _, tag, word in changes(trace, "Q1", "M1")] == [
            ("Q1", "in"),
            ("M1", "starting"),
            ("M1", "running forwards"),
            ("Q1", "out"),
            ("M1", "coasting forwards"),
        ]
        assert changes(trace, "M1")[0][0] == changes(trace, "Q1")[0][0] == 1.02

    def test_turns_backwards_behind_the_other_contactor(self):
        plant = Plant(reversing(overload="F1"))
        trace = run(elevator(), "press S3, let S3 go, wait 5 s", plant)
        assert changes(trace, "M1")[-1][2] == "running backwards"

    def test_does_not_start_on_two_phases_and_the_relay_trips(self):
        plant = plant_of(direct(), faults=PowerFaults(lost=frozenset({"L3"})))
        trace = run(pump(), "press S2, let S2 go, wait 60 s", plant)
        assert [word for _, _, word in changes(trace, "M1")] == ["humming", "standing"]
        ((tripped, _, word),) = changes(trace, "F1")
        assert word == "tripped"
        assert tripped - 1.02 == pytest.approx(
            trip_time("10", 0.866 * 5.0), abs=0.002
        )  # two lines: 0.866 of locked rotor
        assert [told for _, told in plant.findings] == [plant.findings[0][1]]
        assert "L1" in plant.findings[0][1]
        assert "L3" not in plant.findings[0][1]


class TestShort:
    def test_both_reversing_contactors_in_are_found_with_the_path(self):
        # *Lessons in Electric Circuits*, vol. IV ch. 6: without interlock two phases are shorted
        plant = Plant(reversing(disconnect="", fuses=""))
        run(elevator(), "press S2, let S2 go, press S3", plant)
        ((time, told),) = plant.findings[:1]
        assert told == "L1 and L3 are shorted: Q1 1-2, Q2 5-6."
        assert time == 3_020_100


def mill():
    """Star and delta by hand: S2 main and star, S3 main and delta."""
    panel = [Device(tag) for tag in ("S1", "S2", "S3", "F1", "Q1", "Q2", "Q3")]
    ladder = Ladder("Mill", panel)
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1") & NC("S3") & NC("Q3"), coil("Q2"))
    ladder.rung(NO("Q1") & (NO("S3") | NO("Q3")) & NC("Q2"), coil("Q3"))
    return ladder


class TestOverloadInsideTheDelta:
    """NEC 430.32 with a relay in the phase leg: set to the full-load current over the square root of 3."""

    DONE = "press S2, let S2 go, wait 5 s, press S3, let S3 go, wait 8 h"

    def relay_after(self, load, setting):
        plant = Plant(star_delta(), {"M1": Drive(Motor(load), 10.0, "F1", setting, Overload("10", "manual"))})
        return run(mill(), self.DONE, plant), plant

    def test_set_to_0_577_of_the_line_current_it_carries_the_rated_load(self):
        trace, plant = self.relay_after(1.0, 10.0 / math.sqrt(3))
        assert changes(trace, "F1") == []
        assert plant.relays["F1"].current == pytest.approx(1.0, abs=1e-6)

    def test_set_so_it_trips_at_a_third_more_than_the_rated_load(self):
        trace, _ = self.relay_after(1.33, 10.0 / math.sqrt(3))
        assert [word for _, _, word in changes(trace, "F1")] == ["tripped"]

    def test_set_to_the_line_current_it_lets_the_motor_burn(self):
        trace, plant = self.relay_after(1.33, 10.0)
        assert changes(trace, "F1") == []
        assert plant.relays["F1"].current < 1.0


class TestOverload:
    def test_a_blocked_motor_trips_its_relay_after_the_time_of_its_class(self):
        trace = run(pump(), "press S2, let S2 go, wait 60 s", plant_of(direct(), load=2.0))
        ((tripped, _, word),) = changes(trace, "F1")
        assert word == "tripped"
        assert tripped - 1.02 == pytest.approx(trip_time("10", 5.0), abs=0.002)  # locked rotor: 5 times, vol. II ch. 13
        assert changes(trace, "Q1")[-1] == (round(tripped + 0.006, 3), "Q1", "out")
        assert changes(trace, "P1")[0][2] == "lit"

    def test_a_motor_at_its_rated_load_never_trips_it(self):
        trace = run(pump(), "press S2, let S2 go, wait 8 h", plant_of(direct(), load=1.0))
        assert changes(trace, "F1") == []

    def test_a_hot_relay_refuses_its_reset_and_a_cool_one_takes_it(self):
        plant = plant_of(direct(), load=2.0)
        trace = run(pump(), "press S2, let S2 go, wait 20 s, reset F1, wait 1 h, reset F1", plant)
        assert [word for _, _, word in changes(trace, "F1")] == ["tripped", "set", "tripped", "set"]
        assert [told for _, told in plant.findings] == ["F1 is still too hot to be reset"]
        assert trace.moments[-1].positions["Q1"] == "out"

    def test_automatic_reset_with_two_wire_control_starts_the_motor_again_and_again(self):
        trace = run(fan("automatic"), "turn S1 on, wait 30 min", plant_of(direct(), 2.0, "automatic"))
        words = [word for _, _, word in changes(trace, "F1")]
        assert words[:4] == ["tripped", "set", "tripped", "set"]
        assert [word for _, _, word in changes(trace, "Q1")][:3] == ["in", "out", "in"]

    def test_manual_reset_with_two_wire_control_leaves_it_off(self):
        trace = run(fan("manual"), "turn S1 on, wait 30 min", plant_of(direct(), 2.0))
        assert [word for _, _, word in changes(trace, "Q1")] == ["in", "out"]

    def test_the_test_button_trips_it_cold(self):
        trace = run(pump(), "press S2, let S2 go, trip F1, reset F1", plant_of(direct()))
        assert [word for _, _, word in changes(trace, "F1")] == ["tripped", "set"]
        assert trace.moments[-1].positions["Q1"] == "out"


class TestDrive:
    def test_takes_class_reset_and_dial_from_the_device(self):
        drive = drive_of(Timeline(fan("automatic"), fan("automatic").declared), "F1", Motor(), 0.9)
        assert (drive.setting, drive.protection.trip_class, drive.protection.reset) == (1.0, "10", "automatic")

    def test_a_drive_for_no_motor_is_refused(self):
        with pytest.raises(LadderError, match="no such motor in the power circuit"):
            Plant(direct(), {"M7": Drive()})

    @pytest.mark.parametrize("amps", [0, -1, 10_000])
    def test_a_current_out_of_range_is_refused(self, amps):
        with pytest.raises(LadderError, match="the rated current is above 0"):
            Drive(amps=amps)


class TestSupplyFuse:
    def test_a_shorted_load_melts_it_and_everything_drops_out(self):
        ladder = pump()
        sound = Board.of(ladder, ladder.declared)
        wire = Wired(NO("S2"), 3, 2)  # past the button straight to the other rail
        shorted = Board("Wash pump", (*sound.items, wire), sound.devices, SupplyRating(ohms=1 + 0.5j))
        timeline = Timeline(shorted)
        timeline.advance(MICRO)
        for step in _steps(timeline, "press S2"):
            timeline.do(step)
        timeline.advance(2 * MICRO)
        assert not timeline.fuse_whole
        blown = [change for change in timeline.changes if change.state == "fuse blown"]
        assert len(blown) == 1
        assert 1_004_000 < blown[0].time < 1_050_000  # over 100 A: within a few milliseconds of the contact
        assert timeline.position("Q1") == "out"
        assert timeline.next_event() is None

    def test_carries_what_the_coils_draw_for_ever(self):
        timeline = Timeline(pump(), pump().declared)
        for step in _steps(timeline, "press S2"):
            timeline.do(step)
        timeline.advance(3600 * MICRO)
        assert timeline.fuse_whole
        assert 0 < timeline.supply_amps() < 0.2

    def test_starts_cold(self):
        assert SupplyFuse(2.0).due is None


def _steps(timeline, script):
    return read_script(script, {tag: d for tag, d in timeline.devices.items() if d.spec.operated})
