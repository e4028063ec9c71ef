"""Pictures of findings on circuits with timers, and scripts with waits that a student foretells."""

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil
from rungbook.grading import mark, must, predicts, same_as, scenario
from rungbook.proof import comes_within, off_while, stays_off_for


def staggered(setting="on-delay 5 s", elevator=None):
    """The mill Q1, and the elevator Q2 behind timer K4."""
    tags = ("S1", "S2", "Q1", "Q2")
    ladder = Ladder("Staggered start", [*map(Device, tags), Device("K4", "timer relay", setting=setting)])
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    ladder.rung(NO("Q1"), coil("K4"))
    ladder.rung(NO("K4") if elevator is None else elevator, coil("Q2"))
    return ladder


class TestPictures:
    def test_a_rule_about_times_shows_the_wait_as_a_column_and_what_is_asked_at_its_end(self):
        found = must(comes_within("Q2", 5, after="press S2"), 1).judge(staggered("on-delay 8 s"), ())
        assert found.done == "Press S2. Wait 6 s."
        assert found.picture.splitlines() == [
            "order     at rest     press S2   wait 6 s",
            "time      1 s         1.2 s      7 s",
            "S2        _ released _/ pressed == pressed =",
            "Q1        _ out ______/ in ======= in ======",
            "Q2        _ out __________________ out _____",
            "Q2 asked                         = in ======",
        ]

    def test_what_comes_too_early_is_asked_to_be_off(self):
        found = must(stays_off_for("Q2", 5, after="press S2"), 1).judge(staggered("on-delay 2 s"), ())
        assert found.picture.splitlines()[-2:] == [
            "Q2        _ out _________________/ in ======",
            "Q2 asked                         _ out _____",
        ]

    def test_a_rule_that_knows_no_time_is_shown_in_time_too(self):
        held = staggered(elevator=NO("K4") | NO("Q2"))
        found = must(off_while("Q2", "Q1", "out"), 1).judge(held, ())
        assert found.done == "Press S2. Wait 6 s. Press S1."
        assert [line.split()[0] for line in found.picture.splitlines()] == [
            "order",
            "time",
            "S1",
            "S2",
            "Q1",
            "K4",
            "Q2",
            "Q2",
        ]

    def test_the_setting_that_the_exercise_leaves_open_is_the_students(self):
        open_setting = (Device("K4", "timer relay"),)
        found = must(comes_within("Q2", 5, after="press S2"), 1).judge(staggered("on-delay 8 s"), open_setting)
        assert "Q2 asked" in found.picture

    def test_a_difference_shows_what_is_asked_from_the_beginning(self):
        found = same_as(staggered(), 1, ["Q2"]).judge(staggered(elevator=NO("Q1")), ())
        assert found.picture.splitlines()[-2:] == [
            "Q2        _ out ______/ in ======",
            "Q2 asked  _ out _______ out _____",
        ]


class TestScriptsInTime:
    SCRIPTS = ("press S2, wait 3 s", "press S2, let S2 go, wait 6 s, press S1")

    def test_what_is_right_is_found_by_running_them(self, capsys):
        ask = predicts(staggered(), "Q2", (*self.SCRIPTS, "press S2, wait 7 s"), 6)
        form = dict.fromkeys(self.SCRIPTS, "out") | {"press S2, wait 7 s": "In"}
        assert mark("form", {"form": form}, ask) == 6
        form["press S2, wait 7 s"] = "out"
        assert mark("form", {"form": form}, ask) == 4
        out = capsys.readouterr().out
        assert "Press S2. Wait 7 s. You wrote 'out'.\n    Expected: Q2 is in.\n" in out
        assert "Q2 has been in since 5 s after the order 'press S2'." in out
        assert "Q2     _ out _________________/ in ======" in out

    def test_one_that_ends_while_something_changes_is_refused(self):
        with pytest.raises(LadderError, match="end while nothing changes"):
            predicts(staggered(), "Q2", ["press S2, wait 5 s"], 2)

    def test_a_device_that_is_not_there_is_refused(self):
        with pytest.raises(LadderError, match="no device Q9 on this ladder"):
            predicts(staggered(), "Q9", ["press S2, wait 3 s"], 2)


def test_a_timer_without_a_setting_earns_nothing_and_says_what_is_missing(capsys):
    ask = must(comes_within("Q2", 5, after="press S2"), 3)
    site = [Device("K4", "timer relay")]
    assert mark("mill", {"mill": staggered("")}, ask, devices=site) == 0
    assert "Timer K4: nothing is set on it" in capsys.readouterr().out


def test_a_story_runs_with_the_students_setting_where_the_exercise_leaves_it_open():
    story = [("press S2, wait 6 s", {"Q2": "in"})]
    ask = scenario(story, 2, solution=staggered())
    assert not ask.judge(staggered("on-delay 9 s", NO("K4") & NC("Q2")), ()).met
