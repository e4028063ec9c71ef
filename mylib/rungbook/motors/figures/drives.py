"""Voltage and torque over the frequency of a drive."""

from __future__ import annotations

from rungbook.drawing.picture import Picture
from rungbook.drawing.plot import Axes, Dot, Level, Line, Plot
from rungbook.motors.answer import Given, given
from rungbook.motors.drives import drive_voltage, torque_left, volts_per_hertz
from rungbook.motors.figures.sheet import drawn_once, picture
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
    gives = tuple((at, float(drive_voltage(voltage, rated, at, more))) for at in points)
    lasting = tuple((at, float(torque_left(rated, at))) for at in points)
    half = float(drive_voltage(voltage, rated, rated / 2, more))
    dots = []
    if end >= rated / 2:
        dots.append(Dot(rated / 2, half, f"{show(half, 'V')} at {show(rated / 2, 'Hz')}", nudge=(8, -10)))
    if end >= rated:
        dots.append(Dot(rated, voltage, f"{show(voltage, 'V')} at {show(rated, 'Hz')}", nudge=(8, -16)))
    level = (Level(rated, tone="pale", upright=True),) if end >= rated else ()
    above = Axes("voltage [V]", (Line(gives, tone="accent"),), tuple(dots), level, top=voltage * 1.15)
    below = Axes("lasting torque [% of rated]", (Line(lasting, tone="accent"),), (), level, top=115.0)
    words = (
        f"Voltage of a drive: {show(ratio.value, 'V/Hz')} up to {show(rated, 'Hz')}, "
        f"{show(half, 'V')} at {show(rated / 2, 'Hz')}, then {show(voltage, 'V')}. "
        f"Boost at standstill {show(more, 'V')}. Lasting torque 100 % up to {show(rated, 'Hz')}, "
        f"{show(float(torque_left(rated, end)), '%')} at {show(end, 'Hz')}."
    )
    return picture(Plot("frequency [Hz]", end, (above, below)), "Volts per hertz", words)
