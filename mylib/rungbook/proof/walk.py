"""One walk over the states of a panel, or of a part of it, decides several rules at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rungbook.behaviour import State, Step
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.proof.explain import CHATTER
from rungbook.proof.explore import Edge, Exploration
from rungbook.proof.limits import Deadline, TooMany
from rungbook.proof.rules import AnyPanel, Rule
from rungbook.proof.timed import TimedExploration, TimedRule, decide_in_time
from rungbook.proof.verdict import Verdict


def decide_together(panel: AnyPanel, rules: Sequence[Rule], limit: int, deadline: Deadline) -> list[Verdict]:
    """A verdict for each of `rules`, none of which is made of others, by walking over the states of `panel`.

    limit: reachable states. Stops at the first chatter, which breaks every rule that is not broken by then. Raises
    LadderError if a rule speaks of times and `panel` knows none.
    """
    timed = {k: rule for k, rule in enumerate(rules) if isinstance(rule, TimedRule)}
    if timed:
        if not isinstance(panel, TimedPanel):
            where = "this rule speaks of times, which only `prove` on a ladder decides"
            raise LadderError("Rule", where, next(iter(timed.values())).sentence)
        others = [rule for k, rule in enumerate(rules) if k not in timed]
        plain = iter(decide_together(panel, others, limit, deadline) if others else ())
        return [
            decide_in_time(panel, timed[k], limit, deadline) if k in timed else next(plain) for k in range(len(rules))
        ]
    exploration: Exploration[State] | TimedExploration
    if isinstance(panel, TimedPanel):
        exploration = TimedExploration(panel, limit, deadline)
    else:
        exploration = Exploration(panel, limit, deadline)
    broken: dict[int, Verdict] = {}
    undecided = ""
    for k, rule in enumerate(rules):
        missing = [name for name in rule.names if name not in panel.devices and name != "supply"]
        if missing:
            because = f"{', '.join(missing)} is not used in this ladder."
            broken[k] = Verdict(rule.told(panel), "not shown", why=because)
    unbroken = [(k, rule, rule.broken) for k, rule in enumerate(rules) if k not in broken]
    untested = [(k, test) for k, rule, _ in unbroken for test in (rule.tested, *rule.also)]
    try:
        for edge in exploration.edges():
            rest = edge.rest
            if rest.chatter:
                for k, rule, _ in unbroken:
                    broken[k] = _chatters(panel, rule, exploration.steps_to(edge))
                break
            found_before = len(broken)
            for after in rest.states:
                passed = [one for one in untested if one[1](panel, edge, after)]
                if passed and exploration.is_sure(edge):
                    untested = [one for one in untested if one not in passed]
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
            if len(broken) > found_before:
                unbroken = [one for one in unbroken if one[0] not in broken]
            if not unbroken:
                break
    except TooMany as limit_met:
        undecided = f"{limit_met}; an instructor will look."
    shy = {k for k, _ in untested}
    verdicts = []
    for k, rule in enumerate(rules):
        if k in broken:
            verdicts.append(broken[k])
        elif undecided:
            verdicts.append(Verdict(rule.told(panel), "not decided", why=undecided))
        elif k in shy:
            verdicts.append(Verdict(rule.told(panel), "not shown", why=_not_shown(panel, rule)))
        else:
            verdicts.append(Verdict(rule.told(panel), "holds"))
    return verdicts


def _not_shown(panel: AnyPanel, rule: Rule) -> str:
    if rule.whole:
        return "No coil ever pulls in."
    for tag in (rule.output, *rule.names):
        is_load = tag[1:].isdigit() and Device(tag).spec.load
        if is_load and tag not in panel.coils and tag not in panel.lamps:
            return f"No rung ends in {tag}."
    return f"The circuit never comes to the point at which {rule.output} could show it."


def _chatters(panel: AnyPanel, rule: Rule, steps: tuple[Step, ...]) -> Verdict:
    told = rule.told(panel)
    return Verdict(told, "broken", steps, "the coils chatter", "everything comes to rest", CHATTER, chatter=True)


def _breach(panel: AnyPanel, rule: Rule, edge: Edge[State], steps: tuple[Step, ...], after: State) -> Verdict:
    seen, expected, because = rule.breach(panel, edge, after)
    if len(edge.rest.states) > 1:
        because = f"It depends on which relay is quicker. {because}"
    return Verdict(rule.told(panel), "broken", steps, seen, expected, because)
