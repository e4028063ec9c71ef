"""The orders of a finding done again on the panel, and what they show as a timing diagram.

Made from the same orders that are printed, and only if the replay ends in what the finding says, so that words and
picture cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice

from rungbook.behaviour import SUPPLY, Panel, State, Step, run
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading.timed_replay import has_times, timed_difference_picture, timed_rule_picture
from rungbook.grading.timing import CHATTERS
from rungbook.grading.timing_rows import AT_REST, Words, picture_of
from rungbook.kit import Device
from rungbook.proof import Comparison, Rule, Verdict, panel_devices
from rungbook.proof.explore import Edge, Resting
from rungbook.proof.slices import Cones
from rungbook.proof.tell import does

MOST_PATHS = 1000  # ways that races open, looked at before there is no picture


def rule_picture(ladder: Ladder, devices: Iterable[Device], rule: Rule, found: Verdict) -> str:
    """Return how the steps of `found` break `rule`.

    With waits, or timers in the ladder, that is a run in time (`timed_replay`). "" if there are no steps, or they
    cannot be shown without a power circuit.
    """
    if not found.steps:
        return ""
    devices = tuple(devices)
    if has_times(ladder, devices, found.steps):
        return timed_rule_picture(ladder, devices, rule, found)
    try:
        panel = Panel(ladder, devices)
        for plain in _plain(rule):
            cone = Cones(ladder).of(name for name in (plain.output, *plain.names) if name)
            for here in (panel, panel.only(cone)):  # the part alone, if something outside it has no rest
                picture = _breach_picture(here, plain, found)
                if picture:
                    return picture
    except LadderError:
        pass
    return ""


def _plain(rule: Rule) -> Iterator[Rule]:
    """The rule, or the rules that it is made of."""
    if not rule.joint:
        yield rule
    for part in rule.parts:
        yield from _plain(part)


def _breach_picture(panel: Panel, rule: Rule, found: Verdict) -> str:
    steps = found.steps
    if any(name not in panel.devices for name in rule.names if name != SUPPLY):
        return ""
    if any(step not in panel.steps for step in steps):  # of another part of a joined rule
        return ""
    for path, rest in _paths(panel, steps):
        edge: Edge[State] = Edge(path[-1], steps[-1], rest)
        if rest.chatter:
            if found.chatter:
                return _chatter_picture(panel, steps, path, rule.output)
            continue
        moments = [(state, "") for state in rest.states]
        if rule.passing:
            moments += [(state, ", for a moment") for state in sorted(rest.passed)]
        for state, more in moments:
            if not rule.broken(panel, edge, state) or rule.breach(panel, edge, state).seen != found.seen:
                continue
            words = _words(panel, (*path, state))
            tag = found.seen.split()[0]
            if tag not in panel.loads:
                tag = rule.output if rule.output in panel.loads else panel.loads[0]
            asked = [""] * len(words)
            on = panel.is_on(tag, state)
            if found.expected == does(tag, panel.is_on(tag, path[-1]), not on):
                asked[-1] = panel.devices[tag].spec.positions[not on]
            return _picture(panel.devices, steps, words, tag, tuple(asked), more)
    return ""


def difference_picture(ladder: Ladder, should_be: Ladder, watched: Sequence[str], found: Comparison) -> str:
    """Return how the steps of `found` tell the ladders apart on one of `watched`; "" as `rule_picture`.

    The ladder asked for has no race, so what it does is one line from the beginning to the end.
    """
    steps = found.steps
    devices = panel_devices(should_be, ladder)
    if not steps:
        return ""
    if has_times(ladder, devices, steps):
        return timed_difference_picture(ladder, should_be, devices, watched, found)
    try:
        mine, asked = Panel(ladder, devices), Panel(should_be, devices)
    except LadderError:
        return ""
    path, rest = next(_paths(asked, steps))
    right = (*path, rest.states[0])
    for path, rest in _paths(mine, steps):
        if rest.chatter:
            return _chatter_picture(mine, steps, path, watched[0])
        for tag in watched:
            for state in rest.states:
                did = does(tag, mine.is_on(tag, path[-1]), mine.is_on(tag, state))
                should = does(tag, asked.is_on(tag, right[-2]), asked.is_on(tag, right[-1]))
                if (did, should) == (found.yours, found.asked) and mine.is_on(tag, state) != asked.is_on(
                    tag, right[-1]
                ):
                    wanted = tuple(asked.position(tag, one) for one in right)
                    return _picture(mine.devices, steps, _words(mine, (*path, state)), tag, wanted)
    return ""


def _paths(panel: Panel, steps: Sequence[Step]) -> Iterator[tuple[tuple[State, ...], Resting[State]]]:
    """The states at rest before the last step, in every order of relays, each with the rest after that step."""

    def onward(path: tuple[State, ...]) -> Iterator[tuple[tuple[State, ...], Resting[State]]]:
        done = len(path) - 1
        if not panel.can(steps[done], path[-1]):
            return
        rest = panel.after(steps[done], path[-1])
        if done == len(steps) - 1:
            yield path, rest
        elif not rest.chatter:
            for state in rest.states:
                yield from onward((*path, state))

    begin = panel.rest(panel.start)
    for state in begin.states:
        yield from islice(onward((state,)), MOST_PATHS)


def _words(panel: Panel, states: Sequence[State]) -> list[Words]:
    """Where the supply and every device that this panel moves stands, in each state."""
    tags = [tag for tag, device in panel.devices.items() if device.spec.operated or tag in panel.loads]
    return [{tag: panel.position(tag, state) for tag in (*tags, SUPPLY)} for state in states]


def _chatter_picture(panel: Panel, steps: Sequence[Step], path: tuple[State, ...], output: str) -> str:
    """The last column as the run in time shows it, since a circuit that chatters has no rest to show."""
    seen = run(panel.ladder, [step.order for step in steps])[-1].positions
    if CHATTERS not in seen.values():
        return ""
    words = _words(panel, path)
    words.append({**words[-1], **seen, SUPPLY: words[-1][SUPPLY]})
    if steps[-1].device == SUPPLY:
        words[-1] = {**words[-1], SUPPLY: steps[-1].move.end}
    restless = next((tag for tag in (output, *panel.coils) if seen.get(tag) == CHATTERS), output)
    return _picture(panel.devices, steps, words, restless, ("",) * len(words))


def _picture(
    devices: Mapping[str, Device],
    steps: Sequence[Step],
    words: Sequence[Words],
    output: str,
    asked: tuple[str, ...],
    more: str = "",
) -> str:
    """The diagram: devices moved, by their first move, other loads that change, the output, what is asked of it."""
    orders = [AT_REST, *(step.order for step in steps)]
    orders[-1] += more
    return picture_of(devices, orders, dict.fromkeys(step.device for step in steps), words, output, asked)
