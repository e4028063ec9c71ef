"""Questions on speed, slip, torque, power and current: arithmetic from the plate."""

from __future__ import annotations

import math

from rungbook.alone.practice.calculations.plate import Plate
from rungbook.alone.practice.calculations.question import Question
from rungbook.alone.practice.draws import Draws
from rungbook.motors import (
    efficiency,
    electric_power,
    motor_current,
    rotor_frequency,
    slip,
    synchronous_speed,
    torque,
)
from rungbook.motors.units import NEWTON_METRES_OF_LB_FT, show


def field_speed(draws: Draws, plate: Plate) -> Question:
    """The synchronous speed [rpm] from the frequency and the number of poles."""
    motor = plate.motor
    right = synchronous_speed(motor.hertz, motor.poles)
    value = float(right)
    mistakes = (
        (value / 2, "60 f ÷ p is for pairs of poles; with poles it is 120 f ÷ p."),
        (2 * value, "The number of poles is asked for in the formula, not that of the pairs: 120 f ÷ p."),
        (float(motor.rpm), "That is the rated speed on the plate; the field runs a little faster."),
    )
    given = (f"The motor has {motor.poles} poles.",)
    return Question("synchronous speed", right, "rpm", mistakes, "n_s = 120 f ÷ p.", given)


def rated_slip(draws: Draws, plate: Plate) -> Question:
    """The rated slip [%]; the field's speed must be found first."""
    motor = plate.motor
    field = synchronous_speed(motor.hertz, motor.poles)
    right = slip(field, motor.rpm)
    whole, share = float(field), float(right)
    other = 120 * float(motor.hertz) / (motor.poles + 2)
    mistakes = [
        (100 * float(motor.rpm) / whole, "That is the speed as a share of the field's; the slip is what it lacks."),
        (100 * share / (100 - share), "Divide by the field's speed, not by the rotor's."),
    ]
    if other < float(motor.rpm):
        wrong = 100 * (float(motor.rpm) - other) / other
        mistakes.append(
            (wrong, "The field is faster than the rotor: take the next synchronous speed above the plate's.")
        )
    because = "s = (n_s - n) ÷ n_s, with the synchronous speed just above the plate's."
    return Question("rated slip", right, "%", tuple(mistakes), because, tolerance=1)


def rotor_hertz(draws: Draws, plate: Plate) -> Question:
    """The frequency [Hz] in the rotor at rated speed."""
    motor = plate.motor
    part = slip(synchronous_speed(motor.hertz, motor.poles), motor.rpm)
    right = rotor_frequency(part, motor.hertz)
    line = float(motor.hertz)
    mistakes = (
        (line, "That is the frequency of the supply, and the rotor's only at rest."),
        (line - float(right), "That is what the rotor turns; in it flows what the field gains on it: s f."),
    )
    return Question("frequency in the rotor at rated speed", right, "Hz", mistakes, "f_r = s f.", tolerance=1)


def rated_torque(draws: Draws, plate: Plate) -> Question:
    """The rated torque [N·m], or [lb·ft] on a plate in hp."""
    motor = plate.motor
    unit = "lb·ft" if plate.hp and draws.below(2) else "N·m"
    right = torque(motor.kilowatts, motor.rpm, unit)
    value = float(right)
    other = NEWTON_METRES_OF_LB_FT if unit == "lb·ft" else 1 / NEWTON_METRES_OF_LB_FT
    turns = 2 * math.pi
    mistakes = [
        (value * float(motor.rpm) / motor.synchronous_rpm, "You took the field's speed; the shaft has the rated one."),
        (value * turns, "ω = 2π n ÷ 60: you left out the 2π."),
        (value / 60, "Speed in turns a second: n ÷ 60."),
        (value * other, f"That is the torque in another unit; asked for is {unit}."),
        (value / float(motor.efficiency), "The plate's power is at the shaft already: no efficiency in the torque."),
    ]
    if plate.hp:
        wrong = value * plate.hp / float(motor.kilowatts)
        mistakes.append((wrong, "You took the horsepower for kilowatts; 1 hp = 745.7 W."))
    because = "T = P ÷ (2π n ÷ 60), or 5252 hp ÷ rpm in lb·ft, with the rated speed."
    given = ("1 hp = 745.7 W; 1 lb·ft = 1.3558 N·m.",) if plate.hp else ()
    return Question("rated torque", right, unit, tuple(mistakes), because, given)


