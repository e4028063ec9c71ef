"""Timing diagrams: of a run, and of the orders of a verdict or a comparison."""

from __future__ import annotations

from dataclasses import replace

from rungbook.behaviour import Trace
from rungbook.drawing.figure import Figure, picture
from rungbook.drawing.picture import Picture
from rungbook.drawing.timing_axis import Scale
from rungbook.drawing.timing_describe import describe
from rungbook.drawing.timing_lanes import Course, course
from rungbook.drawing.timing_layout import LEAST, WIDTH, layout
from rungbook.errors import LadderError


def draw_trace(
    trace: Trace, since: float | None = None, until: float | None = None, width: float | None = None
) -> Picture:
    """Return the timing diagram of `trace`: what `run` returned.

    A lane a device: what a hand moves, coils, lamps, motors; below a timer the time it gathers, below an overload relay
    its heat, if a plant took part. Orders stand above, findings (race, chatter) below. Of a script that speaks of time
    the axis is in seconds, with `since` and `until` [s] its ends; else there is one column an order. width: of the
    picture [px], 900 if left out.

    Raises LadderError if `trace` is none, `since` is not before `until` within the run, either is given for a run in
    columns, or the width is less than 480 px.
    """
    if not isinstance(trace, Trace):
        raise LadderError("draw_trace", "draws what `run` returns", trace, ("run(ladder, 'press S2')",))
    whole = course(trace)
    return draw_course(_cut(whole, since, until), width)


def draw_course(shown: Course, width: float | None = None) -> Picture:
    """Return the picture of a course. Raises LadderError if the width is no number of px from 480 on."""
    wide = check_width("draw_trace", width, WIDTH, LEAST)
    figure = layout(shown, wide)
    return picture(figure, shown.title.strip() or "Timing diagram", describe(shown, scale_of(figure, shown)))


def check_width(thing: str, width: object, usual: float, least: float) -> float:
    """Return `width`, `usual` if it is None. Raises LadderError if it is no number from `least` to 20 000."""
    if width is None:
        return usual
    if isinstance(width, bool) or not isinstance(width, int | float) or not least <= width <= 20_000:
        raise LadderError(thing, f"the width is a number of px from {least:g} to 20000", width)
    return float(width)


def scale_of(figure: Figure, shown: Course) -> Scale | None:
    """The scale of a diagram over time, read back from its axis; None for columns."""
    for axis in figure.of("axis"):
        (left, _), (right, _) = axis.trails[0].points
        return Scale(shown.start, shown.end, left, right)
    return None


def _cut(whole: Course, since: float | None, until: float | None) -> Course:
    if since is None and until is None:
        return whole
    if not whole.timed:
        rule = "since and until are for a run whose script speaks of time; this one has a column an order"
        raise LadderError("draw_trace", rule, since if until is None else until)
    ends = (0.0 if since is None else since, whole.end if until is None else until)
    for end in ends:
        if isinstance(end, bool) or not isinstance(end, int | float) or not 0 <= end <= whole.end:
            raise LadderError("draw_trace", f"since and until are times of the run, 0 to {whole.end:g} s", end)
    if not ends[0] < ends[1]:
        raise LadderError("draw_trace", "since lies before until", f"{ends[0]:g} s, {ends[1]:g} s")
    orders = tuple(order for order in whole.orders if ends[0] <= order.when <= ends[1])
    return replace(whole, start=float(ends[0]), end=float(ends[1]), orders=orders)
