"""What a trace says of timers while they run, of heat, and of chatter that was passed over."""

import pytest

from rungbook import NC, NO, Device, Ladder, coil, lamp, run
from rungbook.behaviour.motor import Motor
from rungbook.behaviour.overload import Overload, trip_time
from rungbook.behaviour.plant import Drive, Plant
from rungbook.circuit.power import direct


def timer(setting):
    panel = [Device("S1", "two-position selector"), Device("K1", "timer relay", setting=setting), Device("P1")]
    ladder = Ladder("Vat agitator", panel)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    return ladder


def stretches(trace):
    return [(one.start, one.end, one.begins, one.ends) for one in trace.running]


class TestTimers:
    def test_an_on_delay_runs_from_the_voltage_to_its_change(self):
        trace = run(timer("on-delay 5 s"), "at 1 s turn S1 on, wait 10 s")
        assert stretches(trace) == [(1.004, 6.004, 0.0, 1.0)]
        assert (6.004, "K1", "in") in trace.changes

    def test_one_that_is_stopped_ends_with_the_share_it_has_gathered(self):
        assert stretches(run(timer("on-delay 5 s"), "at 1 s turn S1 on, at 3.504 s turn S1 off")) == [
            (1.004, 3.504, 0.0, 0.5)
        ]

    def test_one_that_still_runs_ends_with_the_run(self):
        assert stretches(run(timer("on-delay 5 s"), "at 1 s turn S1 on, wait 1.004 s")) == [(1.004, 2.004, 0.0, 0.2)]

    def test_an_off_delay_runs_after_the_voltage_has_gone(self):
        trace = run(timer("off-delay 2 s"), "at 1 s turn S1 on, at 4 s turn S1 off, wait 5 s")
        assert stretches(trace) == [(4.0, 6.0, 0.0, 1.0)]

    def test_a_cumulative_one_goes_on_where_it_stood(self):
        trace = run(timer("cumulative on-delay 4 s"), "at 1 s turn S1 on, at 2.004 s turn S1 off, at 5 s turn S1 on")
        assert stretches(trace)[0] == (1.004, 2.004, 0.0, 0.25)
        assert stretches(trace)[1][0::2] == (5.004, 0.25)

    def test_a_flasher_runs_once_a_half_period(self):
        trace = run(timer("flash 1 s"), "at 1 s turn S1 on, at 3.504 s turn S1 off")
        assert stretches(trace) == [(1.004, 2.004, 0.0, 1.0), (2.004, 3.004, 0.0, 1.0), (3.004, 3.504, 0.0, 0.5)]


class TestHeat:
    def test_it_starts_cold_meets_end_to_end_and_is_1_at_the_trip(self):
        ladder = Ladder("Wash pump", [Device("S1", "two-position selector"), Device("F1"), Device("Q1")])
        ladder.rung(NO("S1") & NC("F1"), coil("Q1"))
        plant = Plant(direct(), {"M1": Drive(Motor(1.0), 1.0, "F1", 0.3, Overload("10"))})
        trace = run(ladder, "turn S1 on, wait 60 s", plant)
        (tripped,) = [time for time, tag, word in trace.changes if (tag, word) == ("F1", "tripped")]
        assert (trace.warming[0].begins, trace.warming[0].towards, trace.warming[-1].end) == (0.0, 0.0, trace.end)
        for one, following in zip(trace.warming, trace.warming[1:], strict=False):
            assert one.end == following.start
            assert one.heat(one.end) == pytest.approx(following.begins, abs=1e-9)
        (then,) = [one for one in trace.warming if one.start <= tripped < one.end]
        assert then.heat(tripped) == pytest.approx(1.0, abs=1e-4)
        assert trip_time("10", 1.0 / 0.3) > tripped - 1.02  # the start warms it beforehand

    def test_there_is_none_without_a_plant(self):
        assert run(timer("on-delay 5 s"), "turn S1 on").warming == ()


class TestWhole:
    def test_devices_are_those_of_the_table_and_the_motors(self):
        ladder = Ladder("Wash pump", [Device("S1"), Device("S2"), Device("Q1"), Device("K9")])
        ladder.rung(NO("S1"), coil("Q1"))
        trace = run(ladder, "press S1, wait 3 s", Plant(direct()))
        assert tuple(trace.devices) == ("S1", "Q1", "M1")
        assert trace.end == 4.0

    def test_chatter_that_was_passed_over_is_told_with_its_cycle(self):
        ladder = Ladder("Mill")
        ladder.rung(NO("S1") & NC("K1"), coil("K1"))
        trace = run(ladder, "press S1, let S1 go")
        ((start, end, chatter),) = trace.chatter
        assert (chatter.devices, chatter.period) == (("K1",), 21_000)
        assert (start, end) == (1.025, 1.991)  # a cycle to find it, 46 passed over, a rest that is no whole cycle
        assert (end - start) / 0.021 == pytest.approx(46)
