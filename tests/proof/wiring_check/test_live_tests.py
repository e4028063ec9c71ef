"""The walk with voltage: what a careful hand does, and what must then be seen."""

import pytest

from rungbook import NC, NO, Device, Ladder, coil, run
from rungbook.circuit import wire
from rungbook.errors import LadderError
from rungbook.kit import AUXILIARY_BLOCK, Kit, fit
from rungbook.proof.wiring_check import live_tests


def told(wiring):
    return [(test.orders, test.seen) for test in live_tests(wiring).tests]


def fan(setting):
    kit = Kit("k", {"S1": fit("push button"), "K4": fit("multifunction timer"), "Q1": fit("contactor")})
    ladder = Ladder("Fan", [Device("S1"), Device("Q1"), Device("K4", "timer relay", setting=setting)])
    ladder.rung(NO("S1"), coil("K4"))
    ladder.rung(NO("K4"), coil("Q1"))
    return wire(ladder, kit)


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

    def test_a_shared_stop_drops_out_either_direction(self, shared):
        walk = told(shared)
        assert ("press S1", "Q1 out, Q2 out") in walk[7:8] + walk[10:11]
        assert ("let S1 go, press S3", "Q1 out, Q2 in") in walk

    def test_tells_the_voltage_across_each_load(self, pump):
        tests = live_tests(pump).tests
        assert tests[0].shown == "Q1:A1 – Q1:A2 0 V, P1:X1 – P1:X2 0 V"
        assert [(a, b) for a, b, _ in tests[3].volts] == [("Q1:A1", "Q1:A2"), ("P1:X1", "P1:X2")]
        # 120 V behind 1.5 + 0.8j ohm, coil sealed 1800 ohm in size, lamp 7200 ohm: next to no drop
        assert all(119 < value < 120 for *_, value in tests[3].volts)

    def test_of_a_circuit_in_time_tells_what_is_seen_at_once_and_after_the_wait(self):
        assert told(fan("on-delay 3 s")) == [
            ("switch the supply on, touch nothing", "K4 out, Q1 out"),
            ("press S1, wait 5 s", "at once: K4 out, Q1 out; after the wait: K4 in, Q1 in"),
            ("let S1 go, wait 5 s", "K4 out, Q1 out"),
        ]

    def test_of_a_circuit_in_time_ends_with_a_failure_of_the_supply_while_it_runs(self):
        kit = Kit(
            "k",
            dict(fan("on-delay 3 s").kit.devices) | {"S2": fit("push button"), "Q1": fit("contactor", AUXILIARY_BLOCK)},
        )
        devices = [Device("S1"), Device("S2"), Device("Q1"), Device("K4", "timer relay", setting="on-delay 3 s")]
        ladder = Ladder("Fan", devices)
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
        ladder.rung(NO("Q1"), coil("K4"))
        walk = told(wire(ladder, kit))
        assert walk[-1][0].endswith("switch the supply off, wait 5 s, switch it on, wait 5 s")
        assert walk[-1][1] == "Q1 out, K4 out"
        assert ("let S2 go, wait 5 s", "Q1 in, K4 in") in walk

    def test_of_an_off_delay(self):
        assert told(fan("off-delay 3 s"))[1:] == [
            ("press S1, wait 5 s", "K4 in, Q1 in"),
            ("let S1 go, wait 5 s", "at once: K4 in, Q1 in; after the wait: K4 out, Q1 out"),
        ]

    @pytest.mark.parametrize("setting", ["on-delay 5 min", "flash 1 s"])
    def test_of_times_too_long_to_wait_for_refers_to_the_bench_sheet(self, setting):
        found = live_tests(fan(setting))
        assert found.tests == ()
        assert "bench sheet" in str(found)

    def test_of_a_ladder_is_refused(self, pump):
        with pytest.raises(LadderError, match="tests what `wire` lists"):
            live_tests(pump.ladder)
