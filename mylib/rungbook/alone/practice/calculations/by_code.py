"""Questions on what the NEC asks of a motor circuit: each mistake is one that the clause is there to prevent."""

from __future__ import annotations

import math

from rungbook.alone.practice.calculations.plate import (
    CAGE,
    Plate,
    bands_near,
    ratings_near,
    row_430_52,
    rows_430_250,
    sizes_near,
)
from rungbook.alone.practice.calculations.question import Question
from rungbook.alone.practice.draws import Draws
from rungbook.motors import (
    conductor_ampacity,
    conductor_size,
    feeder_ampacity,
    full_load_current,
    full_load_table,
    locked_rotor_current,
    next_standard_rating,
    overload_setting,
    rating_within,
    short_circuit_device,
)
from rungbook.motors.data.t310_16 import COPPER_75
from rungbook.motors.data.t430_7b import TABLE_430_7B
from rungbook.motors.data.t430_52 import (
    DEVICES,
    INSTANTANEOUS,
    INVERSE_TIME,
    NON_TIME_DELAY,
    TABLE_430_52,
    TIME_DELAY,
)

_PLATE = "You used the current of the nameplate; {} the table's, NEC Table 430.250 (NEC 430.6(A)(1))."
_TABLE = "You used the table current; the overload is set from the nameplate (NEC 430.6(A)(2))."
_HP = (1, 1.5, 2, 3, 5, 7.5, 10)


def table_current(draws: Draws, plate: Plate) -> Question:
    """The table's full-load current [A]."""
    right = full_load_current(plate.hp, plate.motor.volts)
    table = full_load_table()
    column = table.column(plate.motor.volts)
    (row,) = (place for place, one in enumerate(table.rows) if one.key == plate.hp)
    mistakes = [(float(plate.motor.amps), "That is the nameplate's current; asked for is the table's.")]
    for place, one in enumerate(table.columns):
        value = table.rows[row].values[place]
        if place != column and value is not None:
            mistakes.append((value, f"That is the column of {one.name} V; the motor has {plate.motor.volts:g} V."))
    for place in (row - 1, row + 1):
        value = table.rows[place].values[column]
        if value is not None:
            mistakes.append((value, f"That is the row of {table.rows[place].key:g} hp; the motor has {plate.hp:g} hp."))
    because = "Find the row of the motor's horsepower and the column of its voltage."
    return Question("table current", right, "A", tuple(mistakes), because, rows_430_250(plate.hp))


def overload_dial(draws: Draws, plate: Plate) -> Question:
    """What the dial of the overload relay is set to [A]: the nameplate's current."""
    amps = float(plate.motor.amps)
    table = float(full_load_current(plate.hp, plate.motor.volts))
    ceiling = float(overload_setting(amps, plate.motor.service_factor, plate.motor.temperature_rise))
    mistakes = (
        (table, _TABLE),
        (ceiling, "That is the ceiling of NEC 430.32(A)(1), not a target: the dial stands at the nameplate's current."),
        (1.25 * amps, "No 125 % on the dial: it stands at the nameplate's current; the relay has its margin inside."),
    )
    because = "The dial stands at the current that the nameplate gives; what the relay's maker says comes first."
    given = rows_430_250(plate.hp)
    return Question(
        "dial of the overload relay, in the motor's lines", plate.motor.current, "A", mistakes, because, given
    )


