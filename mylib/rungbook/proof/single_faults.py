"""`try_faults`: what each single fault does to a circuit, and whether it shows itself.

Each fault of the catalogue, one at a time, is put into a sound board; the rules are decided again over all sequences
of orders, and the faulty board is compared with the sound one. A fault that breaks a protecting rule and does not show
itself in normal work is the one that hurts: it waits.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product
from typing import Literal

from rungbook.behaviour import Board, State, Step, tell
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.faults import Fault, single_faults
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.proof.explore import MAX_STATES, Exploration, TooMany
from rungbook.proof.prove import decide
from rungbook.proof.rules import Rule
from rungbook.proof.tell import does
from rungbook.proof.verdict import Verdict
from rungbook.tables import html_table, text_table

Severity = Literal["danger", "stops the work", "no effect", "not decided"]
_ORDER = ("danger", "stops the work", "no effect", "not decided")


@dataclass(frozen=True)
class FaultEffect:
    """What one fault does.

    severity: "danger" if a protecting rule is broken, "stops the work" if another rule is broken or no longer shown,
    "no effect" on the rules, or "not decided" within the limit. broken: the verdicts of the rules that no longer hold.
    shows: the shortest sequence of orders after which an operator sees a difference from the sound circuit, and what;
    "" if there is none. hidden: True if it does not show unless somebody does what the protection is there for.
    """

    fault: Fault
    severity: Severity
    broken: tuple[Verdict, ...]
    shows: str
    hidden: bool = False


@dataclass(frozen=True)
class FaultTable:
    """The effects of all faults, dangers first. True if no single fault is a danger. Shows itself as a table."""

    title: str
    effects: tuple[FaultEffect, ...]

    def __bool__(self) -> bool:
        return not self.dangers()

    def dangers(self) -> tuple[FaultEffect, ...]:
        """The effects that can hurt someone."""
        return tuple(effect for effect in self.effects if effect.severity == "danger")

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = []
        for effect in self.effects:
            shows = effect.shows or "not at all"
            rows.append((effect.fault.describe(), _told(effect.broken), shows, effect.severity))
        return ("fault", "effect", "shows itself", "severity"), rows

    def __str__(self) -> str:
        return text_table(*self._rows())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(f"{self.title}: every single fault".removeprefix(": "), *self._rows())


def _told(lost: tuple[Verdict, ...]) -> str:
    """What became of the rules: broken ones apart from those that the circuit never comes to the point of keeping."""
    parts = []
    for lead, outcomes in (("no longer", ("broken",)), ("no more to be seen", ("not shown", "not decided"))):
        sentences = [verdict.sentence.rstrip(".") for verdict in lost if verdict.outcome in outcomes]
        if sentences:
            parts.append(f"{lead}: {'; '.join(sentences)}")
    return ". ".join(parts) or "every rule still holds"


def try_faults(
    circuit: Ladder | Board, *rules: Rule, faults: Iterable[Fault] | None = None, limit: int = MAX_STATES
) -> FaultTable:
    """Try each single fault on `circuit` and say which of `rules` survive, how it shows itself, and how bad it is.

    circuit: a ladder, on a sound board with the devices it declares, or a board. faults: left out, all single faults of
    the board. limit: states for each question.

    Raises LadderError if the circuit is neither, a rule is none, or a rule does not hold on the sound circuit: there is
    nothing to lose then.
    """
    if isinstance(circuit, Ladder):
        circuit = Board.of(circuit, circuit.declared or ())
    if not isinstance(circuit, Board):
        raise LadderError("try_faults", "works on a Ladder or a Board", circuit)
    for rule in rules:
        if not isinstance(rule, Rule):
            raise LadderError("try_faults", "takes rules such as off_while('Q1', 'S1', 'pressed')", rule)
    sound = BoardPanel(circuit)
    for verdict in decide(sound, rules, limit).verdicts:
        if not verdict.holds:
            raise LadderError("try_faults", f"this rule does not hold even without a fault: {verdict}")
    chosen = single_faults(circuit) if faults is None else tuple(faults)
    effects = [_effect(sound, fault, BoardPanel(fault.apply(circuit)), rules, limit) for fault in chosen]
    effects.sort(key=lambda effect: _ORDER.index(effect.severity))  # stable: the order of the catalogue within
    return FaultTable(circuit.title, tuple(effects))


def _effect(sound: BoardPanel, fault: Fault, faulty: BoardPanel, rules: tuple[Rule, ...], limit: int) -> FaultEffect:
    verdicts = decide(faulty, rules, limit).verdicts
    lost = tuple(verdict for verdict in verdicts if not verdict.holds)
    try:
        shows, normal = _shows(sound, faulty, limit)
    except TooMany:
        return FaultEffect(fault, "not decided", lost, "")
    hurts = any(v.outcome == "broken" and rule.protects for v, rule in zip(verdicts, rules, strict=True))
    severity: Severity = "danger" if hurts else "stops the work" if lost else "no effect"
    if any(verdict.outcome == "not decided" for verdict in verdicts):
        severity = "not decided"
    return FaultEffect(fault, severity, lost, shows, hidden=hurts and not normal)


@dataclass(frozen=True)
class _Both:
    states: tuple[tuple[State, State], ...]
    chatter: bool
    passed: frozenset[tuple[State, State]] = frozenset()


class _Twins:
    """The sound board and the faulty one, given the same orders."""

    def __init__(self, sound: BoardPanel, faulty: BoardPanel) -> None:
        self.sound, self.faulty, self.steps = sound, faulty, sound.steps

    @property
    def start(self) -> tuple[State, State]:
        return self.sound.start, self.faulty.start

    def can(self, step: Step, pair: tuple[State, State]) -> bool:
        return self.sound.can(step, pair[0])

    def after(self, step: Step, pair: tuple[State, State]) -> _Both:
        return self.rest((self.sound.moved(step, pair[0]), self.faulty.moved(step, pair[1])))

    def rest(self, pair: tuple[State, State]) -> _Both:
        sound, faulty = self.sound.rest(pair[0]), self.faulty.rest(pair[1])
        return _Both(tuple(product(sound.states, faulty.states)), faulty.chatter)


def _shows(sound: BoardPanel, faulty: BoardPanel, limit: int) -> tuple[str, bool]:
    """The first visible difference, told, and whether it shows in normal work (no trip, no emergency stop, no stop)."""
    twins = _Twins(sound, faulty)
    exploration: Exploration[tuple[State, State]] = Exploration(twins, limit)
    loads = (*sound.coils, *sound.lamps)
    for edge in exploration.edges():
        told = ""
        if edge.rest.chatter:
            told = "the coils chatter"
        for well, ill in edge.rest.states:
            for tag in loads:
                if not told and sound.is_on(tag, well) != faulty.is_on(tag, ill):
                    was = None if edge.step is None else faulty.is_on(tag, edge.before[1])
                    told = does(tag, was, faulty.is_on(tag, ill))
        if told:
            steps = exploration.steps_to(edge)
            done = tell(steps) or "At once, untouched:"
            return f"{done} {told[0].upper()}{told[1:]}.", all(_is_normal(step) for step in steps)
    return "", False


def _is_normal(step: Step) -> bool:
    """True for what is done in normal work; a trip, an emergency stop or a failure of the supply is none."""
    return not step.order.startswith(("trip ", "reset ", "strike ", "unlatch ", "switch "))
