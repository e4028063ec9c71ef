"""The orders of a finding on a circuit with timers, done again in time; a column an order or a wait.

An order's column shows what stands a moment after it, a wait's column what stands at its end, the last one what stands
at the end of the run. Made only if the run ends in what the finding says.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rungbook.behaviour import SUPPLY, Step, Trace, read_script, run
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading.panel import on_panel
from rungbook.grading.replay import AT_REST, Words, picture_of
from rungbook.kit import Device, Move
from rungbook.proof import Comparison, Rule, TimedRule, Verdict, panel_devices
from rungbook.proof.compare import own_setting
from rungbook.proof.tell import does

_SOON = 0.2  # [s] after an order: relays have moved


def timed_rule_picture(ladder: Ladder, devices: Iterable[Device], rule: Rule, found: Verdict) -> str:
    """Return how the steps of `found` break `rule`; "" if the run in time does not show it."""
    seen = _done(on_panel(ladder, devices), found.steps)
    if seen is None:
        return ""
    trace, words = seen
    tag = found.seen.split()[0]
    on = _is_on(trace, tag)
    if on is None or found.seen not in {does(tag, before, on) for before in (True, False)}:
        return ""
    asked = [""] * len(words)
    plain = next((one for one in (rule, *rule.parts) if isinstance(one, TimedRule) and one.output == tag), None)
    if plain is not None or found.expected in {does(tag, before, not on) for before in (True, False)}:
        asked[-1] = trace.devices[tag].spec.positions[not on]
    return _picture(trace, found.steps, words, tag, asked)


def timed_difference_picture(mine: Ladder, should_be: Ladder, watched: Sequence[str], found: Comparison) -> str:
    """Return how the steps of `found` tell the two apart on one of `watched`; "" if the runs do not show it."""
    panel = tuple(panel_devices(should_be, mine))
    own = [own_setting(device, mine) for device in panel]  # as `compare` has it
    seen, wanted = _done(on_panel(mine, own), found.steps), _done(on_panel(should_be, panel), found.steps)
    tag = found.yours.split()[0]
    if tag not in watched or seen is None or wanted is None or tag not in seen[0].devices:
        return ""
    trace, words = seen
    should = [word[tag] for word in wanted[1]]
    if words[-1][tag] == should[-1]:
        return ""
    return _picture(trace, found.steps, words, tag, should)


def course_picture(ladder: Ladder, script: str, tag: str) -> str:
    """Return what `script` does on `ladder`, `tag` on the last line; "" if no order is given."""
    hands = {one: device for one, device in ladder.devices.items() if device.spec.operated}
    steps = []
    for piece in filter(None, map(str.strip, script.split(","))):
        if piece.casefold().startswith("wait"):
            steps.append(Step("time", Move("", "", piece, piece)))
        else:
            steps += read_script(piece, hands)
    seen = _done(ladder, steps)
    return "" if seen is None else _picture(seen[0], steps, seen[1], tag, ("",) * len(seen[1]))


def _is_on(trace: Trace, tag: str) -> bool | None:
    device = trace.devices.get(tag)
    if device is None or not device.spec.load:
        return None
    return device.spec.positions.index(trace[-1].positions[tag]) == 1


def _done(ladder: Ladder, steps: Sequence[Step]) -> tuple[Trace, list[Words]] | None:
    """The run of `steps`, and where everything stands at the end of each column; None if it chatters."""
    try:
        trace = run(ladder, [step.order for step in steps])
    except LadderError:
        return None
    if not steps or any(moment.note for moment in trace.moments):
        return None
    ends = _ends(trace, steps)
    return trace, [_at(trace, end) for end in ends]


def _ends(trace: Trace, steps: Sequence[Step]) -> list[float]:
    """The instant that each column shows [s], the untouched panel's first."""
    instants = [moment.time for moment in trace.moments[1:]]  # of the orders
    following = [*instants[1:], trace.end]
    ends = [*instants, trace.end][:1]
    order = -1
    for place, step in enumerate(steps):
        if step.order.startswith("wait "):
            ends.append(following[order] if order >= 0 else ends[0])
        else:
            order += 1
            ends.append(min(instants[order] + _SOON, following[order]))
        if place == len(steps) - 1:
            ends[-1] = trace.end
    return ends


def _at(trace: Trace, time: float) -> Words:
    """Where every device, and the supply, stands just before `time`."""
    words = {tag: device.spec.rest for tag, device in trace.devices.items()} | {SUPPLY: "on"}
    for when, tag, word in trace.changes:
        if when < time or time == trace.end:
            words[tag] = word
    return words


def _picture(trace: Trace, steps: Sequence[Step], words: Sequence[Words], tag: str, asked: Sequence[str]) -> str:
    ends = _ends(trace, steps)
    times = [f"{round(end, 1):g} s" for end in ends]
    hands = [*(one for one, device in trace.devices.items() if device.spec.operated), SUPPLY]
    moved = dict.fromkeys(one for one in hands if len({word[one] for word in words}) > 1)
    orders = [AT_REST, *(step.order for step in steps)]
    return picture_of(trace.devices, orders, moved, words, tag, tuple(asked), times)
