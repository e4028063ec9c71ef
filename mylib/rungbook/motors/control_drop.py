"""Voltage that a coil gets at the end of a long control line, while it pulls in and while it is held."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rungbook.errors import LadderError
from rungbook.kit.ratings import SUPPLY, CoilRating, SupplyRating
from rungbook.motors.answer import Given, given, whole
from rungbook.motors.units import show

COPPER = 0.017241  # resistivity at 20 °C [Ω·mm²/m], IEC 60028
WARMING = 0.00393  # change of the resistance of copper [1/K] at 20 °C, IEC 60028
LEAST = 0.85  # share of rated voltage from which a contactor must close: IEC 60947-4-1


def awg_area(size: int) -> float:
    """Return the area [mm²] of a solid wire of `size` AWG (0 to 36): diameter 0.127 mm · 92^((36 - n) / 39), ASTM B258.

    Raises LadderError if the size is no whole number from 0 to 36.
    """
    whole("AWG size", size, 0, 36)
    diameter = 0.127 * math.pow(92, (36 - size) / 39)
    return math.pi / 4 * diameter**2


@dataclass(frozen=True)
class ControlDrop:
    """What a coil gets. pull_in, held: voltage at the coil [V] with its magnet open and closed. line: both ways [Ω].

    coil: its rating. supply: voltage without load [V]. True if the coil is sure to pull in.
    """

    pull_in: float
    held: float
    line: float
    coil: CoilRating
    supply: float

    @property
    def share(self) -> float:
        """Voltage while it pulls in, as a share of the coil's rated voltage [unitless]."""
        return self.pull_in / self.coil.volts

    def __bool__(self) -> bool:
        return self.share >= LEAST

    def __str__(self) -> str:
        word = "pulls in" if self else "is NOT sure to pull in"
        return (
            f"line {show(self.line, 'Ω')}: {show(self.pull_in, 'V')} while the magnet is open "
            f"({100 * self.share:.1f} % of {show(self.coil.volts, 'V')}, at least 85 % by IEC 60947-4-1: the coil "
            f"{word}), {show(self.held, 'V')} when it is closed"
        )

    __repr__ = __str__


def control_drop(
    metres: Given,
    mm2: Given,
    coil: CoilRating | None = None,
    supply: SupplyRating = SUPPLY,
    celsius: Given = 40.0,
    held_beside: int = 0,
) -> ControlDrop:
    """Return the voltage at a coil at the end of a control line of `metres` [m] one way, of `mm2` [mm²] copper.

    coil: its rating (None: a contactor's of the kit), supply: with its source impedance. celsius: of the wire [°C].
    held_beside: as many coils of the same kind already held at the supply. The line's inductance and the transformer's
    saturation are neglected. Voltages are added as phasors. Raises LadderError if a number is out of range.
    """
    length, _ = given("Length of the line", metres, "m", 0, 10_000)
    area, _ = given("Area of the wire", mm2, "mm²", 0, 240, above=True)
    warm, _ = given("Temperature of the wire", celsius, "°C", -40, 150)
    whole("Coils held beside", held_beside, 0, 100)
    rating = CoilRating() if coil is None else coil
    line = 2 * length * COPPER * (1 + WARMING * (warm - 20)) / area

    def at_coil(pulled_in: bool) -> float:
        size = rating.ohms(pulled_in)
        admittance = 1 / (line + size) + held_beside / rating.ohms(True)
        at_supply = supply.volts / (1 + supply.ohms * admittance)
        return abs(at_supply * size / (line + size))

    return ControlDrop(at_coil(False), at_coil(True), line, rating, supply.volts)


def longest_line(
    mm2: Given,
    coil: CoilRating | None = None,
    supply: SupplyRating = SUPPLY,
    celsius: Given = 40.0,
    held_beside: int = 0,
) -> float:
    """Return how long [m], one way, a control line may be for its coil to get 85 % of its voltage while it pulls in.

    Arguments as `control_drop`. Raises LadderError as it does, or if the supply is too weak even without a line.
    """

    def enough(metres: float) -> bool:
        return bool(control_drop(metres, mm2, coil, supply, celsius, held_beside))

    if not enough(0.0):
        found = control_drop(0.0, mm2, coil, supply, celsius, held_beside)
        raise LadderError("Control line", "even without a line the coil gets less than 85 %", show(found.pull_in, "V"))
    low, high = 0.0, 10_000.0
    if enough(high):
        return high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if enough(middle) else (low, middle)
    return low
