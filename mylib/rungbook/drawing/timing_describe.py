"""A timing diagram in words: all that the picture shows, lane by lane."""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.behaviour import Running
from rungbook.drawing.seconds import seconds, trimmed
from rungbook.drawing.timing_axis import Scale, label_of
from rungbook.drawing.timing_lanes import Course, Lane
from rungbook.drawing.timing_marks import bands, within

_LANES = {"states": "", "time": ", gathered while it runs", "heat": ", as a share of the heat at which it trips"}


def describe(course: Course, scale: Scale | None) -> str:
    """Return the description. scale: of a diagram over time; changes too close to be drawn are counted there."""
    whole = f"{_when(course, course.start)} to {_when(course, course.end)}" if course.timed else "one column an order"
    title = f"Timing diagram {course.title!r}" if course.title.strip() else "Timing diagram"
    said = [f"{title}: {whole}, {_count(len(course.orders), 'order')}, {_count(len(course.lanes), 'lane')}."]
    listed = [
        f"{label_of(order)}, at {seconds(order.when)}" if course.timed else label_of(order) for order in course.orders
    ]
    said += [f"Orders: {'; '.join(listed)}."] if listed else ["Nothing is touched."]
    for lane in course.lanes:
        about = f" ({lane.about})" if lane.about else ""
        said.append(f"{lane.label}{about}{_LANES[lane.kind]}: {'; '.join(_lane(course, lane, scale))}.")
    return "\n".join([*said, *course.notes])


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'s' * (number != 1)}"


def _when(course: Course, when: float) -> str:
    return seconds(when) if course.timed else ("at rest" if when == 0 else f"order {trimmed(when, 0)}")


def _lane(course: Course, lane: Lane, scale: Scale | None) -> Iterator[str]:
    if lane.kind == "time":
        yield from _time(lane, course, scale)
    elif lane.kind == "heat":
        yield from _heat(lane, course)
    else:
        yield from _states(course, lane, scale)


def _states(course: Course, lane: Lane, scale: Scale | None) -> Iterator[str]:
    spans = within(lane, scale or Scale(course.start, course.end, 0, 1))
    dense = dict(bands([when for when, _ in spans[1:]], scale)) if scale else {}
    place = 0
    while place < len(spans):
        when, word = spans[place]
        if place - 1 in dense:
            last = dense[place - 1] + 1
            words = " and ".join(dict.fromkeys(word for _, word in spans[place : last + 1]))
            until, then = spans[last]
            yield f"{last - place + 1} changes between {words} from {seconds(when)} to {seconds(until)}, then {then}"
            place = last + 1
            continue
        if place == 0:
            yield word
        else:
            yield f"{word} at {seconds(when)}" if course.timed else f"{word} after order {trimmed(when, 0)}"
        place += 1
    for start, end in lane.chatter:
        if start < course.end and end > course.start:
            yield f"chatters from {seconds(start)} to {seconds(end)}"


def _time(lane: Lane, course: Course, scale: Scale | None) -> Iterator[str]:
    shown = [one for one in lane.running if one.end > course.start and one.start < course.end]
    if not shown:
        yield "does not run"
    dense = dict(bands([one.start for one in shown], scale)) if scale else {}
    place = 0
    while place < len(shown):
        one = shown[place]
        if place in dense:
            last = shown[dense[place]]
            count = dense[place] - place + 1
            yield f"runs {count} times from {seconds(one.start)} to {seconds(last.end)}, the last time {_share(last)}"
            place = dense[place] + 1
            continue
        yield f"runs from {seconds(one.start)} to {seconds(one.end)}, {_share(one)}"
        place += 1


def _share(one: Running) -> str:
    begun = f", begun with {trimmed(one.begins * 100, 1)} %" if one.begins else ""
    return ("the whole time" if one.ends == 1 else f"{trimmed(one.ends * 100, 1)} % of the time") + begun


def _heat(lane: Lane, course: Course) -> Iterator[str]:
    for one in lane.warming:
        if course.start <= one.start <= course.end:
            yield f"{trimmed(one.begins, 3)} at {seconds(one.start)}"
    last = lane.warming[-1]
    end = min(last.end, course.end)
    yield f"{trimmed(last.heat(end), 3)} at {seconds(end)}"
