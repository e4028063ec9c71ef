"""Wire lists and truth tables as pictures: read back they are the tables; over pages nothing is lost."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, draw, lamp, truth_table, wire
from rungbook.drawing import Picture, draw_table, table_pages
from rungbook.drawing.tables import MOST_ROWS, grid_of, layout
from rungbook.kit import TRAINING_KIT

from .figures import check_figure, groups, paths, words


def pump(title: str = "Wash pump") -> Ladder:
    ladder = Ladder(title)
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1"))
    return ladder


def wide() -> Ladder:
    ladder = Ladder("Filling line")
    way = NO("S1")
    for n in range(2, 9):
        way = way & NO(f"S{n}")
    ladder.rung(way, coil("Q1"))
    return ladder


def rows(picture: Picture) -> list[tuple[str, ...]]:
    return [tuple(words(group)) for group in groups(picture.svg, "row")]


def size(picture: Picture) -> tuple[float, float]:
    root = ET.fromstring(picture.svg)
    return float(root.get("width", 0)), float(root.get("height", 0))


class TestWireList:
    def test_read_back_it_is_the_wire_list(self) -> None:
        wiring = wire(pump(), TRAINING_KIT)
        assert rows(draw_table(wiring)) == [
            (str(n), w.start, w.end, str(w.number), str(w.rung)) for n, w in enumerate(wiring.wires, 1)
        ]
        assert len(wiring.wires) == 10

    def test_every_wire_has_a_box_to_tick_and_a_sentence(self) -> None:
        picture = draw_table(wire(pump(), TRAINING_KIT))
        for group in groups(picture.svg, "row"):
            (box,) = paths(group)
            assert len(box) == 5
        assert words(groups(picture.svg, "head")[0]) == ["wire", "from", "to", "wire number", "rung", "done"]
        assert "Wire 2: from S1:12 to S2:23, wire number 3, rung 1." in picture.description
        assert "De-energise, lock out, prove dead" in picture.description

    def test_numbers_end_below_one_another(self) -> None:
        figure = layout(grid_of(wire(pump(), TRAINING_KIT)))
        ends = {group.texts[0].box[2] for group in figure.of("row")}
        assert len(ends) == 1


class TestTruthTable:
    def test_read_back_it_is_the_table(self) -> None:
        table = truth_table(pump())
        assert [row[1:] for row in rows(draw(table))] == list(table.rows())

    def test_a_bold_line_stands_between_inputs_and_outputs(self) -> None:
        figure = layout(grid_of(truth_table(pump())))
        (grid,) = figure.of("grid")
        upright = [trail for trail in grid.trails if trail.box[0] == trail.box[2]]
        assert [trail.width for trail in upright] == [1.8, 0.8, 0.8, 0.8, 0.8, 1.8, 0.8, 0.8, 1.8]

    def test_its_words_give_every_row(self) -> None:
        told = draw(truth_table(pump())).description
        assert "Row 6: S1 released, S2 pressed, F1 set, Q1 in: Q1 next in, P1 lit." in told
        assert told.count("\nRow ") == 16

    def test_a_table_too_long_to_be_drawn_is_refused(self) -> None:
        ladder = Ladder("Filling line")
        way = NO("S1")
        for n in range(2, 12):
            way = way & NO(f"S{n}")
        ladder.rung(way, coil("Q1"))
        with pytest.raises(LadderError, match=f"at most {MOST_ROWS} rows") as caught:
            draw(truth_table(ladder))
        assert caught.value.value == 4096


class TestPages:
    @pytest.mark.parametrize(("paper", "across", "high"), [("A4", 793, 1122), ("Letter", 816, 1056)])
    @pytest.mark.parametrize("turned", [False, True])
    def test_every_row_stands_on_one_page_under_a_head(self, paper: str, across: int, high: int, turned: bool) -> None:
        table = truth_table(wide())
        pages = table_pages(table, paper, turned)
        assert len(pages) > 5
        assert [row for page in pages for row in rows(page)] == rows(draw_table(table))
        for page in pages:
            assert size(page) == ((high, across) if turned else (across, high))
            assert len(groups(page.svg, "head")) == 1
        assert words(groups(pages[1].svg, "title")[0]) == [f"Truth table: Filling line, page 2 of {len(pages)}"]

    def test_a_short_one_is_one_page_without_a_number(self) -> None:
        (page,) = table_pages(wire(pump(), TRAINING_KIT))
        assert words(groups(page.svg, "title")[0]) == ["Wire list: Wash pump"]

    def test_room_for_a_title_block_is_left(self) -> None:
        for page in table_pages(truth_table(wide())):
            low = max(y for group in groups(page.svg, "grid") for path in paths(group) for _, y in path)
            assert low <= 1122 - 84 - 16

    def test_one_wider_than_the_paper_is_drawn_smaller(self) -> None:
        panel = [Device(f"S{n}") for n in range(1, 10)]
        ladder = Ladder("Mill", [*panel, *(Device(f"P{n}") for n in range(1, 9))])
        for n in range(1, 9):
            ladder.rung(NO(f"S{n}") & NC("S9"), lamp(f"P{n}"))
        (page, *_) = table_pages(truth_table(ladder))
        box = ET.fromstring(page.svg).get("viewBox", "").split()
        assert float(box[2]) > 1000
        assert size(page)[0] == 793

    @pytest.mark.parametrize("paper", ["A5", "", 4, None])
    def test_other_paper_is_refused(self, paper: str) -> None:
        with pytest.raises(LadderError, match="no such paper") as caught:
            table_pages(truth_table(pump()), paper)
        assert caught.value.choices == ("A4", "Letter")


@pytest.mark.parametrize(
    "title", ["", "Wash pump", "The wash pump of the second line, with all that belongs to it " * 3]
)
def test_nothing_overlaps_or_is_cut_with_any_title(title: str) -> None:
    for table in (wire(pump(title), TRAINING_KIT), truth_table(pump(title))):
        figure = layout(grid_of(table))
        check_figure(figure)
        said = " ".join(text.words for group in figure.of("title") for text in group.texts)
        assert said == " ".join(grid_of(table).title.split())


def test_cells_keep_within_their_columns() -> None:
    figure = layout(grid_of(wire(pump(), TRAINING_KIT)))
    (grid,) = figure.of("grid")
    edges = sorted({trail.box[0] for trail in grid.trails if trail.box[0] == trail.box[2]})
    for group in (*figure.of("head"), *figure.of("row")):
        for text, left, right in zip(group.texts, edges, edges[1:], strict=False):
            assert left < text.box[0]
            assert text.box[2] < right


def test_equal_tables_give_equal_bytes() -> None:
    assert draw(truth_table(pump())) == draw(truth_table(pump()))


@pytest.mark.parametrize("thing", ["wires", None, 3])
def test_what_is_no_table_is_refused(thing: object) -> None:
    with pytest.raises(LadderError, match="a wire list, a truth table or a contact chart"):
        draw_table(thing)  # type: ignore[arg-type]


def test_a_width_is_not_for_tables() -> None:
    with pytest.raises(LadderError, match="as wide as its words"):
        draw(truth_table(pump()), width=500)
