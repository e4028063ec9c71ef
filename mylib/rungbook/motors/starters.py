"""Ways to start a cage motor: what each does to voltage, current and torque. Data and formulas, no time.

All values are shares: torque of the rated torque, currents of the rated line current, voltage of the rated one. `motor`
is the current in the motor's leads, `line` that in the supply. At a share u of the voltage the motor has u² of its
torque and u of its current. In star each winding has 1/√3 of its voltage and carries 1/√3 of its current, and the line
carries that of one winding instead of two: 1/3, as the torque. An autotransformer with tap u gives the motor u of its
current and takes u² from the line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from rungbook.motors.answer import Given, given
from rungbook.motors.torque_speed import Curve

DIRECT, STAR_DELTA, TRANSFORMER = "direct", "star-delta", "autotransformer"
SOFT, DRIVE = "soft starter", "drive"


class Instant(NamedTuple):
    """Torque, current in the motor's leads and in the supply, voltage at the motor: shares of rated [unitless]."""

    torque: float
    motor: float
    line: float
    voltage: float


@dataclass(frozen=True)
class Starter:
    """A way to start; made by `direct()`, `star_delta()`, `autotransformer()`, `soft_starter()`, `drive()`.

    kind: one of five. share: voltage at first [unitless]. seconds: of the ramp, or until the changeover (None: when the
    motor gets no faster) [s]. limit: current (soft starter) or torque (drive) that is not exceeded [share], None: none.
    """

    kind: str
    share: float = 1.0
    seconds: float | None = None
    limit: float | None = None

    @property
    def name(self) -> str:
        """The kind with what is set: "autotransformer 65 %"."""
        told = self.kind
        if self.kind in (TRANSFORMER, SOFT):
            told += f" {100 * self.share:.0f} %"
        if self.seconds is not None:
            told += f", {self.seconds:g} s"
        if self.limit is not None:
            told += f", at most {self.limit:g} × {'current' if self.kind == SOFT else 'torque'}"
        return told

    @property
    def changes_over(self) -> bool:
        """True if it has a first and a second step."""
        return self.kind in (STAR_DELTA, TRANSFORMER)


def direct() -> Starter:
    """Full voltage at once."""
    return Starter(DIRECT)


def star_delta(seconds: Given | None = None) -> Starter:
    """Windings in star, then in delta. seconds: set on the timer [s]; None: when the motor gets no faster in star."""
    return Starter(STAR_DELTA, 1 / math.sqrt(3), _changeover(seconds))


def autotransformer(tap: Given = 0.65, seconds: Given | None = None) -> Starter:
    """A part of the voltage from a tap (share, or "65 %"; 0.1 to 1), then full voltage. seconds: as `star_delta`."""
    return Starter(TRANSFORMER, given("Tap", tap, "", 0.1, 1)[0], _changeover(seconds))


def soft_starter(start: Given = 0.4, seconds: Given = 5.0, limit: Given | None = None) -> Starter:
    """Voltage from `start` (share) evenly to full in `seconds` [s]; limit: current not exceeded, multiple of rated."""
    most = None if limit is None else given("Current limit", limit, "", 1, 15)[0]
    first, time = given("Voltage at first", start, "", 0.1, 1)[0], given("Ramp", seconds, "s", 0, 600, above=True)[0]
    return Starter(SOFT, first, time, most)


def drive(seconds: Given = 5.0, limit: Given = 1.5) -> Starter:
    """Frequency and voltage together from 0 to rated in `seconds` [s]; limit: torque not exceeded [× rated]."""
    most = given("Torque limit", limit, "", 0, 5, above=True)[0]
    return Starter(DRIVE, 0.0, given("Ramp", seconds, "s", 0, 600, above=True)[0], most)


def _changeover(seconds: Given | None) -> float | None:
    return None if seconds is None else given("Changeover", seconds, "s", 0, 600, above=True)[0]


def instant_of(starter: Starter, curve: Curve, slip: float, seconds: float, changed: bool) -> Instant:
    """What the motor does at `slip`, `seconds` after the start, on all but a drive. changed: in the second step."""
    torque, current = curve.torque_at(slip), curve.current_at(slip)
    if starter.kind == DIRECT or changed:
        return Instant(torque, current, current, 1.0)
    share = starter.share
    if starter.kind == STAR_DELTA:
        return Instant(torque / 3, current / 3, current / 3, share)
    if starter.kind == SOFT:
        share = voltage_share(starter, current, seconds)
        return Instant(share**2 * torque, share * current, share * current, share)
    return Instant(share**2 * torque, share * current, share**2 * current, share)


def voltage_share(starter: Starter, current: float, seconds: float) -> float:
    """Voltage of a soft starter after `seconds` [s], where full voltage would drive `current` [share of rated]."""
    ramp = starter.share + (1 - starter.share) * min(seconds / (starter.seconds or 1.0), 1.0)
    return ramp if starter.limit is None else min(ramp, starter.limit / current)


def drive_instant(curve: Curve, power_factor: float, torque: float, speed: float) -> Instant:
    """What a motor on a drive takes for `torque` at `speed`, shares of rated; the flux is the rated one.

    Motor: magnetising current at right angles to the part that makes torque. Line: the real power alone (a rectifier's
    displacement factor is near one); losses in proportion, harmonics left out.
    """
    motor = math.sqrt(curve.no_load**2 + (1 - curve.no_load**2) * torque**2)
    return Instant(torque, motor, power_factor * torque * speed, speed)
