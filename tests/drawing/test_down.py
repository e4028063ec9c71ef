"""A ladder whose current paths run down: the same circuit turned, texts upright, a contact table below each coil."""

from __future__ import annotations

from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.circuit import Contact
from rungbook.drawing.layout import layout
from rungbook.drawing.sheet import Plan, Text

from .strategies import NAMED, holding


def _tables(plan: Plan, tag: str) -> list[Text]:
    return [text for text in plan.texts if text.role == "table" and text.device == tag]


def test_rails_lie_at_the_top_and_at_the_bottom() -> None:
    top, bottom = sorted((w for w in layout(holding(), paths="down").wires if w.rung == 0), key=lambda w: w.node)
    assert top.start[1] == top.end[1] < bottom.start[1] == bottom.end[1]
    assert (top.start[0], top.end[0]) == (bottom.start[0], bottom.end[0])


def test_paths_are_numbered_from_left_to_right_above_the_upper_rail() -> None:
    plan = layout(NAMED["nested"](), paths="down")
    numbers = [text for text in plan.texts if text.role == "rung"]
    assert [text.words for text in numbers] == [str(n) for n in range(1, 24)]
    assert [text.x for text in numbers] == sorted(text.x for text in numbers)
    (rail,) = {wire.start[1] for wire in plan.wires if wire.rung == 0 and wire.node == 1}
    assert all(text.box[3] < rail for text in numbers)


def test_loads_stand_in_one_row_above_the_lower_rail_and_contacts_above_them() -> None:
    plan = layout(NAMED["nested"](), paths="down")
    loads = {symbol.y for symbol in plan.symbols if not isinstance(symbol.wired.item, Contact)}
    assert len(loads) == 1
    assert all(symbol.y < min(loads) for symbol in plan.symbols if isinstance(symbol.wired.item, Contact))


def test_every_symbol_has_its_terminals_one_above_the_other() -> None:
    for symbol in layout(NAMED["every_kind"](), paths="down").symbols:
        (x, y), (end, low) = symbol.terminals
        assert x == end
        assert y < low


def test_a_button_has_its_head_on_the_left() -> None:
    stop, start, *_ = layout(holding(), paths="down").symbols
    for button in (stop, start):
        left, _, right, _ = button.shape.box
        assert -left > right


def test_contacts_of_the_iec_set_close_from_left_to_right() -> None:
    """IEC 60617-7: a make contact's blade stands left of the path, a break contact's right of it."""
    ladder = Ladder()
    ladder.rung(NO("K1") & NC("K2"), coil("Q1"))
    make, broken, _ = layout(ladder, "iec", "down").symbols
    assert make.shape.box[0] < 0 == make.shape.box[2]
    assert broken.shape.box[0] == 0 < broken.shape.box[2]


def test_the_wires_and_their_numbers_are_those_of_the_ladder_across() -> None:
    for make in NAMED.values():
        across, down = layout(make()), layout(make(), paths="down")
        assert [(s.rung, s.item, s.wired) for s in across.symbols] == [(s.rung, s.item, s.wired) for s in down.symbols]


def test_a_contact_table_names_the_paths_by_kind_under_the_coil() -> None:
    ladder = Ladder()
    ladder.rung(NO("S1") | NO("Q1"), coil("Q1"))
    ladder.rung(NO("Q1") & NC("Q1"), lamp("P1"))
    plan = layout(ladder, paths="down")
    table = _tables(plan, "Q1")
    (q1,) = (symbol for symbol in plan.symbols if symbol.wired.item == coil("Q1"))
    assert {text.words for text in table if text.x < q1.x} == {"NO", "1", "2"}
    assert {text.words for text in table if text.x > q1.x} == {"NC", "2"}
    rail = max(wire.start[1] for wire in plan.wires if wire.rung == 0)
    assert all(text.box[1] > rail for text in table)


def test_a_column_without_contacts_has_a_dash_and_a_coil_without_contacts_no_table() -> None:
    ladder = Ladder()
    ladder.rung(NO("S1") | NO("Q1"), coil("Q1"), coil("Q2"))
    plan = layout(ladder, paths="down")
    assert [text.words for text in _tables(plan, "Q1")] == ["NO", "1", "NC", "–"]
    assert _tables(plan, "Q2") == []


def test_notes_stand_below_with_the_number_of_their_path() -> None:
    notes = [text.words for text in layout(holding(), paths="down").texts if text.role == "note"]
    assert notes == ["1: Starts and holds the wash pump."]


def test_the_legend_speaks_of_what_is_drawn() -> None:
    legend = " ".join(text.words for text in layout(holding(), paths="down").texts if text.role == "legend")
    assert "Figure in italics left of a wire" in legend
    assert "Table below a coil: paths with its contacts" in legend
    assert "right of the rail" not in legend
