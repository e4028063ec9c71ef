"""The ledger's CSV files: kits, lists of a check, and prices in; every table out. All of a file, or nothing.

Read with commas or semicolons, UTF-8 with or without a mark. Written with commas, UTF-8; a cell that a spreadsheet
would take for a formula begins with an apostrophe.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

from rungbook.errors import LadderError
from rungbook.kit.ledger.entries import CONDITIONS, MOST_PIECES, Finding
from rungbook.kit.ledger.lists import Listing
from rungbook.kit.ledger.pieces import Piece
from rungbook.replacing import replace_bytes
from rungbook.tables import csv_text, harmless

MOST_ROWS = 50_000
MOST_BYTES = 5_000_000


def rows_of(path: Path, needed: tuple[str, ...], optional: tuple[str, ...] = ()) -> list[tuple[int, dict[str, str]]]:
    """Return (line number, column -> text) for each row of the CSV file `path` that is not empty.

    Raises LadderError if the file cannot be read, is no UTF-8, has more than 50,000 rows or 5 MB, lacks a needed column
    or has one twice, or a row has more cells than the head.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise LadderError(str(path), f"is larger than {MOST_BYTES} bytes")
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise LadderError(str(path), f"cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise LadderError(str(path), f"is not UTF-8 text (byte {error.start})") from error
    head_line = text.partition("\n")[0]
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=";" if head_line.count(";") > head_line.count(",") else ","
    )
    try:
        lines = [(reader.line_num, row) for row in reader]
    except csv.Error as error:
        raise LadderError(f"{path}, line {reader.line_num}", f"is no CSV: {error}") from error
    if len(lines) > MOST_ROWS:
        raise LadderError(str(path), f"has more than {MOST_ROWS} rows")
    head = [cell.strip().lower() for cell in lines[0][1]] if lines else []
    for column in needed:
        if head.count(column) != 1:
            raise LadderError(f"{path}, line 1", f"the head names the column {column!r} once", ", ".join(head), needed)
    found = []
    for number, row in lines[1:]:
        if not any(cell.strip() for cell in row):
            continue
        if len(row) > len(head):
            raise LadderError(f"{path}, line {number}", f"has more cells than the head, {len(head)}", len(row))
        cells = dict(zip(head, [_plain(cell) for cell in row], strict=False))
        found.append((number, {column: cells.get(column, "") for column in (*needed, *optional)}))
    return found


def read_kits(path: Path) -> list[tuple[str, str, tuple[Piece, ...]]]:
    """Return (number, name, pieces) of each kit in a CSV with the columns kit, piece, model and, if wanted, name.

    Raises LadderError as `rows_of`, or naming the line whose model or piece is not legal.
    """
    kits: dict[str, tuple[str, list[Piece]]] = {}
    for number, row in rows_of(path, ("kit", "piece", "model"), ("name",)):
        try:
            piece = Piece(row["piece"], row["model"])
        except LadderError as error:
            raise LadderError(f"{path}, line {number}: {error.thing}", error.rule, error.value, error.choices) from None
        _, listed = kits.setdefault(row["kit"], (row["name"] or "kit", []))
        listed.append(piece)
        if len(listed) > MOST_PIECES:
            raise LadderError(f"{path}, line {number}", f"a kit has at most {MOST_PIECES} pieces")
    return [(kit, name, tuple(listed)) for kit, (name, listed) in kits.items()]


def read_findings(path: Path) -> list[Finding]:
    """Return the findings in a CSV with the columns piece, condition and, if wanted, remark.

    Raises LadderError as `rows_of`, or naming the line whose condition is not legal.
    """
    found = []
    for number, row in rows_of(path, ("piece", "condition"), ("remark",)):
        condition = row["condition"].lower()
        if condition not in CONDITIONS:
            raise LadderError(f"{path}, line {number}, piece {row['piece']}", "condition", row["condition"], CONDITIONS)
        found.append(Finding(row["piece"], condition, row["remark"]))
    return found


def read_prices(path: Path) -> dict[str, object]:
    """Return model -> cost as written, of a CSV with the columns model and cost.

    Raises LadderError as `rows_of`, or if a model stands twice.
    """
    prices: dict[str, object] = {}
    for number, row in rows_of(path, ("model", "cost")):
        if row["model"] in prices:
            raise LadderError(f"{path}, line {number}", "a model has one price", row["model"])
        prices[row["model"]] = row["cost"]
    return prices


def write(listing: Listing, path: Path) -> Path:
    """Write `listing` to `path` as CSV, whole or not at all; return the path. Raises LadderError if it cannot be."""
    text = csv_text(listing.head, listing.rows, "\n")
    try:
        replace_bytes(path, text.encode())
    except OSError as error:
        raise LadderError(str(path), f"cannot be written: {error.strerror}") from error
    return path


def _plain(cell: str) -> str:
    """A cell without blanks at its ends and without the apostrophe of `csv_text`."""
    text = cell.strip()
    return text[1:] if text[:1] == "'" and harmless(text[1:]) == text else text
