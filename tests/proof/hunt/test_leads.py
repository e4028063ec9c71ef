import pytest

from hunting import wash_pump
from rungbook import NC, NO, Ladder, LadderError, coil, wire
from rungbook.behaviour import Board
from rungbook.behaviour.faults import open_wire
from rungbook.kit import TRAINING_KIT
from rungbook.proof.hunt import Leads


@pytest.fixture
def pump():
    return Leads(Board.of(wash_pump()))


class TestNames:
    def test_contacts_without_terminals_get_those_of_en_50005_in_reading_order(self, pump):
        assert list(pump.names) == (
            [
                "S1:11",
                "S1:12",
                "S2:13",
                "S2:14",
                "Q1:13",
                "Q1:14",
                "F1:95",
                "F1:96",
                "Q1:A1",
                "Q1:A2",
                "Q1:23",
                "Q1:24",
                "P1:X1",
                "P1:X2",
            ]
        )

    def test_no_terminal_of_a_device_stands_twice(self):
        ladder = Ladder("Mill")
        way = NC("S1") & NC("S1") & NO("S1") & NO("Q1", "13-14") & NO("Q1") & NC("F1") & NC("F1") & NO("F1")
        ladder.rung(way, coil("Q1"))
        leads = Leads(Board.of(ladder))
        assert leads.pairs[:3] == [("S1:11", "S1:12"), ("S1:21", "S1:22"), ("S1:33", "S1:34")]
        assert leads.pairs[3:5] == [("Q1:13", "Q1:14"), ("Q1:23", "Q1:24")]
        assert leads.pairs[5:] == [("F1:95", "F1:96"), ("F1:21", "F1:22"), ("F1:97", "F1:98"), ("Q1:A1", "Q1:A2")]

    def test_wired_on_a_kit_they_are_those_of_the_kit(self):
        ladder = Ladder("Pump")
        ladder.rung(NC("S1") & (NO("S2") | NO("K1")), coil("K1"))
        leads = Leads(Board.of(wire(ladder, TRAINING_KIT).ladder))
        assert [name for name in leads.names if name.startswith("S2")] == ["S2:23", "S2:24"]

    def test_both_contacts_of_a_changeover_have_their_first_terminal_on_the_wire_they_share(self):
        ladder = Ladder("Fan")
        ladder.rung(NO("S1") & (NC("K1", "11-12") | NO("K1", "11-14")), coil("K1"))
        assert Leads(Board.of(ladder)).pairs[1:3] == [("K1:11", "K1:12"), ("K1:11", "K1:14")]
        turned = Ladder("Fan")  # 12 from the left rail, 14 from the button; they meet on the right, before the coil
        turned.rung(NC("K1", "11-12") | (NO("S1") & NO("K1", "11-14")), coil("K1"))
        pairs = Leads(Board.of(turned)).pairs
        assert [pair for pair in pairs if pair[0].startswith("K1:1")] == [("K1:12", "K1:11"), ("K1:14", "K1:11")]


class TestLead:
    def test_a_terminal_a_rail_and_a_wire_at_a_device(self, pump):
        assert pump.lead(" q1:a1 ") == "Q1:A1"
        assert pump.lead("x2") == "X2"
        assert pump.lead("wire 5 at F1") == "F1:96"
        assert pump.lead("5 at Q1") == "Q1:A1"

    def test_a_wire_on_two_terminals_of_a_device_is_no_place(self):
        ladder = Ladder("Mill")
        ladder.rung(NO("K1") | NO("K1"), coil("Q1"))
        ladder.rung(NO("S1"), coil("K1"))
        with pytest.raises(LadderError, match=r"K1 has 2 terminals on wire 3; name the terminal.*K1:14, K1:24"):
            Leads(Board.of(ladder)).lead("wire 3 at K1")

    @pytest.mark.parametrize("text", ["S2:15", "S9:13", "wire 4", "", None, 5])
    def test_anything_else_is_refused_with_the_legal_terminals(self, pump, text):
        with pytest.raises(LadderError, match=r"Lead: no such terminal here.*Choices: X1, X2, S1:11.*wire 5 at F1"):
            pump.lead(text)


class TestNode:
    def test_a_wire_that_came_off_leaves_its_terminal_alone(self, pump):
        board = open_wire(pump.board, 3, "left").apply(pump.board)  # at F1:95
        assert pump.wire("F1:95") == 4
        assert pump.node("F1:95", board) not in {pump.node(name, board) for name in pump.names if name != "F1:95"}
        assert pump.node("S2:14", board) == 4
