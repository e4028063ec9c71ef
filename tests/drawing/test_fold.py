"""A rung that is too long: where it is broken, and that nothing is lost or doubled."""

from __future__ import annotations

import pytest

from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.circuit import Part
from rungbook.drawing.layout import layout
from rungbook.drawing.sheet import Plan

from .geometry import links


def _chain(letter: str, first: int, last: int) -> Part:
    part: Part = NO(f"{letter}{first}")
    for n in range(first + 1, last + 1):
        part = part & NO(f"{letter}{n}")
    return part


def _rows(plan: Plan) -> list[list[str]]:
    """Designations of the symbols line by line."""
    rows: dict[float, list[str]] = {}
    for symbol in plan.symbols:
        rows.setdefault(symbol.y, []).append(symbol.device.tag)
    return list(rows.values())


def test_a_rung_that_fits_is_not_folded() -> None:
    ladder = Ladder()
    ladder.rung(_chain("K", 1, 4), coil("Q1"))
    assert layout(ladder, width=2000) == layout(ladder)
    assert layout(ladder).lines == ()


def test_twelve_contacts_go_on_in_the_next_line_under_the_same_wire_number() -> None:
    ladder = Ladder()
    ladder.rung(_chain("K", 1, 12), coil("Q1"))
    plan = layout(ladder, width=700)
    assert _rows(plan) == [
        ["K1", "K2", "K3", "K4", "K5"],
        ["K6", "K7", "K8", "K9", "K10"],
        ["K11", "K12", "Q1"],
    ]
    assert plan.width <= 700
    assert list(links(plan)) == [(1, "A"), (1, "B")]
    after_k5 = [text.y for text in plan.texts if text.role == "wire" and text.words == "7"]
    assert len(after_k5) == 2
    assert len(set(after_k5)) == 2


def test_a_group_of_branches_that_fits_a_line_stays_whole() -> None:
    ladder = Ladder()
    ladder.rung(_chain("K", 1, 4) & (NO("S1") & NO("S2") & NO("S3") | NC("B1")) & NC("F1"), coil("Q1"))
    plan = layout(ladder, width=640)
    assert _rows(plan) == [["K1", "K2", "K3", "K4"], ["S1", "S2", "S3"], ["B1"], ["F1", "Q1"]]


def test_a_group_longer_than_a_line_is_folded_branch_by_branch() -> None:
    ladder = Ladder()
    ladder.rung((_chain("K", 1, 9) | NO("S1")) & NC("F1"), coil("Q1"))
    plan = layout(ladder, width=640)
    rows = _rows(plan)
    assert [tag for row in rows for tag in row if tag[0] == "K"] == [f"K{n}" for n in range(1, 10)]
    assert ["S1"] in rows
    assert plan.width <= 640


def test_loads_without_room_stand_on_a_line_of_their_own() -> None:
    ladder = Ladder()
    ladder.rung(NO("K1") & NO("K2") & NO("K3") & (_chain("S", 1, 4) | NO("S5")), coil("Q1"), lamp("P1"))
    plan = layout(ladder, width=640)
    assert _rows(plan) == [["K1", "K2", "K3"], ["S1", "S2", "S3", "S4"], ["S5"], ["Q1"], ["P1"]]


def test_every_rung_has_letters_of_its_own() -> None:
    ladder = Ladder()
    ladder.rung(_chain("K", 1, 8), coil("Q1"))
    ladder.rung(_chain("K", 1, 8), coil("Q2"))
    assert list(links(layout(ladder, width=700))) == [(1, "A"), (2, "A")]


def test_a_path_that_runs_down_goes_on_beside_itself() -> None:
    ladder = Ladder()
    ladder.rung(_chain("K", 1, 12), coil("Q1"))
    plan = layout(ladder, paths="down", width=700)
    columns: dict[float, list[str]] = {}
    for symbol in plan.symbols:
        columns.setdefault(symbol.x, []).append(symbol.device.tag)
    assert [tag for column in columns.values() for tag in column] == [f"K{n}" for n in range(1, 13)] + ["Q1"]
    assert len(columns) >= 2
    assert list(columns) == sorted(columns)
    assert max(wire.end[1] for wire in plan.wires if wire.rung == 0) <= 700


@pytest.mark.parametrize("width", [399, 0, -1, "wide", True])
def test_a_sheet_has_a_least_width(width: object) -> None:
    with pytest.raises(LadderError, match="at least 400 px"):
        layout(Ladder(), width=width)  # type: ignore[arg-type]


def test_paths_run_across_or_down_and_nowhere_else() -> None:
    with pytest.raises(LadderError, match="across or down") as caught:
        layout(Ladder(), paths="up")
    assert caught.value.choices == ("across", "down")


def test_there_is_no_third_set_of_symbols() -> None:
    with pytest.raises(LadderError, match="no such set of symbols"):
        layout(Ladder(), symbols="ours")
