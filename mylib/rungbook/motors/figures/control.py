"""What is left of the voltage at a coil over the length of its control line."""

from __future__ import annotations

from rungbook.drawing.picture import Picture
from rungbook.errors import LadderError
from rungbook.kit.ratings import SUPPLY, CoilRating, SupplyRating
from rungbook.motors.answer import Given, given
from rungbook.motors.control_drop import LEAST, control_drop, longest_line
from rungbook.motors.figures.sheet import ACCENT, DASHES, INK, PALE, picture, sheet
from rungbook.motors.units import show


def control_drop_figure(
    *mm2: Given, coil: CoilRating | None = None, supply: SupplyRating = SUPPLY, celsius: Given = 40.0
) -> Picture:
    """Return the voltage at a coil while it pulls in over the length of the line, a curve for each of `mm2` [mm²].

    Up to five areas. Raises LadderError if there is none or more, or as `longest_line`.
    """
    if not 0 < len(mm2) <= len(DASHES):
        raise LadderError("control_drop_figure", f"draws one to {len(DASHES)} areas", len(mm2), ("1.5, 2.5",))
    areas = [given("Area of the wire", area, "mm²", 0, 240, above=True)[0] for area in mm2]
    rating = CoilRating() if coil is None else coil
    ends = [longest_line(area, rating, supply, celsius) for area in areas]
    far = min(1.2 * max(ends), 10_000.0)
    told = []
    with sheet(height=4.2) as (figure, (axis,)):
        for number, (area, end, dash) in enumerate(zip(areas, ends, DASHES, strict=False)):
            lengths = [far * k / 100 for k in range(101)]
            gets = [control_drop(length, area, rating, supply, celsius).pull_in for length in lengths]
            ink = ACCENT if number == 0 else INK
            axis.plot(lengths, gets, color=ink, linestyle=dash, label=show(area, "mm²"))
            if end < far:
                axis.plot([end], [LEAST * rating.volts], "o", color=ink, markersize=5)
            told.append(f"{show(area, 'mm²')}: up to {show(end, 'm')}")
        axis.axhline(LEAST * rating.volts, color=PALE, linewidth=1.2)
        label = f"grey line: {show(LEAST * rating.volts, 'V')}, 85 %; below it the coil is not sure to pull in"
        axis.annotate(label, (0.02, 0.05), xycoords="axes fraction")
        axis.set(xlabel="length of the line, one way [m]", ylabel="at the coil, magnet open [V]", xlim=(0, far))
        figure.legend(loc="outside upper center", ncols=3)
        volts = show(rating.volts, "V")
        words = f"Voltage at a coil of {volts} while it pulls in. At least 85 %: {'; '.join(told)}."
        return picture(figure, "Voltage at the end of a control line", words)
