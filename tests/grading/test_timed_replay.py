"""Findings with waits done again on the timeline: literal pictures with a row of times."""

from dataclasses import replace

import pytest

from rungbook import NC, NO, Device, Ladder, coil, lamp, prove
from rungbook.grading import must, same_as
from rungbook.grading.replay import rule_picture
from rungbook.proof import holds_in, never_together, off_while
from rungbook.proof.timed import comes_within, goes_off_within, stays_off_for


def staggered(seconds):
    """The second motor follows the first one after a time."""
    timer = Device("K1", "timer relay", setting=f"on-delay {seconds} s")
    ladder = Ladder("Mill", [timer, *map(Device, ("S1", "S2", "Q1", "Q2"))])
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    ladder.rung(NO("Q1"), coil("K1"))
    ladder.rung(NO("K1") & NC("S1"), coil("Q2"))
    return ladder


def lines(finding):
    assert not finding.met
    return finding.picture.splitlines()


def test_a_staggered_start_that_comes_too_early_breaks_a_rule_about_times():
    assert lines(must(stays_off_for("Q2", 5, after="press S2"), 5).judge(staggered(3), ())) == [
        "order     at rest     press S2   wait 4 s",
        "time      0 s         1 s        5 s",
        "S2        _ released _/ pressed == pressed =",
        "Q1        _ out ______/ in ======= in ======",
        "K1        _ out _________________/ in ======",
        "Q2        _ out _________________/ in ======",
        "Q2 asked                         _ out _____",
    ]


def test_a_staggered_start_that_comes_too_early_is_not_the_same():
    assert lines(same_as(staggered(5), 5, ["Q2"]).judge(staggered(3), ())) == [
        "order     at rest     press S2   wait 4 s",
        "time      0 s         1 s        5 s",
        "S2        _ released _/ pressed == pressed =",
        "Q1        _ out ______/ in ======= in ======",
        "K1        _ out _________________/ in ======",
        "Q2        _ out _________________/ in ======",
        "Q2 asked  _ out __________________ out _____",
    ]


def test_one_that_comes_too_late_shows_what_is_asked_in_the_end():
    assert lines(must(comes_within("Q2", 2, after="press S2"), 5).judge(staggered(3), ())) == [
        "order     at rest     press S2   wait 2.5 s",
        "time      0 s         1 s        3.5 s",
        "S2        _ released _/ pressed == pressed =",
        "Q1        _ out ______/ in ======= in ======",
        "Q2        _ out __________________ out _____",
        "Q2 asked                         = in ======",
    ]


def test_after_a_wait_shorter_than_a_second_the_order_before_it_is_looked_at_sooner():
    found = must(comes_within("Q2", 0.2, after="press S2"), 5).judge(staggered(0.5), ())
    assert lines(found) == [
        "order     at rest     press S2   wait 0.4 s",
        "time      0 s         1 s        1.4 s",
        "S2        _ released _/ pressed == pressed =",
        "Q1        _ out ______/ in ======= in ======",
        "Q2        _ out __________________ out _____",
        "Q2 asked                         = in ======",
    ]


def test_where_no_wait_is_told_a_second_passes_after_the_last_order():
    found = must(stays_off_for("Q2", 5, after="press S2"), 5).judge(staggered(0.5), ())
    assert found.done == "Press S2."
    assert lines(found)[-2:] == ["Q2        _ out ______/ in ======", "Q2 asked              _ out _____"]


def test_a_rule_without_times_on_a_ladder_with_a_timer_has_a_row_of_times_too():
    found = lines(must(off_while("Q2", "Q1", "in"), 5).judge(staggered(3), ()))
    assert found[1] == "time      0 s         1 s        5 s"
    assert found[-1] == "Q2 asked                         _ out _____"


def test_a_rule_about_times_on_a_ladder_without_timers():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    found = lines(must(goes_off_within("P1", 2, after="let S2 go"), 5).judge(ladder, ()))
    assert [line.split()[0] for line in found] == ["order", "time", "S2", "Q1", "P1", "P1"]
    assert found[-1].split() == ["P1", "asked", "_", "dark", "_____"]


def test_the_panel_of_the_exercise_decides_the_words():
    rule = stays_off_for("Q2", 5, after="turn S2 on")
    panel = (Device("S1"), Device("S2", "two-position selector"), Device("Q1"), Device("Q2"))
    timer = Device("K1", "timer relay", setting="on-delay 3 s")
    ladder = Ladder("Mill", [timer, *panel])
    ladder.rung(NC("S1") & NO("S2"), coil("Q1"), coil("K1"))
    ladder.rung(NO("K1"), coil("Q2"))
    assert "turn S2 on" in must(rule, 5).judge(ladder, panel).picture


class TestNoPicture:
    def test_if_the_timeline_ends_otherwise_than_the_finding_says(self):
        rule = stays_off_for("Q2", 5, after="press S2")
        (verdict,) = prove(staggered(3), rule).verdicts
        assert rule_picture(staggered(3), (), rule, verdict)
        assert rule_picture(staggered(3), (), rule, replace(verdict, seen="Q2 stays out")) == ""
        assert rule_picture(staggered(3), (), rule, replace(verdict, steps=verdict.steps[:1])) == ""
        assert rule_picture(staggered(5), (), rule, verdict) == ""

    def test_of_what_is_about_two_loads(self):
        rule = never_together("Q1", "Q2")
        (verdict,) = prove(staggered(3), rule).verdicts
        assert verdict.outcome == "broken"
        assert rule_picture(staggered(3), (), rule, verdict) == ""

    @pytest.mark.parametrize("wanted", ["in", "out"])
    def test_of_a_race_that_goes_the_other_way(self, wanted):
        # a jog button in the holding path: on the timeline the hand is quick, so the contactor holds
        timer = Device("K1", "timer relay", setting="on-delay 3 s")
        ladder = Ladder("Wash pump", [timer, *map(Device, ("S1", "S2", "S3", "Q1", "Q2"))])
        ladder.rung(NC("S1") & (NO("S2") | NO("S3") | NC("S3") & NO("Q1")), coil("Q1"))
        ladder.rung(NO("Q1"), coil("K1"))
        ladder.rung(NO("K1"), coil("Q2"))
        rule = holds_in("Q1", after="let S3 go")
        (verdict,) = prove(ladder, rule).verdicts
        assert verdict.seen == "Q1 drops out"
        other = replace(verdict, seen="Q1 holds in", expected="Q1 drops out")
        assert bool(rule_picture(ladder, (), rule, other if wanted == "in" else verdict)) is (wanted == "in")
