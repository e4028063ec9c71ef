"""What a power circuit does: the phase at each motor terminal, its direction, its currents, and shorts.

Nets come from the closed poles (union-find); currents from one nodal solution with phasors, in which every winding
is the same impedance. That is a motor at standstill: shares of the current and torque of a direct start. A running
motor that loses a phase draws more, by its load; that is not in here. Windings are not coupled.
"""

from __future__ import annotations

import cmath
import math
from collections import deque
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from types import MappingProxyType

from rungbook.circuit.power import LINES, TERMINALS, Pole, PowerCircuit, PowerMotor, joined
from rungbook.errors import LadderError

_TURN = cmath.rect(1, 2 * math.pi / 3)
#: phase -> its voltage to neutral as a share of the phase voltage; L2 is 120 degrees behind L1, L3 behind L2.
PHASORS: Mapping[str, complex] = MappingProxyType({"L1": 1 + 0j, "L2": _TURN**2, "L3": _TURN})
_TINY = 1e-9
_INNER = "inner star point of "  # no node name contains a space

#: states of a motor, with what the bench says of each.
STATES: Mapping[str, str] = MappingProxyType(
    {
        "off": "stands still",
        "live, no current": "no voltage across a winding, so it stands still, but its terminals are live",
        "single-phasing": "single-phasing, so it hums and does not start",
        "direct": "runs {way}",
        "star": "runs {way} in star",
        "delta": "runs {way} in delta",
        "delta, wrong phase pairs": "delta with wrong phase pairs: it must not be switched on",
        "unbalanced": "the windings get unequal voltages: it must not be left on",
        "short": "a short between phases, so nothing is told until protection has cleared it",
    }
)


@dataclass(frozen=True)
class PowerFaults:
    """Faults of a power circuit. Poles are (device, pole) pairs such as ("Q1", "1-2").

    welded: stay closed. open: never close (a worn pole, a blown fuse, a loose terminal). lost: phases that do not
    arrive. supply: the phases that arrive on the lines L1, L2, L3, in this order.
    Raises LadderError if a field is no collection; whether it fits a circuit is checked by `energise`.
    """

    welded: frozenset[tuple[str, str]] = frozenset()
    open: frozenset[tuple[str, str]] = frozenset()
    lost: frozenset[str] = frozenset()
    supply: tuple[str, ...] = LINES

    def __post_init__(self) -> None:
        for name, example in (("welded", "{('Q1', '1-2')}"), ("open", "{('F9', '1-2')}"), ("lost", "{'L3'}")):
            given = getattr(self, name)
            if isinstance(given, str) or not isinstance(given, Iterable):
                raise LadderError(f"PowerFaults, {name}", "is a set", given, (example,))
            object.__setattr__(self, name, frozenset(given))  # a plain set will do
        if isinstance(self.supply, str) or not isinstance(self.supply, Iterable):
            raise LadderError("PowerFaults, supply", "is a list of the three phases", self.supply, LINES)
        object.__setattr__(self, "supply", tuple(self.supply))


@dataclass(frozen=True)
class Short:
    """Two phases joined: `path` is a shortest chain of closed poles from the first phase to the second."""

    phases: tuple[str, str]
    path: tuple[Pole, ...]

    @property
    def sentence(self) -> str:
        """ "L1 and L3 are shorted: Q1 1-2, Q2 1-2."."""
        return f"{' and '.join(self.phases)} are shorted: {', '.join(map(str, self.path))}."

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True)
class MotorFeed:
    """What one motor gets.

    state: a key of `STATES`. direction: +1 for L1 L2 L3 on U1 V1 W1 or a rotation of it, -1 for one swap, 0 if it
    does not start. phases: phase at each terminal, in the order of TERMINALS; "" for none, "L1+L3" if shorted.
    line_shares: current from the phases L1, L2, L3; terminal_shares: current at each terminal; both as shares of the
    line current of the same motor connected direct (six leads: in delta) [unitless]. torque: share of its starting
    torque then [unitless], of the field that runs its way less the one against it.
    """

    motor: str
    state: str
    direction: int
    phases: tuple[str, ...]
    line_shares: tuple[float, ...]
    terminal_shares: tuple[float, ...]
    torque: float

    @property
    def sentence(self) -> str:
        """One sentence for the bench: "M1: L3 L2 L1 on U1 V1 W1: runs backwards."."""
        groups = [(self.phases[k : k + 3], " ".join(TERMINALS[k : k + 3])) for k in range(0, len(self.phases), 3)]
        shown = [f"{' '.join(p or '–' for p in some) if any(some) else 'no phase'} on {at}" for some, at in groups]
        way = {1: "forwards", -1: "backwards", 0: ""}[self.direction]
        return f"{self.motor}: {', '.join(shown)}: {STATES[self.state].format(way=way)}."

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True)
class PowerReading:
    """What the whole circuit does: `shorts` between phases, and a `MotorFeed` for each motor in order."""

    shorts: tuple[Short, ...]
    motors: tuple[MotorFeed, ...]

    def __getitem__(self, tag: str) -> MotorFeed:
        for feed in self.motors:
            if feed.motor == tag:
                return feed
        raise LadderError("Power reading", "no such motor", tag, tuple(feed.motor for feed in self.motors))

    def __str__(self) -> str:
        return "\n".join([*map(str, self.shorts), *map(str, self.motors)])


