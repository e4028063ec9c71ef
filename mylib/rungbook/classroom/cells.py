"""Cells of a CSV file that a spreadsheet opens without running anything."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_ACTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")  # the last four are full width


def harmless(cell: object) -> str:
    """The cell as text; what a spreadsheet would take for a formula begins with an apostrophe. Numbers stay numbers."""
    if isinstance(cell, int | float):
        return f"{cell:g}" if abs(cell) < 1e6 else str(cell)
    text = "" if cell is None else str(cell)
    return f"'{text}" if text.lstrip(" ").startswith(_ACTS) else text


def csv_text(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a CSV file's text: commas between cells, quotes where needed, every cell harmless."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    writer.writerow([harmless(cell) for cell in head])
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    return out.getvalue()
