"""`prove`: decide rules over every sequence of bench orders, with the shortest sequence that breaks a rule."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from html import escape
from typing import Literal

from rungbook.behaviour import Board, Panel, State, Step, tell
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.motor_panel import MotorPanel
from rungbook.circuit import Ladder
from rungbook.circuit.power import PowerCircuit
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.proof.explain import CHATTER, why
from rungbook.proof.explore import MAX_STATES, Edge, Exploration, TooMany
from rungbook.proof.rules import AnyPanel, Rule, Telling, Tells
from rungbook.proof.tell import does

Outcome = Literal["holds", "broken", "not shown", "not decided"]


@dataclass(frozen=True)
class Verdict:
    """What became of one rule.

    outcome: "holds" in every case; "broken" by `steps`, the shortest sequence of orders that shows it; "not shown":
    never broken, but the circuit never comes to the point at which the rule asks something; "not decided" within the
    limit of states. seen, expected, why: for a broken rule, in bench language; otherwise "".
    """

    sentence: str
    outcome: Outcome
    steps: tuple[Step, ...] = ()
    seen: str = ""
    expected: str = ""
    why: str = ""

    @property
    def holds(self) -> bool:
        """True if the rule holds in every case and was put to the test."""
        return self.outcome == "holds"

    def __str__(self) -> str:
        if self.outcome != "broken":
            return f"{self.outcome}: {self.sentence}" + (f" {self.why}" if self.why else "")
        done = tell(self.steps) or "Nothing is touched."
        return f"broken: {self.sentence} {done} Seen: {self.seen}. Expected: {self.expected}. {self.why}"


@dataclass(frozen=True)
class Proof:
    """The verdicts of one `prove`, in the order asked. True if all hold."""

    verdicts: tuple[Verdict, ...]

    def __bool__(self) -> bool:
        return all(verdict.holds for verdict in self.verdicts)

    def __str__(self) -> str:
        return "\n".join(str(verdict) for verdict in self.verdicts)

    __repr__ = __str__

    def _repr_html_(self) -> str:
        items = "".join(f"<li>{escape(str(verdict))}</li>" for verdict in self.verdicts)
        return f"<ul>{items}</ul>"


def prove(
    ladder: Ladder,
    *rules: Rule,
    devices: Iterable[Device] | None = None,
    limit: int = MAX_STATES,
    power: PowerCircuit | None = None,
    mechanical_interlock: Iterable[tuple[str, str]] = (),
) -> Proof:
    """Decide `rules` on `ladder` over all sequences of bench orders, supply off and on included.

    devices: operated devices of the panel beyond those that the ladder uses; left out, those that it declares.
    limit: number of reachable states after which the rest is "not decided". One walk over the states serves all rules.
    power: the power circuit, for rules such as `no_short_between_phases()`; the coils are then asked by their voltage.
    mechanical_interlock: pairs of contactors whose armatures hold each other out.

    Raises LadderError if `ladder` is no valid ladder, a rule is no `Rule`, or as `MotorPanel` and `Board`.
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("prove", "works on a Ladder", ladder, ("Ladder('title')",))
    for rule in rules:
        if not isinstance(rule, Rule):
            raise LadderError("prove", "takes rules such as off_while('Q1', 'S1', 'pressed')", rule)
    there = (ladder.declared or ()) if devices is None else devices
    pairs = tuple(mechanical_interlock)
    if power is None and not pairs:
        return decide(Panel(ladder, there), rules, limit)
    board = replace(Board.of(ladder, there), mechanical_interlock=pairs)
    return decide(BoardPanel(board) if power is None else MotorPanel(board, power), rules, limit)


