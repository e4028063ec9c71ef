"""What the overload relay may be set to, from the nameplate: NEC 430.32(A)(1), (B)(1), raised by (C)."""

from __future__ import annotations

import math

from rungbook.motors.answer import Answer, Given, choice, given, nameplate_current
from rungbook.motors.units import show

PLACES = ("line", "winding")


def overload_setting(
    amps: Given,
    service_factor: Given = 1.0,
    temperature_rise: Given | None = None,
    *,
    raised: bool = False,
    place: str = "line",
) -> Answer:
    """Return the largest setting [A] of a separate overload device for a motor in continuous duty, NEC 430.32.

    amps: the nameplate's current [A], never the table's (430.6(A)(2)). service_factor [unitless], temperature_rise [°C]
    (None: not marked): 125 % if the factor is marked 1.15 or more, or the rise 40 °C or less; else 115 %. raised: the
    relay trips while the motor starts or carries its load, so 430.32(C) allows 140 % and 130 %. place: "line", or
    "winding" if the relay lies inside the delta of a star-delta motor and carries 1/√3 of the line current.

    It is a ceiling, not a target: set the dial to the nameplate's current or what its maker says, and never above.
    Motors above 1 hp: (A)(1); of 1 hp or less that start by themselves: (B)(1), the same shares. The edition in force,
    its local amendments and a licensed person decide.
    Raises LadderError if a number is out of range, or `amps` comes from a table.
    """
    number, before = nameplate_current("Overload setting", amps)
    factor, _ = given("Service factor", service_factor, "", 1.0, 2.0)
    rise = None if temperature_rise is None else given("Temperature rise", temperature_rise, "°C", 1, 200)[0]
    choice("Place of the overload relay", place, PLACES)
    more, reason = _allows_more(factor, rise)
    share = (1.4 if more else 1.3) if raised else (1.25 if more else 1.15)
    clause = "430.32(C), from memory" if raised else "430.32(A)(1)"
    value = share * number
    steps = [*before, reason, f"{share:g} × {show(number, 'A')} = {show(value, 'A')} (NEC {clause})"]
    if place == "winding":
        steps.append(f"inside the delta: {show(value, 'A')} ÷ √3 = {show(value / math.sqrt(3), 'A')}")
        value /= math.sqrt(3)
    return Answer("Overload setting, at most", value, "A", tuple(steps), True)


def _allows_more(factor: float, rise: float | None) -> tuple[bool, str]:
    if factor >= 1.15:
        return True, f"service factor {factor:g}: 1.15 or more"
    if rise is not None and rise <= 40:
        return True, f"temperature rise {rise:g} °C: 40 °C or less"
    marked = "not marked" if rise is None else f"{rise:g} °C, above 40 °C"
    return False, f"service factor {factor:g}, below 1.15; temperature rise {marked}"
