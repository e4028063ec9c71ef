"""The overload relay through a start: current against the trip curve, and the heat over time."""

from __future__ import annotations

from rungbook.drawing.picture import Picture
from rungbook.drawing.plot import MOST, Axes, Dot, Level, Line, Plot
from rungbook.errors import LadderError
from rungbook.motors.figures.sheet import picture, tone_of
from rungbook.motors.start_heating import StartHeating


def heating_figure(*starts: StartHeating) -> Picture:
    """Return the heat in the overload relay over time through up to five starts; at 100 % it trips.

    Raises LadderError if there is none, or more than five.
    """
    if not 0 < len(starts) <= MOST:
        raise LadderError("heating_figure", f"draws one to {MOST} starts", len(starts), ("start_heating(…)",))
    lines, dots = [], []
    for number, start in enumerate(starts):
        shown = [(seconds, 100 * heat) for seconds, heat in start.course if start.trip is None or seconds <= start.trip]
        if start.trip is not None:
            shown.append((start.trip, 100.0))
        name = f"{start.run_up.starter.name}: class {start.trip_class}, {'warm' if start.warm else 'cold'}"
        lines.append(Line(tuple(shown), name, tone_of(number), number))
        dots.append(Dot(*shown[-1], sign="dot" if start.trip is None else "cross", tone=tone_of(number)))
    levels = (Level(100.0, "trips", end="right"),)
    field = Axes("heat [% of that at which it trips]", tuple(lines), tuple(dots), levels, top=115.0)
    told = " ".join(f"{start.run_up.starter.name}, {start}." for start in starts)
    plot = Plot("time [s]", 1.05 * max(dot.x for dot in dots), (field,))
    return picture(plot, "Heat in the overload relay during the start", f"Heat in the overload relay. {told}")
