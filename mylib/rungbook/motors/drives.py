"""A motor on a frequency drive: volts per hertz, and the torque that is left above the rated frequency."""

from __future__ import annotations

from rungbook.motors.answer import Answer, Given, given
from rungbook.motors.power import MAX_VOLTS
from rungbook.motors.speed import MAX_HERTZ
from rungbook.motors.units import show


def volts_per_hertz(volts: Given, hertz: Given) -> Answer:
    """Return the ratio [V/Hz] that keeps the flux of a motor rated `volts` [V] at `hertz` [Hz].

    Raises LadderError if a number is out of range.
    """
    voltage, _ = given("Rated voltage", volts, "V", 0, MAX_VOLTS, above=True)
    frequency, _ = given("Rated frequency", hertz, "Hz", 0, MAX_HERTZ, above=True)
    value = voltage / frequency
    step = f"{show(voltage, 'V')} ÷ {show(frequency, 'Hz')} = {show(value, 'V/Hz')}"
    return Answer("Volts per hertz", value, "V/Hz", (step,))


def drive_voltage(volts: Given, hertz: Given, at: Given, boost: Given = 0.0) -> Answer:
    """Return the voltage [V] that a drive gives at frequency `at` [Hz] to a motor rated `volts` [V] at `hertz` [Hz].

    In proportion to the frequency up to the rated one, rated above it (the flux then falls). boost: voltage [V] at
    standstill, for the stator's resistance; it fades evenly to nothing at the rated frequency.
    Raises LadderError if a number is out of range, or boost is above a quarter of the rated voltage.
    """
    ratio = volts_per_hertz(volts, hertz)
    voltage, _ = given("Rated voltage", volts, "V", 0, MAX_VOLTS, above=True)
    frequency, _ = given("Rated frequency", hertz, "Hz", 0, MAX_HERTZ, above=True)
    wanted, _ = given("Frequency", at, "Hz", 0, MAX_HERTZ)
    more, _ = given("Boost", boost, "V", 0, voltage / 4)
    if wanted >= frequency:
        step = f"{show(wanted, 'Hz')} is not below the rated frequency: rated voltage, {show(voltage, 'V')}"
        return Answer("Voltage of the drive", voltage, "V", (*ratio.steps, step))
    plain, added = ratio.value * wanted, more * (1 - wanted / frequency)
    step = f"{show(ratio.value, 'V/Hz')} × {show(wanted, 'Hz')} = {show(plain, 'V')}"
    steps = [*ratio.steps, step]
    if added:
        steps.append(f"boost {show(added, 'V')} on top: {show(plain + added, 'V')}")
    return Answer("Voltage of the drive", plain + added, "V", tuple(steps))


def torque_left(hertz: Given, at: Given) -> Answer:
    """Return the share of rated torque [%] that a motor gives for long at frequency `at` [Hz], rated at `hertz` [Hz].

    All up to the rated frequency, as long as its cooling is kept up; above it the power stays and the torque falls
    with the frequency. The breakdown torque falls with its square: near twice the frequency look at the maker's sheet.
    Raises LadderError if a number is out of range.
    """
    frequency, _ = given("Rated frequency", hertz, "Hz", 0, MAX_HERTZ, above=True)
    wanted, _ = given("Frequency", at, "Hz", 0, MAX_HERTZ)
    if wanted <= frequency:
        return Answer("Torque left", 100.0, "%", (f"up to {show(frequency, 'Hz')} the flux is the rated one",))
    value = 100 * (frequency / wanted)
    return Answer("Torque left", value, "%", (f"{show(frequency)} ÷ {show(wanted, 'Hz')} = {show(value, '%')}",))
