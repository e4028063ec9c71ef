"""Rules about the course of the work: starts after, can be stopped, hangs on chance."""

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.behaviour import tell
from rungbook.proof import can_be_stopped, no_races, off_while, prove, starts_only_after


def circuit(**ways):
    ladder = Ladder("Filling line")
    for tag, way in ways.items():
        ladder.rung(way, lamp(tag) if tag[0] == "P" else coil(tag))
    return ladder


def found(ladder, rule, devices=None):
    """The outcome; for a broken rule the orders that break it."""
    (verdict,) = prove(ladder, rule, devices=devices).verdicts
    return (tell(verdict.steps) or "at rest") if verdict.outcome == "broken" else verdict.outcome


def holding(start, me):
    return NC("S1") & (NO(start) | NO(me))


class TestStartsOnlyAfter:
    RULE = starts_only_after("Q2", "Q1")

    def test_a_contact_of_the_first_before_the_second_keeps_it(self):
        ladder = circuit(Q1=holding("S2", "Q1"), Q2=holding("S3", "Q2") & NO("Q1"))
        (verdict,) = prove(ladder, self.RULE).verdicts
        assert str(verdict) == "holds: Q2 does not come on unless Q1 is in already."

    def test_without_it_the_second_starts_alone(self):
        ladder = circuit(Q1=holding("S2", "Q1"), Q2=holding("S3", "Q2"))
        (verdict,) = prove(ladder, self.RULE).verdicts
        assert str(verdict) == (
            "broken: Q2 does not come on unless Q1 is in already. Press S3. Seen: Q2 pulls in. Expected: Q2 stays out. "
            "Current flows through NC S1, NO S3 to Q2. NO S3 (wires 5–6) closed when S3 was pressed."
        )

    def test_a_first_that_drops_out_later_is_no_matter_of_this_rule_but_of_another(self):
        first = holding("S2", "Q1") & NC("F1")
        ladder = circuit(Q1=first, Q2=NC("S1") & (NO("S3") & NO("Q1") | NO("Q2")))
        assert found(ladder, self.RULE) == "holds"
        assert found(ladder, off_while("Q2", "Q1", "out")) == "Press S2. Press S3. Trip F1."

    def test_one_step_may_bring_in_both_if_the_first_is_first_in_every_order(self):
        assert found(circuit(Q1=holding("S2", "Q1"), Q2=NO("Q1")), self.RULE) == "holds"

    def test_one_step_may_not_bring_in_both_if_the_order_is_chance(self):
        ladder = circuit(Q1=holding("S2", "Q1"), Q2=holding("S2", "Q2"))
        (verdict,) = prove(ladder, self.RULE).verdicts
        assert (tell(verdict.steps), verdict.seen) == ("Press S2.", "Q2 pulls in")
        assert verdict.why.startswith("For a moment, while the relays change over: ")

    def test_a_lamp_may_be_the_one_that_comes_after(self):
        assert found(circuit(Q1=NO("S2"), P1=NO("Q1")), starts_only_after("P1", "Q1")) == "holds"
        assert found(circuit(Q1=NO("S2"), P1=NC("Q1")), starts_only_after("P1", "Q1")) == "at rest"

    def test_a_second_that_never_starts_shows_nothing(self):
        assert found(circuit(Q1=NO("S2"), Q2=NO("Q1") & NC("Q1")), self.RULE) == "not shown"

    def test_two_different_loads_are_asked_for(self):
        with pytest.raises(LadderError, match="starts_only_after: takes two loads or more, each once"):
            starts_only_after("Q1", "Q1")


