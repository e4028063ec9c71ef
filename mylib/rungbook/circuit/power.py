"""A three-phase power circuit: source, devices with main poles from node to node, motors. Plain data.

Nodes are names. L1, L2 and L3 are the lines of the source; every other name is a junction of wires. A pole joins two
nodes when it is closed, so a swap of two lines, a star point or a delta is only a matter of which nodes it joins.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from rungbook.errors import LadderError
from rungbook.kit import check_tag
from rungbook.kit.limits import MAX_DEVICES, check_text

LINES: tuple[str, ...] = ("L1", "L2", "L3")
#: main poles of a device, by their terminals (IEC 60947-4-1 marks them 1/L1-2/T1, 3/L2-4/T2, 5/L3-6/T3).
POLES = ("1-2", "3-4", "5-6")
#: terminals of a motor: three leads are the first three, six leads bring out both ends of each winding (IEC 60034-8).
TERMINALS = ("U1", "V1", "W1", "U2", "V2", "W2")
MOTOR = "motor"
#: kind of device with main poles -> its letter (IEC 81346-2). Those with Q open and close, those with F pass current.
POWER_KINDS: Mapping[str, str] = MappingProxyType(
    {
        "disconnect": "Q",
        "circuit breaker": "Q",
        "manual motor starter": "Q",
        "contactor": "Q",
        "fuse": "F",
        "overload relay": "F",
    }
)


def by_hand(kind: str) -> bool:
    """True if a hand closes it: a disconnect, a circuit breaker, a manual motor starter."""
    return POWER_KINDS.get(kind) == "Q" and kind != "contactor"


_NODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9.:/_-]{0,15}\Z")


def check_node(thing: str, node: object) -> str:
    """Return `node` if it can name a node: 1 to 16 letters, digits and . : / _ -; raise LadderError otherwise."""
    if not isinstance(node, str) or not _NODE.match(node):
        rule = "a node is named by 1 to 16 letters, digits, dots, colons, slashes or dashes"
        raise LadderError(thing, rule, node, ("L1", "2T1", "star"))
    return node


@dataclass(frozen=True)
class Source:
    """The supply: `volts` between two lines [V], above 0 up to 1000; `hertz` [Hz], above 0 up to 400."""

    volts: float = 208.0
    hertz: float = 60.0

    def __post_init__(self) -> None:
        for name, most in (("volts", 1000), ("hertz", 400)):
            value = getattr(self, name)
            if type(value) not in (int, float) or not 0 < value <= most:
                raise LadderError("Source", f"{name} is a number above 0, at most {most}", value)
            object.__setattr__(self, name, float(value))


@dataclass(frozen=True)
class Pole:
    """One main pole: `pole` ("1-2", "3-4", "5-6") of `device`, from node `a` to node `b`.

    Raises LadderError if the designation or a node is malformed, there is no such pole, or both ends are one node.
    """

    device: str
    pole: str
    a: str
    b: str

    def __post_init__(self) -> None:
        thing = f"Pole of {check_tag('Pole', self.device)}"
        if not isinstance(self.pole, str) or self.pole not in POLES:
            raise LadderError(thing, "no such main pole", self.pole, POLES)
        check_node(f"{thing}, {self.pole}", self.a)
        if check_node(f"{thing}, {self.pole}", self.b) == self.a:
            raise LadderError(f"{thing}, {self.pole}", "both ends are on one node, so the pole is bridged", self.a)

    def __str__(self) -> str:
        return f"{self.device} {self.pole}"


@dataclass(frozen=True)
class PowerDevice:
    """A device with one to three main poles; `kind` is one of `POWER_KINDS`, `label` what its plate says.

    Raises LadderError if the kind is unknown or has another letter than the designation, there is no pole, a pole
    stands twice, or a pole belongs to another device.
    """

    tag: str
    kind: str
    poles: tuple[Pole, ...]
    label: str = ""

    def __post_init__(self) -> None:
        thing = _element("Power device", self.tag, self.label)
        if not isinstance(self.kind, str) or self.kind not in POWER_KINDS:
            raise LadderError(thing, "unknown kind of device with main poles", self.kind, tuple(POWER_KINDS))
        if POWER_KINDS[self.kind] != self.tag[0]:
            fitting = tuple(kind for kind, letter in POWER_KINDS.items() if letter == self.tag[0])
            rule = f"the designation of a {self.kind} has the letter {POWER_KINDS[self.kind]} (IEC 81346-2)"
            raise LadderError(thing, rule, self.tag, fitting)
        if not isinstance(self.poles, tuple) or not self.poles:
            raise LadderError(thing, "needs one to three main poles in a tuple", self.poles, POLES)
        used = set()
        for pole in self.poles:
            if not isinstance(pole, Pole):
                raise LadderError(thing, "a pole is a Pole record", pole, (f"Pole('{self.tag}', '1-2', 'L1', '1T1')",))
            if pole.device != self.tag:
                raise LadderError(thing, f"{pole} is a pole of another device", pole.device, (self.tag,))
            if pole.pole in used:
                raise LadderError(thing, f"pole {pole.pole} is used twice; one pole is one place", pole.pole, POLES)
            used.add(pole.pole)


@dataclass(frozen=True)
class PowerMotor:
    """A three-phase motor: `nodes` of its terminals in the order of `TERMINALS`, three or six; `label` of its plate.

    Three leads: U1 V1 W1, the windings are joined inside. Six: U1-U2, V1-V2, W1-W2 are the windings, rated for the
    voltage between two lines, so delta is full running and star is for starting.
    Raises LadderError if the letter is not M, there are neither three nor six nodes, or a node is malformed.
    """

    tag: str
    nodes: tuple[str, ...]
    label: str = ""

    def __post_init__(self) -> None:
        thing = _element("Motor", self.tag, self.label)
        if self.tag[0] != "M":
            raise LadderError(thing, "the designation of a motor has the letter M (IEC 81346-2)", self.tag, ("M1",))
        if not isinstance(self.nodes, tuple) or len(self.nodes) not in (3, 6):
            rule = "needs the nodes of three or of six terminals in a tuple"
            raise LadderError(thing, rule, self.nodes, (" ".join(TERMINALS[:3]), " ".join(TERMINALS)))
        for terminal, node in self.terminals.items():
            check_node(f"{thing}, terminal {terminal}", node)

    @property
    def terminals(self) -> Mapping[str, str]:
        """Terminal -> node."""
        return dict(zip(TERMINALS, self.nodes, strict=False))


def _element(what: str, tag: object, label: object) -> str:
    """Check what a device and a motor have in common; return its name for a message."""
    thing = f"{what} {check_tag(what, tag)}"
    check_text(thing, "label", label)
    return thing


@dataclass(eq=True)
class PowerCircuit:
    """A power circuit as data: a title, a source, and elements in the order in which they were added.

    Raises LadderError if the title is no line of at most 200 characters or the source no `Source`.
    """

    title: str = ""
    source: Source = field(default_factory=Source)
    _elements: list[PowerDevice | PowerMotor] = field(default_factory=list, init=False)

    def __post_init__(self) -> None:
        check_text("PowerCircuit", "title", self.title)
        if not isinstance(self.source, Source):
            raise LadderError("PowerCircuit", "the source is a Source record", self.source, ("Source(208, 60)",))

    @property
    def elements(self) -> tuple[PowerDevice | PowerMotor, ...]:
        """Devices and motors in order."""
        return tuple(self._elements)

    @property
    def devices(self) -> tuple[PowerDevice, ...]:
        """The devices with main poles, in order."""
        return tuple(element for element in self._elements if isinstance(element, PowerDevice))

    @property
    def motors(self) -> tuple[PowerMotor, ...]:
        """The motors, in order."""
        return tuple(element for element in self._elements if isinstance(element, PowerMotor))

    @property
    def poles(self) -> tuple[Pole, ...]:
        """All main poles, in order."""
        return tuple(pole for device in self.devices for pole in device.poles)

    def add(self, element: PowerDevice | PowerMotor) -> None:
        """Add a device or a motor after the others.

        Raises LadderError, and leaves the circuit as it was, if it is neither, its designation is used already (each
        of its poles would be in two places), or there would be more than 200.
        """
        thing = f"Power circuit {self.title!r}"
        if not isinstance(element, PowerDevice | PowerMotor):
            raise LadderError(thing, "takes PowerDevice and PowerMotor records", element)
        if any(other.tag == element.tag for other in self._elements):
            raise LadderError(thing, f"{element.tag} is wired already; all its poles are given at once", element.tag)
        if len(self._elements) >= MAX_DEVICES:
            raise LadderError(thing, f"at most {MAX_DEVICES} devices and motors", len(self._elements) + 1)
        self._elements.append(element)

    def device(self, tag: str, kind: str, into: Iterable[str], out: Iterable[str], label: str = "") -> PowerDevice:
        """Add device `tag`; its poles 1-2, 3-4, 5-6 lead from the nodes `into` to the nodes `out`. Return the record.

        Raises LadderError as `add`, `PowerDevice` and `Pole` do, or if the two lists are not equally long, 1 to 3.
        """
        ends, others = _nodes(f"Power device {tag}", into), _nodes(f"Power device {tag}", out)
        if len(ends) != len(others) or not 1 <= len(ends) <= len(POLES):
            rule = f"needs one to three nodes on each side, as many in as out; these are {len(ends)} and {len(others)}"
            raise LadderError(f"Power device {tag}", rule)
        poles = tuple(Pole(tag, pole, a, b) for pole, a, b in zip(POLES, ends, others, strict=False))
        self.add(new := PowerDevice(tag, kind, poles, label))
        return new

    def motor(self, tag: str, nodes: Iterable[str], label: str = "") -> PowerMotor:
        """Add motor `tag` with its terminals U1 V1 W1, or U1 V1 W1 U2 V2 W2, on `nodes`. Return the record.

        Raises LadderError as `add` and `PowerMotor` do.
        """
        self.add(new := PowerMotor(tag, _nodes(f"Motor {tag}", nodes), label))
        return new

    def validate(self) -> None:
        """Check what only a finished circuit can answer.

        Raises LadderError if there is no element, or a pole ends on a node to which nothing else is wired. Not
        checked: two poles side by side that lead nowhere together.
        """
        thing = f"Power circuit {self.title!r}"
        if not self._elements:
            raise LadderError(thing, "has no devices yet; add them with .device(…) and .motor(…)")
        known = [*LINES, *(node for motor in self.motors for node in motor.nodes)]
        ends = [end for pole in self.poles for end in (pole.a, pole.b)]
        for pole in self.poles:
            for end in (pole.a, pole.b):
                if end not in known and ends.count(end) == 1:
                    others = tuple(dict.fromkeys(node for node in (*known, *ends) if node != end))
                    raise LadderError(f"{thing}, pole {pole}", "ends on a node that leads nowhere", end, others)

    def findings(self) -> tuple[str, ...]:
        """A sentence for each motor terminal that no line reaches even with every pole closed; () if all are fed.

        A terminal is not reported if its node joins ends of two windings of its motor, as a star point does.
        """
        net = joined(self.poles)
        fed = {net(line) for line in LINES}
        told = []
        for motor in self.motors:
            nets = [net(node) for node in motor.nodes]
            for place, (terminal, node) in enumerate(motor.terminals.items()):
                others = {at % 3 for at, other in enumerate(nets) if other == nets[place]} - {place % 3}
                if nets[place] not in fed and not (others and len(nets) == 6):
                    told.append(f"{motor.tag}: terminal {terminal}, on node {node}, is fed from nothing.")
        return tuple(told)

    def __repr__(self) -> str:
        lines = [f"PowerCircuit({self.title!r}, {self.source!r})"]
        for element in self._elements:
            if isinstance(element, PowerMotor):
                ways = [f"{terminal}={node}" for terminal, node in element.terminals.items()]
            else:
                ways = [f"{pole.pole}: {pole.a} to {pole.b}" for pole in element.poles]
            kind = MOTOR if isinstance(element, PowerMotor) else element.kind
            lines.append(f"  {element.tag} {kind}  {', '.join(ways)}")
        return "\n".join(lines)


def _nodes(thing: str, nodes: Iterable[str]) -> tuple[str, ...]:
    if isinstance(nodes, str) or not isinstance(nodes, Iterable):
        raise LadderError(thing, "nodes are given as a list of names", nodes, ("('L1', 'L2', 'L3')",))
    return tuple(nodes)


def joined(poles: Iterable[Pole]) -> Callable[[str], str]:
    """Return a function node -> name of its net when just these `poles` are closed (union-find).

    Two nodes have the same name exactly if closed poles join them; a node on no pole is a net of its own.
    """
    parent: dict[str, str] = {}

    def root(node: str) -> str:
        while (above := parent.get(node, node)) != node:
            parent[node] = parent.get(above, above)  # halve the way for the next one who asks
            node = above
        return node

    for pole in poles:
        parent[root(pole.b)] = root(pole.a)
    return root


def _line_side(title: str, disconnect: str, fuses: str) -> tuple[PowerCircuit, tuple[str, ...]]:
    """A circuit with its disconnect and fuses ("" leaves one out), and the nodes behind them."""
    circuit = PowerCircuit(title)
    at: tuple[str, ...] = LINES
    for tag, kind, nodes in ((disconnect, "disconnect", "1"), (fuses, "fuse", "2")):
        if tag:
            behind = tuple(nodes + line for line in LINES)
            circuit.device(tag, kind, at, behind)
            at = behind
    return circuit, at


def direct(
    title: str = "",
    *,
    disconnect: str = "Q9",
    fuses: str = "F9",
    contactor: str = "Q1",
    overload: str = "F1",
    motor: str = "M1",
) -> PowerCircuit:
    """Return a direct starter: disconnect, fuses, contactor, overload relay, motor with three leads.

    The arguments are designations; "" leaves the disconnect or the fuses out.
    Raises LadderError if a designation is malformed, has the wrong letter, or stands twice.
    """
    circuit, at = _line_side(title, disconnect, fuses)
    circuit.device(contactor, "contactor", at, ("1T1", "1T2", "1T3"))
    circuit.device(overload, "overload relay", ("1T1", "1T2", "1T3"), TERMINALS[:3])
    circuit.motor(motor, TERMINALS[:3])
    return circuit


def reversing(
    title: str = "",
    *,
    disconnect: str = "Q9",
    fuses: str = "F9",
    forward: str = "Q1",
    reverse: str = "Q2",
    overload: str = "F1",
    motor: str = "M1",
) -> PowerCircuit:
    """Return a reversing starter: contactor `reverse` changes the outer two lines, L1 and L3.

    Arguments and errors: as `direct`.
    """
    circuit, at = _line_side(title, disconnect, fuses)
    circuit.device(forward, "contactor", at, ("1T1", "1T2", "1T3"))
    circuit.device(reverse, "contactor", at, ("1T3", "1T2", "1T1"))
    circuit.device(overload, "overload relay", ("1T1", "1T2", "1T3"), TERMINALS[:3])
    circuit.motor(motor, TERMINALS[:3])
    return circuit


def star_delta(
    title: str = "",
    *,
    disconnect: str = "Q9",
    fuses: str = "F9",
    main: str = "Q1",
    star: str = "Q2",
    delta: str = "Q3",
    overload: str = "F1",
    motor: str = "M1",
) -> PowerCircuit:
    """Return a star-delta starter with a motor of six leads.

    `main` feeds U1 V1 W1 through the overload relay, which so carries the current of a winding (0.577 of the line
    current in delta). `star` joins U2 V2 W2. `delta` feeds them with L2 L3 L1. Arguments and errors: as `direct`.
    """
    circuit, at = _line_side(title, disconnect, fuses)
    circuit.device(main, "contactor", at, ("1T1", "1T2", "1T3"))
    circuit.device(overload, "overload relay", ("1T1", "1T2", "1T3"), TERMINALS[:3])
    circuit.device(star, "contactor", TERMINALS[3:], ("star", "star", "star"))
    circuit.device(delta, "contactor", (at[1], at[2], at[0]), TERMINALS[3:])
    circuit.motor(motor, TERMINALS)
    return circuit
