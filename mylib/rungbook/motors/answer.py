"""A worked answer: the value, its unit, each step of the calculation with its clause, and who has the last word.

`given` reads what a function of this room is given, so that all of them refuse bad input in the same words.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TypeAlias

from rungbook.behaviour.timers import is_number
from rungbook.errors import LadderError
from rungbook.motors.units import convert, dimension_of, read_quantity, show

EDITION = "NEC (NFPA 70), tables of the editions 2008 and 2011; unchanged in later ones, from memory"
CAUTION = "For learning: the edition in force where you work, its local amendments and a licensed person decide."
TABLE, NAMEPLATE = "table", "nameplate"  # where a current comes from: 430.6(A)


@dataclass(frozen=True)
class Answer:
    """One result with its way: an instructor can put it on the board as it stands. `float(answer)` is the value.

    name: what it is. value, unit: the result. steps: the calculation, a line each, with the clause it follows.
    code: True if it rests on the NEC: edition and caution are then shown. basis: "table" or "nameplate" for a motor
    current, else "". row: where a table value is known from.
    """

    name: str
    value: float
    unit: str
    steps: tuple[str, ...] = ()
    code: bool = False
    basis: str = ""
    row: str = ""

    def __float__(self) -> float:
        return float(self.value)

    def __str__(self) -> str:
        lines = [f"{self.name}: {show(self.value, self.unit)}", *(f"  {step}" for step in self.steps)]
        return "\n".join([*lines, *(f"  {note}" for note in self.notes)])

    __repr__ = __str__

    @property
    def notes(self) -> tuple[str, ...]:
        """Edition and caution, if a code is used."""
        return (f"{EDITION}.", CAUTION) if self.code else ()

    def _repr_html_(self) -> str:
        steps = "".join(f"<li>{escape(step)}</li>" for step in self.steps)
        notes = "".join(f"<br><small>{escape(note)}</small>" for note in self.notes)
        head = f"{escape(self.name)}: <b>{escape(show(self.value, self.unit))}</b>"
        return f"<div><p>{head}</p><ol>{steps}</ol>{f'<p>{notes[4:]}</p>' if notes else ''}</div>"


#: what a function takes for a quantity: a number in the unit it names, a text with a unit, or the answer of another
Given: TypeAlias = "float | str | Answer"


def given(
    thing: str, value: Given, unit: str, low: float, high: float, *, above: bool = False
) -> tuple[float, tuple[str, ...]]:
    """Return the number in `unit` that `value` means, and the steps that led to it, if it is an answer.

    low, high: the legal range, both ends included (above=True: `low` itself is not).
    Raises LadderError, naming `thing`, value and range, if it is none, is out of range, is a text without a unit, or
    measures something else.
    """
    span = f"{'above' if above else 'from'} {show(low)} to {show(high, unit)}"
    steps: tuple[str, ...] = ()
    if isinstance(value, Answer):
        number, steps = _converted(thing, value.value, value.unit, unit, span), value.steps
    elif isinstance(value, str):
        read = read_quantity(value, thing)
        if not read.unit and dimension_of(unit) != "share":
            raise LadderError(thing, f"the unit is missing; a number {span}", value, (f"{value.strip()} {unit}",))
        if len(read.numbers) > 1:
            both = tuple(f"{number:.10g} {read.unit}" for number in read.numbers)
            raise LadderError(thing, "a comma before three digits can be read in two ways", value, both)
        number = _converted(thing, read.numbers[0], read.unit, unit, span)
    elif is_number(value):
        number = float(value)
    else:
        raise LadderError(thing, f"a number {span}", value)
    if not low <= number <= high or (above and number == low):
        raise LadderError(thing, f"a number {span}", show_given(value, unit))
    return number, steps


def table_current(value: Given, high: float) -> tuple[float, tuple[str, ...]]:
    """As `given`, for the current [A] that conductors and short-circuit devices go by, NEC 430.6(A)(1).

    Raises LadderError if it is the nameplate's. (A number without an origin is taken as it is.)
    """
    if isinstance(value, Answer) and value.basis == NAMEPLATE:
        rule = "conductors and short-circuit devices go by the table's current, not the nameplate's (NEC 430.6(A)(1))"
        raise LadderError("Full-load current", rule, show_given(value, "A"), ("full_load_current(hp, volts)",))
    return given("Full-load current", value, "A", 0, high, above=True)


def nameplate_current(thing: str, value: Given) -> tuple[float, tuple[str, ...]]:
    """As `given`, for the current [A] that an overload relay goes by, NEC 430.6(A)(2).

    Raises LadderError if it comes from a table.
    """
    if isinstance(value, Answer) and value.basis == TABLE:
        rule = "is set from the nameplate's current, not from the table's (NEC 430.6(A)(2))"
        raise LadderError(thing, rule, show_given(value, "A"), ("the current on the nameplate",))
    return given(thing, value, "A", 0, 10_000, above=True)


def show_given(value: Given, unit: str) -> object:
    """What was given, for a message: an answer as its value and unit, anything else as it is."""
    return show(value.value, value.unit) if isinstance(value, Answer) else value


def _converted(thing: str, number: float, unit: str, to: str, span: str) -> float:
    if dimension_of(unit) != dimension_of(to):
        what = f"{dimension_of(unit)} was given, {dimension_of(to)} [{to or '1'}] {span} is asked for"
        raise LadderError(thing, what, show(number, unit))
    return convert(number, unit, to)


def whole(thing: str, value: object, low: int, high: int, *, even: bool = False) -> int:
    """Return `value` if it is a whole number from `low` to `high`, and even if so asked; raise LadderError if not."""
    if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high or (even and value % 2):
        raise LadderError(thing, f"{'an even' if even else 'a whole'} number from {low} to {high}", value)
    return value


def choice(thing: str, value: object, choices: tuple[str, ...]) -> str:
    """Return `value` if it is one of `choices`; raise LadderError, listing them, if not."""
    if not isinstance(value, str) or value not in choices:
        raise LadderError(thing, "no such choice", value, choices)
    return value
