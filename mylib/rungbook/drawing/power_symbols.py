"""The elements of a power circuit for schemdraw: ink of a symbol, wires of a node, junctions; and the two sets.

Unit 1 px. schemdraw's y points upwards, so every y of a plan changes its sign here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import nan
from types import MappingProxyType

from rungbook.drawing.adapter import Mark, Segment, SegmentCircle
from rungbook.drawing.power_iec import IEC
from rungbook.drawing.power_nema import NEMA
from rungbook.drawing.power_shapes import Ink, PowerSymbols
from rungbook.drawing.power_sheet import PowerDot, PowerWire
from rungbook.drawing.shapes import Point
from rungbook.drawing.symbols import DOT, INK, SYMBOL
from rungbook.errors import LadderError

WIRE = SYMBOL  # a wire goes on in the symbol's leads [px]
THIN = 1.2  # width of a mechanical link [px]

_SETS: Mapping[str, PowerSymbols] = MappingProxyType({"nema": NEMA, "iec": IEC})


def power_symbols(name: object) -> PowerSymbols:
    """Return the set `name`, "nema" or "iec". Raises LadderError if there is no such set."""
    if not isinstance(name, str) or name not in _SETS:
        raise LadderError("symbols", "no such set of symbols", name, tuple(_SETS))
    return _SETS[name]


def _up(point: Point) -> Point:
    return (point[0], -point[1])


class Inked(Mark):  # type: ignore[no-untyped-call]
    """Strokes and circles with their origin at `at`. Anchor: `origin`. Letters are not drawn here."""

    def __init__(self, ink: Ink, at: Point = (0.0, 0.0), width: float = SYMBOL) -> None:
        super().__init__(_up(at), INK, width)
        self.anchors["origin"] = (0, 0)
        for stroke in ink.strokes:
            path = [_up(point) for point in stroke.points]
            self.segments.append(
                Segment(
                    path,
                    ls="--" if stroke.dashed else None,
                    lw=THIN if stroke.dashed else None,
                    fill=INK if stroke.filled else None,
                )
            )
        self.segments += [SegmentCircle(_up(ring.centre), ring.radius, fill=None) for ring in ink.rings]


class NodeWires(Mark):  # type: ignore[no-untyped-call]
    """Straight wires of one node, drawn as one path. Anchor: `start` of the first."""

    def __init__(self, wires: Sequence[PowerWire]) -> None:
        super().__init__((0, 0), INK, WIRE)
        self.anchors["start"] = _up(wires[0].start)
        path: list[Point] = []
        for wire in wires:
            path += [(nan, nan)] if path else []
            path += [_up(wire.start), _up(wire.end)]
        self.segments.append(Segment(path, capstyle="round"))


class NodeDots(Mark):  # type: ignore[no-untyped-call]
    """The junction dots of one node. Anchor: `center` of the first."""

    def __init__(self, dots: Sequence[PowerDot]) -> None:
        super().__init__((0, 0), INK, 0.5)
        self.anchors["center"] = _up(dots[0].at)
        self.segments += [SegmentCircle(_up(dot.at), DOT, fill=INK) for dot in dots]
