"""How a fault shows itself: the sound circuit and the faulty one, given the same orders, until one looks different."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rungbook.behaviour import State, Step, tell
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.motor_panel import STILL, MotorPanel
from rungbook.behaviour.panel import Rest
from rungbook.proof.explore import Edge, Exploration
from rungbook.proof.rules import Rule
from rungbook.proof.tell import does

Pair = tuple[State, State]


@dataclass(frozen=True)
class _Both:
    states: tuple[Pair, ...]
    chatter: bool
    passed: frozenset[Pair] = frozenset()


class _Twins:
    """The sound board and the faulty one, given the same orders."""

    def __init__(self, sound: BoardPanel, faulty: BoardPanel) -> None:
        self.sound, self.faulty = sound, faulty
        self.steps: Sequence[Step] = sound.steps

    @property
    def start(self) -> Pair:
        return self.sound.start, self.faulty.start

    def can(self, step: Step, pair: Pair) -> bool:
        return self.sound.can(step, pair[0])

    def after(self, step: Step, pair: Pair) -> _Both:
        sound, faulty = self.sound.after(step, pair[0]), self.faulty.after(step, pair[1])
        return self._both(sound, faulty, Edge(pair[1], step, faulty))

    def rest(self, pair: Pair) -> _Both:
        sound, faulty = self.sound.rest(pair[0]), self.faulty.rest(pair[1])
        return self._both(sound, faulty, Edge(pair[1], None, faulty))

    def _both(self, sound: Rest, faulty: Rest, edge: Edge[State]) -> _Both:
        """Each outcome of the faulty circuit beside those of the sound one that look like it; if none does, all.

        Passed through: moments in which phases are shorted, where they are not in the sound circuit.
        """
        pairs: list[Pair] = []
        for ill in faulty.states:
            beside = [(well, ill) for well in sound.states]
            alike = [pair for pair in beside if not self.difference(pair, None)] if len(beside) > 1 else []
            pairs += alike or beside
        moments = [] if self._shorts(self.sound, sound.passed) else self._shorts(self.faulty, faulty.passed)
        return _Both(tuple(pairs), faulty.chatter, frozenset((sound.states[0], moment) for moment in moments))

    def _shorts(self, panel: BoardPanel, moments: Iterable[State]) -> list[State]:
        return [moment for moment in moments if panel.shorts(moment)] if isinstance(panel, MotorPanel) else []

    def difference(self, pair: Pair, before: State | None) -> str:
        """What an operator sees of the faulty circuit and not of the sound one: bangs, motors, coils, lamps, a hum."""
        sound, faulty = self.sound, self.faulty
        well, ill = pair
        if isinstance(sound, MotorPanel) and isinstance(faulty, MotorPanel):
            shorts = [short.phases for short in faulty.shorts(ill)]
            if shorts and shorts != [short.phases for short in sound.shorts(well)]:
                return f"{' and '.join(shorts[0])} are shorted: the main fuses blow"
            for motor in sound.motors:
                word = faulty.motor_word(motor, ill)
                if word != sound.motor_word(motor, well):
                    was = None if before is None else faulty.motor_word(motor, before)
                    return f"{motor} {_motor_does(was, word)}"
        for tag in (*sound.coils, *sound.lamps):
            if sound.is_on(tag, well) != faulty.is_on(tag, ill):
                return does(tag, None if before is None else faulty.is_on(tag, before), faulty.is_on(tag, ill))
        for tag in sound.coils:
            if faulty.hums(tag, ill) and not sound.hums(tag, well):
                return f"the coil of {tag} hums"
        return ""


def _motor_does(was: str | None, word: str) -> str:
    """ "still runs forwards", "does not start", or the word alone."""
    if was != word:
        return word
    return "does not start" if word == STILL else f"still {word}"


class _Careful(_Twins):
    """The same two in normal work, up to the moment at which one of `rules` is broken: nobody is hurt so far.

    Normal work is without trips, emergency stops and failures of the supply, and nobody touches what the rules speak
    of: a stop button is there for the moment at which something is wrong already.
    """

    def __init__(self, sound: BoardPanel, faulty: BoardPanel, rules: Sequence[Rule]) -> None:
        super().__init__(sound, faulty)
        self._rules = rules
        asked = {name for rule in rules for name in rule.names}
        self.steps = [step for step in sound.steps if _is_normal(step) and step.device not in asked]

    def _both(self, sound: Rest, faulty: Rest, edge: Edge[State]) -> _Both:
        def hurts(after: State, *, passed: bool = False) -> bool:
            return any(_breaks(rule, self.faulty, edge, after, passed) for rule in self._rules)

        if any(hurts(moment, passed=True) for moment in faulty.passed):
            return _Both((), False)
        whole = tuple(after for after in faulty.states if not hurts(after))
        return super()._both(sound, Rest(whole, faulty.chatter, faulty.passed), edge)


def _breaks(rule: Rule, panel: BoardPanel, edge: Edge[State], after: State, passed: bool) -> bool:
    """True if `after`, at rest or just passed through, breaks the rule; a rule made of others asks those."""
    if rule.joint:
        parts = (_breaks(part, panel, edge, after, passed) for part in rule.parts)
        return all(parts) if rule.joint == "any" else any(parts)
    return (rule.passing or not passed) and rule.broken(panel, edge, after)


def first_difference(sound: BoardPanel, faulty: BoardPanel, limit: int) -> str:
    """The shortest orders after which the faulty circuit looks different, and what is seen; "" if it never does.

    Raises TooMany if more states can be reached than the limit.
    """
    return _told(_Twins(sound, faulty), limit)


def warns(sound: BoardPanel, faulty: BoardPanel, rules: Sequence[Rule], limit: int) -> bool:
    """True if the fault shows itself in normal work before it breaks one of `rules`. Raises as `first_difference`."""
    return bool(_told(_Careful(sound, faulty, rules), limit))


def _told(twins: _Twins, limit: int) -> str:
    exploration: Exploration[Pair] = Exploration(twins, limit)
    for edge in exploration.edges():
        told = "the coils chatter" if edge.rest.chatter else ""
        for pair in (*sorted(edge.rest.passed), *edge.rest.states):
            told = told or twins.difference(pair, edge.before[1] if edge.step else None)
        if told:
            done = tell(exploration.steps_to(edge)) or "At once, untouched:"
            return f"{done} {told[0].upper()}{told[1:]}."
    return ""


def _is_normal(step: Step) -> bool:
    """True for what is done in normal work; a trip, an emergency stop or a failure of the supply is none."""
    return not step.order.startswith(("trip ", "reset ", "strike ", "unlatch ", "switch ", "blow ", "replace "))
