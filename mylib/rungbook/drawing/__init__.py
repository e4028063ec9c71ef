"""What a person sees: a ladder as an SVG picture with a text description.

Enters: a `Ladder`, finished or not. Leaves: a `Picture` (SVG text and a description in words). Lengths are in px of
the SVG at scale 1: x to the right, y downwards, origin at the upper left corner of the sheet.

A drawing passes through four steps, the first three without a canvas: `symbol_sets` (shapes of symbols as data),
`layout` (where each symbol, wire, dot and text stands), `describe` (the same in words), and `symbols` on the SVG side
of schemdraw. schemdraw is loaded on the first drawing, and then without matplotlib.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungbook.drawing.picture import Picture

if TYPE_CHECKING:
    from rungbook.circuit import Ladder

__all__ = ["Picture", "draw", "gallery"]


def draw(ladder: Ladder) -> Picture:
    """Return `ladder` drawn with the symbols of NEMA ICS 19 / IEEE 315.

    An unfinished ladder is drawn as far as it goes: a contact may wait for its coil, and there may be no rung yet.
    Raises LadderError if `ladder` is no Ladder.
    """
    from rungbook.drawing.ladder import draw_ladder

    return draw_ladder(ladder)


def gallery() -> str:
    """Return an HTML page, complete in itself, with the symbols of both sets side by side and when to use each."""
    from rungbook.drawing.gallery_page import gallery as page

    return page()
