"""The orders of a verdict or a comparison done again, as a timing diagram; where two ladders differ, a lane of each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from rungbook.behaviour import Step, Trace, run
from rungbook.circuit import Ladder
from rungbook.drawing.picture import Picture
from rungbook.drawing.timing import draw_course
from rungbook.drawing.timing_lanes import Course, Lane, course, state_lane
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.proof import Comparison, Verdict, panel_devices
from rungbook.proof.compare import own_setting

_ALIKE = 0.1  # changes of two circuits no farther apart than this are the same change [s]: relays differ by less

Finding = Verdict | Comparison | Iterable[Step]


def draw_sequence(
    found: Finding, yours: Ladder, asked: Ladder | None = None, devices: Iterable[Device] | None = None
) -> Picture:
    """Return the timing diagram of the orders of `found`, done on `yours`, and on `asked` if it is given.

    found: a `Verdict` of `prove(yours, …)`, a `Comparison` of `compare(yours, asked)`, or steps. Where the ladders
    differ in a load of `asked` there are two lanes, "yours" and "asked". devices: of the panel, as `prove`; left out,
    those of both ladders. Relays move as `run` has them: where their quickness decides, that is one outcome of several,
    and the diagram says so.

    Raises LadderError if `found` or a ladder is none, `found` has no orders because nothing was found, or as `run`.
    """
    for ladder in (yours, *(() if asked is None else (asked,))):
        if not isinstance(ladder, Ladder):
            raise LadderError("draw_sequence", "works on Ladders", ladder, ("Ladder('title')",))
    steps, notes = _orders_of(found)
    ladders = (yours,) if asked is None else (asked, yours)
    panel = tuple(panel_devices(*ladders) if devices is None else devices)
    own = [own_setting(device, yours) for device in panel]
    mine = run(yours, [step.order for step in steps], devices=own)
    shown = course(mine)
    if asked is not None:
        shown = _beside(shown, mine, run(asked, [step.order for step in steps], devices=panel), asked)
    return draw_course(replace(shown, notes=(*notes, *shown.notes)))


def _orders_of(found: Finding) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """The steps, and sentences on what they show."""
    if isinstance(found, Verdict):
        if found.outcome != "broken":
            raise LadderError("draw_sequence", "a rule that is not broken has no orders to show", found.outcome)
        return found.steps, (
            f"Broken: {found.sentence}",
            f"Seen: {found.seen}. Expected: {found.expected}. {found.why}".strip(),
        )
    if isinstance(found, Comparison):
        if found.outcome != "different":
            rule = "ladders in which no difference was found have no orders to show"
            raise LadderError("draw_sequence", rule, found.outcome)
        return found.steps, (f"Yours: {found.yours}. Asked: {found.asked}. {found.why}".strip(),)
    steps = tuple(found) if isinstance(found, Iterable) and not isinstance(found, str) else (found,)
    for step in steps:
        if not isinstance(step, Step):
            kinds = ("a Verdict", "a Comparison", "steps of one of them")
            raise LadderError("draw_sequence", "draws the orders of a finding", step, kinds)
    return steps, ()


def _beside(shown: Course, mine: Trace, theirs: Trace, asked: Ladder) -> Course:
    """The course of `mine` with the lanes of `theirs` for loads of `asked` that do something else."""
    other = {lane.tag: lane for lane in course(theirs).lanes if lane.kind == "states"}
    watched = [tag for tag in (*asked.coils(), *asked.lamps()) if tag in other]
    lanes: list[Lane] = []
    for lane in shown.lanes:
        if lane.kind == "states" and lane.tag in watched:
            lanes += _pair(lane, other[lane.tag])
        else:
            lanes.append(lane)
    for tag in watched:
        if tag not in mine.devices:
            device = theirs.devices[tag]
            absent = state_lane(tag, device, [(shown.start, device.spec.rest)])
            lanes += _pair(replace(absent, about="not in this ladder"), other[tag])
    return replace(shown, lanes=tuple(lanes))


def _pair(lane: Lane, other: Lane) -> Iterator[Lane]:
    if _alike(lane, other):
        yield lane
        return
    yield replace(lane, label=f"{lane.label}, yours")
    yield replace(other, label=f"{lane.label}, asked")


def _alike(lane: Lane, other: Lane) -> bool:
    """True if both do the same at about the same times."""
    if len(lane.spans) != len(other.spans) or lane.chatter != other.chatter:
        return False
    pairs = zip(lane.spans, other.spans, strict=True)
    return all(word == wanted and abs(time - then) <= _ALIKE for (time, word), (then, wanted) in pairs)
