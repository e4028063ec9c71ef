"""Tables as CSV (RFC 4180): wire list, truth table, and which input reads what.

Commas, lines end in CR LF, text with commas or quotation marks stands in quotation marks. A cell that a spreadsheet
would take for a formula begins with an apostrophe, so that a plate such as "=1+1" stays text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rungbook.circuit import Ladder, Wiring
from rungbook.errors import LadderError
from rungbook.exchange.plan import plan
from rungbook.proof import TruthTable
from rungbook.tables import csv_text, html_table, text_table

MAX_ROWS = 1 << 16  # of a truth table


@dataclass(frozen=True)
class InputTable:
    """Which contact stands on which input, and what the input reads: rows in the order of the addresses.

    A row: address, variable, device with its plate, contact, value at rest, value by position. Shows itself as a table.
    """

    title: str
    rows: tuple[tuple[str, ...], ...]

    head = ("address", "variable", "device", "contact", "at rest", "reads")

    def __str__(self) -> str:
        return text_table(self.head, self.rows)

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(f"Inputs: {self.title}" if self.title else "Inputs", self.head, self.rows)


def input_table(ladder: Ladder, wired: Mapping[str, str] | None = None) -> InputTable:
    """Return what each input of the program of `ladder` reads: "S1 stop: NC contact, 1 at rest, 0 while pressed".

    wired: as in `structured_text`. Raises LadderError as `plan`.
    """
    made = plan(ladder, wired)
    addresses = {one.name: one.address for one in made.declarations}
    rows = []
    for one in made.wiring:
        contact = f"{one.contact.kind} {one.contact.terminals}".strip()
        reads = one.words.partition(" wired: ")[2]
        rows.append((addresses[one.name], one.name, one.device.name, contact, str(int(one.at_rest)), reads))
    return InputTable(ladder.title, tuple(rows))


def to_csv(table: Wiring | TruthTable | InputTable) -> str:
    """Return a wire list (`wire`), a truth table (`truth_table`) or inputs (`input_table`) as CSV, head first.

    Raises LadderError if `table` is none of these, or a truth table has more than 65 536 rows.
    """
    if isinstance(table, InputTable):
        return _written(table.head, table.rows)
    if isinstance(table, Wiring):
        wires = [(n, w.start, w.end, w.number, w.rung) for n, w in enumerate(table.wires, 1)]
        return _written(("wire", "from", "to", "wire number", "rung"), wires)
    if isinstance(table, TruthTable):
        if len(table) > MAX_ROWS:
            raise LadderError("to_csv", f"at most {MAX_ROWS} rows of a truth table", len(table))
        return _written((*table.inputs, *table.outputs), table.rows())
    choices = ("wire(ladder, kit)", "truth_table(ladder)", "input_table(ladder)")
    raise LadderError("to_csv", "writes a wire list, a truth table or a table of inputs", table, choices)


def _written(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    return csv_text(head, ([str(cell) for cell in row] for row in rows))
