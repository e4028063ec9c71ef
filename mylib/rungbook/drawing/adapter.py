"""The one file that knows schemdraw from the inside (pinned to 0.23; `tests/drawing/test_adapter.py` guards it).

Three things schemdraw has no public way for: being imported without matplotlib, giving each element a group of its
own in the SVG, and lettering that is neither measured nor read as mathematics. Nothing is left behind in schemdraw's
own variables: a user's theme, open drawing or matplotlib drawing is not disturbed, nor does it disturb ours.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from types import ModuleType
from typing import Any
from xml.etree import ElementTree as ET

from rungbook.drawing.shapes import Box

_BACKEND = "schemdraw.backends.mpl"


def load_schemdraw() -> ModuleType:
    """Import schemdraw, leaving matplotlib for the moment when somebody draws with it.

    schemdraw 0.23 imports its matplotlib backend when it is itself imported, which takes a second or more. A stand-in
    takes the backend's place during the import and is removed again; the first matplotlib figure then loads the
    real one. If schemdraw is loaded already, or there is no matplotlib, this is a plain import.
    """
    if "schemdraw" in sys.modules or _BACKEND in sys.modules or find_spec("matplotlib") is None:
        return importlib.import_module("schemdraw")
    stand_in = ModuleType(_BACKEND)
    stand_in.Figure = _late_figure  # type: ignore[attr-defined]
    sys.modules[_BACKEND] = stand_in
    try:
        return importlib.import_module("schemdraw")
    finally:
        del sys.modules[_BACKEND]


def _late_figure(*args: Any, **kwargs: Any) -> Any:
    """Load the real matplotlib backend, put it where schemdraw looks for it, and make the figure asked for."""
    figure = importlib.import_module(_BACKEND).Figure
    for name in ("schemdraw.schemdraw", "schemdraw.elements.elements"):
        sys.modules[name].mplFigure = figure  # type: ignore[attr-defined]
    return figure(*args, **kwargs)


schemdraw = load_schemdraw()

from schemdraw import drawing_stack  # noqa: E402
from schemdraw.elements import Element  # noqa: E402
from schemdraw.segments import Segment, SegmentArc, SegmentCircle, SegmentText  # noqa: E402
from schemdraw.transform import Transform  # noqa: E402
from schemdraw.types import BBox  # noqa: E402
from schemdraw.util import Point  # noqa: E402

__all__ = ["Lettering", "Mark", "Segment", "SegmentArc", "SegmentCircle", "Sheet", "load_schemdraw", "quiet"]


@contextmanager
def quiet() -> Iterator[None]:
    """Within: a new element does not join the drawing that a user may have open in a `with` block."""
    before = drawing_stack.pause
    drawing_stack.pause = True
    try:
        yield
    finally:
        drawing_stack.pause = before


Run = tuple[str, bool]  # a piece of text, and whether it is underlined


class _Shift(Transform):
    """A shift alone: schemdraw's own turns and scales every point as well, by nothing."""

    def transform(self, pt: Any) -> Point:
        """The point shifted."""
        return Point((pt[0] + self.shift[0], pt[1] + self.shift[1]))

    def transform_array(self, pts: Any) -> list[Point]:
        """The points shifted."""
        dx, dy = self.shift
        return [Point((x + dx, y + dy)) for x, y in pts]


class Mark(Element):  # type: ignore[no-untyped-call]
    """An element whose line style is settled when it is made: colour, and width of line `lw` [px].

    Anchors are set by each kind of mark. schemdraw would look every property up in four places for every stroke,
    which is most of the time a drawing takes.
    """

    def __init__(self, at: tuple[float, float], color: str, lw: float, anchor: str | None = None) -> None:
        super().__init__(at=at, theta=0, anchor=anchor)
        self._at = (at, anchor)
        self._look = {"color": color, "lw": lw, "ls": None, "fill": None}

    def _place(self, dwgxy: Any, dwgtheta: float, **dwgparams: Any) -> tuple[Any, float]:
        """Settle where the mark stands, with its anchor on its place; the drawing goes on where it was."""
        (x, y), anchor = self._at
        dx, dy = self.anchors[anchor] if anchor else (0.0, 0.0)
        self.transform = _Shift(0, (x - dx, y - dy))
        self.absanchors.update({name: self.transform.transform(place) for name, place in self.anchors.items()})
        return dwgxy, dwgtheta

    def _draw(self, fig: Any) -> None:
        for segment in self.segments:
            segment.draw(fig, self.transform, **self._look)


class Lettering(SegmentText):
    """Text as one SVG <text> with its baseline at `at`; its box [drawing units] is given, not estimated.

    schemdraw's own text reads "$" and "&" as mark-up and is placed by a baseline that browsers differ on.
    """

    def __init__(self, at: tuple[float, float], runs: Sequence[Run], box: Box, style: Mapping[str, str]) -> None:
        super().__init__(at, "".join(text for text, _ in runs))
        self._runs = tuple(runs)
        self._box = box
        self._style = dict(style)

    def get_bbox(self) -> BBox:
        """The box given; x to the right, y upwards."""
        left, top, right, bottom = self._box
        return BBox(left, top, right, bottom)

    def draw(self, fig: Any, transform: Any, **style: Any) -> None:
        """Append the <text> to an SVG figure; `style` of the element is not used."""
        x, y = fig.xform(*transform.transform(self.xy))
        text = ET.Element("text", {"x": number(x), "y": number(y), **self._style})
        if len(self._runs) == 1 and not self._runs[0][1]:
            text.text = self._runs[0][0]
        else:
            for words, underlined in self._runs:
                span = ET.SubElement(text, "tspan", {"text-decoration": "underline"} if underlined else {})
                span.text = words
        fig.svgelements.append((3, text))


def number(value: float) -> str:
    """A coordinate [px] to a hundredth, without trailing zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class Sheet(schemdraw.Drawing):  # type: ignore[misc, name-defined]
    """A drawing whose unit is 1 px, whose size is known, and whose elements each get a <g> with attributes.

    width, height [px]. What `schemdraw.config`, a theme or `schemdraw.debug` says does not count here.
    """

    def __init__(self, width: float, height: float) -> None:
        super().__init__(show=False, canvas="svg", unit=1.0, inches_per_unit=1 / 72, margin=0.0, dwgbbox=False)
        self._size = (width, height)
        self._groups: list[tuple[dict[str, str], str]] = []

    def place(self, element: Mark, attributes: Mapping[str, str], title: str = "") -> None:
        """Add `element`; its marks will stand in a <g> with `attributes`, and `title` as a tooltip if not empty."""
        self.add(element)
        self._groups.append((dict(attributes), title))

    def get_bbox(self) -> BBox:
        """The whole sheet, whatever stands on it."""
        return BBox(0.0, -self._size[1], self._size[0], 0.0)

    def _drawelements(self) -> None:
        for element, (attributes, title) in zip(self.elements, self._groups, strict=True):
            marks = self.fig.svgelements
            first = len(marks)
            element._draw(self.fig)
            group = ET.Element("g", attributes)
            if title:
                ET.SubElement(group, "title").text = title
            group.extend(mark for _, mark in sorted(marks[first:], key=lambda pair: pair[0]))
            marks[first:] = [(1, group)]

    def onto(self, canvas: ET.Element) -> None:
        """Draw on `canvas`, an <svg> element, in the order in which the elements were placed."""
        self.draw(show=False, canvas=canvas)
        self.fig.getsvg()
