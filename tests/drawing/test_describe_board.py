"""The description of a board is enough to wire from: it is read back here into the circuit it describes."""

from __future__ import annotations

import re

from hypothesis import given, settings

from rungbook import NO, Device, coil, draw
from rungbook.behaviour.board import Board
from rungbook.circuit import Wired
from rungbook.drawing.describe_board import describe_board

from .boards import board, boards, bridge, mistakes


def test_a_bridge_is_told_by_its_wires() -> None:
    assert describe_board(bridge()).splitlines() == [
        "Circuit diagram 'Bridge': 1 rung between wire 1 (L), the left rail, and wire 2 (N), the right rail. "
        "All devices are shown at rest.",
        "Rung 1: normally open contact of push button S1, terminals 13-14, between wires 1 and 3; "
        "normally open contact of push button S2, terminals 13-14, between wires 1 and 4; "
        "normally closed contact of push button S3, terminals 11-12, between wires 3 and 4; "
        "normally open contact of push button S4, between wires 3 and 5; "
        "normally open contact of push button S5, between wires 4 and 5; "
        "coil of contactor Q1, terminals A1-A2, between wires 5 and 2.",
        "Wire 1 (L), the left rail, joins S1:13 and S2:13.",
        "Wire 2 (N), the right rail, ends on Q1:A2.",
        "Wire 3 joins S1:14, S3:11 and S4.",
        "Wire 4 joins S2:14, S3:12 and S5.",
        "Wire 5 joins S4, S5 and Q1:A1.",
        "Q1 has no contacts on this board.",
    ]


def test_an_item_wired_the_other_way_round_is_told_by_its_terminals() -> None:
    wired = Wired(NO("S1", "13-14"), 1, 3, turned=True)
    words = describe_board(Board("Mill", (wired, Wired(coil("Q1"), 3, 2)), {t: Device(t) for t in ("S1", "Q1")}))
    assert "contact of push button S1, terminals 13-14, between wires 3 and 1; " in words
    assert "Wire 1 (L), the left rail, ends on S1:14." in words.splitlines()


def test_a_loose_end_is_said() -> None:
    assert "Wire 5 ends on F1 and nothing else." in describe_board(mistakes()).splitlines()


def test_paths_that_run_down_have_rails_at_the_top_and_bottom() -> None:
    first, *_ = describe_board(bridge(), "down").splitlines()
    assert "1 path between wire 1 (L), the top rail, and wire 2 (N), the bottom rail" in first


def test_nothing_wired_is_said() -> None:
    assert "nothing wired yet" in describe_board(board("Cellar fan"))


def test_a_picture_of_a_board_says_it() -> None:
    assert draw(bridge()).description == describe_board(bridge())


@given(boards())
@settings(deadline=None, max_examples=60)
def test_every_item_and_every_end_of_a_wire_is_said(one: Board) -> None:
    words = describe_board(one)
    said = re.findall(r"([A-Z]\d+)(?: \(red\))?, between wires (\d+) and (\d+)", words)
    assert sorted(said) == sorted((w.item.device, str(w.left), str(w.right)) for w in one.items)
    told = re.findall(r"^Wire (\d+)(?: \([LN]\), the \w+ rail,)? (?:joins|ends on) (.*)\.$", words, re.MULTILINE)
    ends = {int(number): sorted(re.findall(r"[A-Z]\d+", rest)) for number, rest in told}
    wanted: dict[int, list[str]] = {}
    for wired in one.items:
        for node in (wired.left, wired.right):
            wanted.setdefault(node, []).append(wired.item.device)
    assert ends == {node: sorted(tags) for node, tags in wanted.items()}
