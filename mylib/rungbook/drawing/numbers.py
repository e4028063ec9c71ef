"""Wire numbers beside the wires: one on every stretch along a path, clear of symbols and junctions.

Above a wire that runs across the sheet, left of one that runs down.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from rungbook.drawing.cells import SPACE, line
from rungbook.drawing.metrics import ASCENT, DESCENT
from rungbook.drawing.shapes import Box, Point
from rungbook.drawing.sheet import STYLES, Dot, Symbol, Text, Wire

ABOVE = 4.0  # from the wire to the baseline of its number, or, where it runs down, to the number's end
EASY = 16.0  # more room than its width makes a gap the place of a number, the first such from the left
NEAR = 56.0  # a number stands in the middle of at most this much of a long stretch, near its left end
_SIZE = STYLES["wire"].size
_HIGH = (ASCENT + DESCENT) * _SIZE


def number_wires(
    wires: Iterable[Wire],
    symbols: Sequence[Symbol],
    dots: Sequence[Dot],
    down: bool = False,
    texts: Sequence[Text] | None = None,
) -> tuple[Text, ...]:
    """Return the numbers of all `wires` along the path that have room for one, in the order of the wires.

    A node that no wire along the path has written gets its number beside a wire across. down: paths run down the sheet
    instead of across. texts: given where wires come so close that a number may have no clear place: then it is written
    in the first place that is clear of wires, symbols and these texts, and nowhere if there is none.
    """
    whole = tuple(wires)
    clear = None if texts is None else Clearance(whole, symbols, texts)
    found = _along(whole, whole, symbols, dots, down, clear)
    written = {text.words for text in found}
    rest = tuple(wire for wire in whole if wire.rung and str(wire.node) not in written)
    return found + _along(rest, whole, symbols, dots, not down, clear) if rest else found


class Clearance:
    """What a text must not touch, rung by rung."""

    def __init__(self, wires: Iterable[Wire], symbols: Iterable[Symbol], texts: Iterable[Text]) -> None:
        self._boxes: dict[int, list[Box]] = {}
        for symbol in symbols:
            self._add(symbol.rung, symbol.box)
        for text in texts:
            self._add(text.rung, text.box)
        for wire in wires:
            (left, top), (right, bottom) = wire.start, wire.end
            self._add(wire.rung, (left - 1, top - 1, right + 1, bottom + 1))

    def _add(self, rung: int, box: Box) -> None:
        self._boxes.setdefault(rung, []).append(box)

    def takes(self, text: Text) -> bool:
        """True if `text` is clear of everything on its rung and of the rails; it is then in the way of the next."""
        left, top, right, bottom = text.box
        for x, y, end, low in (*self._boxes.get(text.rung, []), *self._boxes.get(0, [])):
            if left < end and x < right and top < low and y < bottom:
                return False
        self._add(text.rung, text.box)
        return True


def _along(
    wires: Sequence[Wire],
    whole: Sequence[Wire],
    symbols: Sequence[Symbol],
    dots: Sequence[Dot],
    down: bool,
    clear: Clearance | None,
) -> tuple[Text, ...]:
    """The numbers of those of `wires` that run down, or across. whole: all wires."""

    def turned(point: Point) -> Point:
        """Along and across."""
        return (point[1], point[0]) if down else point

    ends: dict[tuple[int, float], list[tuple[float, float]]] = {}  # rung, across -> both ends of each symbol
    for symbol in symbols:
        _, across = turned((symbol.x, symbol.y))
        ends.setdefault((symbol.rung, across), []).append(_ends(symbol.box, down))
    knots: dict[tuple[int, float], list[float]] = {}
    spans: dict[int, list[tuple[float, float, float]]] = {}  # rung -> along, and both ends across, of wires across
    for dot in dots:
        along, across = turned((dot.x, dot.y))
        knots.setdefault((dot.rung, across), []).append(along)
    for wire in whole:
        (along, across), (end, far) = turned(wire.start), turned(wire.end)
        if along == end and wire.rung:
            spans.setdefault(wire.rung, []).append((along, across, far))
    done = []
    for wire in wires:
        (along, across), (end, far) = turned(wire.start), turned(wire.end)
        if far != across or wire.rung == 0:
            continue
        row = (wire.rung, across)
        for first, last in ends.get(row, []):
            along = max(along, last) if first <= along <= last else along
            end = min(end, first) if first <= end <= last else end
        inner = [knot for knot in knots.get(row, []) if along < knot < end]
        inner += [at for at, top, low in spans.get(wire.rung, []) if along < at < end and top <= across <= low]
        stops = [along, *sorted(inner), end]
        label = line("wire", 0, 0, str(wire.node), "end" if down else "middle", wire.rung)
        long = _HIGH if down else label.width
        gaps = [(start, stop - start) for start, stop in pairwise(stops) if stop - start >= long + 2 * SPACE]
        gaps.sort(key=lambda gap: (gap[1] < long + EASY, 0 if gap[1] >= long + EASY else -gap[1]))
        for start, gap in gaps if clear else gaps[:1]:
            middle = start + min(gap, NEAR) / 2
            x, y = (across - ABOVE, middle + 0.36 * _SIZE) if down else (middle, across - ABOVE)
            placed = label.moved(x, y, wire.rung)
            if clear is None or clear.takes(placed):
                done.append(placed)
                break
    return tuple(done)


def _ends(box: Box, down: bool) -> tuple[float, float]:
    return (box[1], box[3]) if down else (box[0], box[2])
