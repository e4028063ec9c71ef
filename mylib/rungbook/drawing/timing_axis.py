"""The axis of a timing diagram: from time to place, the flags of the orders above, ticks or columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rungbook.drawing.figure import Group, Tone, Trail, height_of, stacked
from rungbook.drawing.metrics import ASCENT, LINE, text_width, wrap
from rungbook.drawing.seconds import ticks
from rungbook.drawing.sheet import STYLES, Text
from rungbook.drawing.timing_lanes import Order

FLAG = 15.0  # from one row of flags to the next
MOST_ROWS = 7  # of flags with words; more orders close together carry their numbers alone
_TICK = 64.0  # least distance of two ticks
_POLE = 4.0  # from the pole of a flag to its words


@dataclass(frozen=True)
class Scale:
    """From `start` to `end` on the axis, from `left` to `right` on the sheet [px].

    open: what changes at the end belongs to the band that follows.
    """

    start: float
    end: float
    left: float
    right: float
    open: bool = False

    def x(self, when: float) -> float:
        """The place of `when`."""
        return self.left + (when - self.start) / (self.end - self.start) * (self.right - self.left)

    def shows(self, when: float) -> bool:
        """True if `when` lies on the axis."""
        return self.start <= when <= self.end


@dataclass(frozen=True)
class Flag:
    """An order above the axis: its `text` in row `row`, 0 the lowest; "" if there is no room for it."""

    order: Order
    x: float
    row: int
    text: str


def label_of(order: Order) -> str:
    """ "2 press S1", with what came of it if that is a finding: "2 press S1: race"."""
    return f"{order.number} {order.words}" + (f": {order.note}" if order.note else "")


def flags(orders: Sequence[Order], scale: Scale) -> tuple[Flag, ...]:
    """Return the flags of `orders`, words to the right of the pole, an earlier order above a later one it would cover.

    If that takes more than seven rows, all flags carry numbers alone, and where even these have no room, none.
    """
    shown = [order for order in orders if scale.shows(order.when)]
    for texts in ([label_of(order) for order in shown], [str(order.number) for order in shown]):
        found = _rows(shown, scale, texts)
        if all(flag.row < MOST_ROWS for flag in found):
            return tuple(found)
    thinned: list[Flag] = []
    free = scale.left
    for order in shown:
        x, words = scale.x(order.when), str(order.number)
        fits = x >= free
        thinned.append(Flag(order, x, 0, words if fits else ""))
        free = x + _room(words) if fits else free
    return tuple(thinned)


def _room(words: str) -> float:
    return text_width(words, STYLES["order"].size) + 2 * _POLE + 2


def _rows(orders: Sequence[Order], scale: Scale, words: Sequence[str]) -> list[Flag]:
    found: list[Flag] = []
    for order, text in zip(reversed(orders), reversed(words), strict=True):
        x = scale.x(order.when)
        under = [flag.row for flag in found if flag.x < x + _room(text)]
        found.append(Flag(order, x, 1 + max(under, default=-1), text))
    return found[::-1]


def reach(found: Sequence[Flag]) -> float:
    """How far to the right the words of the flags reach [px]."""
    return max((flag.x + _room(flag.text) for flag in found), default=0.0)


def flag_groups(found: Sequence[Flag], top: float, bottom: float) -> tuple[Group, ...]:
    """The flags over lanes from `top` to `bottom`; their lowest row ends just above `top`."""
    groups = []
    crowded = any(not flag.text for flag in found)
    for flag in found:
        base = top - 6 - flag.row * FLAG
        tone: Tone = "grid" if crowded else "pale"  # so many lines would hide what they lead to
        line = Trail(((flag.x, top), (flag.x, bottom)), 0.9, tone, dashed=not crowded)
        pole = Trail(((flag.x, base - 9 if flag.text else top - 4), (flag.x, top)), 0.9)
        texts = (Text("order", flag.x + _POLE, base, ((flag.text, False),), "start"),) if flag.text else ()
        groups.append(Group(_about(flag.order), (line, pole), texts, label_of(flag.order)))
    return tuple(groups)


def _about(order: Order) -> tuple[tuple[str, str], ...]:
    return (("class", "order"), ("data-step", str(order.number)))


def time_axis(scale: Scale, top: float, bottom: float, label_right: float) -> Group:
    """The axis below lanes from `top` to `bottom`, its unit at the right end of the labels."""
    unit, marks = ticks(scale.start, scale.end, max(2, int((scale.right - scale.left) / _TICK)))
    base = bottom + 5 + ASCENT * STYLES["tick"].size
    trails = [Trail(((scale.left, bottom), (scale.right, bottom)), 1.4)]
    texts = [Text("tick", label_right - 6, base, ((f"time [{unit}]", False),), "end")]
    for when, words in marks:
        x = scale.x(when)
        trails += [Trail(((x, top), (x, bottom)), 0.8, "grid"), Trail(((x, bottom), (x, bottom + 5)), 1.2)]
        texts.append(Text("tick", x, base, ((words, False),)))
    return Group((("class", "axis"), ("data-unit", unit)), tuple(trails), tuple(texts))


def column_heads(orders: Sequence[Order], scale: Scale, first: int, last: int) -> tuple[tuple[str, ...], ...]:
    """Lines of the heads of the columns `first` to `last`: "at rest", or the order folded to the column."""
    width = (scale.right - scale.left) / (scale.end - scale.start) - 2 * _POLE
    known = {order.number: label_of(order) for order in orders}
    return tuple(wrap(known.get(k, "0 at rest"), STYLES["order"].size, width, 99) for k in range(first, last + 1))


def head_groups(
    heads: Sequence[Sequence[str]], orders: Sequence[Order], scale: Scale, first: int, top: float, bottom: float
) -> tuple[Group, ...]:
    """Heads of columns, standing on `top`, with a line at the left of each down to `bottom`."""
    groups = []
    known = {order.number: order for order in orders}
    for place, lines in enumerate(heads):
        number = first + place
        x = scale.x(number)
        high = height_of("order", len(lines))
        line = Trail(((x, top - high - 4), (x, bottom)), 0.9, "pale", dashed=True)
        texts = stacked("order", x + _POLE, top - 4 - high, lines)
        order = known.get(number, Order(number, float(number), "at rest"))
        groups.append(Group(_about(order), (line,), texts, label_of(order)))
    return tuple(groups)


def heads_height(heads: Sequence[Sequence[str]]) -> float:
    """Height of the tallest head, with the space round it [px]."""
    return LINE * STYLES["order"].size * max(map(len, heads), default=0) + 10
