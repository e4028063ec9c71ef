"""Questions on a start: direct, star-delta, from a tap, with a soft starter; and on a motor at a drive."""

from __future__ import annotations

import math

from rungbook.alone.practice.calculations.plate import Plate
from rungbook.alone.practice.calculations.question import Question
from rungbook.alone.practice.draws import Draws
from rungbook.motors import (
    Answer,
    Nameplate,
    Starter,
    autotransformer,
    curve_of,
    direct,
    drive_voltage,
    full_load_current,
    soft_starter,
    star_delta,
    synchronous_speed,
    torque_left,
)
from rungbook.motors.starters import Instant, instant_of
from rungbook.motors.units import show

_LEADS = "Its six leads are brought out; it runs in delta."
_SQUARE = "Torque goes with the square of the voltage."


def direct_current(draws: Draws, plate: Plate) -> Question:
    """The line current [A] at the first moment of a direct start."""
    motor = plate.motor
    at = _at_rest(motor, direct())
    amps = float(motor.amps)
    step = f"{motor.locked_amps:g} × {show(amps, 'A')} = {show(at.line * amps, 'A')}"
    right = Answer("Starting current, direct", at.line * amps, "A", (step,))
    mistakes = [
        (amps, "That is the rated current; at rest the motor draws a multiple of it."),
        (right.value * math.sqrt(3), "The multiple is one of the line current: no √3."),
        (right.value / 3, "A third is what star draws; this start is direct."),
    ]
    if plate.hp:
        table = float(full_load_current(plate.hp, motor.volts))
        sentence = "The multiple belongs to the nameplate's current, not to the table's."
        mistakes.append((float(motor.locked_amps) * table, sentence))
    because = "Multiple × rated current of the plate."
    return Question("line current at a direct start", right, "A", tuple(mistakes), because, (_multiples(motor),))


def star_current(draws: Draws, plate: Plate) -> Question:
    """The line current [A] at the first moment in star."""
    motor = plate.motor
    amps, full = float(motor.amps), _at_rest(motor, direct()).line
    at = _at_rest(motor, star_delta())
    value = at.line * amps
    steps = (
        f"{motor.locked_amps:g} × {show(amps, 'A')} = {show(full * amps, 'A')} in delta",
        f"in star a third: {show(full * amps, 'A')} ÷ 3 = {show(value, 'A')}",
    )
    mistakes = (
        (full * amps / math.sqrt(3), "1/√3 is the voltage of a winding; the line current in star falls to a third."),
        (full * amps, "That is the current of a direct start; in star it is a third of that."),
        (amps / 3, "A third of the starting current, not of the rated one."),
    )
    because = "In star the line current is a third of that in delta."
    right = Answer("Starting current in star", value, "A", steps)
    return Question("line current at the start in star", right, "A", mistakes, because, (_multiples(motor), _LEADS))


def star_torque(draws: Draws, plate: Plate) -> Question:
    """The torque [%] of rated at the first moment in star."""
    motor = plate.motor
    value = 100 * _at_rest(motor, star_delta()).torque
    full = 100 * float(motor.locked_torque)
    step = f"in star a third: {show(full, '%')} ÷ 3 = {show(value, '%')} of the rated torque"
    mistakes = (
        (full / math.sqrt(3), f"1/√3 is the voltage of a winding. {_SQUARE}"),
        (full, "That is the torque of a direct start."),
        (100 / 3, "A third of the torque of a direct start, not of the rated one."),
    )
    right = Answer("Starting torque in star", value, "%", (step,))
    field = "torque at the start in star, of the rated torque"
    return Question(field, right, "%", mistakes, f"{_SQUARE} In star a third is left.", (_multiples(motor), _LEADS))


def tap_current(draws: Draws, plate: Plate) -> Question:
    """The line current [A] with an autotransformer's tap."""
    motor, tap = plate.motor, draws.pick((0.5, 0.65, 0.8))
    amps, full = float(motor.amps), _at_rest(motor, direct()).line
    value = _at_rest(motor, autotransformer(tap)).line * amps
    steps = (
        f"{motor.locked_amps:g} × {show(amps, 'A')} = {show(full * amps, 'A')} at full voltage",
        f"in the line the square of the tap: {tap:g}² × {show(full * amps, 'A')} = {show(value, 'A')}",
    )
    mistakes = (
        (
            tap * full * amps,
            "That is the current in the motor's leads; the transformer takes the tap once more off it.",
        ),
        (full * amps, "That is the current of a direct start."),
        (tap**2 * amps, "Of the starting current, not of the rated one."),
    )
    given = (_multiples(motor), f"An autotransformer is there too, with a tap of {100 * tap:.0f} % (losses left out).")
    right = Answer("Starting current in the line", value, "A", steps)
    because = "Motor: tap × current. Line: tap² × current."
    return Question("line current at the start from the autotransformer's tap", right, "A", mistakes, because, given)


