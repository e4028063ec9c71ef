"""Power circuits for the drawing tests, and what a sheet of one is read back by: which terminals its wires join."""

from __future__ import annotations

from collections.abc import Iterable

from hypothesis import strategies as st

from rungbook.circuit.power import (
    LINES,
    POLES,
    POWER_KINDS,
    Pole,
    PowerCircuit,
    PowerDevice,
    PowerMotor,
    direct,
    reversing,
    star_delta,
)
from rungbook.drawing.power_links import Pairs
from rungbook.drawing.power_sheet import SUPPLY
from rungbook.drawing.shapes import Point

Line = tuple[Point, Point]
Ends = frozenset[tuple[str, str]]
TINY = 1e-6


def on(point: Point, line: Line) -> bool:
    """True if `point` is on a level or upright `line`, its ends included."""
    (x, y), ((left, top), (right, bottom)) = point, line
    return left - TINY <= x <= right + TINY and top - TINY <= y <= bottom + TINY


def same(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) <= TINY and abs(one[1] - other[1]) <= TINY


def joined_ends(lines: Iterable[Line], dots: Iterable[Point], terminals: dict[tuple[str, str], Point]) -> set[Ends]:
    """Groups of terminals that drawn lines join, as a person reads them; a terminal without a wire is a group alone.

    Two lines are joined where an end of one meets an end of the other, and where both pass or end at a dot. Lines
    that cross without a dot are not joined. A terminal is joined to the line that ends at it.
    """
    lines, dots = list(lines), list(dots)
    group = list(range(len(lines)))

    def root(n: int) -> int:
        while group[n] != n:
            n = group[n]
        return n

    for n, one in enumerate(lines):
        for m in range(n):
            other = lines[m]
            ends = any(same(p, q) for p in one for q in other)
            if ends or any(on(dot, one) and on(dot, other) for dot in dots):
                group[root(n)] = root(m)
    found: dict[int, set[tuple[str, str]]] = {}
    alone = []
    for name, at in terminals.items():
        met = [n for n, line in enumerate(lines) if same(at, line[0]) or same(at, line[1])]
        if met:
            found.setdefault(root(met[0]), set()).add(name)
            assert len({root(n) for n in met}) == 1, f"two wires that are not joined end at {name}"
        else:
            alone.append(frozenset({name}))
    return {frozenset(ends) for ends in found.values()} | set(alone)


def wanted_ends(circuit: PowerCircuit) -> set[Ends]:
    """The same groups, from the circuit: all terminals on one node."""
    nodes: dict[str, set[tuple[str, str]]] = {line: {(SUPPLY, line)} for line in LINES}
    for pole in circuit.poles:
        upper, lower = pole.pole.split("-")
        nodes.setdefault(pole.a, set()).add((pole.device, upper))
        nodes.setdefault(pole.b, set()).add((pole.device, lower))
    for motor in circuit.motors:
        for terminal, node in motor.terminals.items():
            nodes.setdefault(node, set()).add((motor.tag, terminal))
    return {frozenset(ends) for ends in nodes.values()}


def three_motors() -> PowerCircuit:
    """A main breaker and three branches of a motor starter, a contactor and a motor, with plates."""
    circuit = PowerCircuit("Cider mill: filling line, cellar fan and the agitator of the second vat in the new cellar")
    circuit.device("Q9", "circuit breaker", LINES, ("1L1", "1L2", "1L3"), "main breaker")
    for n, plate in ((1, "filling line"), (2, "cellar fan"), (3, "agitator of the second vat in the new cellar")):
        into, out = [f"1{n}L{k}" for k in (1, 2, 3)], [f"{n}U", f"{n}V", f"{n}W"]
        circuit.device(f"Q1{n}", "manual motor starter", ("1L1", "1L2", "1L3"), into, plate)
        circuit.device(f"Q{n}", "contactor", into, out, plate)
        circuit.motor(f"M{n}", out, plate)
    return circuit


def long_names() -> PowerCircuit:
    """Names of nodes as long and as wide as they may be, a motor in delta for good, a device with one pole."""
    circuit = PowerCircuit("W" * 200)
    nodes = [f"{letter * 15}W" for letter in "WMQ"]
    circuit.device("Q1", "contactor", LINES, nodes, "W" * 200)
    circuit.motor("M1", (*nodes, nodes[1], nodes[2], nodes[0]), "press pump " * 18)
    circuit.device("F999", "fuse", ("L2",), ("control",))
    return circuit


