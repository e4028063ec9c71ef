"""The bench sheet of a lab: Markdown text with empty tables -> one page of HTML to print on A4 or Letter.

What is the same on every sheet stands here and not in the labs: the block for names and date, the cautions, and the
sign-off before energising. In the text, `[ ]` is a box to tick, and an empty cell of a table a place to write in.
"""

from __future__ import annotations

import re
from html import escape

from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError
from rungbook.grading.variants import Variant, renamed

CAUTIONS = (
    "De-energise, lock out and tag before you touch a terminal.",
    "Prove dead: test the meter on a known live source, test the circuit, test the meter again.",
    "Energise only after the sign-off, with your instructor beside you. One hand, dry, no rings.",
    "Connect the protective earth first and disconnect it last.",
    "The electrical code of your place and a licensed person decide; this sheet does not replace them.",
)
_BLOCK = ("Group", "Kit", "Date", "Wired by", "Checked by")
_SIGN_OFF = (
    "Circuit wired as drawn, every wire ticked",
    "Dead tests done, readings as expected",
    "Protective earth connected, covers on, tools away",
)
_STYLE = """
@page { margin: 14mm }
body { font: 11pt/1.4 "DejaVu Sans", Arial, sans-serif; color: #1a1a1a; max-width: 182mm; margin: 0 auto; padding: 4mm }
h1 { font-size: 17pt; margin: 0 0 3mm }
h2 { font-size: 13pt; margin: 6mm 0 2mm; break-after: avoid }
table { border-collapse: collapse; width: 100%; margin: 2mm 0 }
th, td { border: 0.3mm solid #1a1a1a; padding: 1.2mm 2mm; height: 6mm; text-align: left; vertical-align: top }
th { font-weight: bold }
tr, li { break-inside: avoid }
li:has(.box) { list-style: none; margin-left: -5mm }
.cautions { border: 0.8mm solid #1a1a1a; padding: 1mm 4mm; margin: 3mm 0 }
.cautions ul { margin: 1mm 0; padding-left: 5mm }
.block td:nth-child(even), .sign-off td:nth-child(n+2) { min-width: 22mm }
.box { display: inline-block; width: 3.6mm; height: 3.6mm; border: 0.3mm solid #1a1a1a; vertical-align: -0.5mm }
"""


def bench_sheet(lab: Lab, variant: Variant | None = None) -> str | None:
    """Return the lab's bench sheet as a page of HTML, or None if the lab has none. Same text, same bytes.

    variant: a renaming of words, as in the student's notebook.
    Raises LadderError if the text does not begin with a heading ("# Lab 02 · …"), or repeats the sign-off.
    """
    if not lab.bench_source.is_file():
        return None
    text = lab.bench_source.read_text(encoding="utf-8")
    if variant is not None:
        text = renamed(text, variant)
    head, _, rest = text.lstrip().partition("\n")
    if not head.startswith("# "):
        raise LadderError(f"{lab.name}, bench sheet", "begins with a heading", head[:60], ("# Lab 02 · At the bench",))
    if re.search(r"^#+ .*sign-off", rest, re.IGNORECASE | re.MULTILINE):
        raise LadderError(f"{lab.name}, bench sheet", "the sign-off is added to every sheet; leave its heading out")
    title = head[2:].strip()
    before, mark, after = rest.partition("<!-- energise -->")
    if not mark:
        rule = "a line <!-- energise --> stands between the dead tests and the steps with voltage"
        raise LadderError(f"{lab.name}, bench sheet", rule)
    return "\n".join(
        [
            f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>{escape(title)}</title>',
            f"<style>{_STYLE}</style>\n</head>\n<body>\n<h1>{escape(title)}</h1>",
            _rows("block", [[f"{word}", ""] for word in _BLOCK], across=True),
            _cautions("Before you begin"),
            _html(before),
            "<h2>Sign-off before energising</h2>",
            _rows("sign-off", [["", "student", "instructor"], *([word, "", ""] for word in _SIGN_OFF)]),
            _cautions("With voltage: once more"),
            _html(after),
            "</body>\n</html>\n",
        ]
    )


def _html(text: str) -> str:
    from markdown_it import MarkdownIt  # what jupytext reads Markdown with

    page = MarkdownIt("commonmark", {"html": False}).enable("table").render(text).strip()
    return page.replace("[ ]", '<span class="box" role="img" aria-label="box to tick"></span>')


def _cautions(title: str) -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in CAUTIONS)
    return f'<div class="cautions"><strong>{escape(title)}</strong><ul>{items}</ul></div>'


def _rows(kind: str, rows: list[list[str]], *, across: bool = False) -> str:
    """A table; across: all rows in one line, each a heading with its field."""
    if across:
        cells = "".join(f"<tr><th>{escape(word)}</th><td>{escape(value)}</td></tr>" for word, value in rows)
    else:
        head, *body = rows
        cells = "<tr>" + "".join(f"<th>{escape(word)}</th>" for word in head) + "</tr>"
        cells += "".join("<tr>" + "".join(f"<td>{escape(word)}</td>" for word in row) + "</tr>" for row in body)
    return f'<table class="{kind}">{cells}</table>'