@dataclass(frozen=True)
class LoadCurrents:
    """Phasors of a three-phase load [A]: `line` into U, V, W; `winding` through each impedance. `watts` in all [W]."""

    line: tuple[complex, ...]
    winding: tuple[complex, ...]
    watts: float


def energise(circuit: PowerCircuit, closed: Iterable[str], faults: PowerFaults | None = None) -> PowerReading:
    """Return what `circuit` does while the devices `closed` are closed; fuses and overload relays always are.

    closed: designations with the letter Q. An overload relay opens its control contact, never its main poles.
    Raises LadderError if the circuit is not valid, `closed` or a fault names what is not there, only switched poles
    are said to weld, one pole is both welded and open, or `supply` is no order of the three phases.
    """
    if not isinstance(circuit, PowerCircuit):
        raise LadderError("energise", "works on a PowerCircuit", circuit, ("PowerCircuit('title')",))
    circuit.validate()
    faults = PowerFaults() if faults is None else faults
    if not isinstance(faults, PowerFaults):
        raise LadderError("energise", "faults are a PowerFaults record", faults, ("PowerFaults(lost={'L3'})",))
    _check_faults(circuit, faults)
    poles = closed_poles(circuit, closed, faults)
    arrives = {line: phase for line, phase in zip(LINES, faults.supply, strict=True) if phase not in faults.lost}
    shorts = _shorts(poles, arrives)
    net = joined(poles)
    live: dict[str, set[str]] = {}
    for line, phase in arrives.items():
        live.setdefault(net(line), set()).add(phase)
    if shorts:
        feeds = tuple(_undecided(motor, net, live) for motor in circuit.motors)
    else:
        known = {at: PHASORS[phase] for at, (phase,) in live.items()}
        windings = {motor.tag: _windings(motor, net) for motor in circuit.motors}
        volts = _potentials([(a, b, 1 + 0j) for pairs in windings.values() for a, b in pairs], known)
        feeds = tuple(_feed(motor, net, live, windings[motor.tag], volts) for motor in circuit.motors)
    return PowerReading(shorts, feeds)


def three_phase_load(volts: float, ohms: Sequence[complex], connection: str) -> LoadCurrents:
    """Return the currents of three impedances `ohms` [ohm] on a balanced supply, `volts` between lines [V].

    connection: "star" (U, V, W to a star point that is not the neutral) or "delta" (UV, VW, WU). Voltage of L1 to
    neutral has angle 0; L2 is 120 degrees behind it. Nodal solution, exact but for rounding.
    Raises LadderError if the connection is another, the voltage is not above 0, there are not three impedances, or
    one is 0, infinite or has a negative resistance, or reactances in star cancel.
    """
    if connection not in ("star", "delta"):
        raise LadderError("three_phase_load", "unknown connection", connection, ("star", "delta"))
    if not isinstance(volts, int | float) or not 0 < volts < math.inf:
        raise LadderError("three_phase_load", "the voltage is a number above 0", volts)
    if not isinstance(ohms, Sequence) or len(ohms) != 3 or not all(map(_is_load, ohms)):
        raise LadderError("three_phase_load", "needs three impedances, none of them 0, infinite or negative", ohms)
    if connection == "star" and abs(sum(1 / z for z in ohms)) < 1e-12 * max(abs(1 / z) for z in ohms):
        raise LadderError("three_phase_load", "these reactances cancel: resonance without a limit", ohms)
    ends = [(a, "star point") for a in LINES] if connection == "star" else _pairs(LINES)
    known = {line: phasor * volts / math.sqrt(3) for line, phasor in PHASORS.items()}
    at = _potentials([(a, b, 1 / z) for (a, b), z in zip(ends, ohms, strict=True)], known)
    winding = tuple((at[a] - at[b]) / z for (a, b), z in zip(ends, ohms, strict=True))
    line = tuple(_inflow(name, ends, winding) for name in LINES)
    return LoadCurrents(line, winding, sum(abs(i) ** 2 * complex(z).real for i, z in zip(winding, ohms, strict=True)))


