"""What a symbol is made of: strokes, circles, two terminals. Plain frozen data.

Coordinates [px]: the origin is the middle of the symbol on its wire, x to the right, y downwards.
"""

from __future__ import annotations

from dataclasses import dataclass, field

Point = tuple[float, float]
Box = tuple[float, float, float, float]  # left, top, right, bottom


@dataclass(frozen=True)
class Stroke:
    """A line through `points`. dashed: a position the device can take, not the one drawn. filled: closed and solid."""

    points: tuple[Point, ...]
    dashed: bool = False
    filled: bool = False


@dataclass(frozen=True)
class Ring:
    """A circle."""

    centre: Point
    radius: float


@dataclass(frozen=True)
class Shape:
    """A symbol. The wires end at (-reach, 0) and (reach, 0).

    name: what a technician calls it. inside: True if a designation or letter stands in its middle. mark: letters that
    belong to the symbol and are written below it, such as "OL". letter: one that stands inside, under the designation.
    `box` is what the strokes cover, without the width of the line; it is derived.
    """

    name: str
    reach: float
    strokes: tuple[Stroke, ...] = ()
    rings: tuple[Ring, ...] = ()
    inside: bool = False
    mark: str = ""
    letter: str = ""
    box: Box = field(init=False)

    def __post_init__(self) -> None:
        xs = [x for stroke in self.strokes for x, _ in stroke.points]
        ys = [y for stroke in self.strokes for _, y in stroke.points]
        for ring in self.rings:
            (x, y), r = ring.centre, ring.radius
            xs += [x - r, x + r]
            ys += [y - r, y + r]
        object.__setattr__(self, "box", (min(xs), min(ys), max(xs), max(ys)))
