"""The pieces of wire add up to the wires, and what flows into a junction flows out of it."""

from __future__ import annotations

import pytest
from hypothesis import given

from rungbook import Ladder
from rungbook.behaviour import Board
from rungbook.circuit import wire_numbers, wired_items
from rungbook.drawing.board_layout import board_layout
from rungbook.drawing.layout import layout
from rungbook.drawing.live_wires import Wiring, wiring
from rungbook.drawing.sheet import Plan

from .boards import BOARDS, boards
from .strategies import NAMED


def _of(ladder: Ladder, paths: str, width: float | None = None) -> tuple[Plan, Wiring]:
    plan = layout(ladder, "nema", paths, width)
    places = {n: rung.places for n, rung in enumerate(wire_numbers(ladder), 1)}
    return plan, wiring(plan, wired_items(ladder), places)


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
@pytest.mark.parametrize("name", NAMED)
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


def test_a_piece_of_a_rail_carries_what_hangs_below_it() -> None:
    """Items of the holding circuit: 0 S1, 1 S2, 2 Q1, 3 F1, 4 coil, 5 Q1, 6 lamp."""
    plan, found = _of(NAMED["holding"](), "across")
    rails = [sorted(piece.draws) for piece in found.pieces if plan.wires[piece.wire].rung == 0]
    assert rails[:3] == [[(0, 1), (5, 1)], [(5, 1)], []]  # above rung 1, between the rungs, below rung 2
    assert rails[3:] == [[(4, -1), (6, -1)], [(6, -1)], []]


def test_a_branch_carries_its_own_contact_only() -> None:
    plan, found = _of(NAMED["holding"](), "across")
    for tag, item in (("S2", 1), ("Q1", 2)):
        contact = next(symbol for symbol in plan.symbols if symbol.device.tag == tag)
        beside = [piece for piece in found.pieces if piece.end == contact.terminals[0]]
        assert [piece.draws for piece in beside] == [((item, 1),)]


@pytest.mark.parametrize("paths", ["across", "down"])
@pytest.mark.parametrize("name", ["every_kind", "six_by_five", "nested"])
def test_both_arrows_of_a_continuation_carry_what_the_next_line_draws(name: str, paths: str) -> None:
    plan, found = _of(NAMED[name](), paths, 420)
    assert len([line for line in plan.lines if line.role == "continuation"]) >= 4
    draws = list(found.arrows.values())
    assert len(draws) == len([line for line in plan.lines if line.role == "continuation"])
    assert draws[::2] == draws[1::2]
    assert all(draws)
