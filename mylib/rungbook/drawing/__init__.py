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
    from rungbook.drawing.paper import Page

__all__ = ["Picture", "draw", "gallery", "pages"]


def draw(ladder: Ladder, symbols: str = "nema", paths: str = "across", width: float | None = None) -> Picture:
    """Return `ladder` drawn as a ladder diagram.

    symbols: "nema" (NEMA ICS 19, IEEE 315) or "iec" (IEC 60617). paths: current paths run "across" between rails at
    the left and right, or "down" between rails at the top and bottom, a contact table below each coil. Wire and rung
    numbers are the same in both. width: of the picture [px], its height where paths run down; a longer rung is folded
    and goes on at an arrow with the same letter. None folds nothing.

    An unfinished ladder is drawn as far as it goes: a contact may wait for its coil, and there may be no rung yet.
    Raises LadderError if `ladder` is no Ladder, or one of the others is none of these.
    """
    from rungbook.drawing.ladder import draw_ladder

    return draw_ladder(ladder, symbols, paths, width)


def pages(
    ladder: Ladder, paper: str = "A4", symbols: str = "nema", paths: str = "across", wide: bool = False
) -> tuple[Page, ...]:
    """Return `ladder` over sheets of paper, at least one, each a picture with room for a title block.

    paper: "A4" or "Letter"; wide: with the longer side at the bottom. symbols, paths: as `draw`. Rungs keep their
    numbers; a cross-reference says page and rung. Raises LadderError as `draw`, and if there is no such paper.
    """
    from rungbook.drawing.paper import lay_out

    return lay_out(ladder, paper, symbols, paths, wide)


def gallery() -> str:
    """Return an HTML page, complete in itself, with the symbols of both sets side by side and when to use each."""
    from rungbook.drawing.gallery_page import gallery as page

    return page()
