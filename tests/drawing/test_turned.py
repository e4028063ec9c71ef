"""A symbol turned by a quarter keeps its size, its terminals and its arcs."""

from __future__ import annotations

import pytest

from rungbook.drawing.shapes import Arc, Ring, Shape, Stroke
from rungbook.drawing.turned import turned

ABOVE = Shape("above", 10.0, (Stroke(((-10.0, 0.0), (4.0, -9.0))),), (Ring((10.0, 0.0), 2.0),))
BELOW = Shape("below", 10.0, (Stroke(((-10.0, 0.0), (4.0, 9.0))),), (Ring((10.0, 0.0), 2.0),))


@pytest.mark.parametrize(("shape", "mirrored"), [(ABOVE, True), (BELOW, False)])
def test_the_first_terminal_comes_to_the_top(shape: Shape, mirrored: bool) -> None:
    assert turned(shape, mirrored).terminals == ((0.0, -10.0), (0.0, 10.0))


@pytest.mark.parametrize(("shape", "mirrored"), [(ABOVE, True), (BELOW, False)])
def test_what_stands_above_or_below_comes_to_the_left(shape: Shape, mirrored: bool) -> None:
    assert turned(shape, mirrored).strokes[0].points == ((0.0, -10.0), (-9.0, 4.0))
    assert turned(shape, mirrored).box == (-9.0, -10.0, 2.0, 12.0)


@pytest.mark.parametrize(
    ("arc", "mirrored", "box"),
    [
        # a cup above the wire: mirrored in the diagonal, it opens to the left
        (Arc((0.0, -6.0), 4.0, 0.0, 180.0), True, (-6.0, -4.0, -2.0, 4.0)),
        # a dome below the wire: turned clockwise, its back to the right
        (Arc((0.0, 8.0), 4.0, 180.0, 360.0), False, (-8.0, -4.0, -4.0, 4.0)),
    ],
)
def test_an_arc_turns_with_its_symbol(arc: Arc, mirrored: bool, box: object) -> None:
    assert turned(Shape("arc", 0.0, arcs=(arc,)), mirrored).box == box