def decide(panel: AnyPanel, rules: Sequence[Rule], limit: int = MAX_STATES) -> Proof:
    """Decide `rules` on a panel that is made already: a ladder's, or a board's with what is wrong with it."""
    exploration: Exploration[State] = Exploration(panel, limit)
    broken: dict[int, Verdict] = {}
    tested: set[int] = set()
    also = {k for k, rule in enumerate(rules) if rule.also is None}
    undecided = ""
    for k, rule in enumerate(rules):
        if any(name not in panel.devices and name != "supply" for name in rule.names):
            missing = ", ".join(name for name in rule.names if name not in panel.devices)
            broken[k] = Verdict(rule.told(panel), "not shown", why=f"{missing} is not used in this ladder.")
    unbroken = [(k, rule, rule.broken) for k, rule in enumerate(rules) if k not in broken]
    untested = [(k, rule.tested, tested) for k, rule, _ in unbroken]
    untested += [(k, rule.also, also) for k, rule, _ in unbroken if rule.also is not None]
    try:
        for edge in exploration.edges():
            rest = edge.rest
            if rest.chatter:
                for k, rule, _ in unbroken:
                    broken[k] = _chatters(panel, rule, exploration.steps_to(edge))
                break
            found_before = len(broken)
            for after in rest.states:
                for k, test, passed in untested:
                    if test(panel, edge, after):
                        passed.add(k)
                for k, rule, breaks in unbroken:
                    if breaks(panel, edge, after) and k not in broken:
                        broken[k] = _breach(panel, rule, edge, exploration.steps_to(edge), after)
            if rest.passed:
                for k, rule, breaks in unbroken:
                    if rule.passing and k not in broken:
                        moments = [state for state in sorted(rest.passed) if breaks(panel, edge, state)]
                        if moments:
                            found = _breach(panel, rule, edge, exploration.steps_to(edge), moments[0])
                            broken[k] = replace(found, why=f"For a moment, while the relays change over: {found.why}")
            if any(k in passed for k, _, passed in untested):
                untested = [one for one in untested if one[0] not in one[2]]
            if len(broken) > found_before:
                unbroken = [one for one in unbroken if one[0] not in broken]
            if not unbroken:
                break
    except TooMany as limit_met:
        undecided = f"{limit_met}; an instructor will look."
    verdicts = []
    for k, rule in enumerate(rules):
        if k in broken:
            verdicts.append(broken[k])
        elif undecided:
            verdicts.append(Verdict(rule.told(panel), "not decided", why=undecided))
        elif k not in tested & also:
            verdicts.append(Verdict(rule.told(panel), "not shown", why=_not_shown(panel, rule)))
        else:
            verdicts.append(Verdict(rule.told(panel), "holds"))
    return Proof(tuple(verdicts))


def _not_shown(panel: AnyPanel, rule: Rule) -> str:
    if rule.tells is None and rule.output not in panel.coils and rule.output not in panel.lamps:
        return f"No rung ends in {rule.output}."
    return f"The circuit never comes to the point at which {rule.output} could show it."


def _chatters(panel: AnyPanel, rule: Rule, steps: tuple[Step, ...]) -> Verdict:
    return Verdict(rule.told(panel), "broken", steps, "the coils chatter", "everything comes to rest", CHATTER)


def _breach(panel: AnyPanel, rule: Rule, edge: Edge[State], steps: tuple[Step, ...], after: State) -> Verdict:
    seen, expected, reason = (rule.tells or _told_of_load(rule))(panel, edge, after)
    if len(edge.rest.states) > 1:
        reason = f"It depends on which relay is quicker. {reason}"
    return Verdict(rule.told(panel), "broken", steps, seen, expected, reason)


def _told_of_load(rule: Rule) -> Tells:
    """A breach told of the load that the rule is about."""

    def tells(panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
        before = None if edge.step is None else panel.is_on(rule.output, edge.before)
        wanted = rule.wanted_on(panel, edge, after)
        seen = does(rule.output, before, panel.is_on(rule.output, after))
        reason = why(panel, rule.output, wanted, after, edge.step)
        return Telling(seen, does(rule.output, before, wanted), reason)

    return tells
