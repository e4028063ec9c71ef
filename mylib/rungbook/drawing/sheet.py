"""What stands where on a sheet: symbols, wires, dots, texts. Plain frozen data, the result of `layout`.

Lengths [px], x to the right, y downwards, origin at the upper left corner.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Literal

from rungbook.circuit import Wired
from rungbook.drawing.metrics import ASCENT, DESCENT, text_width
from rungbook.drawing.shapes import Box, Point, Shape
from rungbook.kit import Device

Align = Literal["start", "middle", "end"]


@dataclass(frozen=True)
class TextStyle:
    """How a kind of text looks. size [px]; pale: grey with a contrast of 7:1 on white, else ink."""

    size: float
    bold: bool = False
    italic: bool = False
    pale: bool = False


#: role of a text -> its style.
STYLES: Mapping[str, TextStyle] = MappingProxyType(
    {
        "title": TextStyle(17, bold=True),
        "rail": TextStyle(12, bold=True),
        "rung": TextStyle(13, bold=True),
        "designation": TextStyle(13, bold=True),
        "inside": TextStyle(12, bold=True),
        "inside small": TextStyle(9.5, bold=True),
        "terminal": TextStyle(10),
        "plate": TextStyle(11),
        "wire": TextStyle(10, italic=True, pale=True),
        "reference": TextStyle(12),
        "note": TextStyle(12),
        "continuation": TextStyle(11, bold=True),
        "table": TextStyle(10.5),
        "page": TextStyle(11),
        "legend": TextStyle(10.5, pale=True),
        "lane": TextStyle(12, bold=True),
        "order": TextStyle(11),
        "word": TextStyle(10.5),
        "tick": TextStyle(10.5),
        "head": TextStyle(11, bold=True),
        "cell": TextStyle(11),
        "mark": TextStyle(11, bold=True),
        "kind": TextStyle(9.5, pale=True),
        "pole": TextStyle(9, pale=True),
        "sleeve": TextStyle(9.5, bold=True),
        "sleeve letter": TextStyle(9, bold=True),
    }
)


@dataclass(frozen=True)
class Text:
    """One line of text. role: a key of `STYLES`. (x, y): where `align` and the baseline say.

    runs: pieces of the line, each with True if underlined. rung, device: what the text belongs to (0, "" if none).
    """

    role: str
    x: float
    y: float
    runs: tuple[tuple[str, bool], ...]
    align: Align = "middle"
    rung: int = 0
    device: str = ""

    @property
    def words(self) -> str:
        """The line without its underlining."""
        return self.runs[0][0] if len(self.runs) == 1 else "".join(text for text, _ in self.runs)

    @property
    def style(self) -> TextStyle:
        """How the line looks."""
        return STYLES[self.role]

    @cached_property
    def width(self) -> float:
        """Length of the line [px]."""
        return text_width(self.words, self.style.size, self.style.bold)

    @cached_property
    def box(self) -> Box:
        """Space the line takes, from the top of its ascenders to the bottom of its descenders."""
        left = self.x - {"start": 0.0, "middle": self.width / 2, "end": self.width}[self.align]
        return (left, self.y - ASCENT * self.style.size, left + self.width, self.y + DESCENT * self.style.size)

    def moved(self, dx: float, dy: float, rung: int) -> Text:
        """The same text shifted by (dx, dy), on `rung`."""
        return Text(self.role, self.x + dx, self.y + dy, self.runs, self.align, rung, self.device)


@dataclass(frozen=True)
class Symbol:
    """A device's symbol with its middle at (x, y). item: its place in the rung's reading order, from 1."""

    shape: Shape
    x: float
    y: float
    rung: int
    item: int
    wired: Wired
    device: Device

    @property
    def terminals(self) -> tuple[Point, Point]:
        """Where its two wires end: left and right, or top and bottom if it is turned."""
        (x, y), (end, low) = self.shape.terminals[:2]
        return (self.x + x, self.y + y), (self.x + end, self.y + low)

    @property
    def box(self) -> Box:
        """What the symbol's strokes cover."""
        left, top, right, bottom = self.shape.box
        return (self.x + left, self.y + top, self.x + right, self.y + bottom)


@dataclass(frozen=True)
class Wire:
    """A straight piece of wire, left to right or downwards, of node `node`. rung 0: a rail."""

    rung: int
    node: int
    start: Point
    end: Point


@dataclass(frozen=True)
class Dot:
    """A junction: three or more wires of `node` meet here. loose: an end that goes nowhere instead, an empty circle."""

    rung: int
    node: int
    x: float
    y: float
    loose: bool = False


@dataclass(frozen=True)
class Line:
    """A line that is no wire, through `points`: an arrow, a frame, a rule of a table.

    role: what it is for; the class of its group in the SVG. width [px]. filled: closed and solid. rung, device: what it
    belongs to (0, "" if none).
    """

    role: str
    points: tuple[Point, ...]
    width: float = 1.0
    filled: bool = False
    dashed: bool = False
    rung: int = 0
    device: str = ""

    @property
    def box(self) -> Box:
        """What the line covers."""
        xs, ys = zip(*self.points, strict=True)
        return (min(xs), min(ys), max(xs), max(ys))

    def moved(self, dx: float, dy: float, rung: int) -> Line:
        """The same line shifted by (dx, dy), on `rung`."""
        points = tuple((x + dx, y + dy) for x, y in self.points)
        return Line(self.role, points, self.width, self.filled, self.dashed, rung, self.device)


@dataclass(frozen=True)
class Plan:
    """A whole sheet of `width` by `height`."""

    width: float
    height: float
    symbols: tuple[Symbol, ...]
    wires: tuple[Wire, ...]
    dots: tuple[Dot, ...]
    texts: tuple[Text, ...]
    lines: tuple[Line, ...] = ()
