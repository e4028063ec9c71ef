"""`how_read`: before handing in, a student sees how the numbers of a form are read, and which unit is missing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rungbook.behaviour.timers import is_number
from rungbook.errors import LadderError
from rungbook.motors.units import convert, dimension_of, read_quantity, show
from rungbook.tables import html_table, text_table

_HEAD = ("field", "you wrote", "read as", "")
_SHOWN = 40
_GOOD = "a number and its unit"


@dataclass(frozen=True)
class Readings:
    """Rows of (field, written, read as, remark). True if every field has a number and a unit. Carries no marks."""

    rows: tuple[tuple[str, str, str, str], ...]

    def __bool__(self) -> bool:
        return all(row[3] == _GOOD for row in self.rows)

    def __str__(self) -> str:
        return text_table(_HEAD, self.rows)

    __repr__ = __str__

    def _repr_html_(self) -> str:
        words = "every field can be read" if self else "not every field can be read yet"
        wrong = {(number, 3) for number, row in enumerate(self.rows) if row[3] != _GOOD}
        return html_table(f"{words}; whether it is right, the marker says", _HEAD, self.rows, bold=wrong)


def how_read(form: Mapping[str, Any], units: Mapping[str, str]) -> Readings:
    """Return how each field of `form` is read, in the unit that `units` asks for: field -> unit ("" a plain number).

    Says nothing of right or wrong. An answer that cannot be read is no error here: its row says what is missing.
    Raises LadderError if `form` is no dict, or a unit is unknown.
    """
    if not isinstance(form, Mapping):
        raise LadderError("how_read", "works on a form", type(form).__name__, ("{'overload': '4.6 A'}",))
    return Readings(tuple((field, *_row(field, form.get(field), unit)) for field, unit in units.items()))


def _row(field: str, given: Any, unit: str) -> tuple[str, str, str]:
    dimension = dimension_of(unit)
    written = "" if given is None else str(given)[:_SHOWN]
    if not written:
        return "", "", "nothing written yet"
    try:
        read = read_quantity(written if is_number(given) else given, field)
    except LadderError as problem:
        return written, "", problem.rule
    if not read.unit and dimension != "share":
        return written, show(read.numbers[0]), f"the unit is missing: {unit}, or another unit of {dimension}"
    if dimension_of(read.unit) != dimension:
        other = f"{read.unit} measures {dimension_of(read.unit)}, asked for is {dimension}"
        return written, show(read.numbers[0], read.unit), other
    shown = " or ".join(show(convert(number, read.unit, unit), unit) for number in read.numbers)
    return written, shown, _GOOD
