"""Rules about the power side: what keeps them, what breaks them, and when they were never put to the test."""

from dataclasses import replace

import pytest

from rungbook import NC, NO, Ladder, LadderError, coil, prove
from rungbook.behaviour import Board, PowerFaults
from rungbook.behaviour.motor_panel import MotorPanel
from rungbook.circuit.power import PowerCircuit, direct, reversing
from rungbook.proof import (
    decide,
    motor_never_turns,
    motor_stands_while,
    motor_turns,
    no_short_between_phases,
)


def elevator(lock=True):
    """The apple elevator, up and down, with NC contacts of each contactor before the other's coil or without."""
    ladder = Ladder("Apple elevator")
    up, down = (NC("Q2"), NC("Q1")) if lock else (NC("F1"), NC("F1"))
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & up, coil("Q1"))
    ladder.rung(NC("S1") & (NO("S3") | NO("Q2")) & down, coil("Q2"))
    return ladder


def pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    return ladder


def decided(ladder, rule, circuit, **faults):
    return decide(MotorPanel(Board.of(ladder), circuit, PowerFaults(**faults)), [rule]).verdicts[0]


def orders(verdict):
    return [step.order for step in verdict.steps]


class TestNoShort:
    """Forward and reverse together short two phases; NC contacts of each before the other's coil prevent that:
    *Lessons in Electric Circuits*, vol. IV ch. 6."""

    RULE = no_short_between_phases()

    def test_an_electrical_interlock_keeps_it(self):
        assert str(prove(elevator(), self.RULE, power=reversing())) == "holds: No two phases are ever joined."

    def test_without_one_two_starts_break_it_and_no_fault_is_needed(self):
        (verdict,) = prove(elevator(lock=False), self.RULE, power=reversing()).verdicts
        assert (verdict.outcome, orders(verdict)) == ("broken", ["press S2", "press S3"])
        assert verdict.seen == "L1 and L3 are shorted: Q9 1-2, F9 1-2, Q1 1-2, Q2 5-6, F9 5-6, Q9 5-6"
        assert (verdict.expected, verdict.why) == ("no two phases are joined", "Q1 is in. Q2 is in.")

    def test_a_mechanical_interlock_alone_keeps_it(self):
        locked = prove(elevator(lock=False), self.RULE, power=reversing(), mechanical_interlock=[("Q1", "Q2")])
        assert [verdict.outcome for verdict in locked.verdicts] == ["holds"]

    def test_a_moment_in_which_both_are_in_breaks_it(self):
        ladder = Ladder("Apple elevator")  # one button takes the one away and brings the other
        ladder.rung(NO("S4"), coil("Q1"))
        ladder.rung(NC("S4"), coil("Q2"))
        (verdict,) = prove(ladder, self.RULE, power=reversing()).verdicts
        assert verdict.outcome == "broken"
        assert verdict.why.startswith("For a moment, while the relays change over: ")

    def test_it_is_not_shown_by_a_starter_of_which_one_contactor_never_comes_in(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NO("S2"), coil("Q1"))
        ladder.rung(NO("S3") & NC("S3"), coil("Q2"))
        (verdict,) = prove(ladder, self.RULE, power=reversing()).verdicts
        assert str(verdict) == (
            "not shown: No two phases are ever joined. "
            "The circuit never comes to the point at which the phases could show it."
        )

    def test_a_direct_starter_shows_it_by_running(self):
        assert decided(pump(), self.RULE, direct()).outcome == "holds"


class TestStands:
    RULE = motor_stands_while("M1", "S1", "pressed")

    def test_the_stop_button_stops_the_motor(self):
        assert decided(pump(), self.RULE, direct()).outcome == "holds"

    def test_poles_that_are_welded_keep_it_running_though_the_coil_drops_out(self):
        welded = frozenset(("Q1", pole) for pole in ("1-2", "3-4", "5-6"))
        verdict = decided(pump(), self.RULE, direct(), welded=welded)
        assert orders(verdict) == ["press S1"]
        assert str(verdict) == (
            "broken: M1 stands still whenever S1 is pressed. Press S1. Seen: M1 runs forwards. "
            "Expected: M1 stands still. Q1 is out, but its poles 1-2, 3-4, 5-6 are welded."
        )

    def test_two_welded_poles_feed_it_one_does_not(self):
        two = decided(pump(), self.RULE, direct(), welded={("Q1", "1-2"), ("Q1", "3-4")})
        assert two.seen == "M1 hums on two phases and does not start"
        assert decided(pump(), self.RULE, direct(), welded={("Q1", "1-2")}).outcome == "holds"

    def test_a_motor_that_never_runs_does_not_show_that_it_stops(self):
        verdict = decided(pump(), self.RULE, direct(), lost={"L1", "L2"})
        assert str(verdict).startswith("not shown: M1 stands still whenever S1 is pressed. The circuit never comes")


