"""`draw`: from a ladder or a board to a picture."""

from __future__ import annotations

from rungbook.behaviour.board import Board
from rungbook.circuit import Ladder
from rungbook.drawing.board_layout import board_layout
from rungbook.drawing.describe import describe
from rungbook.drawing.describe_board import describe_board
from rungbook.drawing.layout import layout
from rungbook.drawing.picture import Picture
from rungbook.drawing.svg import svg
from rungbook.errors import LadderError


def draw_circuit(
    circuit: Ladder | Board, symbols: str = "nema", paths: str = "across", width: float | None = None
) -> Picture:
    """Return the picture of `circuit`. Equal circuits give equal bytes. Raises LadderError as `rungbook.draw` says."""
    if isinstance(circuit, Ladder):
        plan, name = layout(circuit, symbols, paths, width), "Ladder diagram"
        words = describe(circuit, paths)
    elif isinstance(circuit, Board):
        if width is not None:
            raise LadderError("draw", "a board is drawn in one piece, not folded to a width", width, ("None",))
        plan, name = board_layout(circuit, symbols, paths), "Circuit diagram"
        words = describe_board(circuit, paths)
    else:
        raise LadderError(
            "draw", "draws a Ladder, or a Board of wired items", circuit, ("Ladder('title')", "Board.from_wires(…)")
        )
    return Picture(svg(plan, circuit.title.strip() or name, words), words)
