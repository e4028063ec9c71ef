"""What is left of the voltage at a coil over the length of its control line."""

from __future__ import annotations

from rungbook.drawing.picture import Picture
from rungbook.drawing.plot import MOST, Axes, Dot, Level, Line, Plot
from rungbook.errors import LadderError
from rungbook.kit.ratings import SUPPLY, CoilRating, SupplyRating
from rungbook.motors.answer import Given, given
from rungbook.motors.control_drop import LEAST, control_drop, longest_line
from rungbook.motors.figures.sheet import picture, tone_of
from rungbook.motors.units import show


def control_drop_figure(
    *mm2: Given, coil: CoilRating | None = None, supply: SupplyRating = SUPPLY, celsius: Given = 40.0
) -> Picture:
    """Return the voltage at a coil while it pulls in over the length of the line, a curve for each of `mm2` [mm²].

    Up to five areas. Raises LadderError if there is none or more, or as `longest_line`.
    """
    if not 0 < len(mm2) <= MOST:
        raise LadderError("control_drop_figure", f"draws one to {MOST} areas", len(mm2), ("1.5, 2.5",))
    areas = [given("Area of the wire", area, "mm²", 0, 240, above=True)[0] for area in mm2]
    rating = CoilRating() if coil is None else coil
    ends = [longest_line(area, rating, supply, celsius) for area in areas]
    far = min(1.2 * max(ends), 10_000.0)
    lines, dots, told = [], [], []
    for number, (area, end) in enumerate(zip(areas, ends, strict=True)):
        lengths = [far * k / 100 for k in range(101)]
        gets = tuple((length, control_drop(length, area, rating, supply, celsius).pull_in) for length in lengths)
        tone = tone_of(number)
        lines.append(Line(gets, show(area, "mm²"), tone, number))
        if end < far:
            dots.append(Dot(end, LEAST * rating.volts, tone=tone))
        told.append(f"{show(area, 'mm²')}: up to {show(end, 'm')}")
    note = f"Line across: {show(LEAST * rating.volts, 'V')}, 85 %; below it the coil is not sure to pull in."
    levels = (Level(LEAST * rating.volts, tone="pale"),)
    field = Axes("at the coil, magnet open [V]", tuple(lines), tuple(dots), levels, bottom=None)
    words = f"Voltage at a coil of {show(rating.volts, 'V')} while it pulls in. At least 85 %: {'; '.join(told)}."
    plot = Plot("length of the line, one way [m]", far, (field,), note=note)
    return picture(plot, "Voltage at the end of a control line", words)