class TestCanBeStopped:
    def test_a_stop_before_everything_keeps_it(self):
        common = NC("S9") & NC("S1")
        ladder = Ladder("Mill", [Device("S9", "emergency stop"), *map(Device, ("S1", "S2", "S3", "Q1", "Q2"))])
        ladder.rung(common & (NO("S2") | NO("Q1")), coil("Q1"))
        ladder.rung(common & (NO("S3") | NO("Q2")), coil("Q2"))
        (verdict,) = prove(ladder, can_be_stopped("Q1", "Q2", by=("press S1", "strike S9"))).verdicts
        assert str(verdict) == (
            "holds: Q1 and Q2 can be stopped from every state: when you press S1 or strike S9, Q1 and Q2 are off."
        )

    def test_a_stop_that_stops_one_of_two_breaks_it(self):
        ladder = circuit(Q1=holding("S2", "Q1"), Q2=NO("S3") | NO("Q2"))
        (verdict,) = prove(ladder, can_be_stopped("Q1", "Q2", by="press S1")).verdicts
        assert (tell(verdict.steps), verdict.seen, verdict.expected) == (
            "Press S3. Press S1.",
            "Q2 holds in",
            "Q2 drops out",
        )
        assert verdict.why == (
            "This part is broken: When you press S1, Q1 and Q2 are off, whatever else is pressed. "
            "Current flows through NO S3 to Q2. No contact of S1 stands in this path."
        )

    def test_a_stop_that_a_held_start_overrides_breaks_it(self):
        ladder = circuit(Q1=NO("S2") | NC("S1") & NO("Q1"))
        assert found(ladder, can_be_stopped("Q1", by="press S1")) == "Press S2. Press S1."

    def test_a_state_in_which_no_such_order_can_be_given_breaks_it(self):
        # K1 remembers that S1 was there before S2; then S2 starts Q1 although S1 is held: it cannot be pressed again
        ladder = circuit(Q1=holding("S2", "Q1") | NO("S2") & NO("K1"), K1=NO("S1") & (NC("S2") | NO("K1")))
        rule = can_be_stopped("Q1", by="press S1")
        (verdict,) = prove(ladder, rule).verdicts
        assert (tell(verdict.steps), verdict.seen) == (
            "Press S1. Press S2.",
            "Q1 is in, and none of the orders that stop can be given",
        )
        assert verdict.expected == "one of these orders can be given: press S1"

    def test_a_circuit_that_never_runs_shows_nothing(self):
        assert found(circuit(Q1=NO("S2") & NC("S2") & NC("S1")), can_be_stopped("Q1", by="press S1")) == "not shown"

    def test_each_load_must_be_stopped_and_each_order_must_stop_something(self):
        dead = circuit(Q1=holding("S2", "Q1"), Q2=NO("S3") & NC("S3"))
        assert found(dead, can_be_stopped("Q1", "Q2", by="press S1")) == "not shown"
        never = circuit(Q1=holding("S2", "Q1") & NC("S4"), P1=NO("S4"))
        assert found(never, can_be_stopped("Q1", by=("press S1", "let S4 go"))) == "not shown"

    def test_the_supply_may_be_the_stop(self):
        assert found(circuit(Q1=NO("S2") | NO("Q1")), can_be_stopped("Q1", by="switch the supply off")) == "holds"

    @pytest.mark.parametrize(
        ("make", "match"),
        [
            (lambda: can_be_stopped(by="press S1"), "takes one load or more, each once"),
            (lambda: can_be_stopped("S1", by="press S1"), "S1 is no load"),
            (lambda: can_be_stopped("Q1", by=()), "takes one order or more"),
            (lambda: can_be_stopped("Q1", by="push S1"), "no such order"),
        ],
    )
    def test_what_makes_no_rule_is_refused(self, make, match):
        with pytest.raises(LadderError, match=match):
            make()


class TestNoRaces:
    def test_a_holding_circuit_has_none(self):
        (verdict,) = prove(circuit(Q1=holding("S2", "Q1")), no_races()).verdicts
        assert str(verdict) == "holds: What happens never depends on which relay is quicker, and no coil chatters."

    def test_two_relays_that_lock_one_another_out_race(self):
        (verdict,) = prove(circuit(K1=NO("S1") & NC("K2"), K2=NO("S1") & NC("K1")), no_races()).verdicts
        assert (tell(verdict.steps), verdict.seen) == ("Press S1.", "K1 ends up in or out, by chance")
        assert verdict.expected == "the same outcome every time"

    def test_interlocked_contactors_race_when_both_starts_are_held_and_stop_is_let_go(self):
        up = holding("S2", "Q1") & NC("Q2")
        down = holding("S3", "Q2") & NC("Q1")
        assert found(circuit(Q1=up, Q2=down), no_races()) == "Press S1. Press S2. Press S3. Let S1 go."
        assert found(circuit(Q1=up & NC("S3"), Q2=down & NC("S2")), no_races()) == "holds"

    def test_chatter_anywhere_breaks_it(self):
        ladder = circuit(Q1=holding("S2", "Q1"), K7=NO("S3") & NC("K7"))
        (verdict,) = prove(ladder, no_races()).verdicts
        assert (tell(verdict.steps), verdict.seen) == ("Press S3.", "the coils chatter")

    def test_a_circuit_in_which_no_coil_ever_pulls_in_shows_nothing(self):
        (verdict,) = prove(circuit(P1=NO("S1")), no_races()).verdicts
        assert (verdict.outcome, verdict.why) == ("not shown", "No coil ever pulls in.")

    def test_it_takes_no_condition(self):
        with pytest.raises(LadderError, match="speaks of every case and takes no condition"):
            no_races().unless("Q1", "in")
