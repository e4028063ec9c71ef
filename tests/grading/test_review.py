"""Marks for good practice: points, and the first finding in the words of the bench."""

from pathlib import Path

import pytest

from labs.harness import run_cell
from rungbook import NC, NO, Device, Ladder, LadderError, coil, review
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.grading import mark
from rungbook.grading.review import good_practice

PANEL = (Device("S1", colour="red"), Device("S2", colour="green"), Device("F1"), Device("Q1"))


def pump(*, overload=True):
    circuit = Ladder("Wash pump")
    way = NC("S1") & (NO("S2") | NO("Q1"))
    circuit.rung(way & NC("F1") if overload else way, coil("Q1"))
    return circuit


def test_a_sound_circuit_earns_all_points(capsys):
    assert mark("pump", {"pump": pump()}, good_practice(10), devices=PANEL) == 10
    assert "met            10/10    The circuit is built as good practice has it." in capsys.readouterr().out


def test_a_fault_earns_nothing_and_is_told_with_its_orders(capsys):
    assert mark("pump", {"pump": pump(overload=False)}, good_practice(10), devices=PANEL) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Press S2. Q1 pulls in." in out
    assert "Q1 has no overload contact in its circuit: nothing here can trip." in out
    assert "Look at: Q1 (rung 1, wires 4–2)" in out


def test_the_panel_of_the_exercise_decides_the_colours():
    red = (Device("S1", colour="red"), Device("S2", colour="red"), Device("F1"), Device("Q1"))
    assert good_practice(10).judge(pump(), PANEL).earned == 1
    assert good_practice(10).judge(pump(), red).because.startswith("S2 works as a start button and is red")


def test_a_check_can_be_left_out_and_advice_can_be_counted():
    assert good_practice(10, leave_out=["overload contact"]).judge(pump(overload=False), ()).earned == 1
    spare = (*PANEL, Device("S5"))
    assert good_practice(10).judge(pump(), spare).earned == 1
    assert good_practice(10, up_to="advice").judge(pump(), spare).because.startswith("S5 is on the panel")


def test_what_is_not_decided_is_said_to_be_so():
    found = good_practice(10, limit=2).judge(pump(), PANEL)
    assert (found.earned, found.undecided) == (0, True)
    assert found.because == "Everything about behaviour: more than 2 states can be reached."


def test_an_emergency_stop_of_a_later_exercise_can_be_left_out():
    panel = (*PANEL, Device("S9", "emergency stop", "red"))
    assert good_practice(10).judge(pump(), panel).because.startswith("Q1 is in while S9 is latched")
    ask = good_practice(10, up_to="advice", not_asked=["S9"])
    assert ask.judge(pump(), panel).met
    assert ask.judge(pump(), PANEL).met
    wired = Ladder("Wash pump")
    wired.rung(NC("S1") & (NO("S2") | NO("Q1") & NC("S9")) & NC("F1"), coil("Q1"))
    assert ask.judge(wired, panel).because.startswith("Q1 is in while S9 is latched")  # once used, it is judged


def test_the_holding_circuit_of_lab_02_is_sound_before_its_emergency_stop_is_asked():
    lab = find_lab(Path(__file__).parents[2], "lab02")
    namespace = {"__name__": "__main__"}
    for cell in instructor_notebook(lab).cells:
        if cell.cell_type == "code" and "marks" not in cell["id"]:
            run_cell(cell.source, namespace)
    assert [one.check for one in review(namespace["holding"]).findings if one.severity == "danger"] == [
        "emergency stop"
    ]
    assert review(namespace["holding"], not_asked=["S6"])
    assert review(namespace["emergency"], not_asked=["S6"])


def test_a_device_that_is_not_asked_must_be_on_the_panel():
    with pytest.raises(LadderError, match="not_asked: no device S8 on this panel"):
        review(pump(), not_asked=["S8"])


def test_an_unknown_severity_is_refused():
    with pytest.raises(LadderError, match=r"unknown severity.*danger, fault, advice"):
        good_practice(10, up_to="awful")
