"""Colours that a review accepts and refuses, against the rules of the standards, every colour of a button and lens."""

import pytest

from rungbook import NC, NO, Device, Ladder, coil, lamp
from rungbook.proof.practice import review

BUTTONS = ("red", "yellow", "green", "blue", "white", "grey", "black")
LENSES = ("red", "yellow", "green", "blue", "white")


def pump(stop="", start="", reset=""):
    panel = [Device("S1", colour=stop), Device("S2", colour=start), Device("S3", colour=reset)]
    circuit = Ladder("Wash pump", [*panel, Device("F1"), Device("Q1"), Device("K1")])
    circuit.rung(NC("S3") & (NO("F1") | NO("K1")), coil("K1"))
    circuit.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    return circuit


def severity(circuit, check="button colour"):
    return next((one.severity for one in review(circuit).findings if one.check == check), "none")


# IEC 60204-1, 10.2.1: start white, grey, black, green allowed, red never. Yellow and blue have other meanings.
@pytest.mark.parametrize(
    ("colour", "told"), list(zip(BUTTONS, ("fault", "advice", "none", "advice", "none", "none", "none"), strict=True))
)
def test_start_button(colour, told):
    assert severity(pump(start=colour)) == told


# IEC 60204-1, 10.2.1: stop black, grey, white, red allowed, green never.
@pytest.mark.parametrize(
    ("colour", "told"), list(zip(BUTTONS, ("none", "advice", "fault", "advice", "none", "none", "none"), strict=True))
)
def test_stop_button(colour, told):
    assert severity(pump(stop=colour)) == told


# IEC 60204-1, 10.2.1 (from a secondary page): reset blue, white, grey, black, green never.
@pytest.mark.parametrize(
    ("colour", "told"), list(zip(BUTTONS, ("advice", "advice", "fault", "none", "none", "none", "none"), strict=True))
)
def test_reset_button(colour, told):
    assert severity(pump(reset=colour)) == told


# IEC 60204-1, 10.7: the actuator of an emergency stop is red.
@pytest.mark.parametrize("colour", BUTTONS)
def test_emergency_stop(colour):
    circuit = Ladder("Wash pump", [Device("S9", "emergency stop", colour), *map(Device, ("S1", "S2", "F1", "Q1"))])
    circuit.rung(NC("S9") & NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    assert severity(circuit) == ("none" if colour == "red" else "fault")


# IEC 60073: red danger or fault, yellow abnormal, green normal, blue mandatory action, white neutral.
@pytest.mark.parametrize(
    ("contact", "told"),
    [
        (NO("Q1"), ("fault", "advice", "none", "advice", "none")),  # running is normal
        (NC("Q1"), ("fault", "advice", "none", "advice", "none")),  # stopped is normal or neutral
        (NO("F1"), ("none", "none", "fault", "advice", "advice")),  # tripped is a fault, or abnormal
    ],
)
def test_lamp(contact, told):
    seen = []
    for colour in LENSES:
        circuit = Ladder("Wash pump")
        circuit.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
        circuit.rung(contact, lamp("P1", colour))
        seen.append(severity(circuit, "lamp colour"))
    assert tuple(seen) == told
