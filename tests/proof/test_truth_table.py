import re

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, reset, truth_table
from rungbook.circuit import Contact, Series
from strategies import ladders, trees

TAGS = ("S1", "S2", "S3", "B1", "F1")


def rung(contacts, *loads, devices=None, note=""):
    ladder = Ladder("", devices)
    return ladder.rung(contacts, *(loads or (coil("Q9"),)), note=note)


def formula(part):
    """The rung as a formula of sympy: a symbol is true while its device is operated."""
    if isinstance(part, Contact):
        symbol = sympy.Symbol(part.device)
        return symbol if part.kind == "NO" else sympy.Not(symbol)
    join = sympy.And if isinstance(part, Series) else sympy.Or
    return join(*(formula(inner) for inner in part.parts))


class TestAgainstSympy:
    @given(trees(TAGS, 10))
    def test_every_row_of_a_random_rung(self, tree):
        table = truth_table(rung(tree))
        value = formula(tree)
        symbols = sympy.symbols(table.inputs)
        column = table.column("Q9")
        for row, bits in enumerate(sympy.utilities.iterables.cartes(*[(False, True)] * len(table.inputs))):
            wanted = bool(value.subs(dict(zip(symbols, bits, strict=True))))
            assert bool(column >> row & 1) == wanted

    @given(trees(TAGS, 10), st.data())
    def test_a_row_looked_up_by_words_is_that_row(self, tree, data):
        table = truth_table(rung(tree))
        rows = list(table.rows())
        assert len(rows) == len(set(rows)) == len(table) == 2 ** len(table.inputs)
        row = data.draw(st.sampled_from(rows))
        cut = len(table.inputs)
        assert table[row[:cut]] == {"Q9": row[-1]}
        assert table[dict(zip(table.inputs, row[:cut], strict=True))] == {"Q9": row[-1]}

    @given(ladders(plain=True))
    def test_each_column_of_a_ladder_is_its_rung(self, ladder):
        table = truth_table(ladder)
        cut = len(table.inputs)
        for row in table.rows():
            operated = {
                tag: word not in ("released", "set", "out") for tag, word in zip(table.inputs, row, strict=False)
            }
            at = {sympy.Symbol(tag): on for tag, on in operated.items()}
            values = iter(row[cut:])
            for one in ladder.rungs:
                for load in one.loads:
                    assert (next(values) in ("in", "lit")) == bool(formula(one.contacts).subs(at)), load


class TestForms:
    """Lessons in Electric Circuits, vol. IV, ch. 6."""

    @pytest.mark.parametrize(
        ("contacts", "ones"),
        [
            pytest.param(NO("S1") & NO("S2"), "0001", id="series is AND"),
            pytest.param(NO("S1") | NO("S2"), "0111", id="parallel is OR"),
            pytest.param((NC("S1") & NO("S2")) | (NO("S1") & NC("S2")), "0110", id="XOR"),
            pytest.param(NC("S1") | NC("S2"), "1110", id="parallel NC is NAND"),
            pytest.param(NC("S1") & NC("S2"), "1000", id="series NC is NOR"),
            pytest.param(NC("S1"), "10", id="NC is NOT"),
            pytest.param(NO("S1"), "01", id="NO is itself"),
        ],
    )
    def test_contacts_make_logic(self, contacts, ones):
        table = truth_table(rung(contacts))
        assert "".join(str(table.column("Q9") >> row & 1) for row in range(len(table))) == ones


class TestRows:
    def test_the_first_input_is_slowest_as_in_a_table_by_hand(self):
        table = truth_table(rung(NC("S1") & (NO("S2") | NO("F1"))))
        assert table.inputs == ("S1", "S2", "F1")
        assert list(table.rows()) == [
            ("released", "released", "set", "out"),
            ("released", "released", "tripped", "in"),
            ("released", "pressed", "set", "in"),
            ("released", "pressed", "tripped", "in"),
            ("pressed", "released", "set", "out"),
            ("pressed", "released", "tripped", "out"),
            ("pressed", "pressed", "set", "out"),
            ("pressed", "pressed", "tripped", "out"),
        ]

    def test_positions_are_words_of_the_declared_kind(self):
        panel = [Device("S1", "emergency stop"), Device("Q9")]
        assert list(truth_table(rung(NC("S1"), devices=panel)).rows()) == [("reset", "in"), ("latched", "out")]

    def test_loads_side_by_side_have_a_column_each(self):
        table = truth_table(rung(NO("S1"), coil("Q1"), lamp("P1")))
        assert (table.outputs, table["pressed",]) == (("Q1", "P1"), {"Q1": "in", "P1": "lit"})
        assert table["released"] == {"Q1": "out", "P1": "dark"}

    def test_no_contacts_give_one_row(self):
        ladder = Ladder()
        table = truth_table(ladder.rung(lamp("P1")))
        assert (len(table), list(table.rows()), table[()]) == (1, [("lit",)], {"P1": "lit"})


