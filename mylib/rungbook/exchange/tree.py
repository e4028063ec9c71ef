"""A program of IEC 61131-3 as a tree: declarations, statements, expressions. Plain frozen data.

Only what this room writes has a place here: BOOL, TIME and INT values, calls of function blocks, IF without ELSE.
Times are whole microseconds [us].
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from rungbook.errors import LadderError


@dataclass(frozen=True)
class Name:
    """A variable, or with `member` an output of a function block: `S1`, `K1.Q`."""

    name: str
    member: str = ""

    def __str__(self) -> str:
        return f"{self.name}.{self.member}" if self.member else self.name


@dataclass(frozen=True)
class Literal:
    """`value` of `type` "BOOL" (True, False), "INT" (whole number) or "TIME" (whole microseconds [us])."""

    value: int
    type: str


@dataclass(frozen=True)
class Op:
    """An operator and its operands: "OR" and "AND" two or more, "NOT" one, "+", "-" and ">" two."""

    sign: str
    parts: tuple[Expr, ...]


Expr = Name | Literal | Op


@dataclass(frozen=True)
class Assign:
    """`target := value;` on `line` of the text, below the comments `notes`."""

    target: str
    value: Expr
    line: int = 0
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Call:
    """`instance(name := value, …);` of a function block."""

    instance: str
    arguments: tuple[tuple[str, Expr], ...]
    line: int = 0
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class If:
    """`IF condition THEN body END_IF;`."""

    condition: Expr
    body: tuple[Statement, ...]
    line: int = 0
    notes: tuple[str, ...] = ()


Statement = Assign | Call | If


@dataclass(frozen=True)
class Declaration:
    """`name AT address : type := initial;` in a section "VAR", "VAR_INPUT" or "VAR_OUTPUT".

    address "" and initial None if not given. retain: True in VAR RETAIN, kept when the supply fails.
    """

    name: str
    type: str
    section: str = "VAR"
    address: str = ""
    initial: bool | None = None
    retain: bool = False
    line: int = 0


@dataclass(frozen=True)
class Unit:
    """A program organisation unit: `kind` "PROGRAM" or "FUNCTION_BLOCK", below the comments `notes`."""

    kind: str
    name: str
    declarations: tuple[Declaration, ...]
    statements: tuple[Statement, ...]
    notes: tuple[str, ...] = ()
    line: int = 0


def names_in(value: Expr) -> Iterator[Name]:
    """Yield the variables that `value` reads, in reading order."""
    if isinstance(value, Name):
        yield value
    elif isinstance(value, Op):
        for part in value.parts:
            yield from names_in(part)


@contextmanager
def placed(line: int) -> Iterator[None]:
    """Have every LadderError from within say on which `line` of the text that is read."""
    try:
        yield
    except LadderError as problem:
        if problem.thing.startswith("line "):
            raise
        thing = f"line {line}, {problem.thing}"
        if problem.value is None:
            raise LadderError(thing, problem.rule, choices=problem.choices) from None
        raise LadderError(thing, problem.rule, problem.value, problem.choices) from None


def wrong(line: int, rule: str, found: object, *legal: str) -> LadderError:
    """The error for something found on `line` of a text that is read: the rule it breaks, and what is legal there."""
    return LadderError(f"line {line}", rule, found, legal)
