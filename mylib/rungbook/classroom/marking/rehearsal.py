"""What notebooks of the course do, done once in the warm process: what it loads, lays out and remembers, forks have.

The interpreter adapts code that has run some times, too, and every fork would begin anew. Nothing of it can be seen.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any


def rehearse(show: Callable[[object], Any]) -> None:
    """Build, check, run, draw and wire a small control; `show` makes of a value what a notebook shows of it."""
    from rungbook import NC, NO, Device, Ladder, check, coil, draw, lamp, run
    from rungbook.grading import how_read, on_kit

    panel = [
        Device("S1", "push button", "red", "stop"),
        Device("S2", "push button", "green", "start"),
        Device("F1", "overload relay", label="pump motor"),
        Device("Q1", "contactor", label="pump"),
        Device("P1", "pilot lamp", "green", "running"),
    ]
    for title in ("Rehearsal", "Rehearsal, once more"):
        pump = Ladder(title, panel)
        pump.rung(NC("S1") & (NO("S2") | NO("Q1", "13-14")) & NC("F1", "95-96"), coil("Q1"))
        pump.rung(NO("Q1", "43-44"), lamp("P1", "green"))
        show(draw(pump))
        show(run(pump, "press S2, let S2 go, press S1"))
        show(check(pump, ("press S2, let S2 go", {"Q1": "in"}), ("press S1", {"Q1": "out"})))
        wired = on_kit(pump)
        if wired.wiring is not None:
            show(draw(wired.wiring))
        show(how_read({"first": "1 A"}, {"first": "A"}))
        show([title])


def rehearse_plots() -> None:
    """Load what the first picture of a plotting library loads, if there is one; pyplot is for cells to load."""
    try:
        from matplotlib.figure import Figure
    except ImportError:
        return

    figure = Figure()
    figure.text(0, 0, "A")
    figure.savefig(io.BytesIO(), format="svg")
    figure.savefig(io.BytesIO(), format="png")
