"""The pages of a report: one of a lab, one of the term, each complete in itself."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from rungbook.classroom.feedback_page import GUARD

_STYLE = """
body { font: 15px/1.45 "DejaVu Sans", Arial, sans-serif; color: #1a1a1a; max-width: 62em; margin: 1.5em auto;
  padding: 0 1em }
h1 { font-size: 1.5em } h2 { font-size: 1.2em; margin: 1.6em 0 0.4em } h3 { font-size: 1em; margin: 1.2em 0 0.2em }
table { border-collapse: collapse; margin: 0.5em 0 } caption { text-align: left; color: #444 }
th, td { border-bottom: 1px solid #b0b0b0; padding: 0.2em 0.8em 0.2em 0.2em; text-align: left; vertical-align: top }
td.n, th.n { text-align: right; white-space: nowrap } td.w { overflow-wrap: anywhere }
svg { max-width: 100%; height: auto } .note { color: #444 } .wide { overflow-x: auto }
@media print { body { font-size: 10pt; max-width: none } h2, h3 { break-after: avoid } tr { break-inside: avoid } }
"""


def page(title: str, parts: Sequence[str]) -> str:
    """A whole page."""
    head = f'<meta charset="utf-8">\n{GUARD}\n<title>{escape(title)}</title>\n<style>{_STYLE}</style>'
    body = "\n".join(parts)
    body = f"<h1>{escape(title)}</h1>\n{body}"
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n{head}\n</head>\n<body><main>\n{body}\n</main></body>\n</html>\n'
    )


def table(caption: str, head: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """A table; numbers stand right, None is an empty cell. All text is escaped."""
    numbers = [
        all(isinstance(row[k], int | float) or row[k] is None for row in rows) and bool(rows) for k in range(len(head))
    ]
    top = "".join(
        f"<th scope='col'{_class(n)}>{escape(one)}</th>" if one else "<td></td>"
        for one, n in zip(head, numbers, strict=True)
    )
    body = "".join(
        "<tr>" + "".join(f"<td{_class(isinstance(one, int | float))}>{_told(one)}</td>" for one in row) + "</tr>\n"
        for row in rows
    )
    return (
        f'<div class="wide"><table><caption>{escape(caption)}</caption><thead><tr>{top}</tr></thead>\n'
        f"<tbody>{body}</tbody></table></div>"
    )


def heading(text: str, level: int = 2) -> str:
    """A heading."""
    return f"<h{level}>{escape(text)}</h{level}>"


def note(text: str) -> str:
    """A paragraph that says how to read what is above it."""
    return f'<p class="note">{escape(text)}</p>'


def bullets(items: Sequence[str]) -> str:
    """A list."""
    return "<ul>" + "".join(f"<li>{escape(one)}</li>" for one in items) + "</ul>"


def _class(number: bool) -> str:
    return ' class="n"' if number else ""


def _told(cell: object) -> str:
    if cell is None:
        return ""
    if isinstance(cell, float):
        return f"{round(cell, 2):g}".replace("-", "\u2212")
    return escape(str(cell))
