"""A board's plan: bridges stand across, and a checker finds what he finds in a ladder."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings

from rungbook import NC, NO, Ladder, coil, draw, lamp
from rungbook.behaviour.board import Board
from rungbook.circuit import wire
from rungbook.drawing.board_layout import board_layout
from rungbook.drawing.layout import NO_RUNGS, layout
from rungbook.drawing.network import circuits
from rungbook.drawing.sheet import Plan
from rungbook.drawing.symbol_sets import _SETS as SETS
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT

from .boards import BOARDS, board, boards, bridge, mistakes, tangle, two_outputs
from .checker import check_plan
from .strategies import NAMED, holding


def _plans(one: Board) -> Iterator[Plan]:
    for symbols in SETS:
        for paths in ("across", "down"):
            yield board_layout(one, symbols, paths)


def _check(one: Board) -> None:
    items = [(circuit.number, one.items[edge.item - 1]) for circuit in circuits(one.items) for edge in circuit.items()]
    assert len(items) == len(one.items)
    for plan in _plans(one):
        check_plan(plan, items)


@pytest.mark.parametrize("name", BOARDS)
def test_named_boards_are_drawn_as_a_checker_wants(name: str) -> None:
    _check(BOARDS[name]())


@given(boards())
@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_random_boards_are_drawn_as_a_checker_wants(one: Board) -> None:
    _check(one)


@given(boards(24))
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_large_random_boards_are_drawn_as_a_checker_wants(one: Board) -> None:
    _check(one)


@given(boards())
@settings(max_examples=30, deadline=None)
def test_a_plan_is_the_same_every_time(one: Board) -> None:
    assert list(_plans(one)) == list(_plans(one))


@pytest.mark.parametrize("name", [name for name in NAMED if name not in ("empty", "six_by_five", "nested")])
def test_boards_of_ladders_are_drawn_as_a_checker_wants(name: str) -> None:
    ladder = NAMED[name]()
    if name == "every_kind":
        assert len(circuits(Board.of(ladder).items)) == 2
    _check(Board.of(ladder))


def test_a_bridge_stands_upright_between_the_rows_it_joins() -> None:
    plan = board_layout(bridge())
    s1, s2, s3, s4, s5, q1 = sorted(plan.symbols, key=lambda symbol: symbol.device.tag.replace("Q", "T"))
    (x, y), (end, low) = s3.terminals
    assert x == end
    assert s1.y == s4.y == q1.y < y < low < s2.y == s5.y
    assert s1.x == s2.x < s3.x < s4.x == s5.x < q1.x


def test_a_bridge_lies_across_where_paths_run_down() -> None:
    plan = board_layout(bridge(), "iec", "down")
    (s3,) = (symbol for symbol in plan.symbols if symbol.device.tag == "S3")
    (x, y), (end, low) = s3.terminals
    assert x < end
    assert y == low


def _crossings(plan: Plan) -> int:
    level = [wire for wire in plan.wires if wire.start[1] == wire.end[1] and wire.rung]
    upright = [wire for wire in plan.wires if wire.start[0] == wire.end[0] and wire.rung]
    return sum(
        one.start[0] < other.start[0] < one.end[0] and other.start[1] < one.start[1] < other.end[1]
        for one in level
        for other in upright
        if one.node != other.node
    )


def test_what_can_be_drawn_without_a_crossing_is() -> None:
    assert [_crossings(board_layout(make())) for make in (bridge, two_outputs, mistakes)] == [0, 0, 0]
    assert _crossings(board_layout(tangle())) == 1


def test_a_wire_goes_a_longer_way_rather_than_across_another() -> None:
    """The loose end at S2 could hang nearer to its node, but only across the way to Q1."""
    ways = [
        (NO("S1"), 7, 4),
        (NO("S2"), 7, 6),
        (NO("S3"), 7, 1),
        (NO("S4"), 4, 3),
        (coil("Q1"), 3, 2),
        (coil("Q2"), 4, 2),
    ]
    assert _crossings(board_layout(board("Detour", *ways))) == 0


def test_a_board_of_a_ladder_has_the_rows_of_the_ladder() -> None:
    drawn, board_drawn = layout(holding()), board_layout(Board.of(holding()))
    order = [(symbol.rung, symbol.wired) for symbol in drawn.symbols]
    assert sorted(map(repr, order)) == sorted(repr((symbol.rung, symbol.wired)) for symbol in board_drawn.symbols)
    assert len({symbol.y for symbol in drawn.symbols}) == len({symbol.y for symbol in board_drawn.symbols}) == 3


def test_a_loose_end_is_an_empty_circle_and_is_explained() -> None:
    plan = board_layout(mistakes())
    assert sorted(dot.node for dot in plan.dots if dot.loose) == [5, 6, 7]
    assert any("Empty circle" in text.words for text in plan.texts if text.role == "legend")
    assert not any(dot.loose for dot in board_layout(bridge()).dots)


def test_terminals_stand_where_their_wires_are() -> None:
    """S2 is wired the other way round: its terminal 24 is the one on the left rail."""
    wires = [("X1", "S2:24"), ("S2:23", "Q1:A1"), ("Q1:A2", "X2")]
    plan = board_layout(Board.from_wires("Turned", wires, TRAINING_KIT))
    (symbol,) = (symbol for symbol in plan.symbols if symbol.device.tag == "S2")
    left, right = sorted((t for t in plan.texts if t.role == "terminal" and t.device == "S2"), key=lambda t: t.x)
    assert (left.words, right.words) == ("24", "23")
    assert symbol.wired.turned
    assert (
        "Normally open contact of push button S2, terminals 23-24, wires 3 and 1"
        in draw(Board.from_wires("Turned", wires, TRAINING_KIT)).svg
    )


def test_a_ladder_wired_on_the_kit_is_drawn_from_its_wire_list() -> None:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1"))
    one = Board.from_wires("Wash pump", wire(ladder, TRAINING_KIT).wires, TRAINING_KIT)
    _check(one)
    assert [text.words for text in board_layout(one).texts if text.role == "reference"] == ["1, 2"]


def test_cross_references_name_the_circuit_that_a_contact_stands_in() -> None:
    one = board("Two", (NO("S1"), 1, 3), (coil("K1"), 3, 2), (NC("K1"), 1, 4), (NO("K1"), 1, 4), (coil("Q1"), 4, 2))
    (text,) = [text for text in board_layout(one).texts if text.role == "reference"]
    assert text.runs == (("2", True), (", ", False), ("2", False))


def test_a_board_with_nothing_wired_says_so() -> None:
    assert NO_RUNGS in [text.words for text in board_layout(BOARDS["nothing"]()).texts]


def test_a_board_is_not_folded() -> None:
    with pytest.raises(LadderError, match="drawn in one piece"):
        draw(bridge(), width=700)
