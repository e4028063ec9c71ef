"""`scenario`: a story of bench orders, done in time on the answer; positions are compared on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from rungbook.behaviour import SUPPLY, Trace, run
from rungbook.behaviour.script import MICRO, read_timed
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading.finding import MET, Finding, in_sentences
from rungbook.grading.panel import on_panel
from rungbook.grading.requirement import Requirement
from rungbook.grading.timing_rows import AT_REST, picture_of
from rungbook.kit import Device

Moments = Iterable[tuple[str, Mapping[str, str]]]
_OPEN = ("a race", "chatter")  # in a moment's note: what then is seen hangs on chance


@dataclass(frozen=True)
class _Story:
    """Checked moments: orders and what is expected after them. first: the first one that a dead circuit would miss."""

    moments: tuple[tuple[str, Mapping[str, str]], ...]
    first: int


def scenario(
    moments: Moments, points: float, look: str = "", *, solution: Ladder, all_or_nothing: bool = False
) -> Requirement:
    """Ask that the answer does as told at each of `moments`: `(("press S2", {"Q1": "in"}), ("wait 5 s", {…}))`.

    moments: as `check` takes them, with waits and times as `run` reads them; the orders add up. solution: a ladder that
    does so. Points are shared evenly by the moments, in their order up to the first that goes wrong; moments before
    the first one that a circuit without life would fail carry none. all_or_nothing: all points, or none.
    A race, chatter, or an order that cannot be given is wrong from there on.

    Raises LadderError, when the exercise is written, if there are no moments, every one could be met by a circuit
    without life, or `solution` does not do what is asked: an order is none, a device or position is not there, it
    comes to a race or chatters, or something else is seen.
    """
    story = _checked(tuple(moments), solution)
    panel = _devices(solution)
    shares = len(story.moments) - story.first

    def judge(ladder: Ladder, devices: tuple[Device, ...]) -> Finding:
        there = on_panel(ladder, (panel | {device.tag: device for device in devices}).values())
        good, found = _told(there, story.moments)
        if found is None:
            return MET
        earned = 0 if all_or_nothing else max(good - story.first, 0) / shares
        return Finding(earned, found.done, found.seen, found.expected, found.because, look, picture=found.picture)

    tags = dict.fromkeys(tag for _, wanted in story.moments for tag in wanted)
    return Requirement(f"{_listed(list(tags))} as asked in a run of the work.", points, Ladder, judge)


def _listed(tags: Sequence[str]) -> str:
    return f"{' and '.join(tags)} {'does' if len(tags) == 1 else 'do'}"


def _checked(moments: tuple[tuple[str, Mapping[str, str]], ...], solution: object) -> _Story:
    thing = "scenario"
    if not isinstance(solution, Ladder):
        raise LadderError(thing, "solution is a Ladder that does what is asked", solution)
    solution.validate()
    for moment in moments:
        if not (isinstance(moment, tuple) and len(moment) == 2 and isinstance(moment[1], Mapping) and moment[1]):
            rule = "a moment is an order and device -> position"
            raise LadderError(thing, rule, moment, ("('press S2', {'Q1': 'in'})",))
        for tag, word in moment[1].items():
            device = solution.devices.get(tag)
            if device is None:
                raise LadderError(thing, f"no device {tag} in the solution", tag, tuple(solution.devices))
            if word not in device.spec.positions:
                raise LadderError(thing, f"{tag} has no such position", word, device.spec.positions)
    first = next((k for k, (_, wanted) in enumerate(moments) if _is_alive(solution, wanted)), None)
    if first is None:
        rule = "some moment must ask for a load that is on, or a circuit that never does anything would meet it"
        raise LadderError(thing, rule, [order for order, _ in moments])
    _, found = _told(solution, moments)
    if found is not None:
        told = " ".join(found.parts())
        raise LadderError(thing, f"the solution does not do what is asked. {told.rstrip('.')}")
    return _Story(moments, first)


def _is_alive(solution: Ladder, wanted: Mapping[str, str]) -> bool:
    specs = {tag: solution.devices[tag].spec for tag in wanted}
    return any(specs[tag].load and word != specs[tag].rest for tag, word in wanted.items())


def _told(ladder: Ladder, moments: Sequence[tuple[str, Mapping[str, str]]]) -> tuple[int, Finding | None]:
    """How many moments are as asked from the beginning, and what the next one shows; None if all are."""
    seen = [_look(ladder, AT_REST, "", run(ladder, ""), {})]
    done = ""
    known = 1  # moments of the run that are judged already
    for number, (order, wanted) in enumerate(moments):
        done = f"{done}, {order}" if done else order
        try:
            trace = run(ladder, done)
        except LadderError as problem:
            return number, Finding(0, in_sentences(done), because=str(problem))
        if not done:
            seen.pop()  # the moment is the panel untouched itself
        seen.append(_look(ladder, order if done else AT_REST, done, trace, wanted))
        odd = next((one.note for one in trace.moments[known:] if any(word in one.note for word in _OPEN)), "")
        known = len(trace)
        now = trace[-1].positions
        wrong = [tag for tag, word in wanted.items() if now.get(tag) != word]
        if odd:
            picture = _picture(ladder, seen, (wrong or list(wanted))[0], trace.timed)
            return number, Finding(0, in_sentences(done), odd[0].upper() + odd[1:], picture=picture)
        if wrong:
            tag = wrong[0]
            told = f"{tag} is {now[tag]}" if tag in now else f"{tag} is not used"
            picture = _picture(ladder, seen, tag, trace.timed)
            return number, Finding(0, in_sentences(done), told, f"{tag} is {wanted[tag]}", picture=picture)
    return len(moments), None


class _Look(NamedTuple):
    """What is seen at one moment: the orders since the last one, when it is [us], where all stand, what is asked."""

    order: str
    time: int
    words: Mapping[str, str]
    wanted: Mapping[str, str]


def _look(ladder: Ladder, order: str, done: str, trace: Trace, wanted: Mapping[str, str]) -> _Look:
    hands = {tag: device for tag, device in _devices(ladder).items() if device.spec.operated}
    supply = [word for _, device, word in trace.changes if device == SUPPLY]
    words = {tag: device.spec.rest for tag, device in hands.items()} | dict(trace[-1].positions)
    return _Look(order, read_timed(done, hands)[1], words | {SUPPLY: (supply or ["on"])[-1]}, wanted)


def _devices(ladder: Ladder) -> dict[str, Device]:
    return {device.tag: device for device in (*ladder.devices.values(), *(ladder.declared or ()))}


def _picture(ladder: Ladder, seen: Sequence[_Look], tag: str, timed: bool) -> str:
    """The diagram of what was seen, one column a moment, with what is asked of `tag` where something is."""
    devices = _devices(ladder)
    words = [look.words for look in seen]
    if not any(tag in word for word in words):
        return ""
    hands = [*(one for one, device in devices.items() if device.spec.operated), SUPPLY]
    moved = dict.fromkeys(one for one in hands if len({word[one] for word in words}) > 1)
    times = [f"{look.time / MICRO:g} s" for look in seen] if timed else []
    asked = tuple(look.wanted.get(tag, "") for look in seen)
    return picture_of(devices, [look.order for look in seen], moved, words, tag, asked, times)