class TestTurns:
    FORWARDS = motor_turns("M1", "forwards", "Q1", "in")
    NEVER = motor_never_turns("M1", "backwards", "Q1", "in")

    def test_each_contactor_has_its_way(self):
        rules = (self.FORWARDS, motor_turns("M1", "backwards", "Q2", "in"), self.NEVER)
        assert prove(elevator(), *rules, power=reversing())

    def test_swapped_phases_break_both_rules_a_lost_phase_only_the_one_that_asks_for_work(self):
        swapped = {"supply": ("L2", "L1", "L3")}
        assert decided(elevator(), self.FORWARDS, reversing(), **swapped).seen == "M1 runs backwards"
        assert decided(elevator(), self.NEVER, reversing(), **swapped).outcome == "broken"
        assert decided(elevator(), self.FORWARDS, reversing(), lost={"L2"}).outcome == "broken"
        assert decided(elevator(), self.NEVER, reversing(), lost={"L2"}).outcome == "holds"

    def test_only_one_rule_protects_people(self):
        assert (self.FORWARDS.protects, self.NEVER.protects) == (False, True)


class TestPanel:
    def test_a_reading_is_shared_between_panels_of_one_power_circuit(self):
        kept = {}
        for _ in range(2):
            panel = MotorPanel(Board.of(pump()), direct(), kept=kept)
            assert panel.motor_word("M1", panel.start) == "stands still"
        assert list(kept) == [frozenset({"Q9"})]

    def test_a_welded_pole_keeps_the_other_armature_out_by_the_mechanical_interlock(self):
        board = replace(Board.of(elevator()), mechanical_interlock=(("Q1", "Q2"),))
        panel = MotorPanel(board, reversing(), PowerFaults(welded={("Q1", "1-2")}))
        assert panel.held_out_by("Q2", panel.start) == "Q1"
        assert panel.held_out_by("Q1", panel.start) == ""

    def test_a_welded_disconnect_is_no_matter_of_the_control_circuit(self):
        panel = MotorPanel(Board.of(pump()), direct(), PowerFaults(welded={("Q9", "1-2")}))
        assert panel.board.welded == frozenset()


class TestErrors:
    @pytest.mark.parametrize(
        ("make", "match"),
        [
            (lambda: motor_stands_while("Q1", "S1", "pressed"), "designation of a motor has the letter M"),
            (lambda: motor_stands_while("M1", "S1", "burning"), "S1 has no such position"),
            (lambda: motor_turns("M1", "up", "Q1", "in"), "no such way to turn.*forwards, backwards"),
            (lambda: prove(pump(), no_short_between_phases()), r"give it, with power=.*reversing\(\)"),
            (lambda: prove(pump(), power="reversing"), "works on a PowerCircuit"),
            (
                lambda: prove(pump(), power=reversing()),
                "the contactor Q2 of the power circuit has no coil in the control circuit",
            ),
            (lambda: MotorPanel(Board.of(pump()), only_a_contactor()), "has no motor"),
        ],
    )
    def test_bad_input_is_named_with_the_legal_choices(self, make, match):
        with pytest.raises(LadderError, match=match):
            make()

    def test_a_motor_that_is_not_there_is_said_to_be_missing(self):
        verdict = decided(pump(), motor_stands_while("M2", "S1", "pressed"), direct())
        assert str(verdict) == "not shown: M2 stands still whenever S1 is pressed. M2 is not used in this ladder."


def only_a_contactor():
    circuit = PowerCircuit("Mill")
    circuit.device("Q1", "contactor", ("L1", "L2"), ("L2", "L3"))
    return circuit
