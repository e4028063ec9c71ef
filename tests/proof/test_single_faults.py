"""What each single fault does: why a stop is normally closed, what an interlock is worth, which faults wait."""

import pytest

from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.behaviour import Board
from rungbook.behaviour.faults import (
    open_load,
    open_wire,
    stuck_device,
    welded_contact,
    welded_contactor,
    wire_to_ground,
)
from rungbook.proof import does_not_start, follows, holds_in, off_while, pulls_in
from rungbook.proof.single_faults import try_faults


def ladder_of(*rungs):
    ladder = Ladder("Wash pump")
    for rung in rungs:
        ladder.rung(*rung)
    return ladder


HOLDING = ladder_of((NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1")), (NO("Q1"), lamp("P1", "green")))
RULES = (
    pulls_in("Q1", when="press S2"),
    holds_in("Q1", after="let S2 go"),
    off_while("Q1", "S1", "pressed"),
    off_while("Q1", "F1", "tripped"),
    does_not_start("Q1", by="switch the supply on"),
    follows("P1", "Q1", "in"),
)
# the stop as a make contact that works through a relay
STOP_BY_CLOSING = ladder_of((NO("S1"), coil("K1")), (NC("K1") & (NO("S2") | NO("Q1")), coil("Q1")))
STOP_BY_OPENING = ladder_of((NC("S1") & (NO("S2") | NO("Q1")), coil("Q1")))
STOPS = (pulls_in("Q1", when="press S2"), off_while("Q1", "S1", "pressed"))


def one(ladder, fault, *rules):
    (effect,) = try_faults(ladder, *rules, faults=[fault]).effects
    return effect


class TestHoldingCircuit:
    def effect(self, fault):
        return one(HOLDING, fault, *RULES)

    def test_a_welded_overload_contact_is_a_danger_that_waits(self):
        effect = self.effect(welded_contact(Board.of(HOLDING), 3))
        assert (effect.severity, effect.hidden) == ("danger", True)
        assert [verdict.sentence for verdict in effect.broken] == ["Q1 is out whenever F1 is tripped."]
        assert effect.shows == "Press S2. Trip F1. Q1 holds in."

    def test_a_relay_that_does_not_trip_is_another(self):
        effect = self.effect(stuck_device(Board.of(HOLDING), "F1", "set"))
        assert (effect.severity, effect.hidden) == ("danger", True)

    def test_a_stop_button_that_is_stuck_waits_until_somebody_presses_it(self):
        effect = self.effect(stuck_device(Board.of(HOLDING), "S1", "released"))
        assert (effect.severity, effect.hidden) == ("danger", True)
        assert effect.shows == "Press S1. Press S2. Q1 pulls in."

    def test_a_welded_contactor_runs_at_once(self):
        effect = self.effect(welded_contactor(Board.of(HOLDING), "Q1"))
        assert effect.severity == "danger"
        assert effect.shows == "At once, untouched: Q1 is in."

    def test_an_open_wire_stops_the_work_and_hurts_nobody(self):
        board = Board.of(HOLDING)
        for place in range(len(board.items)):
            for end in ("left", "right"):
                assert self.effect(open_wire(board, place, end)).severity == "stops the work"

    def test_ground_behind_the_holding_contact_melts_the_fuse_at_the_first_start(self):
        effect = self.effect(wire_to_ground(Board.of(HOLDING), 6))
        assert effect.severity == "stops the work"
        assert {verdict.why for verdict in effect.broken if verdict.steps} == {
            "The fuse of the control supply has melted."
        }

    def test_dangers_come_first_and_the_table_is_the_same_every_time(self):
        table = try_faults(HOLDING, *RULES)
        assert [effect.rank for effect in table.effects] == sorted(effect.rank for effect in table.effects)
        severities = [effect.severity for effect in table.effects]
        assert severities == sorted(severities, key=["danger", "stops the work", "no effect", "not decided"].index)
        assert severities.count("danger") == len(table.dangers()) > 20
        assert not table
        assert str(table) == str(try_faults(HOLDING, *RULES))
        assert len({effect.fault.describe() for effect in table.effects}) == len(table.effects) == 101

    def test_a_rule_that_a_dead_circuit_cannot_break_is_not_called_broken(self):
        table = try_faults(HOLDING, RULES[0], RULES[3], faults=[open_load(Board.of(HOLDING), "Q1")])
        assert table.effects[0].told[0] == (
            "No longer: Q1 pulls in when you press S2. No more to be seen: Q1 is out whenever F1 is tripped."
        )


class TestWhyAStopOpens:
    """Common practice; the wire-break argument of lab 02."""

    def wire_breaks(self, ladder):
        board = Board.of(ladder)
        places = [place for place, wired in enumerate(board.items) if wired.item.device == "S1"]
        return [one(ladder, open_wire(board, place, end), *STOPS) for place in places for end in ("left", "right")]

    def test_a_broken_wire_at_a_stop_that_opens_stops_the_machine(self):
        assert {(e.severity, e.hidden) for e in self.wire_breaks(STOP_BY_OPENING)} == {("stops the work", False)}

    def test_a_broken_wire_at_a_stop_that_closes_is_a_danger_that_nobody_sees_until_the_stop_is_needed(self):
        assert {(e.severity, e.hidden) for e in self.wire_breaks(STOP_BY_CLOSING)} == {("danger", True)}
        assert {e.shows for e in self.wire_breaks(STOP_BY_CLOSING)} == {"Press S1. K1 stays out."}


class TestInterlock:
    ELEVATOR = ladder_of(
        (NC("S1") & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1")),
        (NC("S1") & (NO("S3") | NO("Q2")) & NC("Q1"), coil("Q2")),
    )
    NEVER_BOTH = (off_while("Q2", "Q1", "in"), off_while("Q1", "Q2", "in"))

    def test_a_welded_contactor_keeps_the_other_out_by_its_mirror_contact(self):
        effect = one(self.ELEVATOR, welded_contactor(Board.of(self.ELEVATOR), "Q1"), *self.NEVER_BOTH)
        assert not any(verdict.outcome == "broken" for verdict in effect.broken)

    def test_a_welded_interlock_contact_lets_both_in(self):
        board = Board.of(self.ELEVATOR)
        place = next(n for n, contact in enumerate(board.contacts) if (contact.device, contact.kind) == ("Q1", "NC"))
        effect = one(self.ELEVATOR, welded_contact(board, place), *self.NEVER_BOTH)
        assert effect.severity == "danger"
        (verdict,) = [verdict for verdict in effect.broken if verdict.outcome == "broken"][:1]
        assert "press S2" in [step.order for step in verdict.steps]


class TestErrors:
    def test_a_rule_that_does_not_hold_on_the_sound_circuit_is_refused_with_its_breach(self):
        jog = ladder_of((NO("S2"), coil("Q1")))
        with pytest.raises(LadderError, match="does not hold even without a fault: broken: Q1 holds in"):
            try_faults(jog, holds_in("Q1", after="let S2 go"))

    def test_what_is_no_circuit_or_no_rule_is_refused(self):
        with pytest.raises(LadderError, match="works on a Ladder or a Board"):
            try_faults("ladder")
        with pytest.raises(LadderError, match="takes rules"):
            try_faults(HOLDING, "rule")

    def test_a_limit_ends_in_not_decided(self):
        effects = try_faults(HOLDING, faults=[welded_contact(Board.of(HOLDING), 3)], limit=3).effects
        assert [effect.severity for effect in effects] == ["not decided"]
