"""Which way each wire takes: through which channels between the rows, and which gaps between the units of a row.

Channel 0 lies above the first row, channel r below row r - 1. A wire from one channel to another crosses the rows
between them, each in one gap: gap 0 is left of the first unit of a row, gap n right of its n-th one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rungbook.circuit.wiring import Wire
from rungbook.drawing.panel_rows import Unit
from rungbook.drawing.panel_sheet import TOP

_TURN = 30.0  # [px], length of wire that one more change of lane is held to be worth


@dataclass(frozen=True)
class Stand:
    """Where a terminal stands: its row, the channel that its wires leave into, and about which x."""

    row: int
    channel: int
    x: float


@dataclass(frozen=True)
class Way:
    """The way of one wire: the channels it lies in, and the crossings (row, gap) between one and the next."""

    channels: tuple[int, ...]
    gaps: tuple[tuple[int, int], ...]


def stands(rows: Sequence[Sequence[Unit]], lefts: Sequence[Sequence[float]]) -> dict[str, Stand]:
    """Terminal -> where it stands. lefts: left edge of each unit, row by row."""
    found = {}
    for r, (row, places) in enumerate(zip(rows, lefts, strict=True)):
        for unit, left in zip(row, places, strict=True):
            for pin in unit.pins:
                found[pin.terminal] = Stand(r, r if pin.side == TOP else r + 1, left + pin.x)
    return found


def ways(wires: Sequence[Wire], at: Mapping[str, Stand], gaps: Sequence[Sequence[float]]) -> list[Way]:
    """Return the shortest way of each wire. gaps: middle of each gap, row by row."""
    return [_way(at[wire.start], at[wire.end], gaps) for wire in wires]


def _way(start: Stand, end: Stand, gaps: Sequence[Sequence[float]]) -> Way:
    """The shortest way across the rows between two channels, found row by row."""
    down = start.channel <= end.channel
    crossed = list(range(start.channel, end.channel) if down else range(start.channel - 1, end.channel - 1, -1))
    best: list[tuple[float, tuple[tuple[int, int], ...], float]] = [(0.0, (), start.x)]
    for row in crossed:
        found = []
        for gap, x in enumerate(gaps[row]):
            options = []
            for cost, way, before in best:
                straight = bool(way) and gap == 0 == way[-1][1]
                options.append((cost + (0.0 if straight else abs(x - before) + _TURN), (*way, (row, gap))))
            found.append((*min(options), x))
        best = found
    _, way = min((cost + abs(end.x - x), way) for cost, way, x in best)
    channels = [start.channel]
    kept: list[tuple[int, int]] = []
    for (row, gap), after in pairwise((*way, (-1, -1))):
        kept.append((row, gap))
        if not (gap == 0 == after[1]):  # the lane at the left goes on, straight
            channels.append(row + 1 if down else row)
    return Way(tuple(channels), tuple(kept))
