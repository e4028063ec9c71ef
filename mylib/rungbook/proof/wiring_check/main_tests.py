"""The dead tests of the power side, in the order of work, each with what its network says it must show.

Three stages: the panel with no motor connected, each motor by itself, the motor connected. While a motor hangs on the
lines its windings join them, and with a large motor an ohmmeter cannot tell that from a short: so that no two lines are
joined is tested before.
"""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass
from itertools import combinations, pairwise
from types import MappingProxyType

from rungbook.behaviour.power import Short, energise
from rungbook.circuit.power import LINES, MOTOR, by_hand
from rungbook.circuit.power_wires import PE, MainPart, PowerWiring
from rungbook.errors import LadderError
from rungbook.proof.wiring_check.dead_tests import DeadTest
from rungbook.proof.wiring_check.main_terminals import IN, ON, OUT, MainBoard, MainTerminals
from rungbook.tables import html_table, listed, text_table

PANEL, ALONE, CONNECTED = "panel", "motor", "connected"
PAIRS = tuple(combinations(LINES, 2))


@dataclass(frozen=True)
class MainTest(DeadTest):
    """One test of the power side. order: how the switches and contactors stand, or "" (all off).

    stage: "panel" (no wire to a motor is in place), "motor" (likewise, measured on the motor), "connected". of: motors
    whose windings the reading depends on; if there are any, `expected` is in units of R, what one reads on them.
    """

    stage: str = PANEL
    of: tuple[str, ...] = ()

    @property
    def shown(self) -> str:
        """As of any dead test; of windings "R of M1", "2 R of M1"."""
        if not self.of or self.expected is None:
            return super().shown
        if len(self.of) > 1:
            return f"the windings of {listed(self.of)} side by side"
        times = "" if abs(self.expected - 1) < 0.005 else f"{self.expected:.2g} "
        return f"{times}R of {self.of[0]}"


@dataclass(frozen=True)
class Joined:
    """Two contactors that join lines when both are in, though neither does alone. shorts: as the power circuit says."""

    pair: tuple[str, str]
    shorts: tuple[Short, ...]

    @property
    def told(self) -> str:
        """ "Q1 and Q2 both in join L1 and L3 (Q1 1-2, Q2 5-6)."."""
        each = [f"{' and '.join(s.phases)} ({', '.join(map(str, s.path))})" for s in self.shorts]
        return f"{' and '.join(self.pair)} both in join {', '.join(each)}."


@dataclass(frozen=True)
class MainTests:
    """All tests of one power side, and the pairs of contactors that an interlock must hold apart."""

    title: str
    tests: tuple[MainTest, ...]
    joined: tuple[Joined, ...]

    def of_stage(self, stage: str) -> tuple[MainTest, ...]:
        """The tests of one stage, in order."""
        return tuple(test for test in self.tests if test.stage == stage)

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [
            (str(t.number), t.stage, t.order or "all off", f"{t.a} – {t.b}", t.shown, "") for t in self.tests
        ]
        return ("", "stage", "with", "measure ohms", "must show", "reading"), rows

    def __str__(self) -> str:
        return "\n".join([text_table(*self._rows()), *(one.told for one in self.joined)])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(f"Dead tests of the power side: {self.title}", *self._rows())


def main_tests(wiring: PowerWiring) -> MainTests:
    """Return the dead tests of the power side. Supply off, locked out in front of the board, proved dead.

    Panel: each wire end to end, fuses out (a wire that passes one by shows so); each main pole at rest, and with its
    device on or its armature pushed in; no two lines joined with all off, all switches on, and each contactor in; where
    each contactor leads the lines. Motor: its windings, and against the protective earth. Connected: the wires to it,
    and the windings through each contactor and each pair that makes a way for current only together.
    Raises LadderError if `wiring` is none, or its circuit is not valid (`PowerCircuit.validate`).
    """
    if not isinstance(wiring, PowerWiring):
        raise LadderError("main_tests", "tests what `wire_power` lists", wiring, ("wire_power(reversing())",))
    wiring.circuit.validate()
    joined = must_stay_apart(wiring)
    return MainTests(wiring.circuit.title, _Tests(wiring, {one.pair for one in joined}).made(), joined)


def must_stay_apart(wiring: PowerWiring) -> tuple[Joined, ...]:
    """The pairs of contactors that join lines only when both are in."""
    circuit = wiring.circuit
    switches = [part.tag for part in wiring.parts if by_hand(part.kind)]
    contactors = [part.tag for part in wiring.parts if part.kind == "contactor"]
    bad = {tag for tag in contactors if energise(circuit, [*switches, tag]).shorts}
    found = []
    for pair in combinations(sorted(contactors), 2):
        shorts = energise(circuit, [*switches, *pair]).shorts
        if shorts and not bad & set(pair):
            found.append(Joined(pair, shorts))
    return tuple(found)


