"""Decide a rule about times: an observer's clock starts with the order, and time shows what the load does."""

from __future__ import annotations

from dataclasses import replace

from rungbook.behaviour import SUPPLY, Rest, State, Step
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.proof.explain import CHATTER, why
from rungbook.proof.explore import Edge
from rungbook.proof.limits import MAX_STATES, Deadline, TooMany
from rungbook.proof.tell import does
from rungbook.proof.timed.rules import TimedRule
from rungbook.proof.timed.schedule import is_sure, schedule
from rungbook.proof.timed.walk import WATCH, Arrival, Node, Walk
from rungbook.proof.verdict import Verdict

WAITING, OVER = 1, 2  # what an observer has seen: its time runs, or is over and the load has not moved yet


class _Watching(Walk):
    """A walk in which nothing is touched while the observer waits, but that a button may be let go."""

    def __init__(self, panel: TimedPanel, rule: TimedRule, limit: int, deadline: Deadline | None) -> None:
        super().__init__([panel], limit, deadline, rule.micro)
        spec = None if rule.device == SUPPLY else panel.devices[rule.device].spec
        back = spec.rest if spec is not None and spec.momentary else None
        self._free = {step for step in panel.steps if step.device == rule.device and step.move.end == back}

    def allows(self, node: Node, step: Step) -> bool:
        """While the observer waits, only to let go what was pressed."""
        return not node.watch or step in self._free


def decide_in_time(
    panel: TimedPanel, rule: TimedRule, limit: int = MAX_STATES, deadline: Deadline | None = None
) -> Verdict:
    """Decide `rule` on `panel`. limit, deadline: of the walk, beyond which it is "not decided"."""
    told = rule.told(panel)
    missing = [name for name in rule.names if name not in panel.devices and name != SUPPLY]
    if missing:
        return Verdict(told, "not shown", why=f"{', '.join(missing)} is not used in this ladder.")
    if rule.output not in panel.loads:
        return Verdict(told, "not shown", why=f"No rung ends in {rule.output}.")
    walk = _Watching(panel, rule, limit, deadline)
    tested = False
    try:
        for arrival in walk.arrivals():
            if arrival.chatter[0]:
                expected = "everything comes to rest"
                return Verdict(
                    told, "broken", schedule(walk, arrival), "the coils chatter", expected, CHATTER, chatter=True
                )
            if _triggers(panel, rule, arrival):
                arrival.nodes += [walk.watched(node) for node in arrival.nodes]
            kept = []
            for node in arrival.nodes:
                verdict = _judge(panel, rule, arrival, node)
                if verdict == "breach":
                    return _breach(walk, panel, rule, arrival, node)
                if verdict == "shown":
                    tested = tested or is_sure(walk, arrival)
                else:
                    kept.append(replace(node, watch=OVER) if verdict == "over" else node)
            arrival.nodes = kept
    except TooMany as limit_met:
        return Verdict(told, "not decided", why=f"{limit_met}; an instructor will look.")
    if tested:
        return Verdict(told, "holds")
    return Verdict(told, "not shown", why=f"The circuit never comes to the point at which {rule.output} could show it.")


def _triggers(panel: TimedPanel, rule: TimedRule, arrival: Arrival) -> bool:
    """True if `arrival` is the order from which the time counts, given in a case of which the rule speaks."""
    node, event = arrival.before, arrival.event
    if node is None or event is None or node.watch or event.due:
        return False
    if rule.early and any(panel.seats[place].block.once for _, place in node.clocks):
        return False
    before = panel.unpacked(node.words[0])
    states = tuple(panel.unpacked(other.words[0]) for other in arrival.nodes)
    edge: Edge[State] = Edge(before, event.step, Rest(states))
    return any(rule.tested(panel, edge, state) for state in states)


def _judge(panel: TimedPanel, rule: TimedRule, arrival: Arrival, node: Node) -> str:
    """ "breach", "shown" (the rule was put to the test, and nothing more can break it), "over", or "" to go on."""
    if not node.watch:
        return ""
    done = panel.shows(rule.output, node.words[0]) == rule.on
    due = node.watch == WAITING and arrival.event is not None and WATCH in arrival.event.due
    if not rule.early:
        return "shown" if done else "breach" if due else ""
    if done:
        return "breach" if node.watch == WAITING and not due else "shown"
    return "over" if due else ""


def _breach(walk: Walk, panel: TimedPanel, rule: TimedRule, arrival: Arrival, node: Node) -> Verdict:
    assert arrival.before is not None
    assert arrival.event is not None
    race = len({other.outcome(0) for other in arrival.nodes if other.watch == node.watch}) > 1
    steps = schedule(walk, replace(arrival, nodes=[node]))
    before, state = panel.unpacked(arrival.before.words[0]), panel.unpacked(node.words[0])
    is_on = panel.is_on(rule.output, state)
    reason = why(panel, rule.output, not is_on, state, arrival.event.step)
    if race:
        reason = f"It depends on which relay is quicker. {reason}"
    return Verdict(
        rule.told(panel),
        "broken",
        steps,
        does(rule.output, panel.is_on(rule.output, before), is_on),
        rule.expected,
        reason,
    )