class TestHeldState:
    @pytest.fixture
    def pump(self):
        ladder = Ladder("Wash pump")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
        ladder.rung(NO("Q1"), lamp("P1"))
        return ladder

    def test_a_ladder_has_the_coil_now_and_next(self, pump):
        table = truth_table(pump)
        assert (table.inputs, table.outputs) == (("S1", "S2", "Q1"), ("Q1 next", "P1"))
        assert list(table.rows()) == [
            ("released", "released", "out", "out", "dark"),
            ("released", "released", "in", "in", "lit"),
            ("released", "pressed", "out", "in", "dark"),
            ("released", "pressed", "in", "in", "lit"),
            ("pressed", "released", "out", "out", "dark"),
            ("pressed", "released", "in", "out", "lit"),
            ("pressed", "pressed", "out", "out", "dark"),
            ("pressed", "pressed", "in", "out", "lit"),
        ]

    def test_so_has_a_rung_that_holds_itself_and_no_other(self, pump):
        assert truth_table(pump.rungs[0]).outputs == ("Q1 next",)
        assert truth_table(pump.rungs[1]).outputs == ("P1",)


class TestSize:
    def wide(self, count):
        way = NO("S1")
        for n in range(2, count + 1):
            way = way & NO(f"S{n}")
        return rung(way)

    def test_twenty_inputs_work(self):
        table = truth_table(self.wide(20))
        assert len(table) == 1_048_576
        assert table.column("Q9") == 1 << 1_048_575
        assert table[("pressed",) * 20] == {"Q9": "in"}

    def test_twenty_five_are_refused(self):
        with pytest.raises(LadderError) as found:
            truth_table(self.wide(25))
        assert str(found.value) == (
            "truth_table: at most 16,777,216 rows, as 24 inputs of two positions make; take one rung at a time. "
            "Given: '25 inputs, 33,554,432 rows'."
        )


def html_rows(table):
    body = table._repr_html_().split("<tbody>")[1].split("</tbody>")[0]
    return [tuple(re.findall(r"<td[^>]*>([^<]*)</td>", row)) for row in body.split("<tr>")[1:]]


def text_rows(table):
    lines = str(table).splitlines()
    start = next(n for n, line in enumerate(lines) if "─" in line) + 1
    return [tuple(line.replace("│", "").split()) for line in lines[start : start + len(table)]]


class TestShowing:
    def test_text_and_html_have_every_row(self):
        table = truth_table(rung(NC("S1") & (NO("S2") | NO("F1"))))
        assert html_rows(table) == text_rows(table) == list(table.rows())

    def test_64_rows_are_shown_and_no_word_of_more(self):
        table = truth_table(TestSize().wide(6))
        assert len(html_rows(table)) == 64
        assert html_rows(table) == text_rows(table) == list(table.rows())
        assert "more" not in str(table) + table._repr_html_()

    def test_past_64_it_says_how_many_more(self):
        table = truth_table(TestSize().wide(7))
        assert html_rows(table) == list(table.rows())[:64]
        assert str(table).endswith("\n64 more rows; .rows() gives all 128")
        assert table._repr_html_().endswith("<p>64 more rows; .rows() gives all 128</p>")

    def test_columns_are_named_in_both(self):
        table = truth_table(rung(NC("S1"), note="stop"))
        assert re.findall(r"<th[^>]*>([^<]*)</th>", table._repr_html_()) == ["S1", "Q9"]
        assert str(table).splitlines()[:2] == ["stop", "S1        │  Q9"]

    def test_a_title_is_escaped(self):
        html = truth_table(rung(NC("S1"), note="<img src=x onerror=alert(1)> & more"))._repr_html_()
        assert "<img" not in html
        assert "&lt;img src=x onerror=alert(1)&gt; &amp; more" in html


