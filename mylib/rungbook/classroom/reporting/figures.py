"""Figures of a report, by matplotlib, as SVG that stands in the page."""

from __future__ import annotations

import io
from collections.abc import Sequence
from html import escape
from typing import Any

_INK, _ACCENT, _PALE = "#1a1a1a", "#B85C00", "#d9d9d9"


def shares(names: Sequence[str], values: Sequence[float]) -> str:
    """Bars: share of the points earned, 0 to 1, an exercise a bar."""
    words = "; ".join(f"{name} {100 * value:.0f} %" for name, value in zip(names, values, strict=True))

    def draw(axes: Any) -> None:
        places = range(len(names))
        axes.barh(places, [100 * value for value in values], color=_PALE, edgecolor=_INK, linewidth=0.8)
        for at, value in zip(places, values, strict=True):
            axes.text(101, at, f"{100 * value:.0f}", va="center", fontsize=8, clip_on=False)
        axes.set_yticks(list(places), names, fontsize=8)
        axes.invert_yaxis()
        axes.set_xlim(0, 100)
        axes.set_xlabel("share of the points earned [%]", fontsize=8)

    return _svg(draw, 0.32 * len(names) + 0.7, f"Share of the points earned by exercise: {words}")


def aims(names: Sequence[str], values: Sequence[float], counts: Sequence[int]) -> str:
    """Bars: percent of the students who reached it, an aim a bar, with the number of students it is of."""
    told = zip(names, values, counts, strict=True)
    words = "; ".join(f"{name} {value:.0f} % of {count}" for name, value, count in told)

    def draw(axes: Any) -> None:
        places = range(len(names))
        axes.barh(places, values, color=_PALE, edgecolor=_INK, linewidth=0.8)
        for at, value, count in zip(places, values, counts, strict=True):
            axes.text(101, at, f"{value:.0f} % of {count}", va="center", fontsize=8, clip_on=False)
        axes.set_yticks(list(places), names, fontsize=8)
        axes.set_ylim(len(names) - 0.4, -0.6)
        axes.set_xlim(0, 100)
        axes.set_xlabel("students who reached the aim [%], of how many", fontsize=8)

    return _svg(draw, 0.24 * len(names) + 0.8, f"Share of the students who reached each aim: {words}")


def scores(values: Sequence[float], most: float) -> str:
    """Columns: how many students earned how many points, ten classes from 0 to `most`."""
    counts = [0] * 10
    for value in values:
        counts[min(9, int(10 * value / most))] += 1
    words = ", ".join(
        f"{count} from {most * k / 10:g} to {most * (k + 1) / 10:g}" for k, count in enumerate(counts) if count
    )

    def draw(axes: Any) -> None:
        axes.bar(
            [most * (k + 0.5) / 10 for k in range(10)],
            counts,
            most / 10,
            color=_PALE,
            edgecolor=_INK,
            lw=0.8,
            clip_on=False,
        )
        axes.set_xlim(0, most)
        axes.set_ylim(0, max(1, *counts) * 1.1)
        axes.yaxis.get_major_locator().set_params(integer=True)
        axes.set_xlabel("points", fontsize=8)
        axes.set_ylabel("students", fontsize=8)

    return _svg(draw, 2.2, f"Students by points: {words or 'none marked'}")


def course(labs: Sequence[str], means: Sequence[float | None], own: Sequence[Sequence[float | None]]) -> str:
    """Lines: percent in each lab, a pale line a student, the class's mean in the accent."""
    told = "; ".join(f"{lab} {mean:.0f} %" for lab, mean in zip(labs, means, strict=True) if mean is not None)

    def draw(axes: Any) -> None:
        at = range(len(labs))
        for line in own:
            axes.plot(at, [float("nan") if one is None else one for one in line], color="#b0b0b0", lw=0.7, marker=".")
        axes.plot(at, [float("nan") if one is None else one for one in means], color=_ACCENT, lw=2.2, marker="o")
        axes.set_xticks(list(at), labs, fontsize=8)
        axes.set_xlim(-0.3, len(labs) - 0.7)
        axes.set_ylim(-3, 103)
        axes.set_ylabel("points earned [%]", fontsize=8)

    return _svg(draw, 2.6, f"Mean of the class by lab (thick line; thin lines are students): {told or 'none marked'}")


def _svg(draw: Any, height: float, words: str) -> str:
    """An SVG element with `words` as its text for a screen reader. height [inch]; the width is 6.4 inch."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    with matplotlib.rc_context({"svg.hashsalt": "rungbook", "svg.fonttype": "none", "font.family": "sans-serif"}):
        figure = Figure(figsize=(6.4, height), layout="constrained")
        FigureCanvasSVG(figure)
        axes = figure.add_subplot()
        axes.spines[["top", "right"]].set_visible(False)
        axes.tick_params(labelsize=8)
        draw(axes)
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    text = out.getvalue()
    text = text[text.index("<svg") :]
    return text.replace("<svg", f'<svg role="img" aria-label="{escape(words, quote=True)}"', 1)
