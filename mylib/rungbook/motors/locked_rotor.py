"""Locked-rotor current from the code letter or from the table: NEC 430.7(B), 430.251."""

from __future__ import annotations

from rungbook.errors import LadderError
from rungbook.motors.answer import Answer, Given, choice, given
from rungbook.motors.data.t430_7b import ORIGIN, TABLE_430_7B
from rungbook.motors.data.t430_251 import TABLE_430_251_A, TABLE_430_251_B
from rungbook.motors.full_load import read_off
from rungbook.motors.phases import root_of, root_text
from rungbook.motors.units import show


def code_letter(kva_per_hp: Given) -> str:
    """Return the code letter of a locked-rotor apparent power [kVA/hp], NEC Table 430.7(B).

    A band ends just below the next one's beginning: 3.145 is A. Raises LadderError if it is negative or above 100.
    """
    number, _ = given("Locked-rotor kVA/hp", kva_per_hp, "kVA/hp", 0, 100)
    return [letter for letter, (low, _) in TABLE_430_7B.items() if low <= number][-1]


def code_letter_of(amps: Given, volts: Given, hp: Given, phases: int = 3) -> str:
    """Return the code letter of a motor of `hp` [hp] that draws `amps` [A] at `volts` [V] with its rotor locked.

    Raises LadderError if a number is out of range.
    """
    current, _ = given("Locked-rotor current", amps, "A", 0, 100_000, above=True)
    voltage, _ = given("Voltage", volts, "V", 0, 15_000, above=True)
    power, _ = given("Power", hp, "hp", 0, 10_000, above=True)
    return code_letter(root_of(phases) * voltage * current / 1000 / power)


def locked_rotor_kva(hp: Given, code: str) -> Answer:
    """Return the largest locked-rotor apparent power [kVA] of a motor of `hp` [hp] with the letter `code`.

    By the printed upper end of the letter's band, NEC Table 430.7(B). The edition in force decides.
    Raises LadderError if there is no such letter (I, O, Q are none), or for V, which has no upper end.
    """
    power, before = given("Power", hp, "hp", 0, 10_000, above=True)
    choice("Code letter", code, tuple(TABLE_430_7B))
    top = TABLE_430_7B[code][1]
    if top is None:
        raise LadderError("Code letter", "22.4 kVA/hp and more, without an upper end", code, tuple(TABLE_430_7B)[:-1])
    value = top * power
    steps = (*before, f"{top:g} kVA/hp × {show(power, 'hp')} = {show(value, 'kVA')} (NEC Table 430.7(B), code {code})")
    return Answer("Locked-rotor apparent power, at most", value, "kVA", steps, True, row=ORIGIN)


def locked_rotor_current(hp: Given, volts: Given, code: str, phases: int = 3) -> Answer:
    """Return the largest locked-rotor current [A] by the code letter, at `volts` [V], NEC Table 430.7(B).

    Take the voltage that the motor gets: at 480 V the same kVA is fewer amperes than at 460 V, so mixing the two
    is a mistake. Raises LadderError as `locked_rotor_kva`, or if a number is out of range.
    """
    voltage, _ = given("Voltage", volts, "V", 0, 15_000, above=True)
    root = root_of(phases)
    power = locked_rotor_kva(hp, code)
    value = power.value * 1000 / (root * voltage)
    step = f"{show(power.value * 1000, 'VA')} ÷ ({root_text(phases)}{show(voltage, 'V')}) = {show(value, 'A')}"
    return Answer("Locked-rotor current, at most", value, "A", (*power.steps, step), True)


def locked_rotor_table_current(hp: Given, volts: Given, phases: int = 3, design: str = "B") -> Answer:
    """Return the locked-rotor current [A] for choosing disconnects and controllers: NEC Table 430.251(A), (B).

    phases: 1, or 3 for designs B, C, D. The edition in force, its local amendments and a licensed person decide.
    Raises LadderError if the table has no such entry, or the design is another one.
    """
    root_of(phases)
    choice("Design letter", design, ("B", "C", "D"))
    table = TABLE_430_251_B if phases == 3 else TABLE_430_251_A
    return read_off(table, hp, volts, "Locked-rotor current", "A")
