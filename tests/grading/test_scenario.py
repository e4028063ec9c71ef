import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.grading import mark, scenario


def pump(way=None):
    ladder = Ladder("Pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) if way is None else way, coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def delayed(setting="on-delay 5 s"):
    timer = Device("K1", "timer relay", setting=setting)
    ladder = Ladder("Mill", [Device("S1", "two-position selector"), timer, Device("Q1")])
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1", "17-18"), coil("Q1"))
    return ladder


STORY = (
    ("", {"Q1": "out"}),
    ("press S2", {"Q1": "in", "P1": "lit"}),
    ("let S2 go", {"Q1": "in"}),
    ("press S1", {"Q1": "out"}),
    ("let S1 go", {"Q1": "out"}),
)
ASK = scenario(STORY, 8, "the holding contact", solution=pump())


class TestPoints:
    @pytest.mark.parametrize(
        ("way", "share"),
        [
            (None, 1),
            (NC("S1") & NO("S2"), 1 / 4),  # right up to the first moment of four that goes wrong
            (NO("S2") | NO("Q1"), 2 / 4),
            (NO("S2") & NC("S2"), 0),  # dead: what it does by doing nothing earns nothing
            (NC("S3"), 0),  # in from the beginning
        ],
    )
    def test_they_are_shared_by_the_moments_up_to_the_first_wrong_one(self, way, share):
        assert ASK.judge(pump(way), ()).earned == share

    def test_or_given_for_all_moments_only(self):
        ask = scenario(STORY, 8, solution=pump(), all_or_nothing=True)
        assert ask.judge(pump(NO("S2") | NO("Q1")), ()).earned == 0
        assert ask.judge(pump(), ()).met

    def test_mark_adds_them_up(self, capsys):
        assert mark("pump", {"pump": pump(NC("S1") & NO("S2"))}, ASK) == 2
        out = capsys.readouterr().out
        assert "First to mend: Press S2. Let S2 go. Q1 is out.\n    Expected: Q1 is in.\n" in out
        assert "Look at: the holding contact" in out
        assert "  partly met      2/8     Q1 and P1 do as asked in a run of the work." in out


class TestFinding:
    def test_it_tells_the_orders_and_shows_them(self):
        found = ASK.judge(pump(NC("S1") & NO("S2")), ())
        assert (found.done, found.seen, found.expected) == ("Press S2. Let S2 go.", "Q1 is out", "Q1 is in")
        assert found.picture.splitlines() == [
            "order     at rest     press S2   let S2 go",
            "S2        _ released _/ pressed =\\ released _",
            "P1        _ dark _____/ lit =====\\ dark _____",
            "Q1        _ out ______/ in ======\\ out ______",
            "Q1 asked  _ out ______/ in ======= in =======",
        ]

    def test_a_timed_circuit_is_judged_in_time_and_the_picture_has_the_times(self):
        ask = scenario([("turn S1 on, wait 4 s", {"Q1": "out"}), ("wait 2 s", {"Q1": "in"})], 4, solution=delayed())
        assert ask.judge(delayed("on-delay 5.5 s"), ()).met  # the exercise decides what is set on K1
        late = Ladder("Mill", [Device("K2", "timer relay", setting="on-delay 7 s"), *map(Device, ("S1", "Q1"))])
        late.rung(NO("S1"), coil("K2"))
        late.rung(NO("K2", "17-18"), coil("Q1"))
        found = ask.judge(late, ())
        assert (found.done, found.seen) == ("Turn S1 on. Wait 4 s. Wait 2 s.", "Q1 is out")
        assert found.picture.splitlines() == [
            "order     at rest turn S1 on, wait 2 s",
            "                  wait 4 s",
            "time      1 s     5 s         7 s",
            "S1        _ off __/ on ======== on ====",
            "Q1        _ out _______________ out ___",
            "Q1 asked          _ out ______/ in ====",
        ]

    def test_a_race_is_wrong_from_there_on(self):
        race = Ladder()
        race.rung(NO("S2") & NC("K1"), coil("Q1"))
        race.rung(NO("S2") & NC("Q1"), coil("K1"))
        found = scenario([("press S2", {"Q1": "in"})], 1, solution=pump()).judge(race, ())
        assert (found.earned, found.seen) == (0, "A race: the outcome depends on which relay is quicker")

    def test_chatter_is_wrong_too(self):
        found = scenario([("press S2", {"Q1": "in"})], 1, solution=pump()).judge(pump(NO("S2") & NC("Q1")), ())
        assert found.seen.startswith("Q1 chatters")

    def test_an_order_that_cannot_be_given_says_why(self):
        ask = scenario([("press S2", {"Q1": "in"})], 1, solution=pump())
        found = ask.judge(pump(), (Device("S2", "two-position selector"),))
        assert found.earned == 0
        assert found.because.startswith("Script: no such order here. Given: 'press S2'.")

    def test_a_load_that_is_not_there_is_told(self):
        lonely = Ladder()
        lonely.rung(NO("S2"), coil("K1"))
        assert ASK.judge(lonely, ()).seen == "Q1 is not used"


class TestInstructorMistakes:
    @pytest.mark.parametrize(
        ("moments", "rule"),
        [
            ((), "some moment must ask for a load that is on"),
            ((("press S1", {"Q1": "out"}),), "some moment must ask for a load that is on"),
            ((("press S2", {}),), "a moment is an order and device -> position"),
            ((("press S2", {"Q9": "in"}),), "no device Q9 in the solution"),
            ((("press S2", {"Q1": "on"}),), "Q1 has no such position"),
            ((("press S9", {"Q1": "in"}),), "the solution does not do what is asked. .*no such order"),
            ((("press S1", {"Q1": "in"}),), "the solution does not do what is asked. Press S1. Q1 is out."),
        ],
    )
    def test_a_story_that_the_solution_does_not_follow_is_refused(self, moments, rule):
        with pytest.raises(LadderError, match=rule):
            scenario(moments, 5, solution=pump())

    def test_a_solution_with_a_race_is_refused(self):
        race = Ladder()
        race.rung(NO("S2") & NC("K1"), coil("Q1"))
        race.rung(NO("S2") & NC("Q1"), coil("K1"))
        with pytest.raises(LadderError, match=r"does not do what is asked\. Press S2\. A race"):
            scenario([("press S2", {"Q1": "in"})], 5, solution=race)
