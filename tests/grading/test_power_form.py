"""A form of main wires: what the motor does with them decides, and is told."""

import pytest

from rungbook import LadderError
from rungbook.circuit.power import reversing
from rungbook.grading import mark, power_form

PLACES = {"Q1:2/T1": "1T1", "Q1:4/T2": "1T2", "Q1:6/T3": "1T3"}
CASES = [(("Q9", "Q2"), "M1", "runs backwards"), (("Q9", "Q1"), "M1", "runs forwards")]
ASK = power_form(reversing("Apple elevator"), "Q2", PLACES, CASES, 10, "which two lines change places")


def form(*words):
    return dict(zip(("Q2:2/T1", "Q2:4/T2", "Q2:6/T3"), words, strict=False))


def found(*words):
    return ASK.judge(form(*words), ())


class TestJudged:
    @pytest.mark.parametrize("order", ["321", "213", "132"])
    def test_any_two_lines_swapped_are_right(self, order):
        assert found(*(list(PLACES)[int(n) - 1] for n in order)).met

    @pytest.mark.parametrize(("order", "phases"), [("123", "L1 L2 L3"), ("231", "L3 L1 L2"), ("312", "L2 L3 L1")])
    def test_all_three_moved_on_are_not_and_the_phases_are_told(self, order, phases):
        told = found(*(list(PLACES)[int(n) - 1] for n in order))
        assert told.parts() == (
            f"Q9 and Q2 are closed. M1: {phases} on U1 V1 W1: runs forwards.",
            "Expected: M1 runs backwards.",
        )
        assert told.look == "which two lines change places"

    def test_two_wires_on_one_terminal_are_a_short(self):
        assert found("Q1:2/T1", "Q1:2/T1", "Q1:6/T3").seen.startswith("L1 and L2 are shorted: ")

    def test_capitals_and_outer_blanks_do_not_matter(self):
        assert found(" q1:6/t3", "Q1:4/T2 ", "Q1:2/t1").met

    @pytest.mark.parametrize("words", [(), ("Q1:6/T3",), ("Q1:6/T3", None, "Q1:2/T1"), ("Q1:6/T3", "", "Q1:2/T1")])
    def test_a_field_left_empty_is_named(self, words):
        assert found(*words).seen == f"{'Q2:4/T2' if words else 'Q2:2/T1'}: you wrote nothing"

    def test_a_word_that_is_none_is_told_with_those_that_are(self):
        told = found("Q1:6/T3", "M1", "Q1:2/T1").seen
        assert told == "Q2:4/T2: you wrote 'M1'; the words are Q1:2/T1, Q1:4/T2, Q1:6/T3"

    def test_all_points_or_none(self):
        right = form("Q1:6/T3", "Q1:4/T2", "Q1:2/T1")
        assert [mark("a", {"a": answer}, ASK) for answer in (right, form("Q1:6/T3"))] == [10, 0]


class TestRefused:
    @pytest.mark.parametrize(
        ("changed", "says"),
        [
            ({"tag": "Q7"}, "no such device"),
            ({"cases": []}, "needs cases"),
            ({"places": {}}, "needs cases, and places"),
            ({"places": {"Q1:2": "9T9"}}, "9T9 is none"),
            ({"places": {"L1": "2L1"}}, "2L1 is above the poles"),
            ({"cases": [(("Q9", "Q2"), "M1", "runs forwards")]}, "does not do what is asked. Q9 and Q2 are closed."),
            ({"cases": [(("Q9", "Q2"), "M7", "runs forwards")]}, "no such motor"),
        ],
    )
    def test_an_exercise_that_cannot_be(self, changed, says):
        asked = {"tag": "Q2", "places": PLACES, "cases": CASES} | changed
        with pytest.raises(LadderError, match=says):
            power_form(reversing(), asked["tag"], asked["places"], asked["cases"], 10)
