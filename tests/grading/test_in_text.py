"""The same requirements asked of structured text."""

import pytest

from rungbook import Device, LadderError
from rungbook.grading import in_text, lens, mark, must, picks
from rungbook.proof import holds_in, off_while

SITE = [Device("S1", label="stop"), Device("S2"), Device("F1"), Device("Q1")]
ASKED = in_text(
    must(holds_in("Q1", after="let S2 go"), 6),
    must(off_while("Q1", "S1", "pressed"), 4, "which input S1 is"),
    wired={"S1": "NC"},
)


def marked(text: object, capsys: pytest.CaptureFixture[str]) -> tuple[float, str]:
    points = mark("form", {"form": {"program": text}}, *ASKED, devices=SITE)
    return points, capsys.readouterr().out


def test_a_right_text_earns_all(capsys):
    assert marked("Q1 := S1 AND (S2 OR Q1) AND F1;", capsys) == (
        10,
        "form: 10 of 10 points\n"
        "  met             6/6     Q1 holds in when you let S2 go.\n"
        "  met             4/4     Q1 is out whenever S1 (stop) is pressed.\n",
    )


def test_a_text_that_does_something_else_is_told_in_orders_of_the_bench(capsys):
    points, printed = marked("Q1 := S2 OR Q1 AND S1;", capsys)
    assert points == 6
    assert "First to mend: Press S2. Press S1. Q1 holds in." in printed
    assert "Look at: which input S1 is" in printed


def test_a_stop_read_the_wrong_way_round_is_seen(capsys):
    assert marked("Q1 := NOT S1 AND (S2 OR Q1) AND F1;", capsys)[0] == 0


def test_a_text_that_cannot_be_read_names_the_line(capsys):
    points, printed = marked("Q1 := S1\nAND S9;", capsys)
    assert points == 0
    assert "First to mend: Your text cannot be read. Line 1: no variable of this name. Given: 'S9'." in printed


@pytest.mark.parametrize(
    ("form", "told"),
    [
        ({"program": ""}, "You wrote nothing."),
        ({"program": " \n"}, "You wrote nothing."),
        ({}, "The form has no text under 'program'."),
        ({"program": 3}, "The form has no text under 'program'."),
        ({"program": "(* later *)"}, "has no rungs yet"),
    ],
)
def test_no_text_earns_nothing(form, told, capsys):
    assert mark("form", {"form": form}, *ASKED, devices=SITE) == 0
    assert told in capsys.readouterr().out


def test_another_field_and_more_kinds_of_requirement():
    asked = in_text(lens("P1", 2, ["green"], "running"), field="text")
    site = [*SITE, Device("P1", "pilot lamp", "green")]
    assert mark("form", {"form": {"text": "P1 := Q1; Q1 := S2;"}}, *asked, devices=site) == 2


def test_a_requirement_of_a_form_is_refused_when_the_exercise_is_written():
    with pytest.raises(LadderError, match="in_text: takes requirements that judge a ladder"):
        in_text(picks({"a": ("b",)}, 3, {}))
