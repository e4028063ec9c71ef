"""Power, torque, efficiency and current of a motor; balanced loads in star and delta. The metric route beside NEC's.

Where a motor's current is not in a table (400 V, kilowatts), it is reckoned from rated power, efficiency and power
factor as IEC 60034-1 defines them: rated power is at the shaft.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rungbook.motors.answer import Answer, Given, choice, given
from rungbook.motors.phases import root_of, root_text
from rungbook.motors.units import NEWTON_METRES_OF_LB_FT, WATTS_OF_HP, convert, show

MAX_VOLTS, MAX_AMPS, MAX_KW = 15_000, 100_000, 10_000


def electric_power(volts: Given, amps: Given, power_factor: Given = 1.0, phases: int = 3) -> Answer:
    """Return the real power [W] drawn: √3 V I cos φ with `volts` [V] between lines; V I cos φ for one phase.

    Raises LadderError if a number is out of range (power factor above 0, at most 1).
    """
    voltage, _ = given("Voltage", volts, "V", 0, MAX_VOLTS, above=True)
    current, before = given("Current", amps, "A", 0, MAX_AMPS)
    factor, _ = given("Power factor", power_factor, "", 0, 1, above=True)
    value = root_of(phases) * voltage * current * factor
    factors = f"{show(voltage, 'V')} × {show(current, 'A')} × {factor:g}"
    return Answer("Power drawn", value, "W", (*before, f"P = {root_text(phases)}{factors} = {show(value, 'W')}"))


def shaft_power(
    volts: Given, amps: Given, power_factor: Given, efficiency: Given, phases: int = 3, unit: str = "kW"
) -> Answer:
    """Return the power at the shaft, in `unit` (kW, hp or W): power drawn times efficiency.

    Raises as `electric_power`.
    """
    drawn = electric_power(volts, amps, power_factor, phases)
    good, _ = given("Efficiency", efficiency, "", 0, 1, above=True)
    watts = drawn.value * good
    value = convert(watts, "W", unit)
    steps = [*drawn.steps, f"P_shaft = {show(drawn.value, 'W')} × {good:g} = {show(watts, 'W')}"]
    if unit != "W":
        steps.append(f"{show(watts, 'W')} = {show(value, unit)}{f' (1 hp = {WATTS_OF_HP:.1f} W)' * (unit == 'hp')}")
    return Answer("Shaft power", value, unit, tuple(steps))


def motor_current(kilowatts: Given, volts: Given, power_factor: Given, efficiency: Given, phases: int = 3) -> Answer:
    """Return the rated line current [A] from the rated power at the shaft [kW]: P / (√3 V cos φ η). Metric route.

    What the maker prints on the nameplate comes first. Under the NEC, conductors and the short-circuit device rest on
    the table instead (430.6(A)). Raises LadderError if a number is out of range.
    """
    power, before = given("Rated power", kilowatts, "kW", 0, MAX_KW, above=True)
    voltage, _ = given("Voltage", volts, "V", 0, MAX_VOLTS, above=True)
    factor, _ = given("Power factor", power_factor, "", 0, 1, above=True)
    good, _ = given("Efficiency", efficiency, "", 0, 1, above=True)
    value = power * 1000 / (root_of(phases) * voltage * factor * good)
    under = f"({root_text(phases)}{show(voltage, 'V')} × {factor:g} × {good:g})"
    step = f"I = {show(power * 1000, 'W')} ÷ {under} = {show(value, 'A')}"
    return Answer("Rated current", value, "A", (*before, step))


def efficiency(shaft: Given, drawn: Given) -> Answer:
    """Return the efficiency [%]: power at the shaft over power drawn, both [kW].

    Raises LadderError if a number is out of range, or more comes out than goes in.
    """
    taken, before = given("Power drawn", drawn, "kW", 0, MAX_KW, above=True)
    out, way = given("Shaft power", shaft, "kW", 0, taken)
    value = 100 * out / taken
    step = f"η = {show(out, 'kW')} ÷ {show(taken, 'kW')} = {show(value, '%')}"
    return Answer("Efficiency", value, "%", (*before, *way, step))


def torque(power: Given, rpm: Given, unit: str = "N·m") -> Answer:
    """Return the torque in `unit` (N·m, lb·ft, lb·in) of `power` [kW] at `rpm` [rpm]: P / (2π n / 60).

    In lb·ft that is 5252 hp / rpm. Raises LadderError if a number is out of range.
    """
    kilowatts, before = given("Power", power, "kW", 0, MAX_KW)
    speed, _ = given("Speed", rpm, "rpm", 0, 60_000, above=True)
    newton_metres = kilowatts * 1000 / (2 * math.pi * speed / 60)
    steps = [*before, f"T = {show(kilowatts * 1000, 'W')} ÷ (2π × {show(speed)} ÷ 60) = {show(newton_metres, 'N·m')}"]
    value = convert(newton_metres, "N·m", unit)
    if unit != "N·m":
        steps.append(f"{show(newton_metres, 'N·m')} = {show(value, unit)} (1 lb·ft = {NEWTON_METRES_OF_LB_FT:.4f} N·m)")
    return Answer("Torque", value, unit, tuple(steps))


@dataclass(frozen=True)
class Balanced:
    """A balanced three-phase load: connection, voltages [V] and currents [A] of line and phase, power [W]."""

    connection: str
    line_volts: float
    phase_volts: float
    line_amps: float
    phase_amps: float
    watts: float

    def __str__(self) -> str:
        volts = f"{show(self.line_volts, 'V')} between lines, {show(self.phase_volts, 'V')} a phase"
        amps = f"{show(self.line_amps, 'A')} in a line, {show(self.phase_amps, 'A')} in a phase"
        return f"{self.connection}: {volts}; {amps}; {show(self.watts, 'W')}"

    __repr__ = __str__


def balanced_load(line_volts: Given, ohms: Given, connection: str, power_factor: Given = 1.0) -> Balanced:
    """Return what three equal impedances of `ohms` [Ω] draw from `line_volts` [V], in "star" or "delta".

    star: a phase has V/√3 and carries the line current. delta: a phase has V, the line √3 of its current.
    Raises LadderError if a number is out of range, or for another connection.
    """
    voltage, _ = given("Line voltage", line_volts, "V", 0, MAX_VOLTS, above=True)
    size, _ = given("Impedance", ohms, "Ω", 0, 1e6, above=True)
    factor, _ = given("Power factor", power_factor, "", 0, 1)
    choice("Connection", connection, ("star", "delta"))
    root = math.sqrt(3)
    phase = voltage / root if connection == "star" else voltage
    current = phase / size
    line = current if connection == "star" else root * current
    return Balanced(connection, voltage, phase, line, current, 3 * phase * current * factor)
