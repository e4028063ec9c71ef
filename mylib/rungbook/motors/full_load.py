"""Which current: from the table (conductors, short-circuit device), and never interpolated. NEC 430.6(A)."""

from __future__ import annotations

from rungbook.errors import LadderError
from rungbook.motors.answer import TABLE, Answer, Given
from rungbook.motors.code_table import CodeTable, doubt
from rungbook.motors.data.t430_248 import TABLE_430_248
from rungbook.motors.data.t430_250 import TABLE_430_250, TABLE_430_250_SYNCHRONOUS
from rungbook.motors.units import show

#: synchronous motors: factor on the unity-power-factor current, by power factor (note to Table 430.250)
SYNCHRONOUS_FACTORS = {1.0: 1.0, 0.9: 1.1, 0.8: 1.25}


def full_load_current(hp: Given, volts: Given, phases: int = 3) -> Answer:
    """Return the table full-load current [A] of an induction motor of `hp` [hp] at `volts` [V].

    phases: 3 (NEC Table 430.250) or 1 (430.248). This is the current for conductors and the short-circuit device; the
    overload is set from the nameplate (430.6(A)). System voltages count as the table allows: 110 to 120 is 115 V and so
    on. The edition in force, its local amendments and a licensed person decide.
    Raises LadderError if the table has no such row or column, or no value where they cross: nothing is read between
    its rows.
    """
    return read_off(_table_of(phases), hp, volts, "Full-load current", "A")


def synchronous_full_load_current(hp: Given, volts: Given, power_factor: float = 1.0) -> Answer:
    """Return the table full-load current [A] of a three-phase synchronous motor, NEC Table 430.250 and its note.

    power_factor: 1.0; 0.9 (1.1 times the value) or 0.8 (1.25 times). Edition, amendments and a licensed person decide.
    Raises LadderError as `full_load_current`, or for another power factor: the note knows no more.
    """
    if power_factor not in SYNCHRONOUS_FACTORS:
        names = tuple(map(str, SYNCHRONOUS_FACTORS))
        raise LadderError("Power factor of a synchronous motor", "the note to Table 430.250 has", power_factor, names)
    found = read_off(TABLE_430_250_SYNCHRONOUS, hp, volts, "Full-load current", "A")
    factor = SYNCHRONOUS_FACTORS[power_factor]
    if factor == 1:
        return found
    value = factor * found.value
    step = f"{factor:g} × {show(found.value, 'A')} = {show(value, 'A')} at power factor {power_factor:g} (note)"
    return Answer(found.name, value, "A", (*found.steps, step), True, TABLE, found.row)


def full_load_table(phases: int = 3) -> CodeTable:
    """Return the whole table: 3 phases NEC 430.250, 1 phase 430.248, each row with where it is known from."""
    return _table_of(phases)


def read_off(table: CodeTable, hp: Given, volts: Given, name: str, unit: str) -> Answer:
    """The entry of `table` as an answer. Raises LadderError as `CodeTable.value`."""
    value, row, column = table.value(hp, volts)
    step = f"NEC Table {table.name}: {show(row.key)} hp, column {column.name} V: {show(value, unit)}{doubt(row.origin)}"
    return Answer(name, value, unit, (step,), True, TABLE, row.origin)


def _table_of(phases: int) -> CodeTable:
    tables = {1: TABLE_430_248, 3: TABLE_430_250}
    if isinstance(phases, bool) or phases not in tables:
        raise LadderError("Motor", "the tables know one and three phases", phases, ("1", "3"))
    return tables[phases]
