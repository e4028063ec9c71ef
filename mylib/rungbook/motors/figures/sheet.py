"""One sheet for all curves: a `Plot` drawn by matplotlib where that is installed, else by `drawing` alone.

Both: ink on paper, one accent, the same SVG for the same numbers.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from functools import lru_cache, wraps
from html import escape
from typing import TYPE_CHECKING, Any, ParamSpec

from rungbook.drawing.figure import ACCENT, Tone
from rungbook.drawing.metrics import text_width
from rungbook.drawing.picture import Picture
from rungbook.drawing.plot import DASHES, Axes, Plot
from rungbook.drawing.plot_layout import draw_plot
from rungbook.drawing.symbols import INK, PALE
from rungbook.motors.libraries import library

if TYPE_CHECKING:
    import matplotlib.axes

P = ParamSpec("P")
_COLOURS = {"ink": INK, "accent": ACCENT, "pale": PALE}
_SIGNS = {"dot": ("o", 5.0), "cross": ("X", 7.0)}
_HEIGHTS = {1: 4.2, 2: 5.6}  # of the sheet by its fields [inch]
_HIGHEST = 7.4
_WIDE, _SAMPLE = 518.0, 56.0  # of the sheet, of a sample in the legend with its space [pt]
_STYLE: Any = {
    "svg.fonttype": "none",  # letters stay letters
    "svg.hashsalt": "rungbook",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans", "Verdana", "sans-serif"],
    "font.size": 10,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "grid.color": "#dddddd",
    "axes.axisbelow": True,
    "legend.frameon": False,
    "legend.handlelength": 3.6,
    "lines.scale_dashes": False,
}


def tone_of(number: int) -> Tone:
    """The first line of a figure is the accent, the others are ink."""
    return "accent" if number == 0 else "ink"


def picture(plot: Plot, title: str, description: str) -> Picture:
    """`plot` as a picture: title and description stand in the SVG."""
    if library("matplotlib") is None:
        return draw_plot(plot, title, description)
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    with rc_context(_STYLE):
        count = len(plot.fields)
        figure = Figure(figsize=(7.2, _HEIGHTS.get(count, _HIGHEST)), layout="constrained")  # not pyplot's
        below = [row[0] for row in figure.subplots(count, 1, sharex=True, squeeze=False)]
        for axes, field in zip(below, plot.fields, strict=True):
            _draw(axes, field)
        below[-1].set(xlabel=plot.name, xlim=(0, plot.end))
        if plot.note:
            figure.supxlabel(plot.note, fontsize=9)
        handles, names = _legend(plot)
        if names:
            widest = max(text_width(name, _STYLE["font.size"]) for name in names)
            columns = max(1, min(3, int(_WIDE / (widest + _SAMPLE))))
            figure.legend(handles, names, loc="outside upper center", ncols=columns)
        out = io.BytesIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    svg = out.getvalue().decode()
    svg = svg[svg.index("<svg") :]
    words = f"<title>{escape(title)}</title><desc>{escape(description)}</desc>"
    opening = re.match(r"<svg[^>]*>", svg)
    assert opening is not None
    head = opening[0][:-1] + ' role="img">'
    return Picture(f"{head}{words}{svg[opening.end() :]}", description)


def _draw(axes: matplotlib.axes.Axes, field: Axes) -> None:
    """The lines, levels and points of `field`."""
    for line in field.lines:
        xs, ys = zip(*line.points, strict=True)
        axes.plot(xs, ys, color=_COLOURS[line.tone], linestyle=_dash(line.dash), linewidth=line.width * 0.8)
    for level in field.levels:
        across = axes.axvline if level.upright else axes.axhline
        across(level.at, color=_COLOURS[level.tone], linewidth=1)
        if level.name:
            right = level.end == "right"
            axes.annotate(
                level.name,
                (1 if right else 0, level.at),
                (-4 if right else 4, 3),
                xycoords=("axes fraction", "data"),
                textcoords="offset points",
                ha=level.end,
            )
    for dot in field.dots:
        sign, size = _SIGNS[dot.sign]
        axes.plot([dot.x], [dot.y], sign, color=_COLOURS[dot.tone], markersize=size, clip_on=False)
        if dot.name:
            side = "left" if dot.nudge[0] > 0 else "right"
            axes.annotate(dot.name, (dot.x, dot.y), dot.nudge, textcoords="offset points", ha=side)
    axes.set(ylabel=field.name, ylim=field.reach)


def _dash(number: int) -> Any:
    return (0, tuple(0.8 * length for length in DASHES[number])) if DASHES[number] else "-"


def _legend(plot: Plot) -> tuple[list[Any], list[str]]:
    """A sample and a name of each line and of each sign."""
    from matplotlib.lines import Line2D

    handles: list[Any] = [
        Line2D([], [], color=_COLOURS[line.tone], linestyle=_dash(line.dash), linewidth=line.width * 0.8)
        for line in plot.named
    ]
    for sign, _ in plot.signs:
        mark, size = _SIGNS[sign]
        handles.append(Line2D([], [], color=INK, marker=mark, markersize=size, linestyle=""))
    return handles, [line.name for line in plot.named] + [name for _, name in plot.signs]


@lru_cache(maxsize=32, typed=True)
def kept(make: Callable[..., Picture], *args: Any, **kwargs: Any) -> Picture:
    """What `make` gives; the last 32 pictures are kept."""
    return make(*args, **kwargs)


def drawn_once(make: Callable[P, Picture]) -> Callable[P, Picture]:
    """Draw a figure of the same numbers once: it is the same SVG, and takes up to a second."""

    @wraps(make)
    def once(*args: P.args, **kwargs: P.kwargs) -> Picture:
        named: dict[str, Any] = dict(kwargs)
        try:
            hash((*args, *named.values()))
        except TypeError:  # a list, say: `make` tells what is wrong with it
            return make(*args, **kwargs)
        return kept(make, *args, **named)

    return once
