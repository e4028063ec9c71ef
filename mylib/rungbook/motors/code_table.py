"""A table of a code as data: columns, rows, and for each row where its values are known from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import NamedTuple

from rungbook.errors import LadderError
from rungbook.motors.answer import CAUTION, EDITION, Given, given
from rungbook.motors.units import show
from rungbook.tables import html_table, text_table

READ = "read in two copies that agree"  # NFPA 70, 2008/2011 tables
READ_ONCE = "read in a copy"
MEMORY = "from memory"
_NEAR = 0.021  # 0.33 is 1/3 and 0.17 is 1/6


class Row(NamedTuple):
    """key: the first column. values: one a column, None where the table is empty. origin: where they are known from."""

    key: float
    values: tuple[float | None, ...]
    origin: str = MEMORY


class Column(NamedTuple):
    """name: rated voltage [V] of the column. low, high: the system voltages [V] that the table allows it for."""

    name: int
    low: float
    high: float

    def __str__(self) -> str:
        return f"{self.name} V" if self.low == self.high else f"{self.name} V ({self.low:g}–{self.high:g})"


@dataclass(frozen=True)
class CodeTable:
    """name: number of the table. title: what it holds. unit: of the values. columns by voltage, rows by horsepower.

    Shows itself as a table, each row with where it is known from.
    """

    name: str
    title: str
    unit: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    def column(self, volts: Given) -> int:
        """The place of the column for `volts` [V]. Raises LadderError, listing the columns, if there is none."""
        number, _ = given(f"Table {self.name}", volts, "V", 0, 1e6, above=True)
        for place, column in enumerate(self.columns):
            if column.low <= number <= column.high:
                return place
        rule = f"has no column for {show(number, 'V')}; for other voltages reckon with motor_current, or ask the maker"
        raise LadderError(f"Table {self.name}", rule, volts, tuple(map(str, self.columns)))

    def value(self, hp: Given, volts: Given) -> tuple[float, Row, Column]:
        """The entry for `hp` [hp] and `volts` [V], its row and its column.

        Raises LadderError if the table has no such row or column, or no value where they cross, and says which.
        """
        place = self.column(volts)
        number, _ = given(f"Table {self.name}", hp, "hp", 0, 1e6, above=True)
        row = next((row for row in self.rows if abs(row.key - number) <= _NEAR * row.key), None)
        sizes = tuple(_fraction(row.key) for row in self.rows if row.values[place] is not None)
        if row is None:
            rule = f"has no row for {show(number, 'hp')}, and nothing is read between its rows"
            raise LadderError(f"Table {self.name}", rule, hp, sizes)
        found = row.values[place]
        if found is None:
            rule = f"has no value for {_fraction(row.key)} hp at {self.columns[place].name} V; this column has"
            raise LadderError(f"Table {self.name}", rule, hp, sizes)
        return found, row, self.columns[place]

    def _cells(self) -> tuple[Sequence[str], list[list[str]]]:
        head = ["hp", *(f"{column.name} V" for column in self.columns), "known from"]
        rows = [
            [_fraction(row.key), *("–" if value is None else show(value) for value in row.values), row.origin]
            for row in self.rows
        ]
        return head, rows

    def __str__(self) -> str:
        return f"NEC Table {self.name}, {self.title} [{self.unit}]\n{text_table(*self._cells())}\n{EDITION}.\n{CAUTION}"

    __repr__ = __str__

    def _repr_html_(self) -> str:
        table = html_table(f"NEC Table {self.name}, {self.title} [{self.unit}]", *self._cells())
        return f"<div>{table}<small>{escape(EDITION)}.<br>{escape(CAUTION)}</small></div>"


def _fraction(hp: float) -> str:
    """Horsepower as it stands in a table: 1/2, 1 1/2, 10."""
    whole, part = divmod(hp, 1)
    small = {0.5: "1/2", 0.75: "3/4", 0.25: "1/4", 0.33: "1/3", 0.17: "1/6"}.get(round(part, 2), "")
    return " ".join(text for text in (f"{whole:.0f}" if whole else "", small) if text)


def doubt(origin: str) -> str:
    """What a step says of a value's origin: " (from memory)"; nothing of one that was read."""
    return "" if origin in (READ, READ_ONCE) else f" ({origin})"
