"""CSV of wire lists, truth tables and inputs; and the table that says which input reads what."""

import csv
import io

import pytest

from exchange.mill import everything, wash_pump
from rungbook import NC, Device, Ladder, LadderError, coil, truth_table, wire
from rungbook.exchange import input_table, to_csv
from rungbook.kit import TRAINING_KIT


def rows(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


class TestInputs:
    def test_the_stop_button_reads_1_at_rest(self) -> None:
        assert str(input_table(wash_pump())).splitlines()[2] == (
            "%IX0.0   S1        S1      NC       1        1 while released, 0 while pressed"
        )

    def test_as_make_contact_it_reads_0(self) -> None:
        table = input_table(wash_pump(), {"S1": "NO"})
        assert table.rows[0] == ("%IX0.0", "S1", "S1", "NO", "0", "0 while released, 1 while pressed")

    def test_a_plate_and_terminals_stand_beside_it(self) -> None:
        table = input_table(everything())
        assert table.rows[1][2] == "S2 (start $2A)"
        assert table.rows[4] == ("%IX0.4", "Q9_95_96", "Q9", "NC 95-96", "1", "1 while off or on, 0 while tripped")
        assert "<caption" in table._repr_html_()


class TestCsv:
    def test_a_wire_list(self) -> None:
        made = wire(wash_pump(), TRAINING_KIT)
        text = to_csv(made)
        assert text.startswith("wire,from,to,wire number,rung\r\n1,X1,")
        assert [row[1:3] for row in rows(text)[1:]] == [[one.start, one.end] for one in made.wires]

    def test_a_truth_table(self) -> None:
        ladder = Ladder()
        ladder.rung(NC("S1"), coil("Q1"))
        assert to_csv(truth_table(ladder)) == (
            "S1,Q1,Q1 next\r\nreleased,out,in\r\nreleased,in,in\r\npressed,out,out\r\npressed,in,out\r\n"
        )

    def test_commas_and_quotation_marks_come_back(self) -> None:
        assert rows(to_csv(input_table(everything())))[1][2] == 'S1 (all "off" (* now *))'

    def test_no_cell_is_a_formula(self) -> None:
        ladder = Ladder("", [Device("S1", label="x"), Device("Q1")])
        ladder.rung(NC("S1"), coil("Q1"))
        table = input_table(ladder)
        hostile = type(table)("", (("=1+1", "@x", "+2", "-2", "S1", "%IX0.0"),))
        assert rows(to_csv(hostile))[1] == ["'=1+1", "'@x", "'+2", "'-2", "S1", "%IX0.0"]

    def test_other_things_are_refused(self) -> None:
        with pytest.raises(LadderError, match="to_csv: writes a wire list, a truth table or a table of inputs"):
            to_csv(wash_pump())
