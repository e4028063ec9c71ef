"""The walk with voltage: what a careful hand does, and what must then be seen."""

import pytest

from rungbook import NO, Device, Ladder, coil, run
from rungbook.circuit import wire
from rungbook.errors import LadderError
from rungbook.kit import Kit, fit
from rungbook.proof.wiring_check import live_tests


def told(wiring):
    return [(test.orders, test.seen) for test in live_tests(wiring).tests]


class TestWalk:
    def test_of_the_holding_circuit(self, pump):
        assert told(pump) == [
            ("switch the supply on, touch nothing", "Q1 out, P1 dark"),
            ("press S1", "Q1 out, P1 dark"),
            ("let S1 go", "Q1 out, P1 dark"),
            ("press S2", "Q1 in, P1 lit"),
            ("let S2 go", "Q1 in, P1 lit"),
            ("press S1", "Q1 out, P1 dark"),
            ("let S1 go, trip F1", "Q1 out, P1 dark"),
            ("reset F1", "Q1 out, P1 dark"),
            ("press S2, let S2 go, press S2", "Q1 in, P1 lit"),
            ("let S2 go, trip F1", "Q1 out, P1 dark"),
            ("reset F1, press S2, let S2 go, switch the supply off", "Q1 out, P1 dark"),
            ("switch the supply on", "Q1 out, P1 dark"),
        ]

    @pytest.mark.parametrize("name", ["pump", "elevator"])
    def test_is_what_the_circuit_does_in_time(self, name, request):
        """The same orders on the timeline, with real coils."""
        wiring = request.getfixturevalue(name)
        tests = live_tests(wiring).tests[1:]
        moments = run(wiring.ladder, ", ".join(test.orders for test in tests)).moments
        at = 0
        for test in tests:
            at += len(test.orders.split(", "))
            after = moments[at].positions
            for word in test.seen.split(", "):
                tag, position = word.split(" ", 1)
                assert after[tag] == position, (test, after)

    def test_tries_one_direction_while_the_other_runs(self, elevator):
        assert ("let S2 go, press S3", "Q1 in, Q2 out") in told(elevator)

    def test_tells_the_voltage_across_each_load(self, pump):
        tests = live_tests(pump).tests
        assert tests[0].shown == "Q1:A1 – Q1:A2 0 V, P1:X1 – P1:X2 0 V"
        assert [(a, b) for a, b, _ in tests[3].volts] == [("Q1:A1", "Q1:A2"), ("P1:X1", "P1:X2")]
        # 120 V behind 1.5 + 0.8j ohm, coil sealed 1800 ohm in size, lamp 7200 ohm: next to no drop
        assert all(119 < value < 120 for *_, value in tests[3].volts)

    def test_of_a_circuit_with_a_timer_refers_to_the_bench_sheet(self):
        kit = Kit("k", {"S1": fit("push button"), "K4": fit("multifunction timer"), "Q1": fit("contactor")})
        devices = [Device("S1"), Device("Q1"), Device("K4", "timer relay", setting="on-delay 3 s")]
        ladder = Ladder("Fan", devices)
        ladder.rung(NO("S1"), coil("K4"))
        ladder.rung(NO("K4", "15-18"), coil("Q1"))
        found = live_tests(wire(ladder, kit))
        assert found.tests == ()
        assert "bench sheet" in str(found)

    def test_of_a_ladder_is_refused(self, pump):
        with pytest.raises(LadderError, match="tests what `wire` lists"):
            live_tests(pump.ladder)
