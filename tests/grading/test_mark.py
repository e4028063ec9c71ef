import logging

import pytest
from nbformat.v4 import new_code_cell, new_output
from nbgrader.utils import determine_grade

from rungbook import NC, NO, Device, Ladder, LadderError, coil, from_json, lamp, to_json
from rungbook.grading import Finding, Requirement, declared, good_practice, lens, mark, must, picks, predicts, same_as
from rungbook.grading.mark import asks_for_a_reader, first_to_mend
from rungbook.proof import does_not_start, holds_in, off_while, pulls_in

SITE = (Device("S1", colour="red", label="stop"), Device("S2", label="start"), Device("F1"), Device("Q1"), Device("P1"))


def pump(contacts, colour="green", devices=None):
    ladder = Ladder("Wash pump", devices)
    ladder.rung(contacts, coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", colour))
    return ladder


RIGHT = NC("S1") & (NO("S2") | NO("Q1")) & NC("F1")
ASKED = pump(RIGHT)
ASKS = (
    must(pulls_in("Q1", when="press S2"), 4),
    must(holds_in("Q1", after="let S2 go"), 9, "what closes when Q1 pulls in"),
    must(off_while("Q1", "S1", "pressed"), 6),
    must(off_while("Q1", "F1", "tripped"), 5),
    must(does_not_start("Q1", by="switch the supply on"), 3),
    lens("P1", 2, ["green"], "the pump runs, all is normal"),
    same_as(ASKED, 6),
)


def marked(answer, *asks, **options):
    return mark("answer", {"answer": answer}, *(asks or ASKS), devices=SITE, **options)


class TestPoints:
    @pytest.mark.parametrize(
        ("contacts", "points"),
        [
            pytest.param(RIGHT, 35, id="right"),
            pytest.param(NC("F1") & (NO("Q1") | NO("S2")) & NC("S1"), 35, id="another shape"),
            pytest.param(NC("S1") & NO("S2") & NC("F1"), 20, id="no holding contact"),
            pytest.param(NC("S1") & (NO("S2") | NO("Q1")), 24, id="no overload contact"),
            pytest.param((NC("S1") & NO("S2") | NO("Q1")) & NC("F1"), 23, id="held around stop"),
            pytest.param(NC("S1") & (NO("S2") | NC("Q1")) & NC("F1"), 2, id="chatters"),
            pytest.param(NC("S2") & NO("S1"), 5, id="swapped and no more"),
        ],
    )
    def test_a_ladder_earns_the_sum_of_what_it_meets(self, contacts, points):
        assert marked(pump(contacts)) == points

    def test_whole_points_are_int_and_others_float(self):
        ask = Requirement("Half.", 1, Ladder, lambda ladder, devices: Finding(0.5))
        assert type(marked(ASKED)) is int
        assert type(marked(ASKED, ask)) is float
        assert type(marked(None)) is int

    @pytest.mark.parametrize("share", [-1, 0, 0.5, 1, 1.5, 100])
    def test_no_share_earns_less_than_0_or_more_than_the_points(self, share):
        ask = Requirement("Odd.", 3, Ladder, lambda ladder, devices: Finding(share))
        assert marked(ASKED, ask) == 3 * min(1, max(0, share))

    @pytest.mark.parametrize(("points", "times", "whole"), [(2 / 3, 3, 2), (1 / 3, 3, 1), (0.125, 8, 1), (0.1, 10, 1)])
    def test_points_that_do_not_end_in_hundredths_add_up_to_their_sum(self, points, times, whole):
        ask = Requirement("Part.", points, Ladder, lambda ladder, devices: Finding(1))
        assert marked(ASKED, *[ask] * times) == whole

    def test_the_answer_is_taken_by_its_name(self):
        answers = {"mine": ASKED, "other": pump(NC("S1"))}
        assert mark("mine", answers, *ASKS, devices=SITE) == 35
        assert mark("other", answers, *ASKS, devices=SITE) < 35


class Sneaky(Ladder):
    """Says it is as right as can be."""

    def validate(self):
        raise AssertionError("the marker ran the student's own code")


def changed_by_hand(**attributes):
    ladder = pump(RIGHT)
    for name, value in attributes.items():
        setattr(ladder, name, value)
    return ladder


def unfinished(contacts):
    ladder = Ladder("Wash pump")
    ladder.rung(contacts, coil("Q1"))
    return ladder


class TestBrokenLadders:
    @pytest.mark.parametrize(
        ("answer", "told"),
        [
            (None, "Answer answer: this exercise asks for a Ladder. Given: 'NoneType'."),
            ("Ladder", "Answer answer: this exercise asks for a Ladder. Given: 'str'."),
            (Ladder, "Answer answer: this exercise asks for a Ladder. Given: 'type'."),
            (35, "Answer answer: this exercise asks for a Ladder. Given: 'int'."),
            ({"series": []}, "Answer answer: this exercise asks for a Ladder. Given: 'dict'."),
            (Sneaky("x"), "Answer answer: this exercise asks for a Ladder. Given: 'Sneaky'."),
            (
                Ladder("Wash pump"),
                "Ladder 'Wash pump': has no rungs yet; add one with .rung(contacts, load).",
            ),
            (
                unfinished(NO("K1")),
                "Contact NO('K1') on rung 1: no device K1 with a coil in this ladder, so nothing moves the contact. "
                "Choices: devices here: K1, Q1, coils here: Q1.",
            ),
            (changed_by_hand(title=None), "Ladder: the title must be text. Given: None."),
            (
                changed_by_hand(_rungs=None),
                "Answer answer: this Ladder was changed other than by .rung(...); make it anew.",
            ),
            (
                changed_by_hand(_rungs=["rung"]),
                "Answer answer: this Ladder was changed other than by .rung(...); make it anew.",
            ),
            (
                changed_by_hand(_rungs=[*ASKED.rungs, *ASKED.rungs]),
                "Rung 3: coil Q1 already ends rung 1; a coil is wired once. "
                "Put the second path in parallel on that rung with |. Given: 'Q1'.",
            ),
        ],
    )
    def test_it_earns_0_and_says_why_and_writes_nothing_to_stderr(self, capsys, answer, told):
        assert marked(answer) == 0
        printed = capsys.readouterr()
        assert printed.err == ""
        assert printed.out.splitlines()[0] == "answer: 0 of 35 points"
        assert first_to_mend(printed.out) == told

    def test_a_missing_answer_earns_0_and_says_what_may_have_happened(self, capsys):
        assert mark("pump", {"pmup": ASKED}, *ASKS) == 0
        printed = capsys.readouterr()
        assert first_to_mend(printed.out) == (
            "Answer pump: missing: its cell stopped with an error, or the name was changed; asked for is a Ladder."
        )
        assert printed.err == ""


class TestKinds:
    def test_declaring_start_as_a_selector_gains_nothing(self, capsys):
        cheat = [Device("S1"), Device("S2", "two-position selector"), Device("F1"), Device("Q1"), Device("P1")]
        two_wire = NC("S1") & NO("S2") & NC("F1")
        as_button, as_selector = marked(pump(two_wire)), marked(pump(two_wire, devices=cheat))
        first, second = capsys.readouterr().out.split("answer: ")[1:]
        assert as_button == as_selector == 20
        assert first == second
        assert marked(pump(RIGHT, devices=cheat)) == 35


FORM_ASKS = (
    predicts(ASKED, "Q1", ["press S2", "press S2, let S2 go", "press S2, press S1"], 9, "what is still pressed"),
    picks({"stop": ("NC", "normally closed"), "start": ("no",)}, 4, {"stop": "A stop must work with a broken wire."}),
)
RIGHT_FORM = {
    "press S2": "in",
    "press S2, let S2 go": "in",
    "press S2, press S1": "out",
    "stop": "NC",
    "start": "NO",
}


def cyclic():
    form = dict(RIGHT_FORM)
    form["self"] = form
    return form


def deep():
    form = {}
    for _ in range(100_000):
        form = {"a": form}
    return form


class TestForms:
    def test_right_words_earn_all(self):
        assert marked(RIGHT_FORM, *FORM_ASKS) == 13

    def test_blanks_and_capitals_do_not_matter(self):
        assert marked({key: f"  {word.upper()} " for key, word in RIGHT_FORM.items()}, *FORM_ASKS) == 13

    @pytest.mark.parametrize(
        ("wrong", "points"),
        [
            ({"press S2": "out"}, 10),
            ({"press S2": "out", "press S2, let S2 go": "out"}, 7),
            ({"start": ""}, 11),
            ({"press S2": None, "press S2, let S2 go": 1, "press S2, press S1": ["out"]}, 4),
            ({"stop": "NO", "start": "NC"}, 9),
            (dict.fromkeys(RIGHT_FORM, ""), 0),
            (dict.fromkeys(RIGHT_FORM, "in out"), 0),
        ],
    )
    def test_points_are_shared_evenly(self, wrong, points):
        assert marked(RIGHT_FORM | wrong, *FORM_ASKS) == points

    def test_a_third_of_ten_points_is_a_plain_number_of_hundredths(self):
        ask = predicts(ASKED, "Q1", ["press S2", "press S1", "trip F1"], 10)
        assert marked({"press S2": "in"}, ask) == 3.33
        assert marked({"press S2": "in", "press S1": "out"}, ask) == 6.67

    @pytest.mark.parametrize(
        ("answer", "told"),
        [
            ([], "Answer answer: this exercise asks for a form (a dict, as given in the cell). Given: 'list'."),
            (ASKED, "Answer answer: this exercise asks for a form (a dict, as given in the cell). Given: 'Ladder'."),
            ({"press S2": object()}, "Answer answer: a form holds words and numbers only."),
            ({("press", "S2"): "in"}, "Answer answer: a form holds words and numbers only."),
            ({"press S2": {"in"}}, "Answer answer: a form holds words and numbers only."),
            (cyclic(), "Answer answer: a form holds words and numbers only."),
            (deep(), "Answer answer: a form holds words and numbers only."),
            ({"press S2": 10**5000}, "Answer answer: a form holds words and numbers only."),
            ({"press S2": "x" * 1_000_001}, "Answer answer: at most 1000000 characters. Given: 1000017."),
            (
                type("Form", (dict,), {})(RIGHT_FORM),
                "Answer answer: this exercise asks for a form (a dict, as given in the cell). Given: 'Form'.",
            ),
        ],
        ids=range(10),
    )
    def test_a_broken_form_earns_0_and_says_why(self, capsys, answer, told):
        assert marked(answer, *FORM_ASKS) == 0
        printed = capsys.readouterr()
        assert printed.err == ""
        assert first_to_mend(printed.out) == told

    def test_an_empty_form_earns_0(self, capsys):
        assert marked({}, *FORM_ASKS) == 0
        assert "You wrote nothing" in capsys.readouterr().out


class TestFeedback:
    def test_points_first_thing_to_mend_and_every_requirement(self, capsys):
        marked(pump(NC("S1") & NO("S2") & NC("F1")))
        out = capsys.readouterr().out
        assert first_to_mend(out) == (
            "Press S2. Let S2 go. Q1 drops out. Expected: Q1 holds in. "
            "There is no closed path around S2 (wires 3–4) after it opens."
        )
        assert out.splitlines()[0] == "answer: 20 of 35 points"
        assert "Look at: what closes when Q1 pulls in" in out
        rows = [tuple(line.split(maxsplit=2)) for line in out.splitlines() if line.startswith("  ") and "/" in line]
        assert rows == [
            ("met", "4/4", "Q1 pulls in when you press S2 (start)."),
            ("not", "met", "0/9     Q1 holds in when you let S2 (start) go."),
            ("met", "6/6", "Q1 is out whenever S1 (stop) is pressed."),
            ("met", "5/5", "Q1 is out whenever F1 is tripped."),
            ("met", "3/3", "Q1 does not come on by itself when you switch the supply on."),
            ("met", "2/2", "The lens of P1 is green (the pump runs, all is normal)."),
            ("not", "met", "0/6     Q1 and P1 do as asked in every case."),
        ]

    def test_a_right_answer_has_nothing_to_mend(self, capsys):
        marked(ASKED)
        out = capsys.readouterr().out
        assert "First to mend" not in out
        assert first_to_mend(out) == ""
        assert out.count(" met ") == 7

    def test_a_folded_line_is_read_back_whole_even_at_terminals(self, capsys):
        words = " ".join(["terminals 13-14 of the two-position selector"] * 5)
        ask = Requirement("x.", 1, Ladder, lambda ladder, devices: Finding(0, because=words))
        marked(ASKED, ask)
        assert first_to_mend(capsys.readouterr().out) == words


class TestNotDecided:
    """A question too large for its limit is no mistake of the student's."""

    ASKS = (
        must(pulls_in("Q1", when="press S2"), 4),
        must(holds_in("Q1", after="let S2 go"), 9, limit=3),
        same_as(ASKED, 6, limit=3),
        good_practice(1, limit=3),
    )

    def test_it_earns_nothing_yet_and_has_a_line_of_its_own(self, capsys):
        assert marked(ASKED, *self.ASKS) == 4
        printed = capsys.readouterr()
        assert printed.err == ""
        assert printed.out.splitlines() == [
            "answer: 4 of 20 points, 16 more not decided yet",
            "Not decided within the limit: Q1 holds in when you let S2 (start) go. More than 3 states can",
            "    be reached. An instructor will look.",
            "Not decided within the limit: Q1 and P1 do as asked in every case. More than 3 states can be",
            "    reached. An instructor will look.",
            "Not decided within the limit: The circuit is built as good practice has it. Everything about",
            "    behaviour: more than 3 states can be reached. An instructor will look.",
            "  met             4/4     Q1 pulls in when you press S2 (start).",
            "  not decided     ?/9     Q1 holds in when you let S2 (start) go.",
            "  not decided     ?/6     Q1 and P1 do as asked in every case.",
            "  not decided     ?/1     The circuit is built as good practice has it.",
        ]
        assert asks_for_a_reader(printed.out)
        assert first_to_mend(printed.out) == ""

    def test_a_mistake_that_was_found_is_still_the_first_to_mend(self, capsys):
        assert marked(pump(NC("S2") & NO("S1")), *self.ASKS) == 0
        printed = capsys.readouterr().out
        assert first_to_mend(printed).startswith("Press S2. Q1 stays out. Expected: Q1 pulls in.")
        assert asks_for_a_reader(printed)

    def test_an_answer_of_which_the_question_cannot_be_asked_waits_too(self, capsys):
        def refuses(ladder, devices):
            raise LadderError("Device K1", "works in another way")

        assert marked(ASKED, Requirement("It works.", 3, Ladder, refuses)) == 0
        printed = capsys.readouterr().out
        assert "Not decided within the limit: It works. Device K1: works in another way. An instructor" in printed
        assert asks_for_a_reader(printed)

    def test_a_decided_answer_asks_for_nobody(self, capsys):
        marked(ASKED)
        marked(pump(NC("S1") & NO("S2") & NC("F1")))
        assert not asks_for_a_reader(capsys.readouterr().out)

    def test_a_sentence_without_a_panel_has_no_braces(self, capsys):
        mark("answer", {"answer": ASKED}, must(off_while("Q1", "S1", "pressed"), 6))
        assert "  met             6/6     Q1 is out whenever S1 is pressed." in capsys.readouterr().out


class TestInstructorMistakes:
    def test_no_requirement_is_refused(self):
        with pytest.raises(LadderError, match="needs requirements that judge one type of answer"):
            mark("answer", {"answer": ASKED})

    def test_requirements_of_two_types_are_refused(self):
        with pytest.raises(LadderError, match="needs requirements that judge one type of answer"):
            marked(ASKED, ASKS[0], FORM_ASKS[0])

    @pytest.mark.parametrize("points", [0, -1, float("nan"), True, "5", None])
    def test_points_are_a_number_above_0(self, points):
        with pytest.raises(LadderError, match="points are a number above 0"):
            must(off_while("Q1", "S1", "pressed"), points)


class TestDeclared:
    def test_a_ladder_is_read_from_its_json_so_it_is_another_object(self):
        found = declared("answer", ASKED, Ladder)
        assert found == ASKED
        assert found is not ASKED

    def test_a_form_is_a_copy_of_plain_words(self):
        word = type("Word", (str,), {"strip": lambda self: "in"})("out")
        found = declared("answer", {"a": word}, dict)
        assert (found, type(found["a"])) == ({"a": "out"}, str)

    def test_a_ladder_that_was_read_back_is_marked_the_same(self):
        assert marked(from_json(to_json(ASKED))) == 35


class TestNbgraderReading:
    """What nbgrader itself makes of the cell: it reads the displayed number, and 0 after an error or stderr."""

    def grade(self, capsys, answer, asks, points):
        shown = marked(answer, *asks)
        printed = capsys.readouterr()
        cell = new_code_cell("mark(…)")
        cell.metadata["nbgrader"] = {"grade": True, "solution": False, "points": points, "grade_id": "x"}
        for name, text in (("stdout", printed.out), ("stderr", printed.err)):
            if text:
                cell.outputs.append(new_output("stream", name=name, text=text))
        cell.outputs.append(new_output("execute_result", data={"text/plain": repr(shown)}))
        return determine_grade(cell, logging.getLogger("nbgrader"))

    @pytest.mark.parametrize(
        ("answer", "points"),
        [(ASKED, 35), (pump(NC("S1") & NO("S2") & NC("F1")), 20), (None, 0), (Ladder(), 0)],
    )
    def test_a_ladder(self, capsys, answer, points):
        assert self.grade(capsys, answer, ASKS, 35) == (points, 35)

    @pytest.mark.parametrize(
        ("answer", "points"), [(RIGHT_FORM, 13), (RIGHT_FORM | {"press S2": "out"}, 10), ({}, 0), ({"a": {1}}, 0)]
    )
    def test_a_form(self, capsys, answer, points):
        assert self.grade(capsys, answer, FORM_ASKS, 13) == (points, 13)

    def test_hundredths_are_kept(self, capsys):
        asks = [predicts(ASKED, "Q1", ["press S2", "press S1", "trip F1"], 10)]
        assert self.grade(capsys, {"press S2": "in"}, asks, 10) == (3.33, 10)
