"""Forms to print and fill in: headings, tables with empty cells, boxes to tick, cautions, sign-off, as one HTML page.

Unlike the sheets of `page.py`, which are laid out, a form flows over as many pages as it takes; no row and no picture
is cut in two. What is the same on every form stands here: names and date, the cautions, the sign-off before energising.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from os import PathLike
from pathlib import Path

from rungbook.drawing import files
from rungbook.drawing.paper import PAPER
from rungbook.drawing.picture import Picture
from rungbook.errors import LadderError

CAUTIONS = (
    "De-energise, lock out and tag before you touch a terminal.",
    "Prove dead: test the meter on a known live source, test the circuit, test the meter again.",
    "Energise only after the sign-off, with your instructor beside you. One hand, dry, no rings.",
    "Connect the protective earth first and disconnect it last.",
    "The electrical code of your place and a licensed person decide; this sheet does not replace them.",
)
FIELDS = ("Group", "Kit", "Date", "Wired by", "Checked by")
SIGN_OFF = (
    "Circuit wired as drawn, every wire ticked",
    "Dead tests done, readings as expected",
    "Protective earth connected, covers on, tools away",
)
BOX = '<span class="box" role="img" aria-label="box to tick"></span>'
_PAGE = "margin: 14mm"
_STYLE = """
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
_MORE_STYLE = """
.cautions { break-inside: avoid }
.small td, .small th { font-size: 9pt; padding: 0.7mm 1.5mm; height: 5mm }
td.write { min-width: 20mm }
td.tick { width: 8mm; text-align: center }
figure { margin: 2mm 0; break-inside: avoid }
figure svg { display: block; max-width: 100%; max-height: 235mm; width: auto; height: auto; margin: 0 auto }
.form + .form, .new-page { break-before: page }
.beside { display: grid; grid-template-columns: 1fr 1fr; gap: 4mm; align-items: start }
td.read { width: 32mm; white-space: nowrap; line-height: 1.6 }
p, .sign-off, div.whole { break-inside: avoid }
td.none { background: #ddd }
td.whole { white-space: nowrap }
@media print { body { padding: 0; max-width: none } }
"""


@dataclass(frozen=True)
class Form:
    """A form, ready to be printed. title: its heading. body: HTML between `<body>` and `</body>`."""

    title: str
    body: str

    def page(self, paper: str = "A4") -> str:
        """The form as a page complete in itself. Raises LadderError if there is no such paper."""
        return page_of([self], paper)

    def save(self, path: str | PathLike[str], paper: str = "A4") -> Path:
        """Write it to `path`, whose name ends in .pdf or .html. Raises LadderError as `save_forms`."""
        return save_forms([self], path, paper)

    def _repr_html_(self) -> str:
        return f"<style>{_MORE_STYLE}</style>{self.body}"


def page_of(forms: Sequence[Form], paper: str = "A4", *, extra: bool = True) -> str:
    """Return forms as one page of HTML, each beginning on a new sheet of `paper` ("A4" or "Letter").

    Raises LadderError if there is no form, or no such paper.
    """
    if not forms:
        raise LadderError("Forms", "at least one is printed")
    if paper not in PAPER:
        raise LadderError("Forms", "no such paper", paper, tuple(PAPER))
    size = f"size: {paper}; " if extra else ""
    style = f"\n@page {{ {size}{_PAGE} }}{_STYLE}{_MORE_STYLE if extra else ''}"
    title = escape(forms[0].title)
    bodies = "\n".join(f'<section class="form">{form.body}</section>' for form in forms) if extra else forms[0].body
    return "\n".join(
        [
            f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>{title}</title>',
            f"<style>{style}</style>\n</head>\n<body><main>",
            bodies,
            "</main></body>\n</html>\n",
        ]
    )


def save_forms(forms: Sequence[Form], path: str | PathLike[str], paper: str = "A4") -> Path:
    """Write forms to one file, .pdf (by Chromium) or .html, each beginning on a new sheet; return the path.

    Raises LadderError if the name ends otherwise, the file cannot be written, or the browser is missing or fails.
    """
    target = Path(path)
    kind = target.suffix.lower()
    html = page_of(forms, paper)
    if kind == ".pdf":
        return files.write(target, files.pdf(html))
    if kind in (".html", ".htm"):
        return files.write(target, html.encode())
    names = (f"{target.stem or 'form'}.pdf", f"{target.stem or 'form'}.html")
    raise LadderError("Form.save", "writes PDF or HTML, as the name ends", str(path), names)


def block(filled: Mapping[str, str] | None = None, fields: Sequence[str] = FIELDS) -> str:
    """The block of fields to fill in; filled: what some of them say already."""
    said = filled or {}
    pairs = ((escape(word), escape(said.get(word, ""))) for word in fields)
    rows = "".join(f'<tr><th scope="row">{word}</th><td>{told}</td></tr>' for word, told in pairs)
    return f'<table class="block">{rows}</table>'


def cautions(title: str) -> str:
    """The cautions in their frame."""
    items = "".join(f"<li>{escape(line)}</li>" for line in CAUTIONS)
    return f'<div class="cautions"><strong>{escape(title)}</strong><ul>{items}</ul></div>'


def sign_off(title: str = "Sign-off before energising", lines: Sequence[str] = SIGN_OFF) -> str:
    """The table of the sign-off before energising, with its heading."""
    rows = "".join(f"<tr><td>{escape(word)}</td><td></td><td></td></tr>" for word in lines)
    head = '<tr><td></td><th scope="col">student</th><th scope="col">instructor</th></tr>'
    return f'<h2>{escape(title)}</h2>\n<table class="sign-off">{head}{rows}</table>'


def fill_in(head: Sequence[str], rows: Iterable[Sequence[str]], *, tick: bool = True) -> str:
    """A table of small letters; a cell with "" is a place to write in. tick: a box to tick at the end of each row."""
    heads = "".join(f'<th scope="col">{escape(word)}</th>' if word else "<td></td>" for word in head)
    heads += "<td></td>" * tick
    body = ""
    for row in rows:
        cells = "".join(f"<td>{escape(word)}</td>" if word else '<td class="write"></td>' for word in row)
        body += f"<tr>{cells}" + (f'<td class="tick">{BOX}</td>' if tick else "") + "</tr>"
    return f'<table class="small"><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>'


def beside(left: str, right: str) -> str:
    """Two pieces of HTML side by side; both begin at the top."""
    return f'<div class="beside"><div>{left}</div><div>{right}</div></div>'


def figure(picture: Picture) -> str:
    """A picture, never cut in two, made smaller if it is wider or higher than a sheet."""
    return f"<figure>{picture.svg}</figure>"