def swapped() -> PowerCircuit:
    """A device whose poles stand straight below another's in the opposite order, and one fed from below."""
    circuit = PowerCircuit("Swap")
    circuit.device("Q1", "contactor", LINES, ("a", "b", "c"))
    circuit.device("Q2", "contactor", ("c", "b", "a"), ("U", "V", "W"))
    circuit.device("Q3", "disconnect", ("U", "V", "W"), LINES)
    circuit.motor("M1", ("U", "V", "W"))
    return circuit


def facing() -> PowerCircuit:
    """A device right below another, two of its poles exchanged: in line with one of them it faces the wrong others."""
    circuit = PowerCircuit("Two exchanged")
    circuit.device("Q1", "contactor", LINES, ("a", "b", "c"))
    circuit.device("F1", "overload relay", ("a", "c", "b"), ("U", "V", "W"))
    circuit.motor("M1", ("U", "V", "W"))
    return circuit


def islands() -> PowerCircuit:
    """Parts that no line reaches, loose ends, and poles that are left out."""
    circuit = PowerCircuit()
    circuit.add(PowerDevice("Q1", "contactor", (Pole("Q1", "5-6", "x", "y"), Pole("Q1", "1-2", "y", "z"))))
    circuit.device("F1", "overload relay", ("z",), ("end",))
    circuit.motor("M1", ("nowhere", "x", "x"))
    return circuit


NAMED: dict[str, tuple[PowerCircuit, Pairs]] = {
    "direct": (direct("Wash pump"), ()),
    "without line side": (direct("Wash pump", disconnect="", fuses=""), ()),
    "reversing": (reversing("Apple elevator"), (("Q1", "Q2"),)),
    "star-delta": (star_delta("Mill"), (("Q2", "Q3"),)),
    "star-delta, interlock that is only written": (star_delta("Mill"), (("Q1", "Q2"), ("Q2", "Q3"))),
    "three motors": (three_motors(), ()),
    "long names": (long_names(), ()),
    "swapped": (swapped(), (("Q1", "Q2"),)),
    "facing": (facing(), ()),
    "islands": (islands(), ()),
    "empty": (PowerCircuit("Nothing yet"), ()),
}

nodes = st.sampled_from((*LINES, "a", "b", "c", "d", "e", "1T1", "1T2", "1T3", "star", "U1", "V1", "W1"))
_plates = st.sampled_from(("", "mill", "agitator of the second vat, left of the door to the cellar"))


@st.composite
def circuits(draw: st.DrawFn) -> PowerCircuit:
    """Up to eight devices and motors on a handful of nodes, wired without sense, with any of the poles left out."""
    circuit = PowerCircuit(draw(_plates))
    for n in range(1, draw(st.integers(0, 8)) + 1):
        if draw(st.integers(0, 3)) == 0:
            count = draw(st.sampled_from((3, 6)))
            circuit.add(PowerMotor(f"M{n}", tuple(draw(nodes) for _ in range(count)), draw(_plates)))
            continue
        kind = draw(st.sampled_from(tuple(POWER_KINDS)))
        tag = f"{POWER_KINDS[kind]}{n}"
        used = draw(st.lists(st.sampled_from(POLES), min_size=1, max_size=3, unique=True))
        ends = st.lists(nodes, min_size=2, max_size=2, unique=True)
        circuit.add(PowerDevice(tag, kind, tuple(Pole(tag, pole, *draw(ends)) for pole in used), draw(_plates)))
    return circuit


@st.composite
def interlocked(draw: st.DrawFn) -> tuple[PowerCircuit, Pairs]:
    """A random circuit, with up to two mechanical interlocks where there are contactors for them."""
    circuit = draw(circuits())
    tags = [device.tag for device in circuit.devices if device.kind == "contactor"]
    pairs = [(one, other) for n, one in enumerate(tags) for other in tags[n + 1 :]]
    return circuit, tuple(draw(st.lists(st.sampled_from(pairs), max_size=2, unique=True)) if pairs else ())
