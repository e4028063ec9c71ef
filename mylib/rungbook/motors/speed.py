"""Synchronous speed, slip and rotor frequency of an induction motor."""

from __future__ import annotations

from rungbook.errors import LadderError
from rungbook.motors.answer import Answer, Given, given, whole
from rungbook.motors.units import show

MAX_HERTZ, MAX_POLES, MAX_RPM = 1000, 100, 60_000


def synchronous_speed(hertz: Given, poles: int) -> Answer:
    """Return the synchronous speed [rpm] at `hertz` [Hz] of a motor with `poles` poles: 120 f / p.

    Raises LadderError if poles is no even number from 2 to 100, or the frequency not above 0 and at most 1000 Hz.
    """
    frequency, before = given("Frequency", hertz, "Hz", 0, MAX_HERTZ, above=True)
    whole("Number of poles", poles, 2, MAX_POLES, even=True)
    value = 120 * frequency / poles
    step = f"n_s = 120 × {show(frequency, 'Hz')} ÷ {poles} poles = {show(value, 'rpm')}"
    return Answer("Synchronous speed", value, "rpm", (*before, step))


def poles_of(hertz: Given, rpm: Given) -> int:
    """Return the number of poles of a motor with the rated speed `rpm` [rpm]: the largest whose field is faster.

    Raises LadderError if no motor at this frequency is that fast (2 poles), or that slow (100 poles).
    """
    frequency, _ = given("Frequency", hertz, "Hz", 0, MAX_HERTZ, above=True)
    speed, _ = given("Rated speed", rpm, "rpm", 60 * frequency / (MAX_POLES / 2 + 1), 60 * frequency)
    pairs = int(60 * frequency / speed)
    if 60 * frequency / pairs == speed:
        rule = f"a rated speed below the synchronous one, which with {2 * pairs} poles is {show(speed, 'rpm')}"
        raise LadderError("Rated speed", rule, rpm)
    return 2 * pairs


def slip(synchronous: Given, rpm: Given) -> Answer:
    """Return the slip [%] at `rpm` [rpm]: (n_s - n) / n_s.

    Raises LadderError if the speed is negative (slip above one: against the field) or above the synchronous speed.
    """
    field, before = given("Synchronous speed", synchronous, "rpm", 0, MAX_RPM, above=True)
    speed, _ = given("Speed", rpm, "rpm", -MAX_RPM, MAX_RPM)
    if not 0 <= speed <= field:
        what = "above it" if speed > field else "negative, a slip above one"
        rule = f"a motor runs from 0 to its synchronous speed of {show(field, 'rpm')}; this is {what}"
        raise LadderError("Speed", rule, rpm if not isinstance(rpm, Answer) else show(speed, "rpm"))
    value = 100 * ((field - speed) / field)  # at rest 100 to the last digit
    step = f"s = ({show(field)} - {show(speed)}) ÷ {show(field, 'rpm')} = {show(value, '%')}"
    return Answer("Slip", value, "%", (*before, step))


def rotor_frequency(slip: Given, hertz: Given) -> Answer:
    """Return the frequency [Hz] of the rotor's current at `slip` (a share from 0 to 1, or "2.78 %"): s f."""
    share, before = given("Slip", slip, "", 0, 1)
    frequency, _ = given("Frequency", hertz, "Hz", 0, MAX_HERTZ, above=True)
    value = share * frequency
    step = f"f_r = {show(share)} × {show(frequency, 'Hz')} = {show(value, 'Hz')}"
    return Answer("Rotor frequency", value, "Hz", (*before, step))


def speed_at(slip: Given, synchronous: Given) -> Answer:
    """Return the speed [rpm] at `slip` (a share from 0 to 1, or "4 %"): n_s (1 - s). Raises LadderError if outside."""
    share, before = given("Slip", slip, "", 0, 1)
    field, way = given("Synchronous speed", synchronous, "rpm", 0, MAX_RPM, above=True)
    value = field * (1 - share)
    step = f"n = {show(field, 'rpm')} × (1 - {show(share)}) = {show(value, 'rpm')}"
    return Answer("Speed", value, "rpm", (*before, *way, step))


def slip_of_rotor_frequency(rotor_hertz: Given, hertz: Given) -> Answer:
    """Return the slip [%] at which the rotor's current has `rotor_hertz` [Hz]; f_r / f. Raises if above `hertz`."""
    frequency, before = given("Frequency", hertz, "Hz", 0, MAX_HERTZ, above=True)
    rotor, way = given("Rotor frequency", rotor_hertz, "Hz", 0, frequency)
    value = 100 * (rotor / frequency)
    step = f"s = {show(rotor)} ÷ {show(frequency, 'Hz')} = {show(value, '%')}"
    return Answer("Slip", value, "%", (*before, *way, step))
