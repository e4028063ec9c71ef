"""Thermal overload relay: when it trips, when it can be reset, by one bimetal that warms and cools.

Enters: the current as a share of the setting [unitless], constant between two steps. Leaves: tripped or not (95-96 open
and 97-98 closed when tripped), and the exact instant of the next trip or automatic reset in whole microseconds [µs].

Model. The state is the heat, as a share of the heat at which the bimetal trips. It tends to (I / (1.16 × setting))²
with the time constant of the trip class, up and down alike: a body of one heat capacity. So the ultimate trip current
is 1.16 × setting, and the relay trips after

    t = tau · ln((end - start) / (end - 1)),   end = (I / 1.16)²,   start = 0 cold, 0.743 warm (after 1.0 × setting)

One time constant a class meets every limit of IEC 60947-4-1 at 1.05, 1.2, 1.5 and 7.2 × setting, "trips within n
seconds at 600 %" of UL/NEMA, and the naval 115 to 125 % for the ultimate trip. The constants are ours, chosen well
inside those limits; a real relay of the same class may be anywhere between them. Assumed, not checked: ambient +20 °C
or compensated, all three poles carry the same current (with unequal ones give the largest: nothing here heeds the loss
of a phase).

Order at one instant: a trip or a reset that is due comes first, then what is done to the relay.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from rungbook.behaviour.timers import check_instant, is_number
from rungbook.errors import LadderError

TRIP_CLASSES: Mapping[str, float] = MappingProxyType(  # time constant [s]
    {"5": 105.0, "10A": 180.0, "10": 240.0, "20": 480.0, "30": 720.0}
)
ULTIMATE = 1.16  # current that just never trips, in multiples of the setting
RESET_LEVEL = 0.7  # heat at or below which a reset is possible; ours
RESETS = ("manual", "automatic")
MAX_SHARE = 1000.0  # no current beyond this multiple of the setting: what melts at once is not this relay's business


def heat_after(start: float, end: float, seconds: float, tau: float) -> float:
    """Return the heat after `seconds` [s] on its way from `start` to `end` with time constant `tau` [s]."""
    return end + (start - end) * math.exp(-seconds / tau)


def heat_time(start: float, end: float, level: float, tau: float) -> float | None:
    """Return the time [s] from `start` until the heat is `level`; None if it never is on its way to `end`."""
    if start == level:
        return 0.0
    if not (start < level < end or start > level > end):
        return None
    return tau * math.log((end - start) / (end - level))


@dataclass(frozen=True)
class Overload:
    """A relay with its dials: trip_class, one of TRIP_CLASSES; reset, "manual" or "automatic"; test: it has a button.

    The setting in amperes is not in it: currents come as shares of it. Raises LadderError for another class or reset.
    """

    trip_class: str = "10"
    reset: str = "manual"
    test: bool = True

    def __post_init__(self) -> None:
        if self.trip_class not in tuple(TRIP_CLASSES):
            raise LadderError("Overload relay", "no such trip class", self.trip_class, tuple(TRIP_CLASSES))
        if self.reset not in RESETS:
            raise LadderError("Overload relay", "no such reset", self.reset, RESETS)

    @property
    def tau(self) -> float:
        """Time constant of warming and of cooling [s]."""
        return TRIP_CLASSES[self.trip_class]


@dataclass(frozen=True, slots=True)
class OverloadState:
    """A relay at the instant `at` [µs] of its last step; `OverloadState(relay)` is one that is cold and not tripped.

    current: share of the setting from `at` on [unitless]. heat: share of the heat at which it trips [unitless].
    test_held: the test button is held.
    """

    relay: Overload
    at: int = 0
    current: float = 0.0
    heat: float = 0.0
    tripped: bool = False
    test_held: bool = False


def output(state: OverloadState) -> bool:
    """True if tripped: 95-96 open, 97-98 closed."""
    return state.tripped


def due(state: OverloadState) -> int | None:
    """Return the instant [µs] of the next trip, or automatic reset, if the current stays; None if none comes."""
    relay = state.relay
    if state.tripped:
        return None if relay.reset == "manual" or state.test_held else cool(state)
    seconds = 0.0 if state.heat >= 1 else heat_time(state.heat, _end(state), 1.0, relay.tau)
    return None if seconds is None else state.at + math.ceil(seconds * 1_000_000)


def cool(state: OverloadState) -> int | None:
    """Return the instant [µs] from which on a reset is possible, `state.at` if it already is; None if never.

    Of a relay that is tripped, and if the current stays. The heat is then at or below RESET_LEVEL.
    """
    if state.heat <= RESET_LEVEL:
        return state.at
    seconds = heat_time(state.heat, _end(state), RESET_LEVEL, state.relay.tau)
    return None if seconds is None else state.at + math.ceil(seconds * 1_000_000)


def step(state: OverloadState, now: int, current: float) -> OverloadState:
    """Return the state at `now` [µs], with `current` [share of the setting] from then on.

    Trips and resets that fell due on the way are made up for, the one at `now` included, before the current changes.
    Raises LadderError if `now` is no whole number or lies before the last step, or `current` is not from 0 to 1000.
    """
    check_instant("Overload relay", state.at, now)
    if not is_number(current) or not 0 <= current <= MAX_SHARE:
        raise LadderError("Overload current", "a share of the setting, 0 to 1000", current)
    return replace(_caught_up(state, now), current=float(current))


def can_reset(state: OverloadState, now: int) -> bool:
    """True if the reset button would take effect at `now` [µs]: tripped, cool enough, test not held. Raises as step."""
    instant = cool(state)
    state = step(state, now, state.current)
    return state.tripped and not state.test_held and instant is not None and instant <= now


def reset(state: OverloadState, now: int) -> OverloadState:
    """Return the state after the reset button was pressed at `now` [µs]; while `can_reset` is false nothing happens.

    The button cannot hold a relay in: one that is pressed against a hot bimetal has no effect. Raises as `step`.
    """
    possible = can_reset(state, now)
    state = step(state, now, state.current)
    return replace(state, tripped=False) if possible else state


def press_test(state: OverloadState, now: int) -> OverloadState:
    """Return the state with the test button pressed at `now` [µs]: tripped, cold or not.

    Raises as `step`, and LadderError if this relay has no test button.
    """
    if not state.relay.test:
        raise LadderError("Overload relay", "this relay has no test button")
    return replace(step(state, now, state.current), tripped=True, test_held=True)


def release_test(state: OverloadState, now: int) -> OverloadState:
    """Return the state with the test button let go at `now` [µs].

    A relay with automatic reset that is cool goes back at once; one with manual reset stays tripped. Raises as `step`.
    """
    state = replace(step(state, now, state.current), test_held=False)
    return _caught_up(state, now)


def trip_time(trip_class: str, current: float, heat: float = 0.0) -> float | None:
    """Return the time [s] to the trip at `current` [share of the setting], starting from `heat`; None for never.

    heat: 0 cold; WARM after running at the setting. Raises LadderError for another class, or a current out of range.
    """
    state = step(OverloadState(Overload(trip_class), heat=heat), 0, current)
    instant = due(state)
    return None if instant is None else instant / 1_000_000


def trip_curve(trip_class: str, multiples: Iterable[float], heat: float = 0.0) -> tuple[float | None, ...]:
    """Return the trip time [s] of each multiple of the setting, in order, as `trip_time`; shape as `multiples`."""
    return tuple(trip_time(trip_class, multiple, heat) for multiple in multiples)


WARM = (1.0 / ULTIMATE) ** 2  # heat after running at the setting for long


def _end(state: OverloadState) -> float:
    """The heat that the present current leads to."""
    return (state.current / ULTIMATE) ** 2


def _caught_up(state: OverloadState, now: int) -> OverloadState:
    """The state at `now`, current unchanged. The loop ends: a current that trips lets the relay not cool to a reset."""
    while (instant := due(state)) is not None and instant <= now:
        state = replace(state, at=instant, heat=_heat_at(state, instant), tripped=not state.tripped)
    return replace(state, at=now, heat=_heat_at(state, now))


def _heat_at(state: OverloadState, now: int) -> float:
    return heat_after(state.heat, _end(state), (now - state.at) / 1_000_000, state.relay.tau)
