"""The machine that a motor turns: its torque over the speed, and its inertia."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from rungbook.motors.answer import Given, choice, given

#: shape of the torque over the speed -> exponent of the speed
SHAPES = MappingProxyType({"constant": 0, "linear": 1, "square": 2})
_LOOSE = 0.1  # share of the rated speed at which what holds a machine at rest is overcome


@dataclass(frozen=True)
class Load:
    """torque [N·m] at the motor's rated speed; shape: "constant" (elevator, mill), "linear", "square" (pump, fan).

    inertia: of the machine, seen from the motor's shaft [kg·m²]; the rotor's comes on top. breakaway: torque that holds
    it at rest [N·m]; it fades to nothing by a tenth of the rated speed, and the larger of the two counts.
    Raises LadderError if a number is out of range, or for another shape.
    """

    torque: Given
    shape: str = "constant"
    inertia: Given = 0.1
    breakaway: Given = 0.0

    def __post_init__(self) -> None:
        choice("Load", self.shape, tuple(SHAPES))
        for field, name, unit in (
            ("torque", "Torque of the load", "N·m"),
            ("inertia", "Inertia of the load", "kg·m²"),
            ("breakaway", "Breakaway torque", "N·m"),
        ):
            number, _ = given(name, getattr(self, field), unit, 0, 1e6)
            object.__setattr__(self, field, number)

    def torque_at(self, speed: float) -> float:
        """Return the torque [N·m] at `speed`, a share of the motor's rated speed [unitless]."""
        running = float(self.torque) * max(speed, 0.0) ** SHAPES[self.shape]
        return max(running, float(self.breakaway) * (1 - speed / _LOOSE))
