"""Conductors of one motor and of several: NEC 430.22, 430.24, Table 310.16."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.errors import LadderError
from rungbook.motors.answer import Answer, Given, given, table_current
from rungbook.motors.data.t310_16 import COPPER_75
from rungbook.motors.units import show

_MOST = 100_000


def conductor_ampacity(full_load: Given) -> Answer:
    """Return the least ampacity [A] of the conductors of one continuous motor: 125 % of `full_load` [A], NEC 430.22.

    full_load: the table current, not the nameplate's (430.6(A)(1)). Corrections for ambient and number of conductors
    come on top. The edition in force, its local amendments and a licensed person decide.
    Raises LadderError if `full_load` is no current above 0, or the nameplate's.
    """
    amps, before = table_current(full_load, _MOST)
    value = 1.25 * amps
    step = f"1.25 × {show(amps, 'A')} = {show(value, 'A')} (NEC 430.22)"
    return Answer("Ampacity of the conductors, at least", value, "A", (*before, step), True)


def feeder_ampacity(*full_loads: Given, other: Given = 0, continuous: Given = 0) -> Answer:
    """Return the least ampacity [A] of conductors that supply several motors, NEC 430.24.

    125 % of the largest table current, 100 % of the other motors' and of `other` [A], 125 % of the `continuous` [A]
    loads that are no motors. The edition in force, its local amendments and a licensed person decide.
    Raises LadderError if there is no motor, or a current is out of range or the nameplate's.
    """
    if not full_loads:
        raise LadderError("Feeder", "needs the full-load current of at least one motor", full_loads, ("16.7, 4.6",))
    read = [table_current(amps, _MOST) for amps in full_loads]
    plain, _ = given("Other loads", other, "A", 0, _MOST)
    lasting, _ = given("Continuous loads", continuous, "A", 0, _MOST)
    amps = sorted((number for number, _ in read), reverse=True)
    value = 1.25 * amps[0] + sum(amps[1:]) + plain + 1.25 * lasting
    terms = [f"1.25 × {show(amps[0])}", *(show(number) for number in (*amps[1:], *([plain] if plain else [])))]
    terms += [f"1.25 × {show(lasting)}"] if lasting else []
    step = f"{' + '.join(terms)} = {show(value, 'A')} (NEC 430.24: 125 % of the largest, 100 % of the other motors)"
    return Answer("Ampacity of the feeder, at least", value, "A", (*(s for _, way in read for s in way), step), True)


@dataclass(frozen=True, repr=False)
class Conductor(Answer):
    """The ampacity [A] of a conductor of `size`, "12 AWG"."""

    size: str = ""


def conductor_size(ampacity: Given) -> Conductor:
    """Return the smallest copper size that carries `ampacity` [A], with its ampacity: NEC Table 310.16, 75 °C.

    Three current-carrying conductors, 30 °C; terminals for 75 °C; all values from memory. Voltage
    drop is not looked at. The edition in force, its local amendments and a licensed person decide.
    Raises LadderError if `ampacity` is above the largest size: parallel conductors are not for this function; or if it
    is a motor's current, to which NEC 430.22 has not been applied yet.
    """
    if isinstance(ampacity, Answer) and ampacity.basis:
        rule = f"takes the ampacity that is needed, not the {ampacity.basis}'s current (NEC 430.22: 125 % of it)"
        raise LadderError("Ampacity", rule, show(ampacity.value, "A"), ("conductor_ampacity(…)",))
    amps, before = given("Ampacity", ampacity, "A", 0, max(COPPER_75.values()), above=True)
    size = next(size for size, most in COPPER_75.items() if most >= amps)
    step = (
        f"{size} copper carries {COPPER_75[size]} A, {show(amps, 'A')} is needed (NEC Table 310.16, 75 °C, from memory)"
    )
    name = f"Conductor {size}, ampacity"
    return Conductor(name, COPPER_75[size], "A", (*before, step), True, row="from memory", size=size)
