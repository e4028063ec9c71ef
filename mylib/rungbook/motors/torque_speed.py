"""Torque and current of a cage motor over its slip, from the nameplate.

Model, torque: Kloss's formula T / T_b = 2 / (s/s_b + s_b/s), which neglects the stator's resistance; the breakdown slip
s_b = s_n (k + √(k² - 1)) lets it pass through rated torque at rated slip s_n, k being breakdown over rated torque.
Beyond breakdown a real cage has more torque at rest than that, because its rotor's resistance grows with the rotor's
frequency (deep bars, double cage). So from s_b to standstill the formula is multiplied by 1 + (r - 1) u², with
u = (s - s_b) / (1 - s_b) and r such that the locked-rotor torque is met. That factor is empirical and ours; rated,
breakdown and locked-rotor point are met exactly, the course between is a model.

Model, current: one rotor branch beside a magnetising current i_0 at right angles, i² = i_0² + a / (1 + (σ/s)²), with a
and σ such that rated and locked-rotor current are met.

At a share u of rated voltage the torque is u² and the current u times as large: saturation is neglected.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rungbook.errors import LadderError
from rungbook.motors.answer import given
from rungbook.motors.nameplate import Nameplate


@dataclass(frozen=True)
class Curve:
    """Torque and current over slip at rated voltage and frequency, as shares of rated [unitless]. Made by `curve_of`.

    breakdown_slip: [unitless]. breakdown, locked: torque there and at rest. no_load: magnetising current. size, knee:
    a and σ of the current's formula.
    """

    breakdown_slip: float
    breakdown: float
    locked: float
    no_load: float
    size: float
    knee: float

    def torque(self, slip: float) -> float:
        """Return the torque at `slip` (0 to 1) [share of rated]. Raises LadderError for another slip."""
        given("Slip", slip, "", 0, 1)
        return self.torque_at(slip)

    def torque_at(self, slip: float) -> float:
        """As `torque`, without looking at the range: for the inner loop of an integration."""
        if slip <= 0:
            return 0.0
        kloss = _kloss(self.breakdown, self.breakdown_slip, slip)
        if slip <= self.breakdown_slip or self.breakdown_slip >= 1:
            return kloss
        share = (slip - self.breakdown_slip) / (1 - self.breakdown_slip)
        return kloss * (1 + (self.locked / _kloss(self.breakdown, self.breakdown_slip, 1.0) - 1) * share**2)

    def current(self, slip: float) -> float:
        """Return the line current at `slip` (0 to 1) [share of rated]. Raises LadderError for another slip."""
        given("Slip", slip, "", 0, 1)
        return self.current_at(slip)

    def current_at(self, slip: float) -> float:
        """As `current`, without looking at the range."""
        if slip <= 0:
            return self.no_load
        return math.sqrt(self.no_load**2 + self.size / (1 + (self.knee / slip) ** 2))


def curve_of(plate: Nameplate) -> Curve:
    """Return the torque–speed and current–speed curve of `plate`; see the top of this file for the model.

    Raises LadderError if no such curve passes through the plate's points: breakdown would lie at a slip above one, or
    the locked-rotor current is too large for the rated slip.
    """
    rated, top = plate.slip, float(plate.breakdown_torque)
    at = rated * (top + math.sqrt(top**2 - 1))
    if at >= 1:
        rule = f"with a rated slip of {rated:.3g} breakdown would lie at a slip of {at:.3g}, above one"
        raise LadderError("Breakdown torque / rated", rule, top)
    no_load, locked = float(plate.no_load_amps), float(plate.locked_amps)
    ratio = (locked**2 - no_load**2) / (1 - no_load**2)
    if ratio >= 1 / rated**2:
        rule = f"with a rated slip of {rated:.3g} at most {math.sqrt((1 - no_load**2) / rated**2 + no_load**2):.3g}"
        raise LadderError("Locked-rotor current / rated", rule, locked)
    knee = math.sqrt((ratio - 1) / (1 / rated**2 - ratio))
    size = (locked**2 - no_load**2) * (1 + knee**2)
    return Curve(at, top, float(plate.locked_torque), no_load, size, knee)


def _kloss(breakdown: float, breakdown_slip: float, slip: float) -> float:
    return 2 * breakdown / (slip / breakdown_slip + breakdown_slip / slip)
