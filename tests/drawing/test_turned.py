"""A symbol turned by a quarter keeps its size, its terminals and its arcs."""

from __future__ import annotations

import pytest

from rungbook.drawing.shapes import Arc, Ring, Shape, Stroke
from rungbook.drawing.turned import turned

ABOVE = Shape("above", 10.0, (Stroke(((-10.0, 0.0), (4.0, -9.0))),), (Ring((10.0, 0.0), 2.0),))
BELOW = Shape("below", 10.0, (Stroke(((-10.0, 0.0), (4.0, 9.0))),), (Ring((10.0, 0.0), 2.0),))


@pytest.mark.parametrize("shape", [ABOVE, BELOW])
def test_the_first_terminal_comes_to_the_top(shape: Shape) -> None:
    assert turned(shape).terminals == ((0.0, -10.0), (0.0, 10.0))


@pytest.mark.parametrize("shape", [ABOVE, BELOW])
def test_what_moves_it_comes_to_the_left(shape: Shape) -> None:
    assert turned(shape).strokes[0].points == ((0.0, -10.0), (-9.0, 4.0))
    assert turned(shape).box == (-9.0, -10.0, 2.0, 12.0)


@pytest.mark.parametrize(
    ("arc", "stroke", "box"),
    [
        # a cup above the wire: mirrored in the diagonal, it opens to the left
        (Arc((0.0, -6.0), 4.0, 0.0, 180.0), (0.0, -12.0), (-12.0, -4.0, -2.0, 4.0)),
        # a dome below the wire: turned clockwise, its back to the right
        (Arc((0.0, 8.0), 4.0, 180.0, 360.0), (0.0, 14.0), (-14.0, -4.0, -4.0, 4.0)),
    ],
)
def test_an_arc_turns_with_its_symbol(arc: Arc, stroke: tuple[float, float], box: object) -> None:
    shape = Shape("arc", 0.0, (Stroke((arc.centre, stroke)),), arcs=(arc,))
    assert turned(shape).box == box
