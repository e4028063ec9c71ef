"""The orders and waits of a finding done again on the timeline, with real parts: what they show, with a row of times.

As in `replay`, a picture is made only if the run ends in what the finding says. What a timeline cannot be told to show,
such as a race that goes the other way there, has no picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from rungbook.behaviour import MICRO, SUPPLY, Step, Timeline
from rungbook.behaviour.script import read_timed
from rungbook.behaviour.timed_panel import TimedPanel, works_in_time
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading.timing_rows import AT_REST, Words, picture_of
from rungbook.kit import Device
from rungbook.proof import Comparison, Rule, Verdict
from rungbook.proof.tell import does
from rungbook.proof.timed import TimedRule


def has_times(ladder: Ladder, devices: Iterable[Device], steps: Sequence[Step]) -> bool:
    """True if `steps` tell how long to wait, or the instants count because something works in time."""
    return any(_is_wait(step) for step in steps) or works_in_time(ladder, devices)


class _Column(NamedTuple):
    """What was ordered, and when, or the wait and when it is over [us]; where all stand before the next one."""

    order: str
    time: int
    words: Words


def timed_rule_picture(ladder: Ladder, devices: Iterable[Device], rule: Rule, found: Verdict) -> str:
    """Return how the steps of `found` break `rule`, "" if the timeline ends otherwise, or a load chatters."""
    tag = found.seen.split()[0]
    try:
        columns, panel = _played(ladder, devices, found.steps)
    except LadderError:
        return ""
    if tag not in panel.loads or not columns or not _ends(panel, tag, columns[-1], found.seen):
        return ""
    off, on = panel.devices[tag].spec.positions
    other = off if columns[-1].words[tag] == on else on
    about_times = any(isinstance(one, TimedRule) and one.expected == found.expected for one in _plain(rule))
    asked = [""] * len(columns)
    if about_times or _says(tag, found.expected, other == on):
        asked[-1] = other
    return _picture(panel, columns, found.steps, tag, asked)


def timed_difference_picture(
    mine: Ladder, asked: Ladder, devices: Iterable[Device], watched: Sequence[str], found: Comparison
) -> str:
    """Return how the steps of `found` tell the ladders apart on one of `watched`; "" as `timed_rule_picture`.

    devices: of both ladders; each keeps what is set in it.
    """
    there = tuple(devices)
    try:
        columns, panel = _played(mine, [_own(device, mine) for device in there], found.steps)
        right, other = _played(asked, there, found.steps)
    except LadderError:
        return ""
    for tag in watched if columns and right else ():
        ends = tag in panel.loads and _ends(panel, tag, columns[-1], found.yours)
        if ends and _ends(other, tag, right[-1], found.asked) and columns[-1].words[tag] != right[-1].words[tag]:
            return _picture(panel, columns, found.steps, tag, [column.words[tag] for column in right])
    return ""


def _own(device: Device, ladder: Ladder) -> Device:
    """`device` without its setting if `ladder` has one of its own of this kind."""
    own = next((one for one in (*(ladder.declared or ()), *ladder.devices.values()) if one.tag == device.tag), device)
    return own if own.kind == device.kind and own.setting else device


def _plain(rule: Rule) -> Iterator[Rule]:
    if not rule.joint:
        yield rule
    for part in rule.parts:
        yield from _plain(part)


def _is_wait(step: Step) -> bool:
    return step.order.startswith("wait ")


def _says(tag: str, sentence: str, is_on: bool) -> bool:
    """True if `sentence` says of `tag` that it comes, stays or is on (or off)."""
    return sentence in {does(tag, before, is_on) for before in (True, False, None)}


def _ends(panel: TimedPanel, tag: str, column: _Column, seen: str) -> bool:
    return _says(tag, seen, column.words[tag] == panel.devices[tag].spec.positions[1])


def _played(ladder: Ladder, devices: Iterable[Device], steps: Sequence[Step]) -> tuple[list[_Column], TimedPanel]:
    """A column for the panel at rest and one for each step; none if an order is impossible or something chatters."""
    panel = TimedPanel(ladder, devices)
    timeline = Timeline(ladder, panel.devices.values())
    orders = [step.order for step in steps]
    hands = {device.tag: device for device in panel.inputs}
    todo, _ = read_timed(orders, hands)
    looks = [read_timed(orders[:number], hands)[1] for number in range(len(orders) + 1)]
    for number, one in enumerate(todo):  # a wait shorter than the pause after an order: look before it is over
        if one.step is None and looks[number] >= one.time:
            looks[number] = ((todo[number - 1].time if number else 0) + one.time) // 2
        elif one.step is not None:
            looks[number] = min(looks[number], one.time)
    columns, begun = [], 0
    for order, look, following in zip([AT_REST, *orders], looks, [*todo, None], strict=True):
        timeline.advance(look)
        words: Words = {**timeline.positions(), SUPPLY: timeline.position(SUPPLY)}
        columns.append(_Column(order, begun, words))
        if following is None:
            break
        begun = following.time
        timeline.advance(begun)
        if following.step is not None:
            if not timeline.can(following.step):
                return [], panel
            timeline.do(following.step)
    return ([] if timeline.chatters else columns), panel


def _picture(
    panel: TimedPanel, columns: Sequence[_Column], steps: Sequence[Step], tag: str, asked: Sequence[str]
) -> str:
    moved = dict.fromkeys(step.device for step in steps if not _is_wait(step))
    times = [f"{column.time / MICRO:g} s" for column in columns]
    words = [column.words for column in columns]
    return picture_of(panel.devices, [column.order for column in columns], moved, words, tag, tuple(asked), times)
