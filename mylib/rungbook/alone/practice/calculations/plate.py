"""The plate of a motor of the mill, drawn, and the rows of the code's tables that are printed beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rungbook.alone.practice.draws import Draws
from rungbook.alone.practice.plans import MACHINES
from rungbook.motors import Nameplate, code_letter_of, full_load_table, standard_ratings
from rungbook.motors.data.t310_16 import COPPER_75
from rungbook.motors.data.t430_7b import TABLE_430_7B
from rungbook.motors.data.t430_52 import DEVICES, TABLE_430_52
from rungbook.motors.units import WATTS_OF_HP, show

CAGE = "squirrel cage"
_HP = (1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100)
_KW = (0.75, 1.1, 1.5, 2.2, 3, 4, 5.5, 7.5, 11, 15, 18.5, 22, 30, 37, 45)
_NEC_VOLTS, _METRIC_VOLTS = (200, 208, 230, 460, 575), (380, 400, 415)


@dataclass(frozen=True)
class Plate:
    """machine: what it drives. motor: the numbers. hp: 0 on a plate in kilowatts. code: letter, "" on such a plate."""

    machine: str
    motor: Nameplate
    hp: float
    code: str

    @property
    def text(self) -> str:
        """The plate as a sentence."""
        one = self.motor
        power = f"{self.hp:g} hp" if self.hp else show(float(one.kilowatts), "kW")
        rise = "not marked" if one.temperature_rise is None else show(float(one.temperature_rise), "°C")
        told = [power, show(float(one.volts), "V"), show(float(one.amps), "A"), show(float(one.hertz), "Hz")]
        told += [show(float(one.rpm), "rpm"), f"power factor {one.power_factor:g}", f"efficiency {one.efficiency:g}"]
        told += [f"service factor {one.service_factor:g}", f"temperature rise {rise}"]
        told += [f"code letter {self.code}"] if self.code else []
        return f"Plate of the motor of the {self.machine}, three-phase cage: {', '.join(told)}."


def draw_plate(draws: Draws, *, metric: bool) -> Plate:
    """Draw a plate whose numbers belong together. metric: in kW, 50 Hz; else in hp, 60 Hz, with a code letter."""
    hp = 0 if metric else draws.pick(_HP)
    kilowatts = draws.pick(_KW) if metric else hp * WATTS_OF_HP / 1000
    volts = draws.pick(_METRIC_VOLTS if metric else _NEC_VOLTS)
    hertz = 50 if metric else 60
    poles = draws.pick((2, 4, 4, 6, 8))
    good = round(min(0.76 + 0.04 * math.log2(1 + kilowatts), 0.95) + 0.01 * (draws.below(3) - 1), 2)
    factor = round(0.76 + 0.01 * draws.below(13), 2)
    exact = kilowatts * 1000 / (math.sqrt(3) * volts * factor * good)
    slip = 0.016 + 0.001 * draws.below(36)
    rpm = 5 * round(120 * hertz / poles * (1 - slip) / 5)
    motor = Nameplate(
        kilowatts,
        volts,
        round(exact, 1) if exact < 100 else round(exact),
        rpm,
        hertz,
        factor,
        good,
        draws.pick((1.0, 1.0, 1.15, 1.25)),
        draws.pick((None, 40.0, 55.0, 80.0)),
        locked_amps=round(4.8 + 0.1 * draws.below(27), 1),
        locked_torque=round(1.3 + 0.1 * draws.below(11), 1),
    )
    at_rest = float(motor.locked_amps) * float(motor.amps)
    return Plate(draws.pick(MACHINES), motor, hp, "" if metric else code_letter_of(at_rest, volts, hp))


def rows_430_250(*sizes: float) -> tuple[str, ...]:
    """The rows of the table of currents around `sizes` [hp], a line each."""
    table = full_load_table()
    wanted = {place for size in sizes for place, row in enumerate(table.rows) if row.key == size}
    near = sorted(
        {other for place in wanted for other in (place - 1, place, place + 1) if 0 <= other < len(table.rows)}
    )
    lines = []
    for place in near:
        row = table.rows[place]
        pairs = zip(table.columns, row.values, strict=True)
        cells = [f"{column.name} V {value:g} A" for column, value in pairs if value is not None and column.name < 1000]
        lines.append(f"NEC Table 430.250, {row.key:g} hp: {', '.join(cells)}.")
    return tuple(lines)


def row_430_52() -> str:
    """The row of the table for a cage motor."""
    shares = zip(DEVICES, TABLE_430_52[CAGE].percent, strict=True)
    return f"NEC Table 430.52, {CAGE}: {', '.join(f'{device} {share} %' for device, share in shares)}."


def ratings_near(amps: float, *, fuse: bool) -> str:
    """Standard ratings around `amps` [A]."""
    return f"NEC 240.6(A), standard ratings: {_around(standard_ratings(fuse=fuse), amps, 5)} A."


def sizes_near(amps: float) -> str:
    """Sizes of copper wire around an ampacity of `amps` [A]."""
    sizes = list(COPPER_75.items())
    place = next((n for n, (_, most) in enumerate(sizes) if most >= amps), len(sizes) - 1)
    near = sizes[max(0, place - 3) : place + 3]
    return f"NEC Table 310.16, copper, 75 °C: {', '.join(f'{size} {most} A' for size, most in near)}."


def bands_near(letter: str) -> str:
    """The bands of the code letters around `letter`."""
    letters = list(TABLE_430_7B)
    place = letters.index(letter)
    near = [(one, TABLE_430_7B[one]) for one in letters[place - 1 : place + 2]]
    return f"NEC Table 430.7(B), kVA/hp: {', '.join(f'{one} {low:g} to {high:g}' for one, (low, high) in near)}."


def _around(numbers: Sequence[int], value: float, reach: int) -> str:
    place = sum(number < value for number in numbers)
    return ", ".join(map(str, numbers[max(0, place - reach) : place + reach]))
