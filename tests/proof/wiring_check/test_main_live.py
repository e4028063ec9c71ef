"""Which orders make the motors turn which way, and what an overload relay carries."""

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil
from rungbook.circuit import wire
from rungbook.circuit.power import LINES, PowerCircuit, direct, reversing, star_delta
from rungbook.kit import AUXILIARY_BLOCK, TRAINING_KIT, Kit, fit
from rungbook.proof.wiring_check import motor_steps, overload_shares

STAR_DELTA = star_delta(fuses="", main="Q3", star="Q1", delta="Q2")


def told(wiring, circuit):
    return [(step.orders, step.seen, step.motors) for step in motor_steps(wiring, circuit)]


class TestSteps:
    def test_of_a_reversing_starter_have_both_directions_each_from_rest(self, elevator):
        assert told(elevator, reversing()) == [
            ("press S2", "Q1 in", "M1: L1 L2 L3 on U1 V1 W1: runs forwards."),
            ("press S3", "Q2 in", "M1: L3 L2 L1 on U1 V1 W1: runs backwards."),
        ]

    def test_of_a_timed_start_have_what_comes_after_the_wait(self):
        ladder = Ladder(
            "Mill", [*map(Device, ("S2", "Q1", "Q2", "Q3")), Device("K4", "timer relay", setting="on-delay 5 s")]
        )
        ladder.rung(NO("S2"), coil("Q3"))
        ladder.rung(NO("Q3"), coil("K4"))
        ladder.rung(NO("Q3", "43-44") & NC("K4", "15-16") & NC("Q2"), coil("Q1"))
        ladder.rung(NO("K4", "21-24") & NC("Q1"), coil("Q2"))
        kit = Kit("kit", dict(TRAINING_KIT.devices) | {"Q3": fit("contactor", AUXILIARY_BLOCK)})
        assert told(wire(ladder, kit), STAR_DELTA) == [
            ("press S2", "Q3 in, Q1 in", "M1: L1 L2 L3 on U1 V1 W1, no phase on U2 V2 W2: runs forwards in star."),
            (
                "press S2, wait 7 s",
                "Q3 in, Q2 in",
                "M1: L1 L2 L3 on U1 V1 W1, L2 L3 L1 on U2 V2 W2: runs forwards in delta.",
            ),
        ]

    def test_leave_out_orders_that_lead_back(self, pump):
        assert told(pump, direct()) == [("press S2", "Q1 in", "M1: L1 L2 L3 on U1 V1 W1: runs forwards.")]

    def test_of_a_contactor_without_a_coil_are_refused(self, pump):
        with pytest.raises(LadderError, match="the contactor Q2 of the power circuit has no coil"):
            motor_steps(pump, reversing())

    def test_of_a_ladder_are_refused(self, pump):
        with pytest.raises(LadderError, match="follows what `wire` lists"):
            motor_steps(pump.ladder, direct())


class TestShares:
    def test_in_the_lines_it_is_the_whole_current(self):
        assert overload_shares(reversing()) == {"M1": ("F1", 1.0)}

    def test_inside_the_delta_it_is_that_of_a_winding(self):
        # FLC/√3 = 0.577 FLC: computed, check value 5.25
        ((tag, share),) = overload_shares(STAR_DELTA).values()
        assert (tag, round(share, 3)) == ("F1", 0.577)

    def test_a_motor_without_a_relay_of_its_own_is_left_out(self):
        circuit = PowerCircuit()
        circuit.device("F1", "overload relay", LINES, ("U", "V", "W"))
        circuit.motor("M1", ("U", "V", "W"))
        circuit.motor("M2", ("U", "V", "W"))
        assert overload_shares(circuit) == {}
