"""Structured text read into a tree, by recursive descent. The subset of IEC 61131-3 that this room writes.

    units      = { FUNCTION_BLOCK name { section } { statement } END_FUNCTION_BLOCK }
                 PROGRAM name { section } { statement } END_PROGRAM
    section    = ( VAR [ RETAIN ] | VAR_INPUT | VAR_OUTPUT ) { declaration } END_VAR
    declaration = name [ AT address ] : type [ := ( TRUE | FALSE ) ] ;
    statement  = name := expression ; | name ( name := expression { , … } ) ;
                 | IF expression THEN { statement } END_IF ;
    expression = conjunction { OR conjunction }          conjunction = comparison { AND comparison }
    comparison = sum [ > sum ]        sum = factor { ( + | - ) factor }        factor = NOT factor | primary
    primary    = TRUE | FALSE | number | time | name [ . name ] | ( expression )

Names are read without regard to capital letters, and given in capital letters.
"""

from __future__ import annotations

from rungbook.exchange.lexer import Token, read_duration, tokens_of
from rungbook.exchange.tree import Assign, Call, Declaration, Expr, If, Literal, Name, Op, Statement, Unit, wrong
from rungbook.kit.limits import MAX_DEPTH

_DEEPEST = 2 * MAX_DEPTH + 4
_KEYWORDS = frozenset(
    (
        *("PROGRAM", "END_PROGRAM", "FUNCTION_BLOCK", "END_FUNCTION_BLOCK", "VAR", "VAR_INPUT", "VAR_OUTPUT", "RETAIN"),
        *("END_VAR", "AT", "IF", "THEN", "END_IF", "AND", "OR", "NOT", "TRUE", "FALSE"),
    )
)


def parse(text: object) -> tuple[Unit, ...]:
    """Return the units of `text`, in its order; the last is the program.

    Raises LadderError, naming the line, what was found and what is legal there, if the text is not of the subset.
    """
    return _Parser(tokens_of(text)).units()


