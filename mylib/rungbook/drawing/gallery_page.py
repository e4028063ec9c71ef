"""A page with every symbol of both sets side by side, made from the shapes that ladders are drawn with.

A room that has symbols of its own adds a function to `SECTIONS`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from xml.etree import ElementTree as ET

from rungbook.drawing.adapter import Sheet, number, quiet
from rungbook.drawing.metrics import FONTS
from rungbook.drawing.shapes import Box, Point, Shape
from rungbook.drawing.sheet import Text, Wire
from rungbook.drawing.symbol_sets import symbol_set
from rungbook.drawing.symbols import DeviceSymbol, Wires, Words

LEAD = 24.0  # wire drawn at each terminal [px]
EDGE = 6.0  # round a picture [px]


@dataclass(frozen=True)
class Specimen:
    """A symbol as it stands in a drawing: its shape and the texts round it, which are relative to its middle."""

    shape: Shape
    texts: tuple[Text, ...] = ()
    upright: bool = False  # its wires leave it upwards and downwards, not to the sides


@dataclass(frozen=True)
class Entry:
    """One line of the gallery: a thing in both sets, where each symbol is from, and when to use it.

    nema, iec: its symbols, as many in one set as in the other; of a contact first open, then closed at rest.
    """

    name: str
    nema: tuple[Specimen, ...]
    iec: tuple[Specimen, ...]
    nema_clause: str
    iec_clause: str
    use: str


@dataclass(frozen=True)
class Section:
    """A heading with its entries."""

    title: str
    entries: tuple[Entry, ...]


def _control() -> tuple[Section, ...]:
    from rungbook.drawing.gallery_control import sections

    return sections()


def _power() -> tuple[Section, ...]:
    from rungbook.drawing.gallery_power import sections

    return sections()


#: what gives the sections of the page, in their order.
SECTIONS: tuple[Callable[[], tuple[Section, ...]], ...] = (_control, _power)


def gallery() -> str:
    """Return the page: HTML that needs no other file."""
    nema, iec = symbol_set("nema"), symbol_set("iec")
    body = "\n".join(_section(section, nema.standard, iec.standard) for make in SECTIONS for section in make())
    return _PAGE.format(nema=escape(nema.standard), iec=escape(iec.standard), body=body)


def _section(section: Section, nema: str, iec: str) -> str:
    rows = "\n".join(map(_row, section.entries))
    head = "".join(f'<th scope="col">{escape(words)}</th>' for words in ("Symbol of", nema, iec, "Use"))
    table = f"<table>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}\n</tbody>\n</table>"
    return f"<h2>{escape(section.title)}</h2>\n{table}"


def _row(entry: Entry) -> str:
    cells = "".join(
        f'<td class="symbol"><div>{_side_by_side(specimens)}</div><small>{escape(clause)}</small></td>'
        for specimens, clause in ((entry.nema, entry.nema_clause), (entry.iec, entry.iec_clause))
    )
    return f'<tr><th scope="row">{escape(entry.name)}</th>{cells}<td>{escape(entry.use)}</td></tr>'


def _side_by_side(specimens: tuple[Specimen, ...]) -> str:
    """Pictures of one height, so that their wires stand level."""
    boxes = [_extent(specimen) for specimen in specimens]
    top, bottom = min(box[1] for box in boxes), max(box[3] for box in boxes)
    return "".join(specimen_svg(specimen, top, bottom) for specimen in specimens)


def _stubs(specimen: Specimen) -> list[tuple[Point, Point]]:
    """A piece of wire at each terminal, left to right or downwards."""
    found = []
    for x, y in specimen.shape.terminals:
        away = -LEAD if (y if specimen.upright else x) < 0 else LEAD
        end = (x, y + away) if specimen.upright else (x + away, y)
        found.append((min((x, y), end), max((x, y), end)))
    return found


def _extent(specimen: Specimen) -> Box:
    """What a picture of `specimen` covers."""
    boxes = [specimen.shape.box, *((*start, *end) for start, end in _stubs(specimen))]
    boxes += [text.box for text in specimen.texts]
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts) - EDGE, min(tops) - EDGE, max(rights) + EDGE, max(bottoms) + EDGE


def specimen_svg(specimen: Specimen, top: float | None = None, bottom: float | None = None) -> str:
    """Return `specimen` as an SVG with a stub of wire at each terminal, from height `top` to `bottom` if given [px]."""
    shape = specimen.shape
    left, high, right, low = _extent(specimen)
    high, low = high if top is None else top, low if bottom is None else bottom
    width, height = right - left, low - high
    moved = [
        Wire(1, 1, (start[0] - left, start[1] - high), (end[0] - left, end[1] - high))
        for start, end in _stubs(specimen)
    ]
    attributes = {
        "width": number(width),
        "height": number(height),
        "viewBox": f"0 0 {number(width)} {number(height)}",
        "font-family": FONTS,
        "role": "img",
    }
    canvas = ET.Element("svg", attributes)
    ET.SubElement(canvas, "title").text = shape.name
    with quiet():
        sheet = Sheet(width, height)
        sheet.place(Wires(moved), {"class": "wire"})
        sheet.place(DeviceSymbol(shape, (-left, -high)), {"class": "symbol"})
        if specimen.texts:
            sheet.place(Words([text.moved(-left, -high, 1) for text in specimen.texts]), {"class": "lettering"})
        sheet.onto(canvas)
    return ET.tostring(canvas, encoding="unicode")


_PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Symbols of control and power circuits</title>
<style>
body {{ font: 15px/1.45 "DejaVu Sans", Verdana, Arial, sans-serif; color: #1a1a1a; background: #ffffff;
  max-width: 76rem; margin: 1.5rem auto; padding: 0 1rem; }}
table {{ border-collapse: collapse; width: 100%; table-layout: fixed; }}
th, td {{ border-bottom: 1px solid #bbbbbb; padding: 0.6rem 0.5rem; text-align: left; vertical-align: middle; }}
thead th {{ border-bottom: 2px solid #1a1a1a; }}
th:first-child {{ width: 16%; font-weight: normal; }}
thead th {{ font-weight: bold !important; }}
td.symbol {{ text-align: center; }}
td.symbol div {{ display: flex; flex-wrap: wrap; gap: 0.5rem 1.2rem; justify-content: center;
  margin-bottom: 0.3rem; }}
td.symbol {{ width: 30%; }}
small {{ color: #505050; font-size: 0.75rem; }}
h1 {{ font-size: 1.5rem; }} h2 {{ font-size: 1.15rem; margin: 2rem 0 0.4rem; break-after: avoid; }}
tr {{ break-inside: avoid; }}
</style>
</head>
<body><main>
<h1>Symbols of control and power circuits</h1>
<p>The two sets that this course draws with: {nema}, of North America, and {iec}. Every device is shown at rest: not
touched, no coil energised, no fault; of two contacts the first is open, the second closed. Shapes and clauses are from
memory of the standards; where a standard has no sign, the line says that it is our own. For work on a real machine,
its own drawings and the standard in force decide.</p>
{body}
</main></body>
</html>
"""