def _is_load(ohms: object) -> bool:
    return isinstance(ohms, int | float | complex) and cmath.isfinite(ohms) and ohms != 0 and complex(ohms).real >= 0


def _pairs(lines: Sequence[str]) -> list[tuple[str, str]]:
    return [(lines[0], lines[1]), (lines[1], lines[2]), (lines[2], lines[0])]


def _inflow(node: str, ends: Sequence[tuple[str, str]], currents: Sequence[complex]) -> complex:
    """Current from `node` into branches `ends`, each with its current from first to second end."""
    return sum((i * ((a == node) - (b == node)) for (a, b), i in zip(ends, currents, strict=True)), 0j)


def _check_faults(circuit: PowerCircuit, faults: PowerFaults) -> None:
    there = {(pole.device, pole.pole) for pole in circuit.poles}
    for name, given in (("welded", faults.welded), ("open", faults.open)):
        for pair in given:
            if pair not in there:
                raise LadderError(f"PowerFaults, {name}", "no such pole here", pair, tuple(map(str, circuit.poles)))
    for device, pole in sorted(faults.welded):
        if device[0] != "Q":
            raise LadderError("PowerFaults, welded", "only poles that switch can weld", f"{device} {pole}")
        if (device, pole) in faults.open:
            raise LadderError("PowerFaults", "a pole is either welded or open", f"{device} {pole}")
    if not set(faults.lost) <= set(LINES):
        raise LadderError("PowerFaults, lost", "no such phase", sorted(map(str, faults.lost)), LINES)
    if sorted(map(str, faults.supply)) != sorted(LINES):
        raise LadderError("PowerFaults, supply", "needs each of the three phases once", faults.supply, LINES)


def closed_poles(circuit: PowerCircuit, closed: Iterable[str], faults: PowerFaults) -> tuple[Pole, ...]:
    """Return the poles that conduct while the devices `closed` are closed. Raises LadderError as `energise`."""
    switching = tuple(device.tag for device in circuit.devices if device.tag[0] == "Q")
    if not isinstance(closed, Iterable):
        raise LadderError("energise", "takes the devices that are closed as a set", closed, switching)
    tags = (closed,) if isinstance(closed, str) else tuple(closed)
    for tag in tags:
        if tag not in switching:
            raise LadderError("energise", f"no device {tag} here that opens and closes", tag, switching)
    return tuple(
        pole
        for pole in circuit.poles
        if (pole.device, pole.pole) not in faults.open
        and (pole.device in tags or pole.device not in switching or (pole.device, pole.pole) in faults.welded)
    )


def _shorts(poles: Collection[Pole], arrives: Mapping[str, str]) -> tuple[Short, ...]:
    """Every pair of phases that closed poles join, in the order of the phases, with a shortest path (breadth first)."""
    ways: dict[str, list[tuple[str, Pole]]] = {}
    for pole in poles:
        ways.setdefault(pole.a, []).append((pole.b, pole))
        ways.setdefault(pole.b, []).append((pole.a, pole))
    line_of = {phase: line for line, phase in arrives.items()}
    found = []
    for first, second in combinations(sorted(line_of), 2):
        came: dict[str, tuple[str, Pole] | None] = {line_of[first]: None}
        queue = deque(came)
        while queue:
            node = queue.popleft()
            for other, pole in ways.get(node, ()):
                if other not in came:
                    came[other] = (node, pole)
                    queue.append(other)
        if line_of[second] in came:
            path, node = [], line_of[second]
            while (step := came[node]) is not None:
                node = step[0]
                path.append(step[1])
            found.append(Short((first, second), tuple(reversed(path))))
    return tuple(found)


def _windings(motor: PowerMotor, net: Callable[[str], str]) -> list[tuple[str, str]]:
    """The ends of the three windings, as nets."""
    ends = [net(node) for node in motor.nodes]
    return list(zip(ends[:3], ends[3:] or [_INNER + motor.tag] * 3, strict=True))


