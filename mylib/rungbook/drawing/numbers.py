"""Wire numbers beside the wires: one on every horizontal stretch of wire, above it, clear of symbols and junctions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from rungbook.drawing.cells import SPACE, line
from rungbook.drawing.sheet import Dot, Symbol, Text, Wire

ABOVE = 4.0  # from the wire to the baseline of its number
EASY = 16.0  # more room than its width makes a gap the place of a number, the first such from the left
NEAR = 56.0  # a number stands in the middle of at most this much of a long stretch, near its left end


def number_wires(wires: Iterable[Wire], symbols: Sequence[Symbol], dots: Sequence[Dot]) -> tuple[Text, ...]:
    """Return the wire numbers of all horizontal `wires` that have room for one, in the order of the wires."""
    ends: dict[tuple[int, float], list[tuple[float, float]]] = {}  # rung, y -> left and right of each symbol
    for symbol in symbols:
        ends.setdefault((symbol.rung, symbol.y), []).append((symbol.box[0], symbol.box[2]))
    knots: dict[tuple[int, float], list[float]] = {}
    for dot in dots:
        knots.setdefault((dot.rung, dot.y), []).append(dot.x)
    done = []
    for wire in wires:
        (x, y), (end, low) = wire.start, wire.end
        if low != y or wire.rung == 0:
            continue
        row = (wire.rung, y)
        for left, right in ends.get(row, []):
            x = max(x, right) if left <= x <= right else x
            end = min(end, left) if left <= end <= right else end
        stops = [x, *sorted(knot for knot in knots.get(row, []) if x < knot < end), end]
        label = line("wire", 0, y - ABOVE, str(wire.node), rung=wire.rung)
        gaps = [(start, stop - start) for start, stop in pairwise(stops) if stop - start >= label.width + 2 * SPACE]
        if gaps:
            start, gap = next((g for g in gaps if g[1] >= label.width + EASY), max(gaps, key=lambda g: g[1]))
            done.append(label.moved(start + min(gap, NEAR) / 2, 0, wire.rung))
    return tuple(done)
