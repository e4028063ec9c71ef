"""A plan as an SVG document: groups with names, a title and a description for a screen reader."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from hashlib import sha256
from itertools import groupby
from typing import TypeVar
from xml.etree import ElementTree as ET

from rungbook.circuit import Contact
from rungbook.drawing.adapter import Sheet, number, quiet
from rungbook.drawing.describe import describe_item
from rungbook.drawing.metrics import FONTS
from rungbook.drawing.sheet import Plan, Symbol
from rungbook.drawing.symbols import PAPER, DeviceSymbol, Junctions, Lines, Wires, Words

_T = TypeVar("_T")


def svg(plan: Plan, title: str, words: str, unit: float = 1.0) -> str:
    """Return `plan` as an SVG document with its title and its description. unit: of the plan, in px of the SVG."""
    with quiet():
        sheet = _filled(plan)
        canvas = canvas_of(plan.width, plan.height, title, words, unit)
        sheet.onto(canvas)
    return ET.tostring(canvas, encoding="unicode") + "\n"


def _filled(plan: Plan) -> Sheet:
    """The plan as schemdraw elements: rails, then rung by rung wires, junctions, symbols with their texts, texts."""
    sheet = Sheet(plan.width, plan.height)
    for (rung, node), wires in _by(plan.wires, lambda wire: (wire.rung, wire.node)):
        kind = "wire" if rung else "rail"
        sheet.place(Wires(wires), {"class": kind, "data-rung": str(rung), "data-wire": str(node)})
    for (rung, node), dots in _by(plan.dots, lambda dot: (dot.rung, dot.node)):
        sheet.place(Junctions(dots), {"class": "junction", "data-rung": str(rung), "data-wire": str(node)})
    for symbol in plan.symbols:
        sheet.place(DeviceSymbol(symbol.shape, (symbol.x, symbol.y)), _about(symbol), _tooltip(symbol))
    for (rung, role), lines in _by(plan.lines, lambda line: (line.rung, line.role)):
        sheet.place(Lines(lines), {"class": str(role), "data-rung": str(rung)})
    for (rung, _), texts in _by(plan.texts, lambda text: (text.rung, "")):
        sheet.place(Words(texts), {"class": "lettering"} | ({"data-rung": str(rung)} if rung else {}))
    return sheet


def _by(
    things: Iterable[_T], key: Callable[[_T], tuple[int, int | str]]
) -> list[tuple[tuple[int, int | str], list[_T]]]:
    """`things` in groups of equal `key`, groups and members in a fixed order."""
    return [(value, list(group)) for value, group in groupby(sorted(things, key=key), key=key)]


def _about(symbol: Symbol) -> dict[str, str]:
    item = symbol.wired.item
    about = {
        "class": "symbol",
        "data-device": symbol.device.tag,
        "data-rung": str(symbol.rung),
        "data-item": str(symbol.item),
        "data-left": str(symbol.wired.left),
        "data-right": str(symbol.wired.right),
    }
    return about | {"data-contact" if isinstance(item, Contact) else "data-load": item.kind}


def _tooltip(symbol: Symbol) -> str:
    words = describe_item(symbol.wired.item, symbol.device)
    first, second = symbol.wired.left, symbol.wired.right
    if symbol.wired.turned:  # the terminals are told first
        first, second = second, first
    return f"{words[:1].upper()}{words[1:]}, wires {first} and {second}"


def canvas_of(
    wide: float, high: float, title: str, words: str, unit: float = 1.0, variant: str = "", name: str = ""
) -> ET.Element:
    """Return an empty sheet of paper: an <svg> with its title, its description and a white ground.

    wide, high: of the plan; unit: of the plan, in px of the SVG. variant: what tells apart two pictures with the same
    title and words, so that their ids differ. name: what ids begin with; left out, made of variant, title and words.
    """
    name = name or "rungbook-" + sha256(f"{variant}{title}\n{words}".encode()).hexdigest()[:12]
    width, height = number(wide), number(high)
    canvas = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": number(wide * unit),
            "height": number(high * unit),
            "viewBox": f"0 0 {width} {height}",
            "style": "max-width:100%;height:auto",
            "font-family": FONTS,
            "role": "img",
            "aria-labelledby": f"{name}-title {name}-desc",
        },
    )
    ET.SubElement(canvas, "title", {"id": f"{name}-title"}).text = title
    ET.SubElement(canvas, "desc", {"id": f"{name}-desc"}).text = words
    ET.SubElement(canvas, "rect", {"width": width, "height": height, "fill": PAPER})
    return canvas