class _Parser:
    def __init__(self, tokens: list[Token]) -> None:
        self._tokens = tokens
        self._at = 0
        self._notes: list[str] = []
        self._depth = 0

    # -- tokens ----------------------------------------------------------------------------------------------------

    @property
    def _next(self) -> Token:
        while self._tokens[self._at].kind == "comment":
            self._notes.append(self._tokens[self._at].text)
            self._at += 1
        return self._tokens[self._at]

    def _is(self, *words: str) -> bool:
        return self._next.kind in ("name", "sign") and self._next.key in words

    def _take(self, *words: str) -> Token:
        token = self._next
        if not self._is(*words):
            raise self._wrong("something else stands here", *words)
        self._at += 1
        return token

    def _kind(self, kind: str, what: str) -> Token:
        token = self._next
        if token.kind != kind or token.key in _KEYWORDS:
            raise self._wrong(f"{what} stands here", what)
        self._at += 1
        return token

    def _wrong(self, rule: str, *legal: str) -> Exception:
        token = self._next
        return wrong(token.line, rule, token.text if token.kind != "end" else "the end of the text", *legal)

    def _noted(self) -> tuple[str, ...]:
        """The comments before the next token, each taken once."""
        _ = self._next
        notes, self._notes = tuple(self._notes), []
        return notes

    # -- units -----------------------------------------------------------------------------------------------------

    def units(self) -> tuple[Unit, ...]:
        found: list[Unit] = []
        while not found or found[-1].kind != "PROGRAM":
            notes = self._noted()
            kind = self._take("PROGRAM", "FUNCTION_BLOCK")
            name = self._kind("name", "the name of the unit").key
            declarations: list[Declaration] = []
            while self._is("VAR", "VAR_INPUT", "VAR_OUTPUT"):
                declarations += self._section()
            statements = self._statements(f"END_{kind.key}")
            found.append(Unit(kind.key, name, tuple(declarations), statements, notes, kind.line))
        if self._next.kind != "end":
            raise self._wrong("the program is the last unit", "the end of the text")
        return tuple(found)

    def _section(self) -> list[Declaration]:
        section = self._take("VAR", "VAR_INPUT", "VAR_OUTPUT").key
        retain = section == "VAR" and self._is("RETAIN")
        if retain:
            self._take("RETAIN")
        found = []
        while not self._is("END_VAR"):
            token = self._kind("name", "a variable")
            address, initial = "", None
            if self._is("AT"):
                self._take("AT")
                address = self._kind("address", "an address such as %IX0.0").key
            self._take(":")
            kind = self._kind("name", "a type").key
            if self._is(":="):
                self._take(":=")
                initial = self._take("TRUE", "FALSE").key == "TRUE"
            self._take(";")
            found.append(Declaration(token.key, kind, section, address, initial, retain, token.line))
        self._take("END_VAR")
        self._notes.clear()  # what stands beside a declaration is for people
        return found

    # -- statements ------------------------------------------------------------------------------------------------

    def _statements(self, end: str) -> tuple[Statement, ...]:
        self._deeper()
        found: list[Statement] = []
        notes = self._noted()
        while not self._is(end):
            found.append(self._statement(notes, end))
            notes = self._noted()
        self._take(end)
        self._depth -= 1
        return tuple(found)

    def _statement(self, notes: tuple[str, ...], end: str) -> Statement:
        line = self._next.line
        if self._is("IF"):
            self._take("IF")
            condition = self._expression()
            self._take("THEN")
            body = self._statements("END_IF")
            self._take(";")
            return If(condition, body, line, notes)
        if self._next.kind != "name" or self._next.key in _KEYWORDS:
            raise self._wrong("no statement", "NAME := …;", "NAME(…);", "IF … THEN … END_IF;", end)
        name = self._kind("name", "a variable").key
        if self._take(":=", "(").text == ":=":
            value = self._expression()
            self._take(";")
            return Assign(name, value, line, notes)
        arguments = []
        while True:
            parameter = self._kind("name", "an input of the block").key
            self._take(":=")
            arguments.append((parameter, self._expression()))
            if self._take(",", ")").text == ")":
                break
        self._take(";")
        return Call(name, tuple(arguments), line, notes)

    # -- expressions -----------------------------------------------------------------------------------------------

    def _deeper(self) -> None:
        self._depth += 1
        if self._depth > _DEEPEST:
            raise self._wrong(f"at most {_DEEPEST} levels of parentheses")

    def _expression(self) -> Expr:
        self._deeper()
        value = self._joined("OR", self._conjunction)
        self._depth -= 1
        return value

    def _conjunction(self) -> Expr:
        return self._joined("AND", self._comparison)

    def _joined(self, sign: str, part: object) -> Expr:
        assert callable(part)
        parts = [part()]
        while self._is(sign):
            self._take(sign)
            parts.append(part())
        return parts[0] if len(parts) == 1 else Op(sign, tuple(parts))

    def _comparison(self) -> Expr:
        value = self._sum()
        if self._is(">"):
            self._take(">")
            value = Op(">", (value, self._sum()))
        return value

    def _sum(self) -> Expr:
        value = self._factor()
        while self._is("+", "-"):
            value = Op(self._take("+", "-").text, (value, self._factor()))
        return value

    def _factor(self) -> Expr:
        if self._is("NOT"):
            self._deeper()
            self._take("NOT")
            value = Op("NOT", (self._factor(),))
            self._depth -= 1
            return value
        token = self._next
        if self._is("("):
            self._take("(")
            inner = self._expression()
            self._take(")")
            return inner
        if self._is("TRUE", "FALSE"):
            self._at += 1
            return Literal(token.key == "TRUE", "BOOL")
        if token.kind == "number":
            if len(token.text) > 9:
                raise self._wrong("a number of at most nine digits", "PV := 3")
            self._at += 1
            return Literal(int(token.text), "INT")
        if token.kind == "time":
            self._at += 1
            return Literal(read_duration(token.text) * 1000, "TIME")
        name = self._kind("name", "a variable, TRUE, FALSE, a number, a time or '('").key
        if self._is("."):
            self._take(".")
            return Name(name, self._kind("name", "an output of the block").key)
        return Name(name)
