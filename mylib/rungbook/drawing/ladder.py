"""`draw`: from a ladder to a picture."""

from __future__ import annotations

from rungbook.circuit import Ladder
from rungbook.drawing.describe import describe
from rungbook.drawing.layout import layout
from rungbook.drawing.picture import Picture
from rungbook.drawing.svg import svg
from rungbook.errors import LadderError


def draw_ladder(ladder: Ladder, symbols: str = "nema", paths: str = "across", width: float | None = None) -> Picture:
    """Return the picture of `ladder`. Equal ladders give equal bytes. Raises LadderError as `rungbook.draw` says."""
    if not isinstance(ladder, Ladder):
        raise LadderError("draw", "draws a Ladder", ladder, ("Ladder('title')",))
    plan = layout(ladder, symbols, paths, width)
    words = describe(ladder, paths)
    return Picture(svg(plan, ladder.title.strip() or "Ladder diagram", words), words)
