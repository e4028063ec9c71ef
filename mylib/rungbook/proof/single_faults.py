"""`try_faults`: what each single fault does to a circuit, and whether it shows itself.

Each fault of the catalogue, one at a time, is put into a sound board, and with a power circuit given into that too;
the rules are decided again over all sequences of orders, and the faulty circuit is compared with the sound one. A fault
that breaks a protecting rule and does not show itself in normal work is the one that hurts: it waits.

No times: how soon an overload relay trips a motor on two phases is not in the table; `run` in time tells that.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from rungbook.behaviour import Board
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.faults import Fault, PowerFault, single_faults, single_power_faults
from rungbook.behaviour.motor_panel import MotorPanel
from rungbook.behaviour.power import PowerReading
from rungbook.circuit import Ladder
from rungbook.circuit.power import PowerCircuit
from rungbook.errors import LadderError
from rungbook.proof.fault_table import FaultEffect, FaultTable, Severity
from rungbook.proof.limits import MAX_STATES, TooMany
from rungbook.proof.prove import decide
from rungbook.proof.rules import Rule
from rungbook.proof.shows import first_difference, warns

_WELDS = ("welded pole", "welded poles", "welded contactor")


def try_faults(
    circuit: Ladder | Board,
    *rules: Rule,
    faults: Iterable[Fault | PowerFault] | None = None,
    limit: int = MAX_STATES,
    power: PowerCircuit | None = None,
    mechanical_interlock: Iterable[tuple[str, str]] = (),
    mirror_contacts: Iterable[str] = (),
) -> FaultTable:
    """Try each single fault on `circuit` and say which of `rules` survive, how it shows itself, and how bad it is.

    circuit: a ladder, on a sound board with the devices it declares, or a board. faults: left out, all single faults of
    the board and of the power circuit. limit: states for each question. power: the power circuit; its faults join
    the table, and rules such as `no_short_between_phases()` and `motor_stands_while("M1", "S1", "pressed")` can be
    asked. mechanical_interlock: pairs of contactors whose armatures hold each other out. mirror_contacts: contactors
    whose NC auxiliary contacts stay open while a main pole is welded (IEC 60947-4-1 annex F, from memory).

    Raises LadderError if the circuit is neither, a rule is none, a fault of the power circuit has none to be in, as
    `Board` and `MotorPanel`, or if a rule does not hold on the sound circuit: there is nothing to lose then.
    """
    if isinstance(circuit, Ladder):
        circuit = Board.of(circuit, circuit.declared or ())
    if not isinstance(circuit, Board):
        raise LadderError("try_faults", "works on a Ladder or a Board", circuit)
    for rule in rules:
        if not isinstance(rule, Rule):
            raise LadderError("try_faults", "takes rules such as off_while('Q1', 'S1', 'pressed')", rule)
    if pairs := tuple(mechanical_interlock):
        circuit = replace(circuit, mechanical_interlock=pairs)
    trial = _Trial(circuit, power, rules, limit)
    mirrored = tuple(mirror_contacts)
    trial.check_contactors(mirrored)
    if faults is None:
        chosen: tuple[Fault | PowerFault, ...] = single_faults(circuit)
        if power is not None:
            chosen += single_power_faults(power, mirrored)
    else:
        chosen = tuple(faults)
    effects = sorted(map(trial.effect, chosen), key=lambda effect: effect.rank)  # stable: the catalogue's order within
    return FaultTable(circuit.title, tuple(effects))


class _Trial:
    """A sound circuit, and the rules that it keeps; asked for the effect of one fault after another."""

    def __init__(self, board: Board, power: PowerCircuit | None, rules: tuple[Rule, ...], limit: int) -> None:
        self.board, self.power, self.rules, self.limit = board, power, rules, limit
        self._kept: dict[frozenset[str], PowerReading] = {}  # readings of the sound power circuit
        self._like: dict[object, tuple[FaultEffect, MotorPanel]] = {}  # power faults, by what the circuit then does
        self.sound = self._panel(board)
        for verdict in decide(self.sound, rules, limit).verdicts:
            if not verdict.holds:
                raise LadderError("try_faults", f"this rule does not hold even without a fault: {verdict}")

    def _panel(self, board: Board) -> BoardPanel:
        return BoardPanel(board) if self.power is None else MotorPanel(board, self.power, kept=self._kept)

    def check_contactors(self, tags: tuple[str, ...]) -> None:
        """Raise LadderError if one of `tags` is no contactor of the power circuit."""
        there = self.sound.contactors if isinstance(self.sound, MotorPanel) else ()
        for tag in tags:
            if tag not in there:
                rule = f"no contactor {tag} in the power circuit that could have mirror contacts"
                raise LadderError("try_faults", rule, tag, there)

    def effect(self, fault: Fault | PowerFault) -> FaultEffect:
        """What `fault` does."""
        if isinstance(fault, Fault):
            faulty = self._panel(fault.apply(self.board))
            return self._told(fault, self._of(fault, faulty), faulty)
        if self.power is None:
            rule = "a fault of the power circuit needs one: give it, with power="
            raise LadderError("try_faults", rule, fault.describe(), ("reversing()",))
        alike = MotorPanel(self.board, *fault.apply(self.power))
        key = alike.does()
        if key not in self._like:
            self._like[key] = self._of(fault, alike), alike
        return self._told(fault, *self._like[key])

    def _told(self, fault: Fault | PowerFault, like: FaultEffect, faulty: BoardPanel) -> FaultEffect:
        return replace(like, fault=fault, remark=self._remark(fault, faulty, like))

    def _of(self, fault: Fault | PowerFault, faulty: BoardPanel) -> FaultEffect:
        verdicts = decide(faulty, self.rules, self.limit).verdicts
        lost = tuple(verdict for verdict in verdicts if not verdict.holds)
        pairs = zip(verdicts, self.rules, strict=True)
        hurt = [rule for verdict, rule in pairs if verdict.outcome == "broken" and rule.protects]
        try:
            shows = first_difference(self.sound, faulty, self.limit)
            hidden = bool(hurt) and not warns(self.sound, faulty, hurt, self.limit)
        except TooMany:
            return FaultEffect(fault, "not decided", lost, "")
        severity: Severity = "danger" if hurt else "stops the work" if lost else "no effect"
        if any(verdict.outcome == "not decided" for verdict in verdicts):
            severity, hidden = "not decided", False
        return FaultEffect(fault, severity, lost, shows, hidden)

    def _remark(self, fault: Fault | PowerFault, faulty: BoardPanel, effect: FaultEffect) -> str:
        """What a technician adds to the row."""
        told = []
        if hums := faulty.humming():
            told += [f"The coil of {tag} hums and gets hot." for tag in hums if tag not in self.sound.humming()]
        if isinstance(faulty, MotorPanel) and isinstance(self.sound, MotorPanel):
            if fault.kind in _WELDS and fault.device in faulty.contactors and self._runs_on(effect):
                told.append(
                    "No stop button and no emergency stop opens a weld: a second contactor in series, or supervision "
                    f"of the mirror contact of {fault.device}, is there for that."
                )
            if fault.kind == "welded pole" and fault.device not in faulty.contactors:
                told.append(f"{fault.device} no longer isolates this line: verify absence of voltage.")
            for motor in faulty.motors:
                still = (faulty.feed(motor, faulty.start).state, self.sound.feed(motor, self.sound.start).state)
                if still == ("live, no current", "off"):
                    told.append(f"{motor} stays live while it stands: lock out and verify before touching it.")
                if "single-phasing" in faulty.met(motor) - self.sound.met(motor):
                    told.append(f"{motor} gets hot until its overload relay trips; the time is not in this table.")
        return " ".join(told)

    def _runs_on(self, effect: FaultEffect) -> bool:
        broken = {verdict.sentence for verdict in effect.broken if verdict.outcome == "broken"}
        return any(rule.protects and rule.names and rule.told(self.sound) in broken for rule in self.rules)