def power_drawn(draws: Draws, plate: Plate) -> Question:
    """The power [kW] that the motor draws at a current read on a meter."""
    motor = plate.motor
    share = 0.5 + 0.01 * draws.below(45)
    amps = round(share * float(motor.amps), 2 if float(motor.amps) < 10 else 1)
    factor = round(float(motor.power_factor) - 0.01 * (2 + draws.below(9)), 2)
    right = electric_power(motor.volts, amps, factor)
    value = float(right) / 1000
    root = math.sqrt(3)
    mistakes = (
        (value / root, "You left out the √3 of three phases."),
        (value * root, "√3, not 3: the voltage is between lines."),
        (value / factor, "That is the apparent power; the real one has the power factor in it."),
        (value * float(motor.efficiency), "That is what comes out at the shaft; asked for is what is drawn."),
        (value * float(motor.amps) / amps, "Take the current that was read, not the rated one."),
    )
    given = (f"At part load a meter reads {show(amps, 'A')} in each line and a power factor of {factor:g}.",)
    return Question("power drawn at that load", right, "kW", mistakes, "P = √3 U I cos φ.", given)


def good(draws: Draws, plate: Plate) -> Question:
    """The efficiency [%] from the plate's power and a reading of the power drawn."""
    motor = plate.motor
    drawn = round(float(motor.kilowatts) / (float(motor.efficiency) - 0.01 * draws.below(6)), 2)
    out = round(float(motor.kilowatts), 3)
    right = efficiency(out, drawn)
    mistakes = (
        (100 * drawn / out, "More cannot come out than goes in: shaft power over power drawn."),
        (100 * float(motor.power_factor), "That is the power factor, which is no loss of power."),
        (100 * (drawn - out) / drawn, "That is the share that is lost; asked for is what comes out."),
        *(((100 * plate.hp / drawn, "You took the horsepower for kilowatts; 1 hp = 0.7457 kW."),) if plate.hp else ()),
    )
    given = (f"At {out:g} kW on the shaft, its rated load, a meter reads {drawn:g} kW drawn.",)
    return Question(
        "efficiency at that load, by the meter", right, "%", mistakes, "η = P at the shaft ÷ P drawn.", given
    )


def metric_current(draws: Draws, plate: Plate) -> Question:
    """The rated current [A] at another voltage for which the windings can be had, from power and efficiency."""
    motor = plate.motor
    volts = draws.pick([one for one in (230, 440, 500, 690) if one != motor.volts])
    right = motor_current(motor.kilowatts, volts, motor.power_factor, motor.efficiency)
    value, root = float(right), math.sqrt(3)
    mistakes = (
        (value * root, "You left out the √3 of three phases."),
        (value * float(motor.efficiency), "The plate's power is at the shaft: divide by the efficiency too."),
        (value * float(motor.power_factor), "Divide by the power factor: the apparent power loads the lines."),
        (value * float(motor.efficiency) * float(motor.power_factor), "You left out power factor and efficiency."),
        (float(motor.amps), "That is the plate's current at its own voltage."),
        (value * float(motor.efficiency) ** 2, "Divide by the efficiency; multiplying gives too small a current."),
    )
    given = (f"The same motor is ordered with a winding for {volts} V; power, power factor and efficiency stay.",)
    because = "I = P ÷ (√3 U cos φ η)."
    return Question(f"rated current at {volts} V", right, "A", mistakes, because, given)
