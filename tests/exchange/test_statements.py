"""Reading assignments that a person has written: a ladder on a given panel, or the line and what is wrong there."""

import random

import pytest

from exchange.mill import wash_pump
from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.exchange import Scan, read_statements

PANEL = [*map(Device, ("S1", "S2", "F1", "B1", "Q1", "Q2", "K1", "P1")), Device("S6", "emergency stop")]
WIRED = {"S1": "NC"}


def read(text: str) -> Ladder:
    return read_statements(text, PANEL, WIRED)


class TestRead:
    def test_a_rung_for_each_assignment_in_their_order(self) -> None:
        found = read("Q1 := S1 AND (S2 OR Q1) AND F1;\nP1 := Q1;")
        assert [rung.contacts for rung in found.rungs] == [rung.contacts for rung in wash_pump().rungs]
        assert [rung.loads for rung in found.rungs] == [(coil("Q1"),), (lamp("P1"),)]

    def test_the_wired_contact_is_the_variable_and_not_is_the_other_one(self) -> None:
        found = read("Q1 := S1 AND NOT S2 AND F1 AND S6; Q2 := NOT F1 AND NOT Q1;")
        ways = [rung.contacts for rung in found.rungs]
        assert ways == [NC("S1") & NC("S2") & NC("F1") & NC("S6"), NO("F1") & NC("Q1")]

    def test_without_wiring_what_protects_is_taken_as_nc(self) -> None:
        found = read_statements("Q1 := S1 AND F1 AND S6;", PANEL)
        assert found.rungs[0].contacts == NO("S1") & NC("F1") & NC("S6")

    def test_and_binds_stronger_than_or(self) -> None:
        assert read("Q1 := S2 OR Q1 AND S1;").rungs[0].contacts == NO("S2") | (NO("Q1") & NC("S1"))

    def test_not_before_parentheses_turns_series_into_parallel(self) -> None:
        assert read("Q1 := NOT (S2 AND NOT (B1 OR Q2));").rungs[0].contacts == NC("S2") | (NO("B1") | NO("Q2"))

    def test_a_sign_for_and_small_letters_comments_and_needless_parentheses_are_legal(self) -> None:
        found = read("(* start\n and stop = all *)\nq1 := ((s1)) & (s2 or Q1);")
        assert found.rungs[0].contacts == NC("S1") & (NO("S2") | NO("Q1"))

    def test_true_is_a_rung_without_contacts(self) -> None:
        assert read("P1 := TRUE;").rungs[0].contacts is None

    @pytest.mark.parametrize("text", ["", "\n\n", "(* later *)"])
    def test_no_assignment_is_no_rung(self, text: str) -> None:
        assert read(text).rungs == ()

    def test_the_panel_is_that_of_the_exercise(self) -> None:
        found = read("Q1 := S2;")
        assert found.declared == tuple(PANEL)

    def test_any_expression_is_read_as_its_values_are(self) -> None:
        """Against Python's own reading of the same expression, in every position of the inputs."""
        chance = random.Random(5)

        def some(depth: int) -> str:
            if depth == 0:
                return chance.choice(("S1", "S2", "F1", "B1", "S6"))
            if chance.random() < 0.3:
                return f"NOT ({some(depth - 1)})"
            return f"({some(depth - 1)} {chance.choice(('AND', 'OR'))} {some(depth - 1)})"

        for _ in range(60):
            text = some(3)
            scan = Scan(read(f"Q1 := {text};"), wired={tag: "NC" for tag in ("S1", "F1", "S6") if tag in text})
            for move in ("", "press S2", "reach B1", "press S1", "trip F1", "leave B1", "strike S6", "let S1 go"):
                try:
                    scan.order(move)
                except LadderError:
                    continue  # that device is not in this expression
                scan.scan()
                rest = {"S1": "released", "F1": "set", "S6": "reset", "S2": "pressed", "B1": "reached"}
                values = {tag: scan.positions.get(tag) == word for tag, word in rest.items()}
                assert scan.is_on("Q1") is eval(
                    text.replace("AND", "and").replace("OR", "or").replace("NOT", "not"), values
                )


# text -> what is told
WRONG = [
    (
        "Q1 := S1 AND (S2 OR Q1)\nP1 := Q1;",
        "line 2: before this AND, OR, a closing parenthesis or ';' is missing. Given: 'P1'",
    ),
    ("\n\nQ1 = S1;", "line 1: a value is given with ':=', not with '=' alone. Given: 'Q1 = S1;'"),
    ("Q1 := S1 XOR S2;", "line 1: before this AND, OR, a closing parenthesis or ';' is missing. Given: 'XOR'"),
    ("Q1 := S1;\n\nQ1 := S2;", "line 3: Q1 has its value from line 1 already, and the last one written wins"),
    ("S1 := Q1;", "line 1: S1 is an input: the program reads it and cannot give it a value"),
    ("Q7 := S1;", "line 1: no output of this name. Given: 'Q7'. Choices: Q1, Q2, K1, P1."),
    ("Q1 := S1 AND\n S7;", "line 1: no variable of this name. Given: 'S7'"),
    ("Q1 := P1;", "line 1: P1 is a lamp: its ladder has no contact of it"),
    ("Q1 := S1 AND TRUE;", "line 1: an expression is made of variables, AND, OR, NOT and parentheses"),
    ("Q1 := FALSE;", "line 1: an expression is made of variables"),
    ("Q1 := (S1 AND S2;", "line 1: before this AND, OR, a closing parenthesis or ';' is missing. Given: ';'"),
    ("Q1 := ;", "line 1: a variable, TRUE, FALSE, a number, a time or '(' stands here"),
    ("IF S1 THEN Q1 := TRUE; END_IF;", "line 1: only assignments are read here. Given: 'If'"),
    ("K1(IN := S1, PT := T#5s);", "line 1: only assignments are read here. Given: 'Call'"),
    ("VAR S1 : BOOL; END_VAR Q1 := S1;", "line 1: the variables are declared already"),
    ("Q1 := K4.Q;", "line 1: no variable of this name. Given: 'K4.Q'"),
    ("Q1 := S1; END_PROGRAM", "the program is the last unit"),
]


class TestRefused:
    @pytest.mark.parametrize(("text", "told"), WRONG, ids=range(len(WRONG)))
    def test_with_the_line_and_what_is_legal(self, text: str, told: str) -> None:
        with pytest.raises(LadderError) as wrong:
            read(text)
        assert told in str(wrong.value)

    @pytest.mark.parametrize("text", [None, 3, b"Q1 := S1;", ["Q1 := S1;"]])
    def test_what_is_no_text(self, text: object) -> None:
        with pytest.raises(LadderError, match="read_statements: reads text"):
            read_statements(text, PANEL)

    def test_wiring_of_what_is_no_input(self) -> None:
        with pytest.raises(LadderError, match=r"names a device with contacts on an input\. Given: 'Q1'"):
            read_statements("", PANEL, {"Q1": "NC"})
        with pytest.raises(LadderError, match=r"wired, S1: the contact on the input\. Given: 'open'\. Choices: NO, NC"):
            read_statements("", PANEL, {"S1": "open"})

    def test_what_works_in_time(self) -> None:
        with pytest.raises(LadderError, match="line 1: what works in time is a function block"):
            read_statements("K4 := S1;", [*PANEL, Device("K4", "timer relay")])

    def test_not_of_a_device_whose_contacts_are_no_opposites(self) -> None:
        with pytest.raises(LadderError, match="line 1, Device F2: its NO and its NC contact are not each other's"):
            read_statements("P1 := NOT F2;", [*PANEL, Device("F2", "fuse")])
