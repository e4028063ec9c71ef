"""Marks of the live state, hidden until a class shows them: a bridge, a frame, a tint. And the style of the classes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from xml.etree import ElementTree as ET

from rungbook.circuit import Contact, Load
from rungbook.drawing.adapter import number
from rungbook.drawing.figure import ACCENT
from rungbook.drawing.shapes import Point
from rungbook.drawing.sheet import Symbol, Text
from rungbook.drawing.symbols import INK, SYMBOL

_PAD = 2.5  # round a designation in its frame
_CAPITAL = 0.73  # height of a capital letter, as a share of its size
_INSET = 2.0  # of the tint from the outline of a coil or lamp

#: what the classes look like, for the drawing with the id {name}; more specific than the marks' own style.
STYLE = """
#{name} .bridge,#{name} .frame,#{name} .tint{{display:none}}
#{name} .closed>.bridge,#{name} .away>.frame,#{name} .on>.tint{{display:inline}}
#{name} path.carries,#{name} .carries>path:not(.frame),#{name} .carries>circle:not(.tint)\
{{stroke:{accent}!important;stroke-width:3.2px!important}}
#{name} path.carries.arrow,#{name} circle.carries\
{{fill:{accent}!important;stroke:{accent}!important;stroke-width:1.2px!important}}
#{name} text.alive{{font-weight:bold;text-decoration:underline;fill:{accent}}}
"""


def style(name: str) -> str:
    """The style sheet for the drawing with the id `name`."""
    return STYLE.format(name=name, accent=ACCENT).strip()


def is_closed_as_drawn(symbol: Symbol) -> bool:
    """True if the contact that `symbol` shows is drawn closed: at rest it is."""
    item, spec = symbol.wired.item, symbol.device.spec
    assert isinstance(item, Contact)
    return spec.rest in spec.closed_in(item.kind, item.terminals)


def marks(symbol: Symbol, texts: Iterable[Text]) -> tuple[list[ET.Element], list[ET.Element]]:
    """Return what goes under the strokes of `symbol`, and what goes over them. texts: of the plan."""
    if isinstance(symbol.wired.item, Load):
        return [], [_tint(symbol)]
    own = [text for text in texts if (text.role, text.rung, text.device) == _head(symbol)]
    frames = [_frame(min(own, key=lambda text: _far(text, symbol)))] if own else []
    return ([] if is_closed_as_drawn(symbol) else [_bridge(symbol)]), frames


def _head(symbol: Symbol) -> tuple[str, int, str]:
    return ("designation", symbol.rung, symbol.device.tag)


def _far(text: Text, symbol: Symbol) -> float:
    left, top, right, bottom = text.box
    return abs((left + right) / 2 - symbol.x) + abs((top + bottom) / 2 - symbol.y)


def _bridge(symbol: Symbol) -> ET.Element:
    """A line from terminal to terminal: the contact drawn open is closed."""
    (x, y), (end, low) = symbol.terminals
    path = f"M{number(x)},{number(y)}L{number(end)},{number(low)}"
    return ET.Element(
        "path", {"class": "bridge", "d": path, "fill": "none", "stroke": INK, "stroke-width": str(SYMBOL)}
    )


def _frame(text: Text) -> ET.Element:
    """A frame round a designation: the contact is not as drawn."""
    left, _, right, _ = text.box
    top = text.y - _CAPITAL * text.style.size - _PAD
    return ET.Element(
        "rect",
        {
            "class": "frame",
            "x": number(left - _PAD),
            "y": number(top),
            "width": number(right - left + 2 * _PAD),
            "height": number(text.y + _PAD - top),
            "fill": "none",
            "stroke": ACCENT,
            "stroke-width": "1.4",
        },
    )


def _tint(symbol: Symbol) -> ET.Element:
    """A tint over the body of a coil or lamp: it is in, or lit."""
    about = {"class": "tint", "fill": ACCENT, "fill-opacity": "0.3"}
    rings = [ring for ring in symbol.shape.rings if ring.radius > 2 * _INSET]
    if rings:
        ring = max(rings, key=lambda one: one.radius)
        x, y = symbol.x + ring.centre[0], symbol.y + ring.centre[1]
        circle = {"cx": number(x), "cy": number(y), "r": number(ring.radius - _INSET)}
        return ET.Element("circle", about | circle)
    closed = [one.points for one in symbol.shape.strokes if one.points[0] == one.points[-1] and len(one.points) > 4]
    points = max(closed, key=_area, default=None) or tuple(
        (x, y) for x in symbol.shape.box[::2] for y in symbol.shape.box[1::2]
    )
    xs, ys = zip(*points, strict=True)
    left, top = symbol.x + min(xs) + _INSET, symbol.y + min(ys) + _INSET
    wide, high = max(xs) - min(xs) - 2 * _INSET, max(ys) - min(ys) - 2 * _INSET
    box = {"x": number(left), "y": number(top), "width": number(wide), "height": number(high)}
    return ET.Element("rect", about | box)


def _area(points: Sequence[Point]) -> float:
    xs, ys = zip(*points, strict=True)
    return float(max(xs) - min(xs)) * float(max(ys) - min(ys))
