"""Where a name may stand beside a point, so that it covers nothing."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin

from rungbook.drawing.shapes import Box
from rungbook.drawing.sheet import Align, Text

ANGLES = (45, 60, 30, 90, 0, 225, 240, 210, 270, 180, 120, 150, 300, 330)  # degrees, in the order of the trial
_FLAT = 0.3  # cosine: nearer to upright a name stands over or under its point


def beside(
    words: str,
    x: float,
    y: float,
    taken: Sequence[Box],
    field: Box,
    angles: Sequence[float] = ANGLES,
    *,
    sided: bool = False,
) -> Text:
    """The words round (x, y) within `field`, at the nearest place where they cover nothing of `taken`.

    angles: in which directions, the best one first. sided: words at a side begin, or end, at their place, else their
    middle stands there. If no place is free: the last one tried.
    """
    text = Text("mark", x, y, ((words, False),))
    for far in range(11 if sided else 13, 90, 3):
        for angle in angles:
            across = cos(radians(angle))
            align: Align = "middle" if not sided or abs(across) < _FLAT else "start" if across > 0 else "end"
            text = Text("mark", x + far * across, y + 4 - far * sin(radians(angle)), text.runs, align)
            left, top, right, bottom = text.box
            inside = left > field[0] and top > field[1] and right < field[2] and bottom < field[3]
            if inside and not any(covers(text.box, other) for other in taken):
                return text
    return text


def covers(one: Box, other: Box) -> bool:
    """True if the two have an area in common."""
    return min(one[2], other[2]) > max(one[0], other[0]) and min(one[3], other[3]) > max(one[1], other[1])
