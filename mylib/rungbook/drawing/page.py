"""Sheets to print: pictures on paper with a frame, a title block and a safety line, as HTML and as PDF.

Everything keeps `EDGE` from the edges of the paper, where printers cannot print. A picture is never enlarged; one that
is too large is drawn smaller, and refused where its letters could not be read any more. The sheets of `pages` and
`table_pages` are as large as the paper: they are drawn a little smaller, and the title block takes the corner that
they leave free.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from html import escape, unescape
from os import PathLike
from pathlib import Path

from rungbook.behaviour import Board
from rungbook.circuit import Ladder
from rungbook.circuit.power import PowerCircuit
from rungbook.circuit.wiring import Wiring
from rungbook.drawing import files
from rungbook.drawing.contact_charts import ContactChart
from rungbook.drawing.metrics import FONTS
from rungbook.drawing.paper import MM, PAPER, Page, lay_out
from rungbook.drawing.picture import Picture
from rungbook.drawing.tables import table_pages
from rungbook.drawing.title_block import HEIGHT, WIDTH, TitleBlock, drawn
from rungbook.errors import LadderError
from rungbook.proof import TruthTable

EDGE = 8.0  # from the edge of the paper to the frame [mm]; office printers leave up to 6.4 mm white
SAFETY = "De-energise, lock out, prove dead before work. Local code and a licensed person decide."
LEAST_SCALE = 0.5  # smallest letters are then 1.2 mm high
MOST = 200  # sheets in one document
_LINE = 5.0  # height of the safety line below the frame [mm]
_PAD = 3.0  # between the frame and a picture, and between a picture and the title block [mm]
_BLOCK = 0.92  # scale of a title block that is not drawn at that of its sheet
_TITLE = re.compile(r"<title[^>]*>([^<]*)</title>")

Box = tuple[float, float, float, float]  # left, top, width, height [mm]


@dataclass(frozen=True)
class Sheets:
    """A document of sheets, ready to be printed. html: a page complete in itself. count: of its sheets."""

    html: str
    count: int
    paper: str
    wide: bool

    def save(self, path: str | PathLike[str]) -> Path:
        """Write the sheets to `path`, whose name ends in .pdf or .html; return the path. A PDF is made by Chromium.

        Raises LadderError if the name ends otherwise, the file cannot be written, or there is no browser, it fails or
        takes longer than a minute. Nothing is left half-written.
        """
        target = Path(path)
        kind = target.suffix.lower()
        if kind == ".pdf":
            return files.write(target, files.pdf(self.html))
        if kind in (".html", ".htm"):
            return files.write(target, self.html.encode())
        names = (f"{target.stem or 'sheets'}.pdf", f"{target.stem or 'sheets'}.html")
        raise LadderError("Sheets.save", "writes PDF or HTML, as the name ends", str(path), names)

    def __len__(self) -> int:
        return self.count

    def __repr__(self) -> str:
        way = "landscape" if self.wide else "portrait"
        return f"{self.count} sheet{'s' * (self.count != 1)} of {self.paper}, {way}; .save('sheets.pdf') writes them"


def sheets(
    what: object,
    paper: str = "A4",
    block: TitleBlock | None = None,
    wide: bool = False,
    symbols: str = "nema",
    paths: str = "across",
) -> Sheets:
    """Return `what` on sheets of paper, one picture a sheet.

    what: a picture or a circuit, run or table that `draw` draws, or several. A ladder is laid out by `pages`, a wire
    list, truth table or contact chart by `table_pages`, over as many sheets as it takes. paper: "A4" or "Letter"; wide:
    with the longer side at the bottom. block: what the title block says. symbols, paths: of ladders and circuits.

    Raises LadderError as `draw`, if there is nothing to print or more than 200 sheets, there is no such paper, or a
    picture would have to be drawn at less than half its size.
    """
    if not isinstance(paper, str) or paper not in PAPER:
        raise LadderError("sheets", "no such paper", paper, tuple(PAPER))
    if not isinstance(block, TitleBlock | None):
        raise LadderError("sheets", "block is a TitleBlock", block, ("TitleBlock(lab='lab02', drawn_by='…')",))
    things = list(what) if isinstance(what, list | tuple | Iterator) else [what]
    pictures = [picture for thing in things for picture in _pictures(thing, paper, wide, symbols, paths)]
    if not 1 <= len(pictures) <= MOST:
        raise LadderError("sheets", f"prints 1 to {MOST} sheets", f"{len(pictures)} pictures")
    short, long = sorted(PAPER[paper])
    size = (long, short) if wide else (short, long)
    says = block or TitleBlock()
    bodies = []
    for n, picture in enumerate(pictures, 1):
        words = says.says(_title_of(picture), f"{n} of {len(pictures)}", paper)
        bodies.append(_sheet(picture, words, size, n))
    title = escape(says.title or _title_of(pictures[0]) or "Sheets")
    return Sheets(_document(title, size, bodies), len(bodies), paper, wide)


def _pictures(thing: object, paper: str, wide: bool, symbols: str, paths: str) -> Iterable[Picture]:
    from rungbook.drawing import draw
    from rungbook.drawing.live_steps import LiveSteps

    if isinstance(thing, Picture):
        return (thing,)
    if isinstance(thing, LiveSteps):
        return thing
    if isinstance(thing, Ladder):
        return lay_out(thing, paper, symbols, paths, wide)
    if isinstance(thing, Wiring | TruthTable | ContactChart):
        return table_pages(thing, paper, wide)
    if isinstance(thing, Board):
        return (draw(thing, symbols, paths),)
    if isinstance(thing, PowerCircuit):
        return (draw(thing, symbols),)
    return (draw(thing),)  # type: ignore[arg-type]


def _title_of(picture: Picture) -> str:
    found = _TITLE.search(picture.svg)
    return unescape(found[1]) if found else ""


def _frame(size: tuple[float, float]) -> Box:
    return (EDGE, EDGE, size[0] - 2 * EDGE, size[1] - 2 * EDGE - _LINE)


def _places(picture: Picture, size: tuple[float, float]) -> tuple[Box, Box]:
    """Where the picture goes, and where its title block, which stands in the lower right corner of the frame."""
    left, top, across, high = _frame(size)
    wide, tall = (side / MM for side in picture.size)
    whole = abs(wide - size[0]) < 1 and abs(tall - size[1]) < 1  # as large as the paper, with a corner left free
    if whole:
        scale = min(across / wide, high / tall)
        block = scale * (picture.scale if isinstance(picture, Page) else 1.0)
        place = (left + (across - wide * scale) / 2, top + high - tall * scale, wide * scale, tall * scale)
    else:
        block = _BLOCK
        room = (across - 2 * _PAD, high - 3 * _PAD - HEIGHT / MM * block)
        scale = min(1.0, room[0] / wide, room[1] / tall)
        place = (left + (across - wide * scale) / 2, top + _PAD, wide * scale, tall * scale)
    if scale < LEAST_SCALE:
        rule = f"a picture of {wide:.0f} by {tall:.0f} mm would be drawn at {scale:.0%} of its size, too small to read"
        choices = ("wide=True", "a ladder itself, which goes over several sheets", "draw(ladder, width=700)")
        raise LadderError("sheets", rule, _title_of(picture), choices)
    corner = (WIDTH / MM * block, HEIGHT / MM * block)
    return place, (left + across - corner[0], top + high - corner[1], *corner)


def _sheet(picture: Picture, says: dict[str, str], size: tuple[float, float], n: int) -> str:
    place, corner = _places(picture, size)
    return (
        f'<section class="sheet" aria-label="Sheet {says["sheet"]}">'
        f'<div class="picture" style="{_at(place)}">{_own_ids(picture.svg, n)}</div>'
        f'<div class="frame" style="{_at(_frame(size))}"></div>'
        f'<div class="block" style="{_at(corner)}">{drawn(says)}</div>'
        f'<p class="safety">{escape(SAFETY)}</p></section>'
    )


def _own_ids(svg: str, n: int) -> str:
    """The SVG with its names made those of sheet `n`, so that no two pictures of a document share one."""
    return re.sub(r"\brungbook-(?=[\w-]*[0-9a-f]{8})", f"rungbook-{n}-", svg)


def _at(box: Box) -> str:
    left, top, wide, high = box
    return f"left:{left:.2f}mm;top:{top:.2f}mm;width:{wide:.2f}mm;height:{high:.2f}mm"


def _document(title: str, size: tuple[float, float], bodies: Iterable[str]) -> str:
    wide, high = size
    style = (
        f"@page{{size:{wide:g}mm {high:g}mm;margin:0}}"
        "html,body{margin:0;padding:0}"
        f".sheet{{position:relative;box-sizing:border-box;width:{wide:g}mm;height:{high - 0.05:g}mm;overflow:hidden;"
        f"background:#fff;break-after:page;break-inside:avoid;font-family:{FONTS}}}"
        ".sheet>div{position:absolute;box-sizing:border-box}"
        ".sheet>div>svg{display:block;width:100%!important;height:100%!important;max-width:none!important}"
        ".frame{border:0.35mm solid #1a1a1a;pointer-events:none}"
        f".safety{{position:absolute;left:{EDGE:g}mm;right:{EDGE:g}mm;bottom:{EDGE:g}mm;margin:0;"
        "font-size:3mm;line-height:3.6mm;text-align:center;color:#1a1a1a}"
        "@media screen{body{background:#ddd}.sheet{margin:6mm auto;box-shadow:0 0 2mm #888}}"
    )
    head = f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title><style>{style}</style>'
    return f"{head}</head><body><main>{''.join(bodies)}</main></body></html>\n"
