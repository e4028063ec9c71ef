"""A figure that is no circuit: lines and texts in named groups, for diagrams over time, charts, curves and tables.

Plain frozen data first (`Figure`), then the elements for schemdraw and the SVG. Lengths [px], x to the right, y
downwards, origin at the upper left corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil
from typing import Any, Literal
from xml.etree import ElementTree as ET

from rungbook.drawing.adapter import Lettering, Mark, Segment, Sheet, number, quiet
from rungbook.drawing.metrics import ASCENT, LINE
from rungbook.drawing.picture import Picture
from rungbook.drawing.shapes import Box, Point
from rungbook.drawing.sheet import STYLES, Align, Text
from rungbook.drawing.svg import canvas_of
from rungbook.drawing.symbols import INK, PALE, PAPER, lettering_style

Tone = Literal["ink", "pale", "accent", "grid", "wash", "paper"]

ACCENT = "#B85C00"  # contrast 4.6:1 on white
MARGIN = 16.0  # round a figure
TITLE = 30.0  # from the upper edge to the baseline of the title
_COLOURS = {
    "ink": INK,
    "pale": PALE,
    "accent": ACCENT,
    "grid": "#d4d4d4",  # never the only sign of anything
    "wash": "#ececec",  # under ink; contrast of ink on it 14:1
    "paper": PAPER,
}


@dataclass(frozen=True)
class Trail:
    """A line through `points`. width [px], 0 for none; tone: of the line. filled: tone of the area within, or "".

    dashes: strokes and gaps of a dashed line in turn [px].
    """

    points: tuple[Point, ...]
    width: float = 1.2
    tone: Tone = "ink"
    dashed: bool = False
    filled: Tone | Literal[""] = ""
    dashes: tuple[float, ...] = (4, 3)

    @property
    def box(self) -> Box:
        """What the line covers, without its width."""
        xs, ys = zip(*self.points, strict=True)
        return (min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True)
class Group:
    """Lines, and texts over them, that belong together. about: attributes of the <g>. title: a tooltip, or ""."""

    about: tuple[tuple[str, str], ...]
    trails: tuple[Trail, ...] = ()
    texts: tuple[Text, ...] = ()
    title: str = ""

    def get(self, name: str) -> str:
        """The attribute `name`, "" if the group has none."""
        return dict(self.about).get(name, "")


@dataclass(frozen=True)
class Figure:
    """A whole figure of `width` by `height`."""

    width: float
    height: float
    groups: tuple[Group, ...]

    def of(self, kind: str) -> Iterator[Group]:
        """The groups of class `kind`."""
        return (group for group in self.groups if group.get("class") == kind)

    @property
    def texts(self) -> tuple[Text, ...]:
        """All texts."""
        return tuple(text for group in self.groups for text in group.texts)


class _Stroke(Segment):
    """A trail as one SVG <path> with its points to a hundredth of a px."""

    def __init__(self, trail: Trail) -> None:
        super().__init__([trail.points[0], trail.points[-1]])
        self._trail = trail

    def draw(self, fig: Any, transform: Any, **style: Any) -> None:
        """Append the <path> to an SVG figure; `style` of the element is not used."""
        trail = self._trail
        path = ET.Element("path", {"d": "M" + "L".join(f"{number(x)},{number(y)}" for x, y in trail.points)})
        path.set("fill", _COLOURS[trail.filled] if trail.filled else "none")
        if trail.width:
            path.set("stroke", _COLOURS[trail.tone])
            path.set("stroke-width", number(trail.width))
            path.set("stroke-linejoin", "round")
            if trail.dashed:
                path.set("stroke-dasharray", " ".join(map(number, trail.dashes)))
        fig.svgelements.append((2, path))


class _Marks(Mark):  # type: ignore[no-untyped-call]
    """The lines and texts of a group. Anchor: `start`, the first point or the base of the first text."""

    def __init__(self, group: Group) -> None:
        super().__init__((0, 0), INK, 1.0)
        first = group.trails[0].points[0] if group.trails else (group.texts[0].x, group.texts[0].y)
        self.anchors["start"] = (first[0], -first[1])
        self.segments += [_Stroke(trail) for trail in group.trails]
        for text in group.texts:
            left, top, right, bottom = text.box
            style = lettering_style(text) | _HALO
            self.segments.append(Lettering((text.x, -text.y), text.runs, (left, -bottom, right, -top), style))


_HALO = {"stroke": PAPER, "stroke-width": "3", "stroke-linejoin": "round", "paint-order": "stroke"}  # over lines


def picture(figure: Figure, title: str, words: str, unit: float = 1.0) -> Picture:
    """Return `figure` as a picture. title, words: of the SVG. unit: of the figure, in px of the SVG."""
    with quiet():
        sheet = Sheet(figure.width, figure.height)
        for group in figure.groups:
            if group.trails or group.texts:
                sheet.place(_Marks(group), dict(group.about), group.title)
        paper = canvas_of(figure.width, figure.height, title, words, unit)
        sheet.onto(paper)
    return Picture(ET.tostring(paper, encoding="unicode") + "\n", words)


def stacked(role: str, x: float, top: float, lines: Iterable[str], align: Align = "start") -> tuple[Text, ...]:
    """Lines of text below one another, the first one's box beginning at `top`."""
    size = STYLES[role].size
    return tuple(
        Text(role, x, round(top + ASCENT * size + n * LINE * size, 2), ((words, False),), align)
        for n, words in enumerate(lines)
    )


def height_of(role: str, count: int) -> float:
    """Height of `count` lines of text [px]."""
    return ceil(LINE * STYLES[role].size * count)


def heading(words: str) -> Group:
    """The title of a figure."""
    return Group((("class", "title"),), (), (Text("title", MARGIN, TITLE, ((words, False),), "start"),))
