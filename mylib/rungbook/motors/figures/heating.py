"""The overload relay through a start: current against the trip curve, and the heat over time."""

from __future__ import annotations

from rungbook.drawing.picture import Picture
from rungbook.errors import LadderError
from rungbook.motors.figures.sheet import ACCENT, DASHES, INK, picture, sheet
from rungbook.motors.start_heating import StartHeating


def heating_figure(*starts: StartHeating) -> Picture:
    """Return the heat in the overload relay over time through up to five starts; at 100 % it trips.

    Raises LadderError if there is none, or more than five.
    """
    if not 0 < len(starts) <= len(DASHES):
        raise LadderError("heating_figure", f"draws one to {len(DASHES)} starts", len(starts), ("start_heating(…)",))
    with sheet(height=4.2) as (figure, (axis,)):
        for number, (start, dash) in enumerate(zip(starts, DASHES, strict=False)):
            ink = ACCENT if number == 0 else INK
            shown = [point for point in start.course if start.trip is None or point[0] <= start.trip]
            if start.trip is not None:
                shown.append((start.trip, 1.0))
            times, heats = [seconds for seconds, _ in shown], [100 * heat for _, heat in shown]
            name = f"{start.run_up.starter.name}: class {start.trip_class}, {'warm' if start.warm else 'cold'}"
            axis.plot(times, heats, color=ink, linestyle=dash, label=name)
            axis.plot(times[-1:], heats[-1:], "X" if start.trip is not None else "o", color=ink, markersize=7)
        axis.axhline(100, color=INK, linewidth=1)
        where = ("axes fraction", "data")
        axis.annotate("trips", (1, 100), (-4, 3), xycoords=where, textcoords="offset points", ha="right")
        axis.set(xlabel="time [s]", ylabel="heat [% of that at which it trips]", ylim=(0, 115), xlim=(0, None))
        figure.legend(loc="outside upper center", ncols=2)
        told = " ".join(f"{start.run_up.starter.name}, {start}." for start in starts)
        return picture(figure, "Heat in the overload relay during the start", f"Heat in the overload relay. {told}")
