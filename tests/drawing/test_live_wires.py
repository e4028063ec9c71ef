"""The pieces of wire add up to the wires, and what flows into a junction flows out of it."""

from __future__ import annotations

import pytest
from hypothesis import given

from rungbook import Ladder
from rungbook.behaviour import Board
from rungbook.drawing.board_layout import board_layout
from rungbook.drawing.layout import layout
from rungbook.drawing.live_wires import Wiring, wiring
from rungbook.drawing.sheet import Plan

from .boards import BOARDS, boards
from .strategies import NAMED

FINISHED = [name for name in NAMED if name not in ("empty",)]


def _of(ladder: Ladder, paths: str, width: float | None = None) -> tuple[Plan, Wiring]:
    board = Board.of(ladder)
    plan = layout(ladder, "nema", paths, width)
    first, at = {}, 0
    for n, rung in enumerate(ladder.rungs, 1):
        first[n] = at
        at += len(rung.all_contacts()) + len(rung.loads)
    return plan, wiring(plan, board.items, first)


def _check(plan: Plan, found: Wiring) -> None:
    lengths = [0.0] * len(plan.wires)
    for piece in found.pieces:
        lengths[piece.wire] += piece.end[0] - piece.start[0] + piece.end[1] - piece.start[1]
    for wire, length in zip(plan.wires, lengths, strict=True):
        whole = wire.end[0] - wire.start[0] + wire.end[1] - wire.start[1]
        assert length == pytest.approx(whole, abs=0.02), wire
    for dot, meeting in zip(plan.dots, found.dots.values(), strict=True):
        assert len(meeting) >= (1 if dot.loose else 2), dot


@pytest.mark.parametrize("paths", ["across", "down"])
@pytest.mark.parametrize("name", FINISHED)
def test_pieces_cover_every_wire_once(name: str, paths: str) -> None:
    _check(*_of(NAMED[name](), paths))
    _check(*_of(NAMED[name](), paths, 560))


@pytest.mark.parametrize("paths", ["across", "down"])
@pytest.mark.parametrize("name", BOARDS)
def test_pieces_cover_every_wire_of_a_board_once(name: str, paths: str) -> None:
    board = BOARDS[name]()
    plan = board_layout(board, "nema", paths)
    _check(plan, wiring(plan, board.items, {}))


@given(boards(most=6))
def test_pieces_cover_every_wire_of_any_board_once(board: Board) -> None:
    plan = board_layout(board)
    _check(plan, wiring(plan, board.items, {}))


def test_the_piece_before_a_load_carries_what_the_load_draws() -> None:
    plan, found = _of(NAMED["holding"](), "across")
    coil = next(symbol for symbol in plan.symbols if symbol.wired.item.kind == "coil")
    (before,) = [piece for piece in found.pieces if piece.end == coil.terminals[0]]
    assert [abs(sign) for item, sign in before.draws if item == 4] == [1] or before.draws  # the coil, or what feeds it


def test_arrows_of_a_folded_rung_carry_what_the_next_line_draws() -> None:
    plan, found = _of(NAMED["every_kind"](), "across", 560)
    assert len(found.arrows) == len([line for line in plan.lines if line.role == "continuation"])
    assert all(found.arrows.values())
