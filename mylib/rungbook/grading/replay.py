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
from rungbook.grading.timing import CHATTERS, Row, timing_picture
from rungbook.kit import ALL_KINDS, Device
from rungbook.proof import Comparison, Rule, panel_devices
from rungbook.proof.explore import Edge, Resting
from rungbook.proof.tell import does

AT_REST = "at rest"
MOST_PATHS = 1000  # ways that races open, looked at before there is no picture

Words = Mapping[str, str]  # designation -> word, at one moment


def rule_picture(ladder: Ladder, devices: Iterable[Device], rule: Rule, steps: Sequence[Step], seen: str) -> str:
    """Return how `steps` break `rule`; "" if there are none, or they cannot be shown on a panel without times.

    seen: what the finding says of the output.
    """
    try:
        panel = Panel(ladder, devices)
    except LadderError:
        return ""
    if not steps or rule.output not in panel.loads:
        return ""
    for path, rest in _paths(panel, steps):
        edge: Edge[State] = Edge(path[-1], steps[-1], rest)
        if rest.chatter:
            return _chatter_picture(panel, steps, path, rule.output)
        moments = [(state, "") for state in rest.states]
        if rule.passing:
            moments += [(state, ", for a moment") for state in sorted(rest.passed)]
        for state, more in moments:
            before, on = panel.is_on(rule.output, edge.before), panel.is_on(rule.output, state)
            if rule.broken(panel, edge, state) and does(rule.output, before, on) == seen:
                words = [panel.positions(one) for one in (*path, state)]
                wanted = panel.devices[rule.output].spec.positions[rule.wanted_on(panel, edge, state)]
                asked = ("",) * len(steps) + (wanted,)
                return _picture(panel.devices, steps, _with_supply(words, (*path, state)), rule.output, asked, more)
    return ""


def difference_picture(ladder: Ladder, should_be: Ladder, watched: Sequence[str], found: Comparison) -> str:
    """Return how the steps of `found` tell the ladders apart on one of `watched`; "" as `rule_picture`.

    The ladder asked for has no race, so what it does is one line from the beginning to the end.
    """
    steps = found.steps
    devices = panel_devices(should_be, ladder)
    try:
        mine, asked = Panel(ladder, devices), Panel(should_be, devices)
    except LadderError:
        return ""
    if not steps:
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
                    states = (*path, state)
                    words = _with_supply([mine.positions(one) for one in states], states)
                    wanted = tuple(asked.position(tag, one) for one in right)
                    return _picture(mine.devices, steps, words, tag, wanted)
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


def _with_supply(words: Sequence[Words], states: Sequence[State]) -> list[Words]:
    return [{**word, SUPPLY: "on" if state.supply else "off"} for word, state in zip(words, states, strict=True)]


def _chatter_picture(panel: Panel, steps: Sequence[Step], path: tuple[State, ...], output: str) -> str:
    """The last column as the run in time shows it, since a circuit that chatters has no rest to show."""
    seen = run(panel.ladder, [step.order for step in steps])[-1].positions
    if CHATTERS not in seen.values():
        return ""
    words = _with_supply([panel.positions(state) for state in path], path)
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


def picture_of(
    devices: Mapping[str, Device],
    orders: Sequence[str],
    moved: Mapping[str, object],
    words: Sequence[Words],
    output: str,
    asked: tuple[str, ...],
    times: Sequence[str] = (),
) -> str:
    """The diagram of what every device did. words: positions at the end of each column. asked: "" where nothing is."""

    def row(tag: str, label: str, column: Sequence[str]) -> Row:
        low = "off" if tag == SUPPLY else devices[tag].spec.rest
        return Row(label, tuple(column), tuple(bool(word) and word != low for word in column))

    def lane(tag: str) -> Row:
        return row(tag, tag, [word.get(tag, "") for word in words])

    loads = [tag for tag, device in devices.items() if ALL_KINDS[device.kind].load]
    changing = [tag for tag in loads if tag != output and len({word.get(tag, "") for word in words}) > 1]
    below = [lane(output), *([row(output, f"{output} asked", asked)] if any(asked) else [])]
    above = [lane(tag) for tag in moved if tag != output]
    return timing_picture(orders, above, below, also=[lane(tag) for tag in changing], times=times)
