"""What stands where on a picture of the panel: devices with terminals, routes of wires, sleeves, texts. Plain data.

Lengths [px], x to the right, y downwards, origin at the upper left corner.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from rungbook.circuit import RIGHT_RAIL
from rungbook.circuit.wiring import Wire
from rungbook.drawing.shapes import Box, Point
from rungbook.drawing.sheet import Text

TOP, BOTTOM = "top", "bottom"
TAB = 4.5  # how far a terminal stands out of the edge of its device, and in
HOLE = 3.0  # radius of the place in a terminal that takes one wire


@dataclass(frozen=True)
class Colour:
    """The colour of a conductor: its letter on the sleeves, its name, the stroke, and what such a wire is."""

    letter: str
    name: str
    stroke: str
    meaning: str


#: Control circuits at a.c. (NFPA 79, conductor colours, from memory): red ungrounded, white grounded. The kit has no
#: d.c. coils (blue).
RED = Colour("R", "red", "#b3001b", "ungrounded a.c. control conductor")
WHITE = Colour("W", "white", "#ffffff", "grounded a.c. control conductor, drawn as a double line")


def colour_of(wire: Wire) -> Colour:
    """The colour of a wire's insulation."""
    return WHITE if wire.number == RIGHT_RAIL else RED


@dataclass(frozen=True)
class Pin:
    """One terminal: `name` as on the device ("13"), its middle (x, y) on the `side` (top, bottom) of the outline.

    holes: where its two wires end, left and right; () for a main terminal, which takes no control wire.
    """

    device: str
    name: str
    x: float
    y: float
    side: str
    holes: tuple[Point, ...] = ()
    half: float = 0.0  # half the width of its tab

    @property
    def terminal(self) -> str:
        """As a wire list writes it: "Q1:13", or "X1" of the supply."""
        return f"{self.device}:{self.name}" if self.device else self.name

    @property
    def box(self) -> Box:
        """What its tab covers."""
        return (self.x - self.half, self.y - TAB, self.x + self.half, self.y + TAB)

    def moved(self, dx: float, dy: float) -> Pin:
        """The same terminal shifted by (dx, dy)."""
        holes = tuple((x + dx, y + dy) for x, y in self.holes)
        return replace(self, x=self.x + dx, y=self.y + dy, holes=holes)


@dataclass(frozen=True)
class Body:
    """A device: outline `box`, the outlines of accessories in front of it, round heads (of buttons, lenses), texts.

    kind: of the model. title: one line for a tooltip. rings: (middle, radius).
    """

    device: str
    kind: str
    title: str
    box: Box
    pins: tuple[Pin, ...]
    texts: tuple[Text, ...]
    blocks: tuple[Box, ...] = ()
    rings: tuple[tuple[Point, float], ...] = ()

    def moved(self, dx: float, dy: float) -> Body:
        """The same device shifted by (dx, dy)."""

        def shift(box: Box) -> Box:
            return (box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy)

        return replace(
            self,
            box=shift(self.box),
            pins=tuple(pin.moved(dx, dy) for pin in self.pins),
            texts=tuple(text.moved(dx, dy, 0) for text in self.texts),
            blocks=tuple(shift(box) for box in self.blocks),
            rings=tuple(((x + dx, y + dy), radius) for (x, y), radius in self.rings),
        )


@dataclass(frozen=True)
class Sleeve:
    """A marker on the end of a wire: outline `box`, the wire number, below it the letter of the colour."""

    box: Box
    texts: tuple[Text, ...]


@dataclass(frozen=True)
class Route:
    """The way of wire number `place` of the wire list (from 1), corner by corner, with a sleeve at either end."""

    place: int
    wire: Wire
    points: tuple[Point, ...]
    sleeves: tuple[Sleeve, Sleeve]

    @property
    def colour(self) -> Colour:
        """Colour of its insulation."""
        return colour_of(self.wire)

    @property
    def pieces(self) -> tuple[tuple[Point, Point], ...]:
        """Its straight pieces."""
        return tuple(zip(self.points, self.points[1:], strict=False))


@dataclass(frozen=True)
class PanelPlan:
    """A whole picture of `width` by `height`: devices row by row, routes in the order of the wire list, texts."""

    width: float
    height: float
    bodies: tuple[Body, ...]
    routes: tuple[Route, ...]
    texts: tuple[Text, ...]
    rows: tuple[tuple[str, ...], ...] = ()  # designations, "" for the supply, row by row from the left
