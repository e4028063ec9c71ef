"""The elements of a ladder for schemdraw: symbol, wires of a node, junctions, lettering.

Unit 1 px. schemdraw's y points upwards, so every y of a plan changes its sign here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import nan

from rungbook.drawing.adapter import Lettering, Mark, Segment, SegmentArc, SegmentCircle
from rungbook.drawing.shapes import Point, Shape
from rungbook.drawing.sheet import Dot, Line, Text, Wire

INK = "#1a1a1a"
PALE = "#505050"  # contrast 8:1 on white
PAPER = "#ffffff"
WIRE = 1.6  # width of a wire [px]
RAIL = 2.4  # width of a rail [px]
SYMBOL = 1.8  # width of a symbol's lines [px]
DOT = 3.2  # radius of a junction [px]
_RING = 1.2  # width of the circle of a loose end [px]


def _up(point: Point) -> Point:
    return (point[0], -point[1])


class DeviceSymbol(Mark):  # type: ignore[no-untyped-call]
    """A device's symbol, of whatever set `shape` is from.

    Anchors: `left`, `right` where the wires end (top and bottom of a turned one); `center` the middle, on the wire.
    """

    def __init__(self, shape: Shape, at: Point) -> None:
        super().__init__(_up(at), INK, SYMBOL, "center")
        first, second = shape.terminals[:2]
        self.anchors.update(left=_up(first), center=(0, 0), right=_up(second))
        plain: list[Point] = []  # all lines that are neither dashed nor filled, as one path
        for stroke in shape.strokes:
            path = [_up(point) for point in stroke.points]
            if stroke.dashed or stroke.filled:
                fill = INK if stroke.filled else None
                self.segments.append(Segment(path, ls="--" if stroke.dashed else None, fill=fill))
            else:
                plain += [(nan, nan), *path] if plain else path
        if plain:
            self.segments.append(Segment(plain))
        for arc in shape.arcs:
            size = 2 * arc.radius
            self.segments.append(SegmentArc(_up(arc.centre), size, size, -arc.end, -arc.start))
        fills = {"paper": PAPER, "ink": INK, "none": None}
        self.segments += [SegmentCircle(_up(ring.centre), ring.radius, fill=fills[ring.fill]) for ring in shape.rings]


class Wires(Mark):  # type: ignore[no-untyped-call]
    """Straight wires of one node, drawn as one path. Anchors: `start` and `end` of the first."""

    def __init__(self, wires: Sequence[Wire]) -> None:
        super().__init__((0, 0), INK, RAIL if wires[0].rung == 0 else WIRE)
        self.anchors.update(start=_up(wires[0].start), end=_up(wires[0].end))
        path: list[Point] = []
        for wire in wires:
            path += [(nan, nan)] if path else []
            path += [_up(wire.start), _up(wire.end)]
        self.segments.append(Segment(path, capstyle="round"))


class Junctions(Mark):  # type: ignore[no-untyped-call]
    """The junction dots of one node. Anchor: `center` of the first."""

    def __init__(self, dots: Sequence[Dot]) -> None:
        super().__init__((0, 0), INK, 0.5)
        self.anchors["center"] = _up((dots[0].x, dots[0].y))
        for dot in dots:
            self.segments.append(SegmentCircle(_up((dot.x, dot.y)), DOT, fill=PAPER if dot.loose else INK, lw=_RING))


class Lines(Mark):  # type: ignore[no-untyped-call]
    """Lines that are no wires. Anchor: `start` of the first."""

    def __init__(self, lines: Sequence[Line]) -> None:
        super().__init__((0, 0), INK, WIRE)
        self.anchors["start"] = _up(lines[0].points[0])
        for line in lines:
            path = [_up(point) for point in line.points]
            fill = INK if line.filled else None
            self.segments.append(Segment(path, lw=line.width, ls="--" if line.dashed else None, fill=fill))


class Words(Mark):  # type: ignore[no-untyped-call]
    """Lines of text. Anchor: `base`, the point that the first line is aligned to."""

    def __init__(self, texts: Sequence[Text]) -> None:
        super().__init__((0, 0), INK, WIRE)
        self.anchors["base"] = _up((texts[0].x, texts[0].y))
        for text in texts:
            left, top, right, bottom = text.box
            self.segments.append(
                Lettering(_up((text.x, text.y)), text.runs, (left, -bottom, right, -top), lettering_style(text))
            )


def lettering_style(text: Text) -> dict[str, str]:
    """Attributes of the <text> of `text`."""
    style = text.style
    found = {"data-of": text.device} if text.device else {}
    found |= {
        "class": text.role.replace(" ", "-"),
        "text-anchor": text.align,
        "font-size": f"{style.size:g}",
    }
    if style.bold:
        found["font-weight"] = "bold"
    if style.italic:
        found["font-style"] = "italic"
    return found | {"fill": PALE if style.pale else INK}
