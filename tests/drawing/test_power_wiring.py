"""The wire list of the power side makes the circuit that is drawn: terminal by terminal, in every position of devices.

What is drawn is read back from the lines and dots of the sheet, what is wired from the wires alone.
"""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings

from rungbook.circuit.power import LINES, PowerCircuit
from rungbook.circuit.power_wires import PE, MainWire, PowerWiring, read_power_wires, wire_power
from rungbook.classroom.lab_circuits import lab_circuits
from rungbook.classroom.labs import find_labs
from rungbook.drawing.power_layout import layout
from rungbook.drawing.power_sheet import SUPPLY
from rungbook.drawing.power_symbols import power_symbols

from .power_geometry import NAMED, Ends, circuits, joined_ends, three_motors, wanted_ends

ROOT = Path(__file__).parents[2]
IN_LABS = {f"{lab.short} {name}": power for lab in find_labs(ROOT) for name, power in lab_circuits(lab)[1].items()}
ALL = IN_LABS | {name: circuit for name, (circuit, _) in NAMED.items()}


def drawn(circuit: PowerCircuit) -> set[Ends]:
    """The terminals that meet, read from the lines of the sheet."""
    plan = layout(circuit, power_symbols("nema"), ())
    places = {(end.device, end.terminal): end.at for end in plan.terminals}
    return joined_ends([(wire.start, wire.end) for wire in plan.wires], [dot.at for dot in plan.dots], places)


def wired(wires: tuple[MainWire, ...], wiring: PowerWiring) -> set[Ends]:
    """The terminals that meet, read from the wires."""

    def end(terminal: str) -> tuple[str, str]:
        tag, _, name = terminal.partition(":")
        return (tag, name.partition("/")[0]) if name else (SUPPLY, tag)

    terminals = [*LINES, *(end for part in wiring.parts for end in part.terminals if end != f"{part.tag}:{PE}")]
    nodes = [{end(terminal)} for terminal in terminals]
    for wire in wires:
        if wire.node != PE:
            meeting = [node for node in nodes if node & {end(wire.start), end(wire.end)}]
            nodes = [node for node in nodes if node not in meeting] + [set().union(*meeting)]
    return {frozenset(node) for node in nodes}


def with_poles(ends: set[Ends], circuit: PowerCircuit, closed: set[str]) -> set[Ends]:
    """The same groups while the poles of the devices `closed` conduct."""
    nodes = [set(group) for group in ends]
    for pole in circuit.poles:
        if pole.device in closed:
            upper, lower = pole.pole.split("-")
            meeting = [node for node in nodes if node & {(pole.device, upper), (pole.device, lower)}]
            nodes = [node for node in nodes if node not in meeting] + [set().union(*meeting)]
    return {frozenset(node) for node in nodes}


def positions(circuit: PowerCircuit) -> list[set[str]]:
    tags = [device.tag for device in circuit.devices]
    return [
        {tag for tag, on in zip(tags, some, strict=True) if on} for some in product((False, True), repeat=len(tags))
    ]


def test_there_are_power_circuits_of_labs():
    assert {name.split()[0] for name in IN_LABS} >= {"lab03", "lab06", "lab09"}


@pytest.mark.parametrize("name", ALL)
def test_wires_join_what_the_sheet_joins_in_every_position(name):
    circuit = ALL[name]
    wiring = wire_power(circuit)
    on_paper, on_board = drawn(circuit), wired(wiring.wires, wiring)
    for closed in positions(circuit):
        assert with_poles(on_board, circuit, closed) == with_poles(on_paper, circuit, closed), closed


@pytest.mark.parametrize("name", IN_LABS)
def test_one_wire_less_or_two_ends_exchanged_is_another_circuit(name):
    """The comparison can fail: it does, for every wire left out and every two neighbours exchanged."""
    circuit = IN_LABS[name]
    wiring = wire_power(circuit)
    on_paper = drawn(circuit)
    wires = [wire for wire in wiring.wires if wire.node != PE]
    for n, wire in enumerate(wires):
        assert wired((*wires[:n], *wires[n + 1 :]), wiring) != on_paper, wire
        other = wires[(n + 1) % len(wires)]
        if other.node != wire.node:
            swapped = [MainWire(wire.start, other.end, wire.node), MainWire(other.start, wire.end, other.node)]
            assert wired((*(one for one in wires if one not in (wire, other)), *swapped), wiring) != on_paper, wire


@given(circuits())
@settings(max_examples=150, deadline=None)
def test_of_any_circuit_the_list_joins_what_is_meant_and_loads_no_terminal_with_three(circuit):
    wiring = wire_power(circuit)
    assert wired(wiring.wires, wiring) == wanted_ends(circuit)
    ends = [end for wire in wiring.wires for end in (wire.start, wire.end) if end != PE]
    assert all(ends.count(end) <= 2 for end in ends)
    assert wanted_ends(read_power_wires(wiring)) == wanted_ends(circuit)


def test_the_protective_earth_goes_to_each_motor_by_itself():
    wiring = wire_power(three_motors())
    assert [(w.start, w.end) for w in wiring.wires if w.node == PE] == [(PE, f"M{n}:{PE}") for n in (1, 2, 3)]
