"""A table as plain text, as HTML and as CSV, and a list as words: one way for all that shows itself or leaves."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from html import escape

_CELL = "text-align:left;padding:0.1em 0.8em 0.1em 0.3em"
_CAPTION = (
    "caption-side:top;text-align:left;white-space:nowrap"  # else it would be folded to the width of a narrow table
)
_RULE = ";border-left:1px solid currentColor"
#: what a spreadsheet takes for the beginning of a formula; the last four are full width
_ACTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def text_table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return `head` and `rows` in columns two blanks apart. A column headed "│" is a rule from top to bottom."""
    widths = [max(len(row[k]) for row in (head, *rows)) for k in range(len(head))]
    line = "  ".join("┼" if name == "│" else "─" * width for name, width in zip(head, widths, strict=True))
    lines = ["  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in (head, *rows)]
    return "\n".join([lines[0], line, *lines[1:]])


def html_table(
    caption: str,
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    bold: Collection[tuple[int, int]] = (),
    rule_before: int | None = None,
) -> str:
    """Return an HTML table with scoped header cells; all text is escaped. A column without a name has no header cell.

    bold: (row, column) of the cells to stress, from 0. rule_before: column with a line at its left.
    """
    styles = [_CELL + (_RULE if k == rule_before else "") for k in range(len(head))]
    top = "".join(
        f'<th scope="col" style="{style}">{escape(name)}</th>' if name else f'<td style="{style}"></td>'
        for style, name in zip(styles, head, strict=True)
    )
    body = ""
    for number, row in enumerate(rows):
        cells = [f"<b>{escape(c)}</b>" if (number, k) in bold else escape(c) for k, c in enumerate(row)]
        body += "<tr>" + "".join(f'<td style="{s}">{c}</td>' for s, c in zip(styles, cells, strict=True)) + "</tr>"
    title = f'<caption style="{_CAPTION}">{escape(caption)}</caption>'
    return f"<table>{title}<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"


def harmless(cell: object) -> str:
    """The cell as text; what a spreadsheet would take for a formula begins with an apostrophe. Numbers stay numbers."""
    if isinstance(cell, int | float):
        return f"{cell:g}" if abs(cell) < 1e6 else str(cell)
    text = "" if cell is None else str(cell)
    return f"'{text}" if text.lstrip(" ").startswith(_ACTS) else text


def csv_text(head: Sequence[str], rows: Iterable[Sequence[object]], line_end: str = "\r\n") -> str:
    """Return a CSV file's text (RFC 4180): commas between cells, quotes where needed, every cell harmless."""
    import csv
    import io

    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator=line_end)
    writer.writerow([harmless(cell) for cell in head])
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    return out.getvalue()


def listed(words: Iterable[object]) -> str:
    """Return "1", "1 and 2", "1, 2 and 3". Raises ValueError if there are none."""
    *first, last = map(str, words)
    return " and ".join(filter(None, (", ".join(first), last)))
