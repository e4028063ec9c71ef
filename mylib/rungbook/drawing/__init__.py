"""What a person sees: a ladder or a power circuit as an SVG picture with a text description.

Enters: a `Ladder` or a `PowerCircuit`, finished or not, or a `Board` (what is really wired, bridges included). Leaves:
a `Picture` (SVG text and a description in words). Lengths are in px of the SVG at scale 1: x to the right, y downwards,
origin at the upper left corner of the sheet.

A drawing passes through four steps, the first three without a canvas: `symbol_sets` (shapes of symbols as data),
`layout` (where each symbol, wire, dot and text stands), `describe` (the same in words), and `symbols` on the SVG side
of schemdraw. A power circuit passes through the same steps in the files that begin with `power`: `power_iec` and
`power_nema`, `power_rows` (the grid), `power_routes` (the wires between rows), `power_layout`, `power_describe`,
`power_symbols`. schemdraw is loaded on the first drawing, and then without matplotlib.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rungbook.drawing.picture import Picture

if TYPE_CHECKING:
    from rungbook.behaviour.board import Board
    from rungbook.circuit import Ladder
    from rungbook.circuit.power import PowerCircuit
    from rungbook.drawing.paper import Page

__all__ = ["Picture", "draw", "draw_power", "gallery", "pages"]


def draw(
    circuit: Ladder | Board | PowerCircuit, symbols: str = "nema", paths: str = "across", width: float | None = None
) -> Picture:
    """Return a ladder, or a board of wired items, drawn as a ladder diagram; a power circuit as `draw_power` draws it.

    symbols: "nema" (NEMA ICS 19, IEEE 315) or "iec" (IEC 60617). paths: current paths run "across" between rails at
    the left and right, or "down" between rails at the top and bottom, a contact table below each coil. Wire and rung
    numbers are the same in both. width: of the picture [px], its height where paths run down; a longer rung is folded
    and goes on at an arrow with the same letter. None folds nothing.

    An unfinished ladder is drawn as far as it goes: a contact may wait for its coil, and there may be no rung yet. A
    board is drawn as it is wired, bridges, coils in series and loose ends included, in one piece (width None); what is
    wrong with its parts is not shown. Its rungs are the circuits that hang together without the rails.

    Raises LadderError if `circuit` is none of these, one of the others is none of these, a board is given a width, or
    `paths` or `width` is given for a power circuit, whose lines always run down.
    """
    from rungbook.circuit.power import PowerCircuit
    from rungbook.drawing.ladder import draw_circuit
    from rungbook.errors import LadderError

    if isinstance(circuit, PowerCircuit):
        for name, value, usual in (("paths", paths, "across"), ("width", width, None)):
            if value != usual:
                raise LadderError("draw", f"{name} is for ladders; the lines of a power circuit run down", value)
        return draw_power(circuit, symbols)
    return draw_circuit(circuit, symbols, paths, width)


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


def draw_power(
    circuit: PowerCircuit, symbols: str = "nema", mechanical_interlock: Iterable[Sequence[str]] = ()
) -> Picture:
    """Return `circuit` drawn with the symbols of "nema" (NEMA ICS 19 / IEEE 315) or "iec" (IEC 60617).

    mechanical_interlock: pairs of contactors that hold each other out, such as (("Q1", "Q2"),). An unfinished circuit
    is drawn as far as it goes. Raises LadderError if `circuit` is no PowerCircuit, there is no such set, or a pair is
    not two contactors of the circuit.
    """
    from rungbook.drawing.power import draw_power

    return draw_power(circuit, symbols, mechanical_interlock)