def overload_most(draws: Draws, plate: Plate) -> Question:
    """The largest setting [A] of the overload relay, in the lines or inside the delta, as it is or raised."""
    motor = plate.motor
    raised, inside = draws.below(4) == 0, draws.below(4) == 0
    place = "winding" if inside else "line"
    amps, table = float(motor.amps), float(full_load_current(plate.hp, motor.volts))

    def most(current: float, factor: float, **more: bool) -> float:
        return float(overload_setting(current, factor, motor.temperature_rise, place=place, **more))

    right = overload_setting(motor.current, motor.service_factor, motor.temperature_rise, raised=raised, place=place)
    factor = float(motor.service_factor)
    rise = motor.temperature_rise
    more = factor >= 1.15 or (rise is not None and float(rise) <= 40)
    shares = ((1.4, 1.3) if raised else (1.25, 1.15))[:: 1 if more else -1]
    root = math.sqrt(3) if inside else 1.0
    reason = "service factor and temperature rise decide the share: either 1.15 and more, or 40 °C and less, is enough"
    mistakes = [
        (most(table, factor, raised=raised), _TABLE),
        (shares[1] * table / root, f"{_TABLE} And {reason}."),
        (shares[1] * amps / root, f"You took the other percentage: {reason} (NEC 430.32)."),
        (amps / root, "That is the current to which the dial is set; asked for is the ceiling above it."),
        (
            most(amps, factor, raised=not raised),
            "Two pairs of percentages: 430.32(A)(1), and (C) if it will not start.",
        ),
    ]
    if inside:
        mistakes.append((float(right) * root, "Inside the delta the relay carries the line current divided by √3."))
        mistakes.append((float(right) * root / 3, "Divide by √3, not by 3: a third is what star draws at the start."))
    why = ", where the first ceiling would not let it start: NEC 430.32(C)" if raised else ""
    where = "inside the delta" if inside else "in the motor's lines"
    field = f"overload relay {where}, at most{why}"
    return Question(field, right, "A", tuple(mistakes), f"{reason.capitalize()}.", rows_430_250(plate.hp))


def conductor(draws: Draws, plate: Plate) -> Question:
    """The least ampacity [A] of the motor's conductors."""
    table = full_load_current(plate.hp, plate.motor.volts)
    mistakes = (
        (1.25 * float(plate.motor.amps), _PLATE.format("conductors go by")),
        (float(table), "That is the table current itself; the conductors of one continuous motor carry 125 % of it."),
        (float(plate.motor.amps), _PLATE.format("conductors go by") + " And 125 % of it is asked for (NEC 430.22)."),
        (1.15 * float(table), "115 % belongs to the overload relay; conductors have 125 % (NEC 430.22)."),
    )
    because = "125 % of the table current (NEC 430.22)."
    given = rows_430_250(plate.hp)
    return Question("ampacity of the conductors, at least", conductor_ampacity(table), "A", mistakes, because, given)


def conductor_carries(draws: Draws, plate: Plate) -> Question:
    """What the smallest conductor carries [A] that will do."""
    table = full_load_current(plate.hp, plate.motor.volts)
    needed = conductor_ampacity(table)
    right = conductor_size(needed)
    sizes = list(COPPER_75.values())
    place = sizes.index(int(right.value))
    mistakes = [
        (
            float(needed),
            "That is what the conductors must carry; asked for is the table's value of the size that does.",
        ),
        (float(conductor_size(float(table))), "You left out the 125 % of NEC 430.22."),
        (float(conductor_size(1.25 * float(plate.motor.amps))), _PLATE.format("conductors go by")),
    ]
    mistakes += [(sizes[place - 1], "That size carries less than is needed.")] if place else []
    mistakes += [(sizes[place + 1], "A smaller size is enough.")]
    because = "125 % of the table current, then the first size that carries it."
    given = (*rows_430_250(plate.hp), sizes_near(float(needed)))
    return Question(
        "table ampacity of the smallest copper size that will do", right, "A", tuple(mistakes), because, given
    )


def feeder(draws: Draws, plate: Plate) -> Question:
    """The least ampacity [A] of a feeder for this motor and one or two smaller ones."""
    sizes = [plate.hp, *draws.some(_HP, 1 + draws.below(2))]
    currents = [full_load_current(hp, plate.motor.volts) for hp in sizes]
    amps = [float(current) for current in currents]
    total, largest = sum(amps), max(amps)
    mistakes = (
        (1.25 * total, "125 % is for the largest motor alone; the others count with 100 % (NEC 430.24)."),
        (total, "The largest motor counts with 125 % (NEC 430.24)."),
        (total + 0.25 * min(amps), "125 % is for the largest motor, not for the smallest."),
        (1.25 * largest, "That is the largest motor alone; the others come on top."),
    )
    others = " and ".join(f"a motor of {hp:g} hp" for hp in sizes[1:])
    given = (f"The same feeder supplies, at the same voltage, {others}.", *rows_430_250(*sizes))
    because = "125 % of the largest table current, and the table currents of the others."
    right = feeder_ampacity(*currents)
    return Question("ampacity of the feeder, at least", right, "A", mistakes, because, given)