class TestErrors:
    @pytest.mark.parametrize("circuit", [None, NO("S1"), "ladder", [1]])
    def test_what_is_neither_ladder_nor_rung_is_refused(self, circuit):
        with pytest.raises(LadderError) as found:
            truth_table(circuit)
        assert found.value.choices == ("ladder", "ladder.rungs[0]")

    def test_an_unfinished_ladder_is_refused(self):
        with pytest.raises(LadderError, match="has no rungs yet"):
            truth_table(Ladder())

    def test_an_unknown_column_lists_the_columns(self):
        with pytest.raises(LadderError) as found:
            truth_table(rung(NO("S1") & NO("S2"))).column("Q1")
        assert found.value.choices == ("S1", "S2", "Q9")

    @pytest.mark.parametrize(
        ("given", "rule", "value"),
        [
            (("pressed",), "needs the position of every input", ("pressed",)),
            ({"S1": "pressed"}, "needs the position of every input", "S2"),
            (("pressed", "in"), "S2 has no such position", "in"),
            (5, "needs the position of every input", 5),
        ],
    )
    def test_a_row_that_is_none_says_why(self, given, rule, value):
        with pytest.raises(LadderError) as found:
            truth_table(rung(NO("S1") & NO("S2")))[given]
        assert (found.value.rule, found.value.value) == (rule, value)


class TestMorePositions:
    def table(self):
        panel = [Device("S3", "three-position selector"), Device("S1"), Device("Q1"), Device("P1")]
        ladder = Ladder("Vat agitator", panel)
        ladder.rung(NO("S3", "13-14") | NO("S3", "23-24") & NO("S1"), coil("Q1"))
        ladder.rung(NC("S3"), lamp("P1"))
        return truth_table(ladder)

    def test_a_selector_has_a_row_for_each_of_its_three_positions(self):
        table = self.table()
        assert len(table) == 12
        assert [row for row in table.rows() if row[2] == "out"] == [
            ("off", "released", "out", "out", "lit"),
            ("off", "pressed", "out", "out", "lit"),
            ("left", "released", "out", "in", "dark"),
            ("left", "pressed", "out", "in", "dark"),
            ("right", "released", "out", "out", "dark"),
            ("right", "pressed", "out", "in", "dark"),
        ]

    def test_a_row_is_found_by_its_words(self):
        assert self.table()["right", "pressed", "out"] == {"Q1 next": "in", "P1": "dark"}

    def test_a_column_of_three_positions_asks_which(self):
        table = self.table()
        assert table.column("S3", "left") == 0b000011110000
        with pytest.raises(LadderError, match="S3 has more than two positions; say which"):
            table.column("S3")
        with pytest.raises(LadderError, match="S3 has no such position"):
            table.column("S3", "up")

    def test_the_columns_of_all_positions_make_every_row_once(self):
        table = self.table()
        columns = [table.column("S3", position) for position in ("off", "left", "right")]
        assert sum(columns) == (1 << 12) - 1
        assert table.column("S3", "off") == 0b000000001111

    def test_what_works_in_time_is_refused(self):
        ladder = Ladder("Cellar fan", [Device("S1"), Device("K1", "timer relay", setting="on-delay 5 s")])
        ladder.rung(NO("S1"), coil("K1"))
        with pytest.raises(
            LadderError, match="Device K1: a timer relay works in time, and a truth table knows no times"
        ):
            truth_table(ladder)

    def test_a_reset_input_of_what_is_a_plain_relay_here_is_refused(self):
        ladder = Ladder("Filling line")
        ladder.rung(NO("B1"), coil("K5"))
        ladder.rung(NO("S2"), reset("K5"))
        with pytest.raises(LadderError, match=r"reset\('K5'\): a reset input is that of a counter"):
            truth_table(ladder)

    def test_a_rung_alone_tells_when_a_reset_input_has_voltage(self):
        ladder = Ladder("Filling line", [Device("B1"), Device("S2"), Device("K5", "counter", setting="up 3")])
        table = truth_table(ladder.rung(NO("S2") & NC("B1"), coil("K5"), reset("K5")))
        assert table.outputs == ("K5", "K5 reset")
        assert table.columns["K5 reset"] == table.columns["K5"]
        assert [row[-1] for row in table.rows()] == ["off", "off", "on", "off"]
