"""Voltage and torque over the frequency of a drive."""

from __future__ import annotations

from rungbook.drawing.picture import Picture
from rungbook.motors.answer import Given, given
from rungbook.motors.drives import drive_voltage, torque_left, volts_per_hertz
from rungbook.motors.figures.sheet import ACCENT, INK, PALE, drawn_once, picture, sheet
from rungbook.motors.units import show


@drawn_once
def volts_per_hertz_figure(volts: Given, hertz: Given, boost: Given = 0.0, up_to: Given | None = None) -> Picture:
    """Return voltage and lasting torque over the frequency of a motor rated `volts` [V] at `hertz` [Hz] on a drive.

    up_to: end of the axis [Hz], None: twice the rated frequency. Raises LadderError as `drive_voltage`.
    """
    ratio = volts_per_hertz(volts, hertz)
    voltage, _ = given("Rated voltage", volts, "V", 0, 1e6, above=True)
    rated, _ = given("Rated frequency", hertz, "Hz", 0, 1000, above=True)
    more, _ = given("Boost", boost, "V", 0, voltage / 4)
    end = min(2 * rated, 1000.0) if up_to is None else given("End of the axis", up_to, "Hz", 0, 1000, above=True)[0]
    points = sorted({end * k / 100 for k in range(101)} | {min(rated, end)})
    with sheet(2, height=5.2) as (figure, (above, below)):
        gives = [float(drive_voltage(voltage, rated, at, more)) for at in points]
        above.plot(points, gives, color=ACCENT, linewidth=2.2)
        below.plot(points, [float(torque_left(rated, at)) for at in points], color=ACCENT, linewidth=2.2)
        if end >= rated:
            for axis in (above, below):
                axis.axvline(rated, color=PALE, linewidth=1)
            above.annotate(
                f"{show(voltage, 'V')} at {show(rated, 'Hz')}", (rated, voltage), (8, -16), textcoords="offset points"
            )
        half = float(drive_voltage(voltage, rated, rated / 2, more))
        if end >= rated / 2:
            above.plot([rated / 2], [half], "o", color=INK, markersize=5)
            label = f"{show(half, 'V')} at {show(rated / 2, 'Hz')}"
            above.annotate(label, (rated / 2, half), (8, -10), textcoords="offset points")
        above.set(ylabel="voltage [V]", ylim=(0, voltage * 1.15))
        below.set(ylabel="lasting torque [% of rated]", xlabel="frequency [Hz]", ylim=(0, 115), xlim=(0, end))
        words = (
            f"Voltage of a drive: {show(ratio.value, 'V/Hz')} up to {show(rated, 'Hz')}, "
            f"{show(half, 'V')} at {show(rated / 2, 'Hz')}, then {show(voltage, 'V')}. "
            f"Boost at standstill {show(more, 'V')}. Lasting torque 100 % up to {show(rated, 'Hz')}, "
            f"{show(float(torque_left(rated, end)), '%')} at {show(end, 'Hz')}."
        )
        return picture(figure, "Volts per hertz", words)
