"""Rules about two or more loads at once: never together, only one."""

import pytest

from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.behaviour import tell
from rungbook.proof import does_not_start, needs_a_fresh_start, never_together, only_one, prove


def three(one=True, two=True, three=True):
    """Three contactors, each with contacts of the others before it where it says so."""
    ladder = Ladder("Vat agitator, three speeds")
    for k, (guarded, others) in enumerate(((one, (2, 3)), (two, (1, 3)), (three, (1, 2))), 1):
        way = NC("S1") & (NO(f"S{k + 1}") | NO(f"Q{k}"))
        ladder.rung(way & NC(f"Q{others[0]}") & NC(f"Q{others[1]}") if guarded else way, coil(f"Q{k}"))
    return ladder


class TestNeverTogether:
    RULE = never_together("Q1", "Q2", "Q3")

    def test_contacts_of_all_others_in_the_way_of_each_keep_it(self):
        (verdict,) = prove(three(), self.RULE).verdicts
        assert str(verdict) == "holds: No two of Q1, Q2 and Q3 are ever in together, not even for a moment."

    def test_none_at_all_breaks_it(self):
        (verdict,) = prove(three(False, False, False), self.RULE).verdicts
        assert (tell(verdict.steps), verdict.seen) == ("Press S2. Press S3.", "Q1 and Q2 are in together")
        assert verdict.expected == "at most one of Q1, Q2 and Q3 is in"
        assert verdict.why == (
            "Current flows through NC S1, NO S3 to Q2. NO S3 (wires 5–6) closed when S3 was pressed."
        )

    def test_one_without_them_is_found_out_in_passing(self):
        (verdict,) = prove(three(three=False), self.RULE).verdicts
        assert (tell(verdict.steps), verdict.seen) == ("Press S2. Press S4.", "Q1 and Q3 are in together")
        assert verdict.why.startswith("For a moment, while the relays change over: ")

    def test_two_are_told_as_two(self):
        assert never_together("Q1", "P1").sentence == "Q1 and P1 are never on together, not even for a moment."

    def test_it_is_shown_only_if_each_comes_on(self):
        ladder = three()
        ladder.rung(NO("S5") & NC("S5"), coil("Q4"))
        assert prove(ladder, never_together("Q1", "Q2", "Q4")).verdicts[0].outcome == "not shown"

    @pytest.mark.parametrize("make", [never_together, only_one])
    @pytest.mark.parametrize("loads", [("Q1",), (), ("Q1", "Q1"), ("Q1", "S1")])
    def test_fewer_than_two_loads_are_refused(self, make, loads):
        with pytest.raises(LadderError):
            make(*loads)


class TestOnlyOne:
    def lamps(self, second):
        ladder = Ladder("Press pump")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
        ladder.rung(NO("Q1"), lamp("P1", "green"))
        ladder.rung(second, lamp("P2", "white"))
        return ladder

    def test_lamps_that_change_over_keep_it(self):
        (verdict,) = prove(self.lamps(NC("Q1")), only_one("P1", "P2")).verdicts
        assert str(verdict) == "holds: At most one of P1 and P2 is lit at a time."

    def test_a_lamp_that_is_always_lit_breaks_it(self):
        (verdict,) = prove(self.lamps(NC("S3")), only_one("P1", "P2")).verdicts
        assert str(verdict) == (
            "broken: At most one of P1 and P2 is lit at a time. Press S2. Seen: P1 and P2 are lit together. "
            "Expected: at most one of P1 and P2 is lit. Current flows through NO Q1 to P1. "
            "No contact of S2 stands in this path."
        )

    def test_a_moment_while_relays_change_over_does_not_count(self):
        one_sided = Ladder()
        one_sided.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1"))
        one_sided.rung(NC("S1") & (NO("S3") | NO("Q2")), coil("Q2"))
        assert prove(one_sided, only_one("Q1", "Q2"))
        assert not prove(one_sided, never_together("Q1", "Q2"))

    def test_it_is_shown_only_if_each_lights(self):
        assert prove(self.lamps(NO("S3") & NC("S3")), only_one("P1", "P2")).verdicts[0].outcome == "not shown"


class TestFreshStart:
    @pytest.mark.parametrize("order", ["reset F1", "switch the supply on"])
    def test_it_is_the_rule_that_nothing_starts_by_itself_in_other_words(self, order):
        ladder = Ladder("Wash pump")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
        (verdict,) = prove(ladder, needs_a_fresh_start("Q1", after=order)).verdicts
        assert str(verdict) == f"holds: When you {order}, Q1 waits for a fresh start."

    def test_two_wire_control_breaks_both_by_the_same_orders(self):
        ladder = Ladder("Cellar fan")
        ladder.rung((NO("S2") | NO("K1")) & NC("F1"), coil("Q1"))
        ladder.rung(NO("S2") | NO("K1"), coil("K1"))
        rules = (needs_a_fresh_start("Q1", after="reset F1"), does_not_start("Q1", by="reset F1"))
        told = [tell(verdict.steps) for verdict in prove(ladder, *rules).verdicts]
        assert told == ["Press S2. Let S2 go. Trip F1. Reset F1."] * 2
