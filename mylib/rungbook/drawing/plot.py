"""Curves over one common axis, as data: what a plot shows, apart from who draws it.

Enters: numbers in the units that the names of the axes tell. `draw_plot` draws it here, with no library; the motors
room draws the same data with matplotlib where that is installed. Lines differ in their dashes, not in colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungbook.drawing.figure import Tone

#: strokes and gaps [px] of the first line, the second, …; the last pattern is for a line that is no equal of these.
DASHES: tuple[tuple[float, ...], ...] = ((), (9, 3), (3, 3), (12, 3, 3, 3), (15, 3, 3, 3, 3, 3), (2, 5))
MOST = len(DASHES) - 1  # lines of one kind that one plot tells apart

Sign = Literal["dot", "cross"]


@dataclass(frozen=True)
class Line:
    """A curve through `points` (x, y). name: in the legend, "" for none. dash: a place in `DASHES`. width [px]."""

    points: tuple[tuple[float, float], ...]
    name: str = ""
    tone: Tone = "ink"
    dash: int = 0
    width: float = 2.0


@dataclass(frozen=True)
class Dot:
    """A point of its own with `name` beside it, "" for none. nudge: where the name stands best [px, y upwards]."""

    x: float
    y: float
    name: str = ""
    sign: Sign = "dot"
    tone: Tone = "ink"
    nudge: tuple[float, float] = (8.0, 8.0)


@dataclass(frozen=True)
class Level:
    """A line right across the field at the height `at`, or upright at x `at`. name: over its left or right `end`."""

    at: float
    name: str = ""
    tone: Tone = "ink"
    upright: bool = False
    end: Literal["left", "right"] = "left"


@dataclass(frozen=True)
class Axes:
    """One field. name: of the upright axis, with its unit. bottom, top: of that axis, None: as far as the lines go."""

    name: str
    lines: tuple[Line, ...]
    dots: tuple[Dot, ...] = ()
    levels: tuple[Level, ...] = ()
    bottom: float | None = 0.0
    top: float | None = None

    @property
    def reach(self) -> tuple[float, float]:
        """Lower and upper end of the upright axis."""
        heights = [y for line in self.lines for _, y in line.points]
        heights += [dot.y for dot in self.dots] + [level.at for level in self.levels if not level.upright]
        low, high = min(heights, default=0.0), max(heights, default=1.0)
        room = 0.05 * (high - low or abs(high) or 20.0)
        return (
            low - room if self.bottom is None else self.bottom,
            high + room if self.top is None else self.top,
        )


@dataclass(frozen=True)
class Plot:
    """Fields one above the other over a common axis from 0 to `end`, its name with its unit.

    signs: what a sign means, for the legend. note: a sentence below.
    """

    name: str
    end: float
    fields: tuple[Axes, ...]
    signs: tuple[tuple[Sign, str], ...] = ()
    note: str = ""

    @property
    def named(self) -> tuple[Line, ...]:
        """The lines of the legend: the first one of each name and pattern."""
        found: dict[tuple[str, int], Line] = {}
        for axes in self.fields:
            for line in axes.lines:
                if line.name:
                    found.setdefault((line.name, line.dash), line)
        return tuple(found.values())
