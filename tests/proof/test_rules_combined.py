"""Conditions, and rules made of rules."""

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil
from rungbook.behaviour import tell
from rungbook.proof import (
    all_of,
    any_of,
    holds_in,
    off_while,
    prove,
    pulls_in,
    starts_only_after,
    stays_off,
)


def elevator(interlock=True):
    ladder = Ladder("Apple elevator")
    up, down = NC("S1") & (NO("S2") | NO("Q1")), NC("S1") & (NO("S3") | NO("Q2"))
    ladder.rung(up & NC("Q2") if interlock else up, coil("Q1"))
    ladder.rung(down & NC("Q1") if interlock else down, coil("Q2"))
    return ladder


def pump(way):
    ladder = Ladder("Wash pump")
    ladder.rung(way, coil("Q1"))
    return ladder


HOLDING = NC("S1") & (NO("S2") | NO("Q1"))
START, HOLD, STOP = pulls_in("Q1", when="press S2"), holds_in("Q1", after="let S2 go"), off_while("Q1", "S1", "pressed")


def one(ladder, rule, **how):
    return prove(ladder, rule, **how).verdicts[0]


class TestConditions:
    def test_a_start_that_the_interlock_refuses_is_no_breach_if_the_rule_leaves_it_out(self):
        start = pulls_in("Q2", when="press S3")
        assert tell(one(elevator(), start).steps) == "Press S2. Let S2 go. Press S3."
        assert (
            str(one(elevator(), start.unless("Q1", "in"))) == "holds: Q2 pulls in when you press S3, unless Q1 is in."
        )

    def test_pressing_reverse_while_forward_is_in_leaves_reverse_out(self):
        # interlock of a reversing starter: M1 on, press R, M2 stays off (check-values 6.12)
        rule = stays_off("Q2", when="press S3").only_while("Q1", "in")
        assert str(one(elevator(), rule)) == "holds: Q2 stays out when you press S3, if Q1 is in."
        broken = one(elevator(interlock=False), rule)
        assert (tell(broken.steps), broken.seen) == ("Press S2. Press S3.", "Q2 pulls in")

    def test_a_condition_that_never_comes_leaves_the_rule_untested(self):
        ladder = elevator()
        ladder.rung(NO("S4") & NC("S4"), coil("K1"))
        assert one(ladder, stays_off("Q2", when="press S3").only_while("K1", "in")).outcome == "not shown"

    def test_signs_of_life_may_come_from_any_case(self):
        # Q2 comes on only while Q1 is out, which is not a case of this rule, and it counts all the same
        dead = elevator()
        assert one(dead, stays_off("Q2", when="press S3").only_while("Q1", "in")).holds
        never = Ladder()
        never.rung(HOLDING, coil("Q1"))
        never.rung(NO("S3") & NC("S3"), coil("Q2"))
        assert one(never, stays_off("Q2", when="press S3").only_while("Q1", "in")).outcome == "not shown"

    def test_of_a_rule_about_states_it_is_asked_of_that_very_state(self):
        panel = [Device("S5", "two-position selector", label="jog"), *map(Device, ("S1", "S2", "Q1"))]
        ladder = Ladder("Mill", panel)
        ladder.rung(NO("S2") & (NC("S1") | NO("S5")), coil("Q1"))
        broken = one(ladder, STOP)
        assert (broken.outcome, tell(broken.steps)) == ("broken", "Press S2. Press S1. Turn S5 on.")
        kept = one(ladder, STOP.unless("S5", "on"))
        assert str(kept) == "holds: Q1 is out whenever S1 is pressed, unless S5 (jog) is on."
        also = one(ladder, STOP.only_while("S5", "on"))
        assert tell(also.steps) == "Press S2. Press S1. Turn S5 on."

    def test_two_conditions_are_both_asked(self):
        rule = pulls_in("Q2", when="press S3").unless("Q1", "in").only_while("S1", "released")
        assert one(elevator(), rule).holds
        assert rule.sentence == "Q2 pulls in when you press {S3}, unless Q1 is in, if {S1} is released."

    def test_a_position_that_the_device_cannot_have_is_refused(self):
        with pytest.raises(LadderError, match="unless: Q1 has no such position"):
            START.unless("Q1", "pressed")


