"""Does the overload relay hold through the start? A run-up's current through the bimetal of `behaviour/overload`."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

from rungbook.behaviour import overload
from rungbook.behaviour.overload import RESETS, TRIP_CLASSES, ULTIMATE, WARM, Overload, OverloadState
from rungbook.motors.answer import Given, choice, given, nameplate_current
from rungbook.motors.run_up import RunUp
from rungbook.motors.units import show

_MICRO = 1_000_000


@dataclass(frozen=True)
class StartHeating:
    """What the relay did: `holds`, or the instant of the trip [s]. True if it holds.

    course: (seconds [s], heat as a share of that at which it trips [unitless]) through the start. peak: largest heat.
    """

    run_up: RunUp
    setting: float
    trip_class: str
    warm: bool
    course: tuple[tuple[float, float], ...] = field(repr=False)
    trip: float | None
    peak: float

    @property
    def holds(self) -> bool:
        """True if it did not trip before the motor was up to speed, and the motor got there."""
        return self.trip is None and self.run_up.seconds is not None

    def __bool__(self) -> bool:
        return self.holds

    def __str__(self) -> str:
        relay = f"class {self.trip_class} set to {show(self.setting, 'A')}, {'warm' if self.warm else 'cold'}"
        if self.trip is not None:
            return f"{relay}: trips after {self.trip:.2f} s of the start"
        told = "holds" if self.holds else "has not tripped yet, and the motor is not up to speed"
        return f"{relay}: {told}; heat up to {100 * self.peak:.0f} % of that at which it trips"

    __repr__ = __str__


def start_heating(run_up: RunUp, setting: Given, trip_class: str = "10", *, warm: bool = False) -> StartHeating:
    """Return what an overload relay of `trip_class` with its dial at `setting` [A] does during `run_up`.

    The relay lies in the motor's leads. warm: it carried its setting for long before this start, else it is cold. The
    bimetal is that of `rungbook.behaviour.overload`: constants of ours within the limits of IEC 60947-4-1; a real relay
    of the class may trip sooner or later inside them.
    Raises LadderError if the setting is out of range or comes from a table (NEC 430.6(A)), or for another class.
    """
    amps, _ = nameplate_current("Overload setting", setting)
    choice("Trip class", trip_class, tuple(TRIP_CLASSES))
    state = OverloadState(Overload(trip_class, RESETS[0]), heat=WARM if warm else 0.0)
    course, trip = [(0.0, state.heat)], None
    for before, after in pairwise(run_up.samples):
        if after.seconds <= before.seconds:
            continue
        # the current runs along a straight line between two samples: the mean of its square is exact
        a, b = before.motor_amps, after.motor_amps
        share = math.sqrt((a * a + a * b + b * b) / 3) / amps
        state = overload.step(state, round(before.seconds * _MICRO), share)
        instant = overload.due(state)
        if trip is None and instant is not None and instant <= round(after.seconds * _MICRO):
            trip = instant / _MICRO
        state = overload.step(state, round(after.seconds * _MICRO), share)
        course.append((after.seconds, state.heat))
    return StartHeating(run_up, amps, trip_class, warm, tuple(course), trip, max(heat for _, heat in course))


def longest_start(multiple: Given, trip_class: str = "10", *, warm: bool = False) -> float | None:
    """Return how long [s] a relay of `trip_class` carries `multiple` of its setting; None: for ever (up to 1.16).

    Raises LadderError if the multiple is out of range, or for another class.
    """
    share, _ = given("Multiple of the setting", multiple, "", 0, 1000)
    choice("Trip class", trip_class, tuple(TRIP_CLASSES))
    return None if share <= ULTIMATE else overload.trip_time(trip_class, share, WARM if warm else 0.0)
