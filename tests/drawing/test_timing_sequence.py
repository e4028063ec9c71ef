"""The orders of a verdict or a comparison as a timing diagram, with lanes of both ladders where they differ."""

from __future__ import annotations

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, compare, draw, lamp, prove
from rungbook.drawing import draw_sequence
from rungbook.proof import off_while

from .figures import groups, words


def pump() -> Ladder:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1"))
    return ladder


def start_wins() -> Ladder:
    ladder = Ladder("Wash pump")
    ladder.rung(NO("S2") | (NC("S1") & NO("Q1")), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1"))
    return ladder


def delay(setting: str) -> Ladder:
    panel = [Device("S1", "two-position selector"), Device("K1", "timer relay", setting=setting), Device("Q1")]
    ladder = Ladder("Vat agitator", panel)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1"), coil("Q1"))
    return ladder


def lanes(svg: str) -> dict[str, list[str]]:
    return {group.get("data-label", ""): words(group) for group in groups(svg, "lane")}


class TestComparison:
    def test_loads_that_differ_have_a_lane_of_each_ladder_and_the_others_one(self) -> None:
        found = compare(start_wins(), pump())
        assert [step.order for step in found.steps] == ["press S2", "press S1"]
        picture = draw_sequence(found, start_wins(), pump())
        assert lanes(picture.svg) == {
            "S1": ["released", "pressed"],
            "S2": ["released", "pressed"],
            "Q1, yours": ["out", "in"],
            "Q1, asked": ["out", "in", "out"],
            "P1, yours": ["dark", "lit"],
            "P1, asked": ["dark", "lit", "dark"],
        }
        assert "Yours: Q1 holds in. Asked: Q1 drops out." in picture.description

    def test_a_load_that_yours_has_not_is_said_to_be_missing(self) -> None:
        mine = Ladder("Wash pump")
        mine.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
        picture = draw_sequence(compare(mine, pump()), mine, pump())
        assert lanes(picture.svg)["P1, yours"] == ["dark"]
        assert lanes(picture.svg)["P1, asked"] == ["dark", "lit"]
        assert "P1, yours (not in this ladder): dark." in picture.description

    def test_with_timers_each_ladder_keeps_its_own_setting_and_the_axis_is_time(self) -> None:
        mine, asked = delay("on-delay 5 s"), delay("on-delay 8 s")
        picture = draw_sequence(compare(mine, asked), mine, asked)
        assert groups(picture.svg, "axis")
        assert lanes(picture.svg)["Q1, yours"] == ["out", "in"]
        assert lanes(picture.svg)["Q1, asked"] == ["out"]
        assert "K1 time (on-delay, set to 5 s)" in picture.description

    def test_a_device_that_only_yours_has_can_be_operated_in_both(self) -> None:
        mine = Ladder("Wash pump")
        mine.rung(NC("S1") & (NO("S2") | NO("Q1") | NO("S3")), coil("Q1"))
        mine.rung(NO("Q1"), lamp("P1"))
        picture = draw_sequence(compare(mine, pump()), mine, pump())
        assert lanes(picture.svg)["S3"] == ["released", "pressed"]


class TestVerdict:
    def test_a_broken_rule_is_drawn_with_what_was_seen_and_expected(self) -> None:
        ladder = start_wins()
        (verdict,) = prove(ladder, off_while("Q1", "S1", "pressed")).verdicts
        picture = draw_sequence(verdict, ladder)
        assert lanes(picture.svg)["Q1"][-1] == "in"
        told = " ".join(words(groups(picture.svg, "notes")[0]))
        assert told.startswith("Broken: Q1 is out whenever S1 is pressed. Seen: ")
        assert "Expected: " in told

    def test_the_steps_alone_will_do(self) -> None:
        found = compare(start_wins(), pump())
        assert lanes(draw_sequence(found.steps, pump()).svg)["Q1"] == ["out", "in", "out"]


class TestBadInput:
    def test_where_nothing_was_found_there_is_nothing_to_draw(self) -> None:
        with pytest.raises(LadderError, match="no difference was found"):
            draw_sequence(compare(pump(), pump()), pump(), pump())
        (verdict,) = prove(pump(), off_while("Q1", "S1", "pressed")).verdicts
        with pytest.raises(LadderError, match="a rule that is not broken"):
            draw_sequence(verdict, pump())

    def test_other_things_are_refused(self) -> None:
        with pytest.raises(LadderError, match="draws the orders of a finding"):
            draw_sequence("press S1", pump())  # type: ignore[arg-type]
        with pytest.raises(LadderError, match="works on Ladders"):
            draw_sequence(compare(start_wins(), pump()), "Wash pump")  # type: ignore[arg-type]

    def test_draw_says_which_verb_takes_a_finding(self) -> None:
        with pytest.raises(LadderError, match="draw_sequence"):
            draw(compare(start_wins(), pump()))  # type: ignore[arg-type]
