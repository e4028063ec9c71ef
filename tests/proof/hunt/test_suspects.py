import pytest

from hunting import fault_of, wash_case
from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.behaviour import Board
from rungbook.proof.hunt import Case, number_of, suspects


class TestSuspects:
    def test_a_board_that_worked_has_no_mistakes_of_building(self):
        kinds = {fault.kind for fault in wash_case().faults}
        assert kinds == {
            "welded contact",
            "dead contact",
            "open coil",
            "welded contactor",
            "shorted coil",
            "burnt-out lamp",
            "stuck device",
            "dead overload relay",
            "tripped overload relay",
            "blown fuse",
            "open rail",
            "wire to ground",
            "open wire",
        }
        assert len(wash_case().faults) == 40

    def test_a_board_newly_built_has(self):
        built = suspects(wash_case().board, built=True)
        assert {fault.kind for fault in built} > {"wrong terminal", "wrong contact", "wrong coil"}
        assert set(wash_case().faults) < set(built)

    def test_a_tripped_overload_relay_is_one_only_where_its_contact_is_wired(self):
        ladder = Ladder("Fan")
        ladder.rung(NO("S1"), coil("Q1"))
        assert [f for f in suspects(Board.of(ladder)) if f.kind == "tripped overload relay"] == []


class TestNumbers:
    def test_every_fault_has_its_own(self):
        board = wash_case().board
        built = suspects(board, built=True)
        assert len({number_of(fault, board) for fault in built}) == len(built)

    def test_they_hang_on_the_words_of_the_fault_alone(self):
        case = wash_case()
        assert number_of(fault_of(case, "supply", "fuse is blown"), case.board) == 273022572

    def test_in_a_variant_with_other_designations_the_same_fault_has_the_same_number(self):
        renamed = Ladder("Press pump")
        renamed.rung(NC("S4") & (NO("S1") | NO("Q3", "13-14")) & NC("F2", "95-96"), coil("Q3"))
        renamed.rung(NO("Q3", "23-24"), lamp("P2", "white"))
        other = Case(renamed, "lab07")
        for fault in wash_case().faults:
            there = other.hidden(wash_case().token(fault))
            assert there.kind == fault.kind
            assert [other.faults.index(there)] == [wash_case().faults.index(fault)]


class TestClaims:
    @pytest.mark.parametrize(
        ("device", "words", "sentence"),
        [
            ("F1", "contact 95-96 stays open", "the contact NC F1 95-96 at wires 4–5 does not close"),
            ("Q1", "contact 13-14 stays closed", "the contact NO Q1 13-14 at wires 3–4 is welded"),
            ("F1", "stays tripped", "F1 has tripped and stays so"),
            ("S2", "stays pressed", "S2 is stuck and stays pressed"),
            ("Q1", "armature stays in", "a main pole of Q1 is welded, so its armature stays in"),
            ("Q1", "coil is open", "the coil of Q1 is open"),
            ("Q1", "coil is shorted", "the coil of Q1 is shorted"),
            ("P1", "lamp is burnt out", "the lamp P1 is burnt out"),
            ("supply", "fuse is blown", "the fuse of the control supply is blown"),
            ("supply", "wire at X2 is open", "the right rail, wire 2, is open at the supply"),
            ("wire 4", "touches ground", "wire 4 touches ground"),
            ("S2", "wire at 14 is open", "the wire on the right of the contact NO S2 at wires 3–4 is open"),
        ],
    )
    def test_a_fault_is_named_by_device_and_words(self, device, words, sentence):
        assert fault_of(wash_case(), device, words).sentence == sentence

    def test_a_wire_between_two_terminals_is_named_from_either_end(self):
        assert fault_of(wash_case(), "F1", "wire at 96 is open") is fault_of(wash_case(), "Q1", "wire at A1 is open")
        assert fault_of(wash_case(), "Q1", "wire at 24 is open") is fault_of(wash_case(), "P1", "wire at X1 is open")

    def test_every_suspect_has_a_name_and_no_name_means_two(self):
        claims = Case(wash_case().board, built=True).claims
        named = [fault for faults in claims.named.values() for fault in faults]
        assert set(named) == set(suspects(wash_case().board, built=True))
        assert {len(faults) for faults in claims.named.values()} == {1}

    def test_mistakes_of_building_have_words_too(self):
        claims = Case(wash_case().board, built=True).claims
        assert claims.of("P1")[-3:] == ("X2 is on wire 4", "X2 is on wire 5", "wire at X1 is open")
        assert {"contact 13-14 is wired on NC terminals"} <= set(claims.of("S2"))
        assert "coil is one for 240 V" in claims.of("Q1")

    def test_capitals_blanks_and_articles_do_not_matter(self):
        assert wash_case().claims.read(" q1", "The  coil is Open.") == ("Q1", "coil is open")

    def test_a_device_without_faults_and_words_without_a_fault_are_refused_with_the_legal_ones(self):
        claims = wash_case().claims
        with pytest.raises(
            LadderError, match=r"no fault here belongs to this device. Given: 'S7'. Choices: S1, S2, Q1"
        ):
            claims.read("S7", "stays pressed")
        rule = r"Claim on P1: no such fault here. Given: 'coil is open'. Choices: lamp is burnt out, wire at X2 is open"
        with pytest.raises(LadderError, match=rule):
            claims.read("P1", "coil is open")
        with pytest.raises(LadderError, match="names a device"):
            claims.read(None, "stays pressed")

    def test_a_broken_interlock_has_words(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NO("S2"), coil("Q1"))
        ladder.rung(NO("S3"), coil("Q2"))
        ladder.rung(NC("S1"), lamp("P1"))
        board = Board.of(ladder)
        board = type(board)(board.title, board.items, board.devices, mechanical_interlock=(("Q1", "Q2"),))
        assert "mechanical interlock does not act" in Case(board).claims.of("Q1")
