"""What a symbol is made of: strokes, circles, arcs, its terminals. Plain frozen data.

Coordinates [px]: the origin is the middle of the symbol on its wire, x to the right, y downwards.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, radians, sin
from typing import Literal

Point = tuple[float, float]
Box = tuple[float, float, float, float]  # left, top, right, bottom
Fill = Literal["paper", "ink", "none"]


@dataclass(frozen=True)
class Stroke:
    """A line through `points`. dashed: a link, or a position the device can take. filled: closed and solid."""

    points: tuple[Point, ...]
    dashed: bool = False
    filled: bool = False


@dataclass(frozen=True)
class Ring:
    """A circle, drawn over the strokes. fill: "paper" hides what lies below, "ink" is solid, "none" shows through."""

    centre: Point
    radius: float
    fill: Fill = "paper"


@dataclass(frozen=True)
class Arc:
    """Part of a circle, from angle `start` to a larger angle `end` [degrees], clockwise as seen, 0 to the right.

    So 0 to 180 is the lower half (a cup), 180 to 360 the upper half (a dome).
    """

    centre: Point
    radius: float
    start: float
    end: float

    def at(self, angle: float) -> Point:
        """The point of the circle at `angle` [degrees]."""
        (x, y), r = self.centre, self.radius
        return (round(x + r * cos(radians(angle)), 3), round(y + r * sin(radians(angle)), 3))

    @property
    def extremes(self) -> tuple[Point, ...]:
        """Its two ends and every point between them that lies farthest left, right, up or down."""
        quarters = (angle for angle in range(-360, 721, 90) if self.start < angle < self.end)
        return tuple(self.at(angle) for angle in (self.start, *quarters, self.end))


@dataclass(frozen=True)
class Shape:
    """A symbol. The wires end at (-reach, 0) and (reach, 0), or at `points` for a symbol with other terminals.

    name: what a technician calls it. inside: True if the designation stands in its middle, else it stands above.
    letter: text that stands in its middle, under the designation if that stands there too. mark: letters that belong
    to the symbol and are written below it, such as "OL". below: True if what moves it is drawn below the wire and
    pushes up, wherever its strokes lie. `box` is what the strokes cover, without the width of the
    line; it is derived.
    """

    name: str
    reach: float
    strokes: tuple[Stroke, ...] = ()
    rings: tuple[Ring, ...] = ()
    inside: bool = False
    mark: str = ""
    letter: str = ""
    arcs: tuple[Arc, ...] = ()
    points: tuple[Point, ...] = ()
    below: bool = False
    box: Box = field(init=False)

    def __post_init__(self) -> None:
        corners = [point for stroke in self.strokes for point in stroke.points]
        corners += [point for arc in self.arcs for point in arc.extremes]
        for ring in self.rings:
            (x, y), r = ring.centre, ring.radius
            corners += [(x - r, y - r), (x + r, y + r)]
        xs, ys = zip(*corners, strict=True)
        object.__setattr__(self, "box", (min(xs), min(ys), max(xs), max(ys)))

    @property
    def terminals(self) -> tuple[Point, ...]:
        """Where wires end: left and right, or `points`."""
        return self.points or ((-self.reach, 0.0), (self.reach, 0.0))
