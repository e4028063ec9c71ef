"""The description of a power circuit: literal sentences, and the circuit rebuilt from the words alone."""

from __future__ import annotations

import re

from hypothesis import given

from rungbook.circuit.power import Pole, PowerCircuit, direct, reversing
from rungbook.drawing.power_describe import describe

from .power_geometry import circuits

_WAY = r"terminal (\d) on wire (\S+) to terminal (\d) on wire (\S+?)(?=[;.])"


def test_a_direct_starter_in_words() -> None:
    circuit = direct("Wash pump", disconnect="", fuses="")
    assert describe(circuit).splitlines() == [
        "Power circuit 'Wash pump': supply 208 V between lines, 60 Hz, three phases on wires L1, L2 and L3; "
        "2 devices and 1 motor. All devices are shown at rest.",
        "Contactor Q1, 3 poles: terminal 1 on wire L1 to terminal 2 on wire 1T1; terminal 3 on wire L2 to terminal 4 "
        "on wire 1T2; terminal 5 on wire L3 to terminal 6 on wire 1T3.",
        "Overload relay F1, 3 poles: terminal 1 on wire 1T1 to terminal 2 on wire U1; terminal 3 on wire 1T2 to "
        "terminal 4 on wire V1; terminal 5 on wire 1T3 to terminal 6 on wire W1.",
        "Three-phase motor M1, three leads: terminal U1 on wire U1, V1 on wire V1, W1 on wire W1; "
        "frame on protective earth.",
        "Wire L1 joins the supply's L1 and Q1 terminal 1.",
        "Wire L2 joins the supply's L2 and Q1 terminal 3.",
        "Wire L3 joins the supply's L3 and Q1 terminal 5.",
        "Wire 1T1 joins Q1 terminal 2 and F1 terminal 1.",
        "Wire 1T2 joins Q1 terminal 4 and F1 terminal 3.",
        "Wire 1T3 joins Q1 terminal 6 and F1 terminal 5.",
        "Wire U1 joins F1 terminal 2 and M1 terminal U1.",
        "Wire V1 joins F1 terminal 4 and M1 terminal V1.",
        "Wire W1 joins F1 terminal 6 and M1 terminal W1.",
    ]


def test_the_swap_and_the_interlock_can_be_heard() -> None:
    said = describe(reversing("Apple elevator"), (("Q1", "Q2"),)).splitlines()
    assert "Wire 1T1 joins Q1 terminal 2, Q2 terminal 6 and F1 terminal 1." in said
    assert "Wire 1T3 joins Q1 terminal 6, Q2 terminal 2 and F1 terminal 5." in said
    assert "Mechanical interlock between contactors Q1 and Q2." in said


def test_a_loose_end_and_an_empty_circuit_are_told() -> None:
    circuit = PowerCircuit()
    assert describe(circuit) == (
        "Power circuit, nothing wired yet: supply 208 V between lines, 60 Hz, three phases on wires L1, L2 and L3."
    )
    circuit.device("F1", "fuse", ("L1",), ("end",), "pilot")
    assert describe(circuit).splitlines()[1:] == [
        "Fuse F1 (pilot), 1 pole: terminal 1 on wire L1 to terminal 2 on wire end.",
        "Wire L1 joins the supply's L1 and F1 terminal 1.",
        "Wire L2 is on the supply's L2 only, to nothing else.",
        "Wire L3 is on the supply's L3 only, to nothing else.",
        "Wire end is on F1 terminal 2 only, to nothing else.",
    ]


@given(circuits())
def test_the_circuit_can_be_wired_from_the_words_device_by_device_and_again_wire_by_wire(circuit: PowerCircuit) -> None:
    said = describe(circuit).splitlines()[1:]
    poles, leads, joined = [], {}, {}
    for line in said:
        if wire := re.match(r"Wire (\S+) (?:joins|is on) (.*)\.$", line):
            joined[wire[1]] = set(re.findall(r"([A-Z]\d+) terminal (\w+)", wire[2]))
            continue
        tag = str(re.search(r"[QFM]\d+", line)[0])  # type: ignore[index]
        for upper, a, lower, b in re.findall(_WAY, line):
            poles.append(Pole(tag, f"{upper}-{lower}", a, b))
        if line.startswith("Three-phase motor"):
            leads[tag] = dict(re.findall(r"([UVW][12]) on wire (\S+?)(?=[,;])", line))
    assert tuple(poles) == circuit.poles
    assert leads == {motor.tag: dict(motor.terminals) for motor in circuit.motors}
    by_wire = {(tag, terminal): node for node, ends in joined.items() for tag, terminal in ends}
    asked = {(p.device, end): node for p in poles for end, node in zip(p.pole.split("-"), (p.a, p.b), strict=True)}
    asked |= {(tag, terminal): node for tag, ways in leads.items() for terminal, node in ways.items()}
    assert by_wire == (asked if circuit.elements else {})