class _Tests:
    """Makes the tests; the readings come from two boards, one with every R twice as large as the other."""

    def __init__(self, wiring: PowerWiring, apart: Set[tuple[str, str]]) -> None:
        self.wiring = wiring
        self.apart = apart
        self.motors = [part for part in wiring.parts if part.kind == MOTOR]
        self.switches = [part.tag for part in wiring.parts if by_hand(part.kind)]
        self.fuses = [part.tag for part in wiring.parts if part.kind == "fuse"]
        self.contactors = [part.tag for part in wiring.parts if part.kind == "contactor"]
        self.board = MainTerminals(wiring).wired(wiring.wires)
        self.others: dict[str, MainBoard] = {
            motor.tag: MainTerminals(wiring, {motor.tag: 2.0}).wired(wiring.wires) for motor in self.motors
        }
        self.found: list[MainTest] = []

    def made(self) -> tuple[MainTest, ...]:
        wires = list(enumerate(self.wiring.wires, 1))
        base = dict.fromkeys(self.switches, ON)
        for number, one in wires:
            if not one.motor:
                self.add(PANEL, dict.fromkeys(self.fuses, OUT), one.start, one.end, number)
        self._poles()
        for positions in (*([{}] if base else []), base, *(base | {tag: IN} for tag in self.contactors)):
            for a, b in PAIRS:
                self.add(PANEL, positions, a, b)
        self._ways(base)
        for motor in self.motors:
            self._windings(motor)
        for number, one in wires:
            if one.motor:
                self.add(CONNECTED, {}, one.start, one.end, number)
        self._through(base)
        return tuple(self.found)

    def add(self, stage: str, positions: Mapping[str, str], a: str, b: str, wire: int = 0) -> None:
        number = len(self.found) + 1
        value, of = self.reading(stage, positions, a, b)
        kept = MappingProxyType(dict(positions))
        self.found.append(MainTest(number, _told(positions), a, b, value, wire, kept, stage, of))

    def reading(self, stage: str, positions: Mapping[str, str], a: str, b: str) -> tuple[float | None, tuple[str, ...]]:
        motors = stage == CONNECTED
        value = self.board.ohms(positions, motors, a, b)
        of = [tag for tag, board in self.others.items() if board.ohms(positions, motors, a, b) != value]
        return value, tuple(of)

    def _poles(self) -> None:
        for part in self.wiring.parts:
            if part.kind == MOTOR:
                continue
            moves: list[dict[str, str]] = [{}]
            if part.tag[0] == "Q":
                moves.append({part.tag: ON if by_hand(part.kind) else IN})
            for positions in moves:
                for pair in part.ends.values():
                    self.add(PANEL, positions, pair[0], pair[1])

    def _ways(self, base: Mapping[str, str]) -> None:
        """Which lines and wires to motors each contactor joins, one measurement less than ends that meet."""
        starts = dict.fromkeys(one.start for one in self.wiring.wires if one.motor and one.start != PE)
        ports = [*LINES, *(start for start in starts if start.partition(":")[0] not in self.others)]
        before = self._meeting(base, ports)
        if any(len(ends) > 1 for ends in before):
            self._chains(base, before)
        for tag in self.contactors:
            positions = {**base, tag: IN}
            self._chains(positions, [ends for ends in self._meeting(positions, ports) if ends not in before])

    def _meeting(self, positions: Mapping[str, str], ports: list[str]) -> list[list[str]]:
        found: list[list[str]] = []
        for port in ports:
            home = next((ends for ends in found if self.board.ohms(positions, False, ends[0], port) == 0), None)
            if home is None:
                found.append([port])
            else:
                home.append(port)
        return found

    def _chains(self, positions: Mapping[str, str], nets: list[list[str]]) -> None:
        for ends in nets:
            for a, b in pairwise(ends):
                self.add(PANEL, positions, a, b)

    def _windings(self, motor: MainPart) -> None:
        ends = [end for (end,) in motor.ends.values()]
        across = [(ends[0], ends[1]), (ends[1], ends[2]), (ends[2], ends[0])]
        if len(ends) == 6:
            across = [*zip(ends[:3], ends[3:], strict=True), *across]
        for a, b in (*across, *((end, motor.earth) for end in (ends[:1] if len(ends) == 3 else ends[:3]))):
            self.add(ALONE, {}, a, b)

    def _through(self, base: Mapping[str, str]) -> None:
        """The windings from the supply, where current has a way, with one contactor in or with two."""
        alone: dict[str, list[float]] = {}
        if self.switches and any(self.siemens_of(base)):
            self._lines(base)
        for tag in self.contactors:
            positions = {**base, tag: IN}
            alone[tag] = self.siemens_of(positions)
            if any(alone[tag]):
                self._lines(positions)
        for one, other in combinations(sorted(self.contactors), 2):
            positions = {**base, one: IN, other: IN}
            both = self.siemens_of(positions)
            side_by_side = [a + b for a, b in zip(alone[one], alone[other], strict=True)]
            if (one, other) not in self.apart and any(
                abs(a - b) > 1e-9 for a, b in zip(both, side_by_side, strict=True)
            ):
                self._lines(positions)

    def siemens_of(self, positions: Mapping[str, str]) -> list[float]:
        """Conductance between each two lines with the motors connected; a short counts as very much."""
        values = [self.board.ohms(positions, True, a, b) for a, b in PAIRS]
        return [0.0 if value is None else 1 / max(value, 1e-6) for value in values]

    def _lines(self, positions: Mapping[str, str]) -> None:
        for a, b in PAIRS:
            self.add(CONNECTED, positions, a, b)


def _told(positions: Mapping[str, str]) -> str:
    on = [tag for tag, position in positions.items() if position == ON]
    pushed = [tag for tag, position in positions.items() if position == IN]
    out = [tag for tag, position in positions.items() if position == OUT]
    said = [f"{', '.join(out)} out"] if out else []
    said += [f"{', '.join(on)} on"] if on else []
    said += [f"{' and '.join(pushed)} pushed in"] if pushed else []
    return "; ".join(said)