def _phases(motor: PowerMotor, net: Callable[[str], str], live: Mapping[str, set[str]]) -> tuple[str, ...]:
    return tuple("+".join(sorted(live.get(net(node), ()))) for node in motor.nodes)


def _undecided(motor: PowerMotor, net: Callable[[str], str], live: Mapping[str, set[str]]) -> MotorFeed:
    """While phases are shorted: the motor is off if nothing reaches it, else nothing more is said."""
    phases = _phases(motor, net, live)
    state = "short" if any(phases) else "off"
    return MotorFeed(motor.tag, state, 0, phases, (0.0,) * 3, (0.0,) * len(phases), 0.0)


def _feed(
    motor: PowerMotor,
    net: Callable[[str], str],
    live: Mapping[str, set[str]],
    windings: Sequence[tuple[str, str]],
    volts: Mapping[str, complex],
) -> MotorFeed:
    phases = _phases(motor, net, live)
    six = len(phases) == 6
    across = [volts[a] - volts[b] for a, b in windings]  # admittance 1: voltage and current are one number
    full = 3.0 if six else 1.0  # line current when connected direct, and the square of a winding's voltage
    forward, backward, zero = (abs(part) for part in _sequences(across))
    torque = _clean((forward**2 - backward**2) / full)
    lines = {phase: at for at, some in live.items() for phase in some}
    drawn = tuple(_clean(abs(_inflow(lines.get(phase, ""), windings, across)) / full) for phase in LINES)
    each = tuple(_clean(abs(value) / full) for value in across)
    if max(map(abs, across)) < _TINY:
        field = "none"
    elif torque == 0:
        field = "one axis"
    else:
        field = "round" if zero < _TINY and min(forward, backward) < _TINY else "unequal"
    state = _state(phases, field)
    way = (torque > 0) - (torque < 0)
    return MotorFeed(motor.tag, state, way, phases, drawn, each * (2 if six else 1), abs(torque))


def _state(phases: Sequence[str], field: str) -> str:
    """State of a motor from the phases at its terminals and the shape of its field."""
    reaching = len(set(phases) - {""})
    if reaching == 3 and len(phases) == 6 and all(phases):
        return "delta" if field == "round" else "delta, wrong phase pairs"
    if field == "none":
        return "live, no current" if reaching else "off"
    if field == "one axis":
        return "single-phasing"
    if field == "unequal":
        return "unbalanced"
    return "star" if len(phases) == 6 else "direct"


def _sequences(three: Sequence[complex]) -> tuple[complex, complex, complex]:
    """Positive, negative and zero sequence components of three phasors."""
    u, v, w = three
    return (u + _TURN * v + _TURN**2 * w) / 3, (u + _TURN**2 * v + _TURN * w) / 3, (u + v + w) / 3


def _clean(value: float) -> float:
    """Without the rounding errors of the last digits, and without a minus before 0."""
    return round(value, 12) + 0.0


def _potentials(branches: Sequence[tuple[str, str, complex]], known: Mapping[str, complex]) -> dict[str, complex]:
    """Node voltages of `branches` (end, end, admittance) with some nodes `known`: nodal analysis, elimination.

    Rows need no exchange: admittances are all alike, or one node alone is free, so the diagonal is never the smaller.
    A part of the circuit that touches no known node carries no current; its last node is set to 0.
    """
    free = list(dict.fromkeys(n for a, b, _ in branches for n in (a, b) if n not in known))
    place = {node: k for k, node in enumerate(free)}
    rows = [[0j] * (len(free) + 1) for _ in free]
    for a, b, y in branches:
        for here, there in ((a, b), (b, a)):
            if here in place:
                row = rows[place[here]]
                row[place[here]] += y
                if there in place:
                    row[place[there]] -= y
                else:
                    row[-1] += y * known[there]
    limit = 1e-12 * max((abs(y) for _, _, y in branches), default=1.0)
    for k in range(len(free)):
        if abs(rows[k][k]) < limit:
            rows[k] = [0j] * (len(free) + 1)
            rows[k][k] = 1 + 0j
            continue
        for below in rows[k + 1 :]:
            share = below[k] / rows[k][k]
            for c in range(k, len(below)):
                below[c] -= share * rows[k][c]
    volts: dict[str, complex] = dict(known)
    for k in reversed(range(len(free))):
        rest = sum((rows[k][c] * volts[free[c]] for c in range(k + 1, len(free))), 0j)
        volts[free[k]] = (rows[k][-1] - rest) / rows[k][k]
    return volts
