"""The elements of a picture of the panel for schemdraw: outlines, terminals, wires, sleeves.

Unit 1 px. schemdraw's y points upwards, so every y of a plan changes its sign here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from rungbook.drawing.adapter import Mark, Segment, SegmentCircle
from rungbook.drawing.panel_sheet import HOLE, Body, Pin, Route, Sleeve
from rungbook.drawing.shapes import Box, Point
from rungbook.drawing.symbols import INK, PAPER

ACCENT = "#b85c00"
DONE = "#8a8a8a"  # contrast 3.4:1 on white
OUTLINE = 1.6
THIN = 1.0
WIRE = 2.2
CASED = 4.0  # a white wire: ink of this width, with a white core
CORE = 2.2
STRONG = 4.4  # the wire that is being pulled
HALO = 1.4  # paper beside a wire, so that it is seen to pass over those that it crosses


def _up(point: Point) -> Point:
    return (point[0], -point[1])


def _outline(box: Box) -> list[Point]:
    left, top, right, bottom = box
    return [_up(point) for point in ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))]


class Outlines(Mark):  # type: ignore[no-untyped-call]
    """A device without its terminals. Anchor: `corner`, its upper left one."""

    def __init__(self, body: Body) -> None:
        super().__init__((0, 0), INK, OUTLINE)
        self.anchors["corner"] = _up(body.box[:2])
        self.segments.append(Segment(_outline(body.box), fill=PAPER))
        self.segments += [Segment(_outline(block), lw=THIN, fill=PAPER) for block in body.blocks]
        self.segments += [
            SegmentCircle(_up(centre), radius, lw=THIN, fill=PAPER, zorder=9) for centre, radius in body.rings
        ]


class Terminal(Mark):  # type: ignore[no-untyped-call]
    """A terminal: its tab, and its two places, full if in `taken`. A main terminal has no places and is drawn pale.

    Anchor: `middle`.
    """

    def __init__(self, pin: Pin, taken: Collection[Point], accent: bool = False) -> None:
        super().__init__((0, 0), ACCENT if accent else INK if pin.holes else DONE, 2.2 if accent else THIN)
        self.anchors["middle"] = _up((pin.x, pin.y))
        self.segments.append(Segment(_outline(pin.box), fill=PAPER, zorder=1))
        self.segments += [
            SegmentCircle(_up(hole), HOLE, fill=INK if hole in taken else PAPER, color=INK, lw=THIN, zorder=2)
            for hole in pin.holes
        ]


class Path(Mark):  # type: ignore[no-untyped-call]
    """A wire from terminal to terminal: in its colour, `pale` as one that is done, or `strong` as the one at hand."""

    def __init__(self, route: Route, look: str = "") -> None:
        white = route.colour.letter == "W"
        colour = {"pale": DONE, "strong": ACCENT}.get(look, INK if white else route.colour.stroke)
        wide = {"pale": THIN, "strong": STRONG}.get(look, CASED if white else WIRE)
        super().__init__((0, 0), colour, wide)
        self.anchors["start"] = _up(route.points[0])
        path = [_up(point) for point in route.points]
        self.segments.append(Segment(path, lw=wide + 2 * HALO, color=PAPER, capstyle="butt"))
        self.segments.append(Segment(path, capstyle="butt"))
        if white and not look:
            self.segments.append(Segment(path, lw=CORE, color=PAPER, capstyle="butt"))


class Sleeves(Mark):  # type: ignore[no-untyped-call]
    """The outlines of sleeves; the letters are lettering. Anchor: `corner` of the first."""

    def __init__(self, sleeves: Sequence[Sleeve], look: str = "") -> None:
        super().__init__((0, 0), {"pale": DONE, "strong": ACCENT}.get(look, INK), 1.8 if look == "strong" else THIN)
        self.anchors["corner"] = _up(sleeves[0].box[:2])
        self.segments += [Segment(_outline(sleeve.box), fill=PAPER) for sleeve in sleeves]
