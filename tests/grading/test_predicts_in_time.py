"""Scripts with waits that a student foretells, and settings that the exercise leaves to the student."""

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil
from rungbook.grading import mark, must, predicts, scenario
from rungbook.proof import comes_within


def staggered(setting="on-delay 5 s", elevator=None):
    """The mill Q1, and the elevator Q2 behind timer K4."""
    tags = ("S1", "S2", "Q1", "Q2")
    ladder = Ladder("Staggered start", [*map(Device, tags), Device("K4", "timer relay", setting=setting)])
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    ladder.rung(NO("Q1"), coil("K4"))
    ladder.rung(NO("K4") if elevator is None else elevator, coil("Q2"))
    return ladder


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