def device(draws: Draws, plate: Plate) -> Question:
    """The largest rating [A] of the short-circuit device, as it is or raised."""
    table = full_load_current(plate.hp, plate.motor.volts)
    kind = draws.pick((NON_TIME_DELAY, TIME_DELAY, INVERSE_TIME))
    raised = draws.below(4) == 0
    fuse = kind != INVERSE_TIME
    right = short_circuit_device(table, kind, raised=raised)
    percents = zip(DEVICES, TABLE_430_52[CAGE].percent, strict=True)
    shares = {one: percent / 100 for one, percent in percents if one != INSTANTANEOUS}
    wanted = shares[kind] * float(table)
    mistakes = [
        (
            float(short_circuit_device(float(plate.motor.amps), kind, raised=raised)),
            _PLATE.format("this device goes by"),
        ),
        (float(short_circuit_device(table, kind, raised=not raised)), _exception(raised)),
        (
            wanted,
            "That is no rating that is made: NEC 240.6(A) has the standard ones, 430.52(C)(1) which way to round.",
        ),
        (
            float(rating_within(wanted, fuse=fuse) or 0),
            "Here one may round up to the next rating (430.52(C)(1) Ex. 1).",
        ),
        (next_standard_rating(1.25 * float(table), fuse=fuse), "125 % is for the conductors; see Table 430.52."),
    ]
    for other, share in shares.items():
        if other != kind:
            rating = next_standard_rating(share * float(table), fuse=other != INVERSE_TIME)
            mistakes.append((rating, f"That is the column of the {other}; asked for is the {kind}."))
    given = [*rows_430_250(plate.hp), row_430_52(), ratings_near(float(right), fuse=fuse)]
    if raised:
        ceiling = {NON_TIME_DELAY: "400 %, not above 600 A", TIME_DELAY: "225 %"}.get(kind, "400 %, above 100 A 300 %")
        given.append(f"NEC 430.52(C)(1) Ex. 2: {kind}, at most {ceiling} of the table current.")
    why = " (with the rating by Ex. 1 it does not carry the start)" * raised
    because = "A share of the table current, and then a standard rating."
    field = f"{kind}, rating at most{why}"
    return Question(field, right, "A", tuple(mistakes), because, tuple(given))


def instantaneous(draws: Draws, plate: Plate) -> Question:
    """The largest setting [A] of an instantaneous-trip breaker."""
    table = full_load_current(plate.hp, plate.motor.volts)
    mistakes = (
        (8 * float(plate.motor.amps), _PLATE.format("this device goes by")),
        (2.5 * float(table), "That is the column of the inverse-time breaker."),
        (13 * float(table), "1300 % is the ceiling of the exception; at first 800 % (NEC Table 430.52)."),
    )
    right = short_circuit_device(table, INSTANTANEOUS)
    given = (*rows_430_250(plate.hp), row_430_52())
    because = "A share of the table current; such a breaker is adjustable, so nothing is rounded."
    return Question("instantaneous-trip breaker, setting at most", right, "A", mistakes, because, given)


def locked_rotor(draws: Draws, plate: Plate) -> Question:
    """The largest locked-rotor current [A] that the code letter allows."""
    right = locked_rotor_current(plate.hp, plate.motor.volts, plate.code)
    low, high = TABLE_430_7B[plate.code]
    assert high is not None
    root = math.sqrt(3)
    mistakes = (
        (float(right) * root, "You left out the √3: three phases share the apparent power."),
        (float(right) / root, "Divide by √3 once."),
        (float(right) / plate.hp, "The table gives kVA for each horsepower: multiply by the horsepower."),
        (float(right) * low / high, "That is the lower end of the letter's band; the largest current is asked for."),
        (float(plate.motor.amps), "That is the rated current; at rest a motor draws several times as much."),
    )
    because = "kVA/hp × hp, then S = √3 U I."
    field = "locked-rotor current by the code letter, at most"
    return Question(field, right, "A", mistakes, because, (bands_near(plate.code),))


def _exception(raised: bool) -> str:
    if raised:
        return "That is the rating by Ex. 1; if it does not carry the start, the ceiling of Ex. 2 is rounded down."
    return "The ceiling of 430.52(C)(1) Ex. 2 is only for a motor that will not start with the rating by Ex. 1."
