"""The machine that runs a program: types, names, the order of statements, and what a restart keeps."""

import pytest

from rungbook import LadderError
from rungbook.exchange.machine import Machine
from rungbook.exchange.parser import parse


def machine(body: str, sections: str = "VAR A : BOOL; B : BOOL; END_VAR") -> Machine:
    return Machine(parse(f"PROGRAM X\n{sections}\n{body}\nEND_PROGRAM"))


def after(
    body: str, sections: str = "VAR A : BOOL; B : BOOL; END_VAR", scans: int = 1, **values: int
) -> dict[str, int]:
    it = machine(body, sections)
    it.values.update(values)
    for _ in range(scans):
        it.scan(10_000)
    return it.values


class TestOrder:
    def test_a_value_written_below_is_seen_one_scan_later(self) -> None:  # check values 9.24, from memory
        assert [after("A := B; B := TRUE;", scans=n)["A"] for n in (1, 2)] == [0, 1]

    def test_a_value_written_above_is_seen_at_once(self) -> None:
        assert after("B := TRUE; A := B;")["A"] == 1

    def test_not_binds_before_and_and_and_before_or(self) -> None:
        cases = [(a, b) for a in (0, 1) for b in (0, 1)]
        sections = "VAR A : BOOL; B : BOOL; C : BOOL; END_VAR"
        found = [after("C := NOT A AND B OR A AND NOT B;", sections, A=a, B=b)["C"] for a, b in cases]
        assert found == [0, 1, 1, 0]
        found = [after("C := NOT (A AND B OR A);", sections, A=a, B=b)["C"] for a, b in cases]
        assert found == [1, 1, 0, 0]

    def test_times_are_added_from_the_left(self) -> None:
        values = after("T := T#1m - T#10s - T#5s + T#1ms;", "VAR T : TIME; END_VAR")
        assert values["T"] == 45_001_000  # [us]

    def test_an_if_is_passed_over_unless_its_condition_holds(self) -> None:
        body = "IF A THEN N := N + 1; END_IF;"
        sections = "VAR A : BOOL; N : INT; END_VAR"
        assert [after(body, sections, 3, A=a)["N"] for a in (0, 1)] == [0, 3]

    def test_a_block_of_the_program_keeps_its_own_values_apart(self) -> None:
        block = "VAR_INPUT CLK : BOOL; END_VAR VAR_OUTPUT Q : BOOL; END_VAR Q := NOT Q; END_FUNCTION_BLOCK\n"
        it = Machine(
            parse(
                f"FUNCTION_BLOCK TWICE {block} PROGRAM X VAR U : TWICE; V : TWICE; A : BOOL; END_VAR U(CLK := TRUE);"
                " V(CLK := TRUE); U(CLK := TRUE); A := U.Q AND NOT V.Q; END_PROGRAM"
            )
        )
        it.scan(1)
        assert (it.values["U.Q"], it.values["V.Q"], it.values["A"]) == (0, 1, 0)


class TestRestart:
    def test_a_cold_start_keeps_what_is_retained_and_gives_the_rest_its_first_value(self) -> None:
        sections = "VAR A : BOOL := TRUE; N : INT; END_VAR VAR RETAIN K : CTU; END_VAR"
        it = machine("N := N + 1; K(CU := A, R := FALSE, PV := 3); A := FALSE;", sections)
        it.scan(1)
        it.restart()
        assert (it.values["A"], it.values["N"], it.values["K.CV"]) == (1, 0, 1)


class TestRefused:
    @pytest.mark.parametrize(
        ("body", "sections", "told"),
        [
            (
                "A := C;",
                "VAR A : BOOL; END_VAR",
                "line 3: no variable of this name is declared. Given: 'C'. Choices: A.",
            ),
            ("C := A;", "VAR A : BOOL; END_VAR", "line 3: no variable of this name is declared. Given: 'C'"),
            ("A := T#1s;", "VAR A : BOOL; END_VAR", "line 3: a value of type BOOL stands here. Given: 'TIME'"),
            ("A := A + A;", "VAR A : BOOL; END_VAR", "line 3: + takes operands of one type. Given: 'BOOL'"),
            ("A := 3 > T#1s;", "VAR A : BOOL; END_VAR", "line 3: > takes operands of one type. Given: 'INT, TIME'"),
            ("A := K;", "VAR A : BOOL; K : TON; END_VAR", "line 3: K is a function block, not a value"),
            (
                "A := K.X;",
                "VAR A : BOOL; K : TON; END_VAR",
                "K has no output of this name. Given: 'K.X'. Choices: Q, ET.",
            ),
            ("A := K.IN;", "VAR A : BOOL; K : TON; END_VAR", "K has no output of this name"),
            ("A := A.Q;", "VAR A : BOOL; END_VAR", "A has no output of this name"),
            ("K(IN := TRUE);", "VAR K : TON; END_VAR", "K is called with each of its inputs once. Given: 'IN'"),
            (
                "K(IN := TRUE, PT := T#1s, IN := TRUE);",
                "VAR K : TON; END_VAR",
                "K is called with each of its inputs once",
            ),
            ("K(IN := TRUE, PT := 3);", "VAR K : TON; END_VAR", "a value of type TIME stands here. Given: 'INT'"),
            ("J(IN := TRUE, PT := T#1s);", "VAR K : TON; END_VAR", "no function block of this name is declared"),
            ("", "VAR A : BOOL; A : BOOL; END_VAR", "line 2: A is declared twice"),
            ("", "VAR A : LREAL; END_VAR", "line 2: no such type. Given: 'LREAL'"),
        ],
    )
    def test_what_does_not_fit(self, body: str, sections: str, told: str) -> None:
        with pytest.raises(LadderError) as wrong:
            machine(body, sections)
        assert told in str(wrong.value)

    def test_a_block_within_itself(self) -> None:
        text = "FUNCTION_BLOCK A VAR X : A; END_VAR END_FUNCTION_BLOCK PROGRAM P VAR X : A; END_VAR END_PROGRAM"
        with pytest.raises(LadderError, match=r"no such type\. Given: 'A'"):
            Machine(parse(text))
