"""`prove`: decide rules over every sequence of bench orders, with the shortest sequence that breaks a rule."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from html import escape

from rungbook.behaviour import Board, Panel, tell
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.motor_panel import MotorPanel
from rungbook.behaviour.timed_panel import TimedPanel, works_in_time
from rungbook.circuit import Ladder
from rungbook.circuit.power import PowerCircuit
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.proof.limits import MAX_SECONDS, MAX_STATES, Deadline
from rungbook.proof.rules import AnyPanel, Rule
from rungbook.proof.slices import Cone, Cones, widest
from rungbook.proof.timed import TimedRule
from rungbook.proof.verdict import Outcome, Verdict
from rungbook.proof.walk import decide_together


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
    seconds: float = MAX_SECONDS,
    power: PowerCircuit | None = None,
    mechanical_interlock: Iterable[tuple[str, str]] = (),
) -> Proof:
    """Decide `rules` on `ladder` over all sequences of bench orders, supply off and on included.

    devices: operated devices of the panel beyond those that the ladder uses; left out, those that it declares.
    limit: number of reachable states, of the part of the ladder that a rule speaks of, after which the rest is "not
    decided"; seconds: the same for all rules together, on a clock [s]. Coils that chatter break every rule about a load
    on which they bear; `no_races` and `review` tell of any.
    power: the power circuit, for rules such as `no_short_between_phases()`; the coils are then asked by their voltage.
    mechanical_interlock: pairs of contactors whose armatures hold each other out.

    With timers or counters, or rules about times, orders are given at any instant (`proof.timed`), and `limit` counts
    states with their times. Such a ladder is not decided with a power circuit or an interlock of armatures.

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
        there = tuple(there)
        speak_of_times = any(isinstance(one, TimedRule) for rule in rules for one in _plain(rule))
        in_time = speak_of_times or works_in_time(ladder, there)
        return decide(TimedPanel(ladder, there) if in_time else Panel(ladder, there), rules, limit, seconds)
    board = replace(Board.of(ladder, there), mechanical_interlock=pairs)
    return decide(BoardPanel(board) if power is None else MotorPanel(board, power), rules, limit, seconds)


def decide(
    panel: AnyPanel,
    rules: Sequence[Rule],
    limit: int = MAX_STATES,
    seconds: float = MAX_SECONDS,
    *,
    sliced: bool = True,
) -> Proof:
    """Decide `rules` on a panel that is made already: a ladder's, or a board's with what is wrong with it.

    sliced: False to walk over the whole panel for every rule. A board is never sliced: its currents find ways that no
    rung shows.
    """
    plain = [one for rule in rules for one in _plain(rule)]
    deadline = Deadline(seconds)
    if sliced and isinstance(panel, Panel | TimedPanel):
        found = _by_parts(panel, plain, limit, deadline)
    else:
        found = decide_together(panel, plain, limit, deadline)
    verdicts = iter(found)
    return Proof(tuple(_put_together(panel, rule, verdicts) for rule in rules))


def _plain(rule: Rule) -> Iterator[Rule]:
    """The rule, or the rules that it is made of."""
    if rule.joint:
        for part in rule.parts:
            yield from _plain(part)
    else:
        yield rule


def _by_parts(panel: Panel | TimedPanel, rules: Sequence[Rule], limit: int, deadline: Deadline) -> list[Verdict]:
    """A verdict for each rule, each found on the part of the panel that bears on it.

    Rules about a part that lies in another's are decided there, in one walk. Where that walk finds chatter or comes to
    a limit, they are decided once more, on their own part: nothing outside it may count.
    """
    cones = Cones(panel.ladder)
    each = widest([cones.of((tag,)) for tag in panel.loads]) if any(rule.whole for rule in rules) else []
    tasks: list[tuple[int, Cone]] = []
    for k, rule in enumerate(rules):
        named = cones.of(name for name in (rule.output, *rule.names) if name)
        tasks += [(k, cone) for cone in (each if rule.whole else (named,))]
    found: dict[tuple[int, Cone], Verdict] = {}
    for wide in widest([cone for _, cone in tasks]):
        here = [task for task in tasks if task[1] <= wide and task not in found]
        verdicts = decide_together(panel.only(wide), [rules[k] for k, _ in here], limit, deadline)
        narrow: dict[Cone, list[tuple[int, Cone]]] = {}
        for task, verdict in zip(here, verdicts, strict=True):
            if task[1] != wide and (verdict.outcome == "not decided" or verdict.chatter):
                narrow.setdefault(task[1], []).append(task)
            else:
                found[task] = verdict
        for cone, again in narrow.items():
            verdicts = decide_together(panel.only(cone), [rules[k] for k, _ in again], limit, deadline)
            found |= zip(again, verdicts, strict=True)
    order = {step: place for place, step in enumerate(panel.steps)}

    def nearest(verdict: Verdict) -> tuple[int, list[int]]:
        return len(verdict.steps), [order.get(step, -1) for step in verdict.steps]  # -1: a wait

    per_rule: list[list[Verdict]] = [[] for _ in rules]
    for task in tasks:
        per_rule[task[0]].append(found[task])
    return [_of_parts(verdicts, nearest) for verdicts in per_rule]


def _of_parts(verdicts: list[Verdict], nearest: Callable[[Verdict], tuple[int, list[int]]]) -> Verdict:
    """The verdict on a rule from those on each part of the panel: one part that is tested will do."""
    broken = [verdict for verdict in verdicts if verdict.outcome == "broken"]
    if broken:
        return min(broken, key=nearest)
    for outcome in ("not decided", "holds"):
        for verdict in verdicts:
            if verdict.outcome == outcome:
                return verdict
    return verdicts[0]


def _put_together(panel: AnyPanel, rule: Rule, plain: Iterator[Verdict]) -> Verdict:
    """The verdict on `rule` from those on the plain rules that it is made of."""
    if not rule.joint:
        return next(plain)
    parts = [_put_together(panel, part, plain) for part in rule.parts]
    order: tuple[Outcome, ...] = ("broken", "not decided", "not shown", "holds")
    if rule.joint == "any":
        order = ("holds", "not decided", "not shown", "broken")
    outcome = next(word for word in order if any(part.outcome == word for part in parts))
    told = rule.told(panel)
    if outcome == "holds":
        return Verdict(told, outcome)
    named = min((part for part in parts if part.outcome == outcome), key=lambda part: len(part.steps))
    if len(parts) > 1 and not named.chatter:  # chatter breaks every part
        lead = {"broken": "This part is broken", "not shown": "This part is not shown"}.get(outcome, "Not decided")
        because = f"{lead}: {named.sentence} {named.why}"
    else:
        because = named.why
    if outcome == "broken" and rule.joint == "any":
        for part in parts:
            if part is not named:
                because += f" So is this one: {part.sentence} {tell(part.steps) or 'Nothing is touched.'}"
                because += f" Seen: {part.seen}."
    return replace(named, sentence=told, why=because)