class TestBoth:
    def test_it_holds_if_every_part_does(self):
        found = one(pump(HOLDING), START & HOLD & STOP)
        assert str(found) == (
            "holds: Q1 pulls in when you press S2. Q1 holds in when you let S2 go. Q1 is out whenever S1 is pressed."
        )

    def test_the_part_that_is_broken_is_named(self):
        found = one(pump(NC("S1") & NO("S2")), START & HOLD)
        assert str(found) == (
            "broken: Q1 pulls in when you press S2. Q1 holds in when you let S2 go. Press S2. Let S2 go. "
            "Seen: Q1 drops out. Expected: Q1 holds in. This part is broken: Q1 holds in when you let S2 go. "
            "There is no closed path around S2 (wires 3–4) after it opens."
        )

    def test_no_part_is_named_where_chatter_breaks_them_all(self):
        found = one(pump(NO("S2") & NC("Q1")), START & off_while("Q1", "F1", "tripped"))
        assert found.why == ("The coils open their own ways, or one another's, and close them again without end.")

    def test_of_two_broken_parts_the_nearer_one_is_shown(self):
        found = one(pump(NC("S1") & NO("S2")), HOLD & off_while("Q1", "S2", "pressed"))
        assert tell(found.steps) == "Press S2."

    def test_a_part_that_is_not_shown_leaves_the_whole_not_shown(self):
        found = one(pump(HOLDING), START & off_while("Q1", "F1", "tripped"))
        assert (found.outcome, found.why) == (
            "not shown",
            "This part is not shown: Q1 is out whenever F1 is tripped. F1 is not used in this ladder.",
        )

    def test_a_condition_on_both_is_a_condition_on_each(self):
        both = (pulls_in("Q2", when="press S3") & pulls_in("Q1", when="press S2")).unless("Q1", "in")
        assert both.parts[0].sentence == "Q2 pulls in when you press {S3}, unless Q1 is in."
        assert tell(one(elevator(), both).steps) == "Press S3. Let S3 go. Press S2."
        assert one(elevator(), both.unless("Q2", "in")).holds


class TestOneOrTheOther:
    def test_it_holds_if_one_part_does(self):
        found = one(pump(NC("S1") & NO("S2")), HOLD | STOP)
        assert str(found) == (
            "holds: One of these holds: Q1 holds in when you let S2 go; or: Q1 is out whenever S1 is pressed."
        )

    def test_if_all_are_broken_each_is_told(self):
        found = one(pump(NO("S2") & (NC("S1") | NO("S2"))), HOLD | STOP)
        assert str(found) == (
            "broken: One of these holds: Q1 holds in when you let S2 go; or: Q1 is out whenever S1 is pressed. "
            "Press S2. Let S2 go. Seen: Q1 drops out. Expected: Q1 holds in. "
            "This part is broken: Q1 holds in when you let S2 go. "
            "There is no closed path around S2 (wires 1–3) after it opens. "
            "So is this one: Q1 is out whenever S1 is pressed. Press S2. Press S1. Seen: Q1 holds in."
        )

    def test_a_broken_part_and_one_that_is_not_shown_are_not_shown(self):
        found = one(pump(NC("S1") & NO("S2")), HOLD | off_while("Q1", "F1", "tripped"))
        assert (found.outcome, found.steps) == ("not shown", ())

    def test_past_the_limit_the_whole_is_not_decided(self):
        assert one(pump(HOLDING), START | STOP, limit=3).outcome == "not decided"


class TestMaking:
    def test_nothing_to_join_is_refused(self):
        for make in (all_of, any_of):
            with pytest.raises(LadderError, match="takes one rule or more"):
                make()

    def test_what_is_no_rule_is_refused(self):
        with pytest.raises(TypeError):
            START & "Q1 is off"
        with pytest.raises(LadderError, match="any_of: takes one rule or more"):
            any_of(START, None)

    def test_and_or_not_would_lose_a_rule_and_are_refused(self):
        with pytest.raises(LadderError, match="rules are joined with &"):
            bool(START and HOLD)

    def test_one_alone_is_told_as_it_is(self):
        assert str(one(pump(HOLDING), any_of(START))) == "holds: Q1 pulls in when you press S2."

    def test_what_can_hurt_in_a_part_can_hurt_in_the_whole(self):
        assert (START & STOP).protects
        assert starts_only_after("Q2", "Q1").protects
        assert not (START | HOLD).protects
