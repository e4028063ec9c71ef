"""Where everything of a timing diagram stands: a `Course` becomes a `Figure`. No canvas is needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from rungbook.drawing.figure import MARGIN, Figure, Group, Trail, heading, height_of, stacked
from rungbook.drawing.metrics import text_width, wrap
from rungbook.drawing.sheet import STYLES, Text
from rungbook.drawing.timing_axis import (
    FLAG,
    Flag,
    Scale,
    column_heads,
    flag_groups,
    flags,
    head_groups,
    heads_height,
    label_of,
    reach,
    time_axis,
)
from rungbook.drawing.timing_lanes import Course, Lane
from rungbook.drawing.timing_marks import HEAT_LEVELS, HEIGHTS, marks

WIDTH = 900.0  # of a diagram, unless another is asked for
LEAST = 480.0
_LABELS = 178.0  # most width of the labels
_GAP = 10.0  # between labels and lanes
_HEAD = 44.0  # room for the title
_FOOT = 30.0  # room for the ticks
_COLUMN = 62.0  # least width of a column
_MOST_LISTED = 60  # orders listed below, if flags have room for numbers alone


@dataclass(frozen=True)
class _Label:
    """What is written before a lane, and the height the lane needs [px]."""

    texts: tuple[Text, ...]
    height: float


def layout(course: Course, width: float = WIDTH) -> Figure:
    """Return the figure of `course`, `width` wide [px]; columns that have no room go on in further bands below."""
    column = _label_width(course.lanes)
    if not course.timed:
        return _in_columns(course, width, column)
    left, right = MARGIN + column + _GAP, width - MARGIN - 8
    scale = Scale(course.start, course.end, left, right)
    found = flags(course.orders, scale)
    for _ in range(3):  # the words of the last flags take from the width of the lanes, which moves the flags
        over = reach(found) - (width - MARGIN)
        if over <= 0:
            break
        right = max(right - over, left + 200)
        scale = Scale(course.start, course.end, left, right)
        found = flags(course.orders, scale)
    rows = 1 + max((flag.row for flag in found), default=-1)
    top = _HEAD + rows * FLAG + 8
    lanes, bottom = _lanes(course.lanes, top, scale, column)
    axis = time_axis(scale, top, bottom, MARGIN + column)
    notes, end = _notes([*course.notes, *_listed(course, found)], bottom + _FOOT, width)
    groups = (heading(_title(course)), axis, *flag_groups(found, top, bottom), *lanes, *notes)
    whole = max(width, reach(found) + MARGIN, _title_width(course))
    return Figure(ceil(whole), ceil(end + MARGIN), groups)


def _title(course: Course) -> str:
    return course.title.strip() or "Timing diagram"


def _title_width(course: Course) -> float:
    return text_width(_title(course), STYLES["title"].size, True) + 2 * MARGIN


def _in_columns(course: Course, width: float, column: float) -> Figure:
    left = MARGIN + column + _GAP
    count = int(course.end - course.start)
    words = [word for lane in course.lanes for _, word in lane.spans]
    words += [piece for order in course.orders for piece in label_of(order).split()]
    wide = max([_COLUMN, *(ceil(text_width(word, STYLES["order"].size) + 12) for word in words)])
    most = max(1, int((width - MARGIN - left) / wide))
    each = ceil(count / ceil(count / most))  # all bands are about as long
    wide = max(wide, min((width - MARGIN - left) / each, 1.6 * wide))
    groups: list[Group] = [heading(_title(course))]
    y = _HEAD
    for first in range(int(course.start), int(course.end), each):
        last = min(first + each, int(course.end)) - 1
        scale = Scale(first, last + 1, left, left + wide * (last + 1 - first), open=True)
        heads = column_heads(course.orders, scale, first, last)
        top = y + heads_height(heads)
        lanes, bottom = _lanes(course.lanes, top, scale, column)
        groups += [*head_groups(heads, course.orders, scale, first, top, bottom), *lanes]
        y = bottom + 18
    notes, end = _notes(course.notes, y - 8, width)
    whole = max(left + wide * each + MARGIN, _title_width(course), width if notes else 0)
    return Figure(ceil(whole), ceil(end + MARGIN), (*groups, *notes))


def _listed(course: Course, found: Sequence[Flag]) -> list[str]:
    """The orders in words, if the flags do not carry them."""
    if all(flag.text == label_of(flag.order) for flag in found):
        return []
    if len(found) > _MOST_LISTED:
        return [f"{len(found)} orders; the description of this picture lists them all."]
    return ["Orders: " + ", ".join(label_of(flag.order) for flag in found) + "."]


def _label_width(lanes: Sequence[Lane]) -> float:
    widths = [40.0, text_width("time [min]", STYLES["tick"].size) + 6]
    for lane in lanes:
        label = text_width(lane.label, STYLES["lane"].size, True)
        if lane.kind == "heat":
            label += 10 + max(text_width(words, STYLES["word"].size) for _, words in HEAT_LEVELS)
        about = text_width(lane.about, STYLES["legend"].size)
        widths += [label, min(about, _LABELS)]
    return ceil(max(widths))


def _label(lane: Lane, top: float, column: float) -> _Label:
    lines = wrap(lane.about, STYLES["legend"].size, column, 99)
    name = stacked("lane", MARGIN, top + 4, [lane.label])
    below = top + 4 + height_of("lane", 1)
    about = stacked("legend", MARGIN, below, lines)
    return _Label((*name, *about), max(HEIGHTS[lane.kind], below + height_of("legend", len(lines)) + 3 - top))


def _lanes(lanes: Sequence[Lane], top: float, scale: Scale, column: float) -> tuple[list[Group], float]:
    """The lanes below one another from `top` on, and where the last one ends."""
    groups: list[Group] = []
    for lane in lanes:
        label = _label(lane, top, column)
        bottom = top + label.height
        rule = Trail(((MARGIN, bottom), (scale.right, bottom)), 0.6, "grid")
        about = (("data-device", lane.tag), ("data-kind", lane.kind))
        groups.append(Group((("class", "label"), *about), (rule,), label.texts))
        trails, texts = marks(lane, top, scale)
        groups.append(Group((("class", "lane"), *about, ("data-label", lane.label)), trails, texts))
        top = bottom
    return groups, top


def _notes(sentences: Sequence[str], top: float, width: float) -> tuple[tuple[Group, ...], float]:
    """The sentences below everything, folded to the width, and where they end."""
    size = STYLES["note"].size
    lines = [line for sentence in sentences for line in wrap(sentence, size, width - 2 * MARGIN, 99)]
    if not lines:
        return (), top
    return (Group((("class", "notes"),), (), stacked("note", MARGIN, top, lines)),), top + height_of("note", len(lines))