def soft_torque(draws: Draws, plate: Plate) -> Question:
    """The torque [%] of rated with which a soft starter begins."""
    motor, share = plate.motor, (30 + 5 * draws.below(9)) / 100
    full = 100 * float(motor.locked_torque)
    value = 100 * _at_rest(motor, soft_starter(share)).torque
    step = f"{share:g}² × {show(full, '%')} = {show(value, '%')} of the rated torque"
    mistakes = (
        (share * full, f"That is in proportion to the voltage. {_SQUARE}"),
        (100 * share**2, "That is the share of the torque of a direct start; asked for is that of the rated torque."),
        (100 * share, f"That is the share of the voltage. {_SQUARE}"),
    )
    right = Answer("Torque at the start", value, "%", (step,))
    field = f"torque as a soft starter begins with {100 * share:.0f} % of the voltage, of the rated torque"
    return Question(field, right, "%", mistakes, _SQUARE, (_multiples(motor),))


def soft_current(draws: Draws, plate: Plate) -> Question:
    """The line current [A] with which a soft starter begins."""
    motor, share = plate.motor, (30 + 5 * draws.below(9)) / 100
    amps, full = float(motor.amps), _at_rest(motor, direct()).line
    value = _at_rest(motor, soft_starter(share)).line * amps
    steps = (
        f"{motor.locked_amps:g} × {show(amps, 'A')} = {show(full * amps, 'A')} at full voltage",
        f"{share:g} × {show(full * amps, 'A')} = {show(value, 'A')}",
    )
    mistakes = (
        (share**2 * full * amps, "The square is that of the torque, and of a transformer's line current."),
        (full * amps, "That is the current of a direct start."),
        (share * amps, "Of the starting current, not of the rated one."),
    )
    right = Answer("Current at the start", value, "A", steps)
    because = "At rest the current goes with the voltage."
    field = f"line current as a soft starter begins with {100 * share:.0f} % of the voltage"
    return Question(field, right, "A", mistakes, because, (_multiples(motor),))


def on_drive(draws: Draws, plate: Plate) -> Question:
    """The voltage [V] that a drive gives below the rated frequency."""
    motor = plate.motor
    rated = int(float(motor.hertz))
    at = rated // 5 + draws.below(rated * 3 // 4 - rated // 5)
    right = drive_voltage(motor.volts, rated, at)
    volts = float(motor.volts)
    mistakes = (
        (volts, "Full voltage at a low frequency saturates the iron: volts and hertz go together."),
        (volts * (at / rated) ** 2, "In proportion, not with the square."),
        (volts / math.sqrt(3) * at / rated, "The rated voltage is that between lines: no √3."),
    )
    given = ("A drive gives it no boost.",)
    because = "Volts per hertz stay those of the plate."
    return Question(f"voltage of the drive at {at} Hz", right, "V", mistakes, because, given)


def field_on_drive(draws: Draws, plate: Plate) -> Question:
    """The speed of the field [rpm] at a drive's frequency."""
    motor = plate.motor
    at = 10 + draws.below(60)
    right = synchronous_speed(at, motor.poles)
    value = float(right)
    mistakes = (
        (value / 2, "60 f ÷ p is for pairs of poles; with poles it is 120 f ÷ p."),
        (motor.synchronous_rpm, "That is the field's speed at the plate's frequency."),
        (float(motor.rpm) * at / float(motor.hertz), "That scales the rated speed; the field has no slip."),
    )
    given = (f"The motor has {motor.poles} poles.",)
    return Question(f"synchronous speed at {at} Hz on a drive", right, "rpm", mistakes, "n_s = 120 f ÷ p.", given)


def above_rated(draws: Draws, plate: Plate) -> Question:
    """The torque [%] that is left for long above the rated frequency."""
    rated = int(float(plate.motor.hertz))
    at = rated + 5 + draws.below(rated * 2 // 3)
    right = torque_left(rated, at)
    value = float(right)
    mistakes = (
        (100.0, "Above the rated frequency the voltage stays, the flux falls, and the torque with it."),
        (100 * at / rated, "Turn it over: the torque falls as the frequency rises."),
        (value**2 / 100, "The square is that of the breakdown torque; what is left for long falls with the frequency."),
        (100 * (2 - at / rated), "Not by as much as the frequency rises: divide the rated one by it."),
    )
    because = "The power stays: rated frequency ÷ frequency."
    return Question(f"torque left for long at {at} Hz on a drive, of the rated torque", right, "%", mistakes, because)


def _at_rest(motor: Nameplate, starter: Starter) -> Instant:
    return instant_of(starter, curve_of(motor), 1.0, 0.0, False)


def _multiples(motor: Nameplate) -> str:
    return (
        f"At a direct start it has {motor.locked_amps:g} times its rated current and "
        f"{motor.locked_torque:g} times its rated torque."
    )
