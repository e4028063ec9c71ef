"""One sheet for all curves: ink on paper, one accent, the same SVG for the same numbers."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache, wraps
from html import escape
from typing import TYPE_CHECKING, Any, ParamSpec

from rungbook.drawing.picture import Picture
from rungbook.motors.libraries import library

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, ACCENT, PALE = "#1a1a1a", "#B85C00", "#8a8a8a"
P = ParamSpec("P")
DASHES: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (2, 2)), (0, (8, 2, 2, 2)), (0, (10, 2, 2, 2, 2, 2)))
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
    "legend.handlelength": 3.2,
}


@contextmanager
def sheet(rows: int = 1, *, height: float = 4.0, width: float = 7.2) -> Iterator[tuple[Figure, Sequence[Axes]]]:
    """A figure of `width` × `height` [inch] with `rows` axes one above the other, sharing x; not pyplot's.

    Raises LadderError without matplotlib.
    """
    library("matplotlib", "This figure")
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    with rc_context(_STYLE):
        figure = Figure(figsize=(width, height), layout="constrained")
        axes = figure.subplots(rows, 1, sharex=True, squeeze=False)
        yield figure, [row[0] for row in axes]


def picture(figure: Figure, title: str, description: str) -> Picture:
    """The finished figure as a `Picture`: title and description stand in the SVG. Call inside `sheet`."""
    out = io.BytesIO()
    figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    svg = out.getvalue().decode()
    svg = svg[svg.index("<svg") :]
    words = f"<title>{escape(title)}</title><desc>{escape(description)}</desc>"
    opening = re.match(r"<svg[^>]*>", svg)
    assert opening is not None
    head = opening[0][:-1] + ' role="img">'
    return Picture(f"{head}{words}{svg[opening.end() :]}", description)


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
