"""Mechanical interlocks between contactors: which are drawn as a dashed link, which are only written."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rungbook.circuit.power import PowerCircuit
from rungbook.drawing.power_shapes import Ink, PowerSymbols
from rungbook.drawing.power_sheet import Link, PlacedDevice
from rungbook.drawing.shapes import Point, Stroke
from rungbook.errors import LadderError

Pairs = tuple[tuple[str, str], ...]
ASIDE = 22.0  # of an upright link from the first pole, to its left [px]
_SIGN = 25.0  # of the sign from the last pole of a level link, from the upper end of an upright one [px]


def check_pairs(circuit: PowerCircuit, pairs: object) -> Pairs:
    """Return `pairs` if each names two contactors of `circuit`; raise LadderError otherwise."""
    known = tuple(device.tag for device in circuit.devices if device.kind == "contactor")
    if isinstance(pairs, str) or not isinstance(pairs, Iterable):
        raise LadderError("draw, mechanical_interlock", "takes pairs of contactors", pairs, ('(("Q1", "Q2"),)',))
    found: dict[tuple[str, str], None] = {}
    for pair in pairs:
        if not isinstance(pair, Sequence) or isinstance(pair, str) or len(pair) != 2 or pair[0] == pair[1]:
            raise LadderError("draw, mechanical_interlock", "joins two different contactors", pair, known)
        for tag in pair:
            if tag not in known:
                raise LadderError("draw, mechanical_interlock", "no such contactor in this circuit", tag, known)
        one, other = sorted(pair, key=known.index)
        found[one, other] = None
    return tuple(found)


def partners(tag: str, pairs: Pairs) -> tuple[str, ...]:
    """The contactors that `tag` is interlocked with."""
    return tuple(other for pair in pairs for mine, other in (pair, pair[::-1]) if mine == tag)


def draw_links(rows: Sequence[Sequence[PlacedDevice]], pairs: Pairs, symbols: PowerSymbols) -> tuple[Link, ...]:
    """The links of those `pairs` that stand side by side in a row, or one below the other. rows: left to right."""
    place = {device.device: (r, n) for r, row in enumerate(rows) for n, device in enumerate(row)}
    found = []
    for one, other in pairs:
        (r, n), (s, m) = sorted((place[one], place[other]))
        first, second = rows[r][n], rows[s][m]
        if r == s and m == n + 1:
            found.append(Link((one, other), _level(first, second, symbols)))
        elif s == r + 1 and first.x == second.x:
            found.append(Link((one, other), _upright(first, second, symbols)))
    return tuple(found)


def _ends(device: PlacedDevice) -> tuple[Point, Point]:
    """Left and right end of the device's own mechanical link."""
    assert device.shape.link is not None, f"{device.kind} has no moving part"
    (x, y), (end, _) = device.shape.link
    return (device.x + x, device.y + y), (device.x + end, device.y + y)


def _level(left: PlacedDevice, right: PlacedDevice, symbols: PowerSymbols) -> Ink:
    start, end = _ends(left)[1], _ends(right)[0]
    last = max(left.place(pin)[0] for pin in left.shape.pins)
    return Ink((Stroke((start, end), dashed=True),)) + symbols.interlock((last + _SIGN, start[1]))


def _upright(upper: PlacedDevice, lower: PlacedDevice, symbols: PowerSymbols) -> Ink:
    start, end = _ends(upper)[0], _ends(lower)[0]
    x = upper.x - ASIDE
    path = Stroke((start, (x, start[1]), (x, end[1]), end), dashed=True)
    return Ink((path,)) + symbols.interlock((x, start[1] + _SIGN))
