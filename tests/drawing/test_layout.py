"""A ladder's plan, in both directions, with every set of symbols, folded and not, and page by page."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.circuit import Contact
from rungbook.drawing.layout import LEFT, NO_RUNGS, layout
from rungbook.drawing.sheet import Plan
from rungbook.drawing.symbol_sets import _SETS as SETS

from .checker import check_ladder
from .geometry import rails
from .strategies import NAMED, ladders

varied = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@pytest.fixture(params=NAMED, name="ladder")
def _ladder(request: pytest.FixtureRequest) -> Ladder:
    return NAMED[request.param]()


def _plans(ladder: Ladder, width: float | None = None) -> Iterator[Plan]:
    for symbols in SETS:
        for paths in ("across", "down"):
            yield layout(ladder, symbols, paths, width)


@pytest.mark.parametrize("width", [None, 1000, 600, 400])
def test_named_ladders_are_drawn_as_a_checker_wants(ladder: Ladder, width: float | None) -> None:
    for plan in _plans(ladder, width):
        check_ladder(plan, ladder)


@given(ladders(), st.sampled_from([None, 700, 400]))
@varied
def test_random_ladders_are_drawn_as_a_checker_wants(ladder: Ladder, width: float | None) -> None:
    for plan in _plans(ladder, width):
        check_ladder(plan, ladder)


@given(ladders())
@varied
def test_a_plan_is_the_same_every_time(ladder: Ladder) -> None:
    assert list(_plans(ladder, 600)) == list(_plans(ladder, 600))


def test_loads_stand_in_one_column_beside_the_right_rail() -> None:
    ladder = NAMED["nested"]()
    plan = layout(ladder)
    columns = {symbol.x for symbol in plan.symbols if not isinstance(symbol.wired.item, Contact)}
    assert len(columns) == 1
    assert all(symbol.x < min(columns) for symbol in plan.symbols if isinstance(symbol.wired.item, Contact))


def test_widths_add_in_series_and_heights_add_in_parallel() -> None:
    ladder = Ladder()
    ladder.rung(NO("S1") & NO("S2"), coil("Q1"))
    ladder.rung(NO("S1") | NO("S2") | NO("S3"), coil("Q2"))
    plan = layout(ladder)
    xs = [symbol.x for symbol in plan.symbols if symbol.rung == 1][:2]
    ys = [symbol.y for symbol in plan.symbols if symbol.rung == 2][:3]
    assert xs[1] - xs[0] == 2 * (xs[0] - LEFT)
    assert ys[2] - ys[1] == ys[1] - ys[0] > 0
    assert len({symbol.y for symbol in plan.symbols if symbol.rung == 1}) == 1


def test_the_upper_branch_lies_on_the_rung() -> None:
    ladder = Ladder()
    ladder.rung((NO("S1") | NO("Q1")) & NC("F1"), coil("Q1"))
    s1, q1, f1, load = layout(ladder).symbols
    assert s1.y == f1.y == load.y < q1.y


def test_cross_references_name_a_rung_for_each_contact_and_underline_closed_ones() -> None:
    ladder = Ladder()
    ladder.rung(NO("S1") | NO("Q1"), coil("Q1"))
    ladder.rung(NO("Q1") & NC("Q1"), lamp("P1"))
    (text,) = [text for text in layout(ladder).texts if text.role == "reference"]
    assert text.words == "1, 2, 2"
    assert [words for words, underlined in text.runs if underlined] == ["2"]
    assert (text.rung, text.device) == (1, "Q1")
    assert text.box[0] > rails(layout(ladder))[1].start[0]


def test_terminals_stand_below_the_wire_at_their_own_side() -> None:
    ladder = Ladder()
    ladder.rung(NO("S1", "13-14"), coil("Q1", "A1-A2"))
    plan = layout(ladder)
    for symbol, first, second in zip(plan.symbols, ("13", "A1"), ("14", "A2"), strict=True):
        texts = {text.words: text for text in plan.texts if text.role == "terminal"}
        assert texts[first].box[2] <= symbol.x <= texts[second].box[0]
        assert min(texts[first].box[1], texts[second].box[1]) > symbol.y


def test_the_plate_of_a_contactor_stands_at_its_coil_only() -> None:
    plan = layout(NAMED["holding"]())
    assert [text.words for text in plan.texts if text.role == "plate" and text.device == "Q1"] == ["wash pump"]


def test_a_ladder_without_rungs_has_rails_and_says_so() -> None:
    plan = layout(Ladder("Cellar fan"))
    assert len(plan.wires) == 2
    assert [text.words for text in plan.texts] == ["Cellar fan", "1 (L)", "2 (N)", NO_RUNGS]


def test_a_long_plate_is_cut_and_says_so() -> None:
    plan = layout(NAMED["six_by_five"]())
    assert any(text.words.endswith("…") for text in plan.texts if text.role == "plate")


def test_a_plan_needs_no_schemdraw() -> None:
    code = (
        "import sys; from rungbook import Ladder, NO, coil; from rungbook.drawing.layout import layout\n"
        "ladder = Ladder(); ladder.rung(NO('S1'), coil('Q1')); layout(ladder)\n"
        "assert 'schemdraw' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_colour_letters_are_explained() -> None:
    texts = [text.words for text in layout(NAMED["holding"]()).texts]
    assert "Letters in or under a lamp, or in brackets on a plate: colour. R red, G green." in texts
    assert {"stop (R)", "start (G)", "G"} <= set(texts)


def test_a_plate_and_the_cross_references_of_a_counter_stand_at_its_coil_alone() -> None:
    plan = layout(NAMED["counting"]())
    plates = [(text.rung, text.words) for text in plan.texts if text.role == "plate" and text.device == "K5"]
    assert plates == [(1, "CTR"), (2, "CTR"), (2, "bottles in this batch"), (2, "of the filling line")]
    assert [text.rung for text in plan.texts if text.role == "reference" and text.device == "K5"] == [2]


def test_letters_of_inputs_and_marks_of_contacts_are_explained_where_they_are_used() -> None:
    legend = " ".join(text.words for text in layout(NAMED["counting"]()).texts if text.role == "legend")
    for words in ("R in a coil: its reset input", "D in a coil", "CUM: timer that adds up the times", "CTR: counter"):
        assert words in legend
    assert not any("R in a coil" in text.words for text in layout(NAMED["holding"]()).texts)


def test_the_texts_inside_an_input_stand_within_its_circle() -> None:
    plan = layout(NAMED["counting"]())
    circles = {(s.rung, s.item): s for s in plan.symbols if s.shape.letter}
    assert len(circles) == 5
    for symbol in circles.values():
        inside = [
            t
            for t in plan.texts
            if t.role.startswith("inside") and abs(t.x - symbol.x) < 1 and abs(t.y - symbol.y) < 12
        ]
        assert [t.words for t in inside] == [symbol.device.tag, symbol.shape.letter]
        for text in inside:
            left, _, right, _ = text.box
            cap = text.y - 0.73 * text.style.size  # a capital letter's height
            for x, y in ((left, cap), (right, cap), (left, text.y), (right, text.y)):
                assert (x - symbol.x) ** 2 + (y - symbol.y) ** 2 <= symbol.shape.reach**2 + 1, (text, x, y)
