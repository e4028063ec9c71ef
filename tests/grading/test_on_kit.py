"""Wiring on a kit as a student's own look, and as a requirement with points."""

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.grading import fits, mark, on_kit
from rungbook.kit import TRAINING_KIT, Kit, fit

SITE = [Device("S1"), Device("S2"), Device("F1"), Device("Q3"), Device("P1"), Device("K1")]


def elevator(*, relay=True, holds=True):
    """Q3 of the kit has one auxiliary contact, so the lamp's contact must come from K1."""
    circuit = Ladder("Elevator", SITE)
    way = NC("S1") & (NO("S2") | NO("Q3") if holds else NO("S2")) & NC("F1")
    if relay:
        circuit.rung(way, coil("Q3"), coil("K1"))
        circuit.rung(NO("K1"), lamp("P1", "green"))
    else:
        circuit.rung(way, coil("Q3"))
        circuit.rung(NO("Q3"), lamp("P1", "green"))
    return circuit


ASKED = fits(TRAINING_KIT, 5, asked=elevator(), outputs=("Q3", "P1"))


def test_a_circuit_that_fits_and_works_earns_its_points():
    assert mark("answer", {"answer": elevator()}, ASKED, devices=SITE) == 5


def test_what_the_kit_lacks_is_told():
    found = ASKED.judge(elevator(relay=False), tuple(SITE))
    assert found.earned == 0
    assert found.because.startswith("It cannot be wired on the training kit. wire Q3: needs two NO contacts of Q3")
    assert "the kit has one" in found.because


def test_a_circuit_that_fits_and_does_something_else_earns_nothing():
    found = ASKED.judge(elevator(holds=False), tuple(SITE))
    assert (found.earned, found.undecided) == (0, False)
    assert found.because == "It can be wired, but it does not yet do what is asked."


def test_a_comparison_beyond_its_limit_is_not_decided():
    few = fits(TRAINING_KIT, 5, asked=elevator(), outputs=("Q3", "P1"), limit=2)
    assert few.judge(elevator(), tuple(SITE)).undecided


def test_an_exercise_that_no_kit_can_carry_is_refused_when_it_is_written():
    with pytest.raises(LadderError, match="two NO contacts of Q3"):
        fits(TRAINING_KIT, 5, asked=elevator(relay=False))


def test_a_students_own_look_shows_the_wire_list_or_what_is_short():
    good, short, empty = on_kit(elevator()), on_kit(elevator(relay=False)), on_kit(Ladder("Nothing yet"))
    assert good
    assert "X1  " in str(good)
    assert "<table" in good._repr_html_()
    assert not short
    assert str(short).startswith("Not yet: wire Q3: needs two NO contacts of Q3")
    assert not empty
    assert "has no rungs yet" in empty._repr_html_()


def test_another_kit_can_be_asked():
    bigger = Kit("a bigger kit", {**TRAINING_KIT.devices, "Q3": fit("contactor", "auxiliary block 2 NO + 2 NC")})
    assert on_kit(elevator(relay=False), bigger)


def test_what_is_no_ladder_or_no_kit_is_refused():
    with pytest.raises(LadderError, match="takes a Ladder"):
        on_kit("elevator")
    with pytest.raises(LadderError, match="takes a Kit"):
        on_kit(elevator(), "training kit")
