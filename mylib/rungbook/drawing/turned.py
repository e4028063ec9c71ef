"""A symbol for a wire that runs down the sheet: turned by a quarter, or mirrored in the diagonal."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from rungbook.drawing.shapes import Arc, Point, Ring, Shape, Stroke


@lru_cache(maxsize=512)
def turned(shape: Shape, mirrored: bool) -> Shape:
    """Return `shape` with its first terminal at the top and its second at the bottom.

    mirrored: in the diagonal, so that what stands above comes to the left; else turned clockwise, so that what stands
    below comes to the left. Letters that belong to the symbol stay upright: they are texts, not strokes.
    """
    if mirrored:

        def place(point: Point) -> Point:
            return (point[1], point[0])
    else:

        def place(point: Point) -> Point:
            return (-point[1], point[0])

    return Shape(
        shape.name,
        shape.reach,
        tuple(Stroke(tuple(map(place, s.points)), s.dashed, s.filled) for s in shape.strokes),
        tuple(Ring(place(ring.centre), ring.radius, ring.fill) for ring in shape.rings),
        shape.inside,
        shape.mark,
        shape.letter,
        tuple(_arc(arc, place, mirrored) for arc in shape.arcs),
        tuple(map(place, shape.terminals)),
    )


def _arc(arc: Arc, place: Callable[[Point], Point], mirrored: bool) -> Arc:
    start, end = (90 - arc.end, 90 - arc.start) if mirrored else (90 + arc.start, 90 + arc.end)
    back = 360 if start < 0 else -360 if start >= 360 else 0
    return Arc(place(arc.centre), arc.radius, start + back, end + back)
