"""`wire_power`: from a power circuit to the list of wires that a person pulls, terminal to terminal; and back again.

A terminal is written "Q1:2/T1" or "M1:U1"; the supply ends on "L1", "L2", "L3" and the bar of the protective earth
"PE". The number of a wire is its node's name. Not more than two wires on a terminal: the wires of a node go from
terminal to terminal in one chain, a star bridge and reversing links too. On the bar each protective conductor has a
point of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from rungbook.circuit.power import LINES, MOTOR, POLES, Pole, PowerCircuit, PowerDevice, PowerMotor
from rungbook.circuit.wiring import MAX_ON_TERMINAL
from rungbook.errors import LadderError
from rungbook.kit import CATALOGUE, TRAINING_KIT, Fitted, Kit
from rungbook.tables import html_table, text_table

PE = "PE"
#: what the course's box has for a kind of the power circuit that it lacks: it disconnects and protects as well
STANDS_FOR: Mapping[str, str] = MappingProxyType(
    {"disconnect": "manual motor starter", "circuit breaker": "manual motor starter"}
)


@dataclass(frozen=True)
class MainPart:
    """A device or motor of the power circuit as a part on the panel.

    model: its name in the catalogue, "" if the catalogue has none. extra: True if the box lacks it. ends: each main
    pole ("1-2"), or terminal of a motor ("U1"), -> its terminals as they are written in the list.
    """

    tag: str
    kind: str
    model: str
    extra: bool
    ends: Mapping[str, tuple[str, ...]] = field(hash=False)

    @property
    def terminals(self) -> tuple[str, ...]:
        """All its terminals, pole by pole; of a motor the protective earth last."""
        return (*(end for pair in self.ends.values() for end in pair), *([self.earth] if self.kind == MOTOR else []))

    @property
    def earth(self) -> str:
        """The terminal of the protective earth of a motor."""
        return f"{self.tag}:{PE}"


@dataclass(frozen=True)
class MainWire:
    """One wire: `start` and `end` terminals, `node` its number. motor: True if it ends on a motor, so comes last."""

    start: str
    end: str
    node: str
    motor: bool = False


@dataclass(frozen=True)
class PowerWiring:
    """A power circuit on the terminals of parts. Shows itself as a table, one wire a row.

    wires: in the order of work, from the supply to the motors; those that go to a motor, its protective earth the first
    of them, are the last.
    """

    circuit: PowerCircuit
    parts: tuple[MainPart, ...]
    wires: tuple[MainWire, ...]

    @property
    def on_panel(self) -> int:
        """How many wires are pulled before the motors are connected; they are the first of the list."""
        return sum(not one.motor for one in self.wires)

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [(str(n), w.start, w.end, w.node) for n, w in enumerate(self.wires, 1)]
        return ("", "from", "to", "wire number"), rows

    def __str__(self) -> str:
        return text_table(*self._rows())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(f"Wire list of the power side: {self.circuit.title}", *self._rows())


def wire_power(circuit: PowerCircuit, panel: Kit | None = None, box: Kit = TRAINING_KIT) -> PowerWiring:
    """Return the `PowerWiring` of `circuit`.

    panel: parts that stand there already, for the control circuit (contactors, overload relays), under their
    designations; the others come from `box`, or are to be added. Same arguments, same list.

    Of an unfinished circuit it lists the wires so far. Raises LadderError if an argument is none of these, or a part of
    the panel is of another kind than in the power circuit, or has no main poles.
    """
    if not isinstance(circuit, PowerCircuit):
        raise LadderError("wire_power", "wires a PowerCircuit", circuit, ("reversing()",))
    for kit in (box, *([panel] if panel is not None else [])):
        if not isinstance(kit, Kit):
            raise LadderError("wire_power", "takes the parts from a Kit", kit, ("TRAINING_KIT",))
    there = dict(panel.devices) if panel is not None else {}
    free = Counter(fitted.model.name for fitted in box.devices.values())
    free.subtract(Counter(fitted.model.name for fitted in there.values()))
    parts = {}
    for element in _in_order(circuit):
        parts[element.tag] = _part(element, there.get(element.tag), free)
    return PowerWiring(circuit, tuple(parts.values()), _wires(circuit, parts))


def _in_order(circuit: PowerCircuit) -> list[PowerDevice | PowerMotor]:
    """The devices from the supply on, the nearest first, then the motors."""
    reached = set(LINES)
    waiting = list(circuit.devices)
    found: list[PowerDevice | PowerMotor] = []
    while waiting:
        now = [one for one in waiting if any({pole.a, pole.b} & reached for pole in one.poles)] or waiting[:1]
        reached |= {end for one in now for pole in one.poles for end in (pole.a, pole.b)}
        waiting = [one for one in waiting if one not in now]
        found += now
    return [*found, *circuit.motors]


def _part(element: PowerDevice | PowerMotor, there: Fitted | None, free: Counter[str]) -> MainPart:
    if isinstance(element, PowerMotor):
        motors = [m for m in CATALOGUE.values() if m.kind == MOTOR and set(element.terminals) <= set(m.more)]
        model = motors[0] if motors else None
        ends: dict[str, tuple[str, ...]] = {terminal: (f"{element.tag}:{terminal}",) for terminal in element.terminals}
        kind = MOTOR
    else:
        kind = element.kind
        kinds = (kind, STANDS_FOR.get(kind, kind))
        model = there.model if there is not None else None
        if model is not None and (model.kind not in kinds or not model.poles):
            rule = f"is a {kind} in the power circuit, but the panel has there a {model.name}"
            raise LadderError(f"wire_power, {element.tag}", rule, model.name, tuple(dict.fromkeys(kinds)))
        if model is None:
            fitting = [m for m in CATALOGUE.values() if m.kind in kinds and m.poles]
            model = next((m for m in fitting if free[m.name] > 0), fitting[0])  # the catalogue has one of each kind
        marks = dict(zip(POLES, model.poles, strict=False))
        ends = {pole.pole: tuple(f"{element.tag}:{end}" for end in marks[pole.pole]) for pole in element.poles}
    name = model.name if model is not None else ""
    extra = there is None and free[name] <= 0
    if there is None:
        free[name] -= 1
    return MainPart(element.tag, kind, name, extra, MappingProxyType(ends))


def _wires(circuit: PowerCircuit, parts: Mapping[str, MainPart]) -> tuple[MainWire, ...]:
    last = {line: line for line in LINES}  # node -> the terminal at the end of its chain
    wires: list[MainWire] = []

    def land(node: str, terminal: str, motor: bool) -> None:
        if node in last:
            wires.append(MainWire(last[node], terminal, node, motor))
        last[node] = terminal

    for element in _in_order(circuit):
        part = parts[element.tag]
        if isinstance(element, PowerMotor):
            wires.append(MainWire(PE, part.earth, PE, motor=True))
            for terminal, node in element.terminals.items():
                land(node, part.ends[terminal][0], motor=True)
            continue
        sides = [
            [(pole.a, part.ends[pole.pole][0]) for pole in element.poles],
            [(pole.b, part.ends[pole.pole][1]) for pole in element.poles],
        ]
        if not any(node in last for node, _ in sides[0]):  # fed from below: the wires that come from the supply first
            sides.reverse()
        for node, terminal in (one for side in sides for one in side):
            land(node, terminal, motor=False)
    return tuple(wires)


def read_power_wires(wiring: PowerWiring, wires: Iterable[MainWire | tuple[str, str]] | None = None) -> PowerCircuit:
    """Return the power circuit that `wires` make of the parts of `wiring`; left out, its own wires.

    Terminals joined by wires are one node: a line, or n1, n2, … in the order of the parts' terminals. Nothing but the
    parts' kinds, poles and the wires is read, so what comes out is what has been wired, right or wrong.

    Raises LadderError if an entry is no wire, a terminal is none of the parts', more than two wires are on a terminal
    (of the bar PE: any number), the wires alone join two lines or a line and PE, or they bridge a main pole.
    """
    records = _records(wiring.wires if wires is None else wires)
    known = (*LINES, PE, *(end for part in wiring.parts for end in part.terminals))
    on = Counter(end for one in records for end in (one.start, one.end))
    for terminal, count in on.items():
        if terminal not in known:
            raise LadderError("Wire list of the power side", "no such terminal", terminal, known)
        if count > MAX_ON_TERMINAL and terminal != PE:
            rule = f"at most {MAX_ON_TERMINAL} wires on a terminal; go on from the far end of one of them"
            raise LadderError(f"Terminal {terminal}", rule, count)
    parent = {terminal: terminal for terminal in known}

    def root(terminal: str) -> str:
        while parent[terminal] != terminal:
            terminal = parent[terminal]
        return terminal

    for one in records:
        ends = sorted((root(one.start), root(one.end)), key=known.index)  # a line is the first of its node
        parent[ends[1]] = ends[0]
    for terminal in (*LINES, PE):
        if root(terminal) != terminal:
            raise LadderError("Wire list of the power side", f"the wires alone join {root(terminal)} and {terminal}")
    names = {line: line for line in (*LINES, PE)}
    for terminal in known:
        names.setdefault(root(terminal), f"n{len(names) - 3}")
    found = PowerCircuit(wiring.circuit.title, wiring.circuit.source)
    labels = {element.tag: element.label for element in wiring.circuit.elements}
    for part in wiring.parts:
        nodes = {name: [names[root(end)] for end in ends] for name, ends in part.ends.items()}
        if part.kind == MOTOR:
            found.motor(part.tag, [node for (node,) in nodes.values()], labels[part.tag])
        else:
            poles = tuple(Pole(part.tag, name, *ends) for name, ends in nodes.items())
            found.add(PowerDevice(part.tag, part.kind, poles, labels[part.tag]))
    return found


def _records(wires: Iterable[MainWire | tuple[str, str]]) -> Sequence[MainWire]:
    found: list[MainWire] = []
    for entry in wires:
        pair = (entry.start, entry.end) if isinstance(entry, MainWire) else entry
        if not isinstance(pair, tuple | list) or len(pair) != 2 or not all(isinstance(end, str) for end in pair):
            forms = ("MainWire('L1', 'Q9:1/L1', 'L1')", "('L1', 'Q9:1/L1')")
            raise LadderError(f"Wire {len(found) + 1}", "goes from one terminal to another", entry, forms)
        found.append(entry if isinstance(entry, MainWire) else MainWire(pair[0], pair[1], ""))
    return found
