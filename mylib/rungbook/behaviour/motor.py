"""Three-phase cage motor with its machine: speed, torque and current while it starts, runs, coasts and is reversed.

Enters: how it is fed (one of FEEDS) and the torque of the load. Leaves: the speed, signed, as a share of synchronous
speed [unitless]; the line current as a share of the rated one [unitless]; the exact instant of the next event, in whole
microseconds [µs]. Both supply and load are constant between two steps.

Model. Torque and current follow straight lines between the points of a curve over the speed, so the speed is a chain
of exact exponentials: run_up · d(speed)/dt = torque - load. The load is constant and against the motion, so a motor
that is switched off comes to rest in a finite time (not at load 0), and one whose load is above the torque at rest does
not start. The points are a typical cage curve (locked rotor 175 % torque and 500 % current, breakdown 300 % near 20 %
slip: *Lessons in Electric Circuits*, vol. II ch. 13); rated slip, magnetising current, plugging and single-phase values
are invented but plausible.

With one line lost there is no torque at rest: the motor hums and draws 0.866 of its locked-rotor current in two lines;
one that turns goes on in its direction with about 1.73 times the current. Not modelled: the inrush of the first cycle,
heat in the motor, the voltage (rated is assumed).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from types import MappingProxyType
from typing import NamedTuple

from rungbook.behaviour.timers import check_instant, is_number
from rungbook.errors import LadderError

FEEDS = ("off", "forward", "reverse", "single-phase")
RATED_SPEED = 0.95  # at rated torque; 1710 of 1800 rpm
RUNNING = 0.9 * RATED_SPEED  # from here on the motor counts as running
SETTLED = 1e-4  # this near to its final speed it is taken to have it
MAX_LOAD, MAX_RUN_UP = 100.0, 600.0
_NEAR = 1e-9  # [s] and [unitless]: nothing smaller is told apart


class Point(NamedTuple):
    """speed in the direction of the field (negative: against it); torque and current as shares of rated [unitless]."""

    speed: float
    torque: float
    current: float


class _Leg(NamedTuple):
    """A stretch on one straight line: the speed goes from `start` to `end` in `seconds`, at first at `rate` [1/s].

    slope: change of the rate with the speed [1/s].
    """

    start: float
    end: float
    seconds: float
    rate: float
    slope: float


def _at(curve: tuple[Point, ...], speed: float) -> Point:
    """The point of the curve at `speed`."""
    for low, high in pairwise(curve):
        if speed <= high.speed:
            share = (speed - low.speed) / (high.speed - low.speed)
            return Point(
                speed,
                low.torque + share * (high.torque - low.torque),
                low.current + share * (high.current - low.current),
            )
    return curve[-1]


def _marked(*curve: Point) -> tuple[Point, ...]:
    """The curve with points where a motor begins to count as running, so that each of these is the end of a leg."""
    marks = (_at(curve, mark) for mark in (-RUNNING, RUNNING) if curve[0].speed < mark)
    return tuple(sorted({*curve, *marks}))


_THREE_PHASE = _marked(
    Point(-1.0, 1.5, 5.5),  # plugged at full speed
    Point(0.0, 1.75, 5.0),  # locked rotor
    Point(0.8, 3.0, 3.5),  # breakdown
    Point(RATED_SPEED, 1.0, 1.0),
    Point(1.0, 0.0, 0.4),  # magnetising current
)
CURVES: Mapping[str, tuple[Point, ...]] = MappingProxyType(
    {
        "off": _marked(Point(0.0, 0.0, 0.0), Point(1.0, 0.0, 0.0)),
        "forward": _THREE_PHASE,
        "reverse": _THREE_PHASE,
        "single-phase": _marked(
            Point(0.0, 0.0, 4.33), Point(0.8, 1.5, 3.4), Point(0.93, 1.0, 1.73), Point(1.0, 0.0, 0.7)
        ),
    }
)


@dataclass(frozen=True)
class Motor:
    """A motor of 200 W and its machine.

    load: torque of the machine as a share of rated torque [unitless], 0 to 100. run_up: inertia, as the time [s] in
    which rated torque alone would bring it from rest to synchronous speed, 0.001 to 600.
    Raises LadderError if either is no number or out of range.
    """

    load: float = 0.5
    run_up: float = 1.0

    def __post_init__(self) -> None:
        _check_number("Motor load", self.load, 0, MAX_LOAD)
        _check_number("Motor run-up time [s]", self.run_up, 0.001, MAX_RUN_UP)


@dataclass(frozen=True, slots=True)
class MotorState:
    """A motor at the instant `at` [µs] of its last step; `MotorState(motor)` stands still without voltage.

    feed: one of FEEDS, from `at` on. speed: share of synchronous speed, positive forward [unitless].
    """

    motor: Motor
    at: int = 0
    feed: str = "off"
    speed: float = 0.0


def step(state: MotorState, now: int, feed: str, load: float | None = None) -> MotorState:
    """Return the state at `now` [µs], fed by `feed` from then on; a `load` given takes the place of the motor's.

    Raises LadderError if `now` is no whole number or lies before the last step, or for another feed, or a load out of
    range.
    """
    check_instant("Motor", state.at, now)
    if feed not in FEEDS:
        raise LadderError("Motor", "no such feed", feed, FEEDS)
    sign, speed = _frame(state)
    for leg in _legs(state, (now - state.at) / 1_000_000):
        speed = leg.end
    motor = state.motor if load is None else replace(state.motor, load=load)
    return MotorState(motor, now, feed, sign * speed or 0.0)


def due(state: MotorState) -> int | None:
    """Return the instant [µs] of the next event if feed and load stay; None if the speed does not change any more.

    Events: the speed passes through, or comes to, standstill or RUNNING; and it comes to its final value, so that the
    current is constant from there on.
    """
    seconds = 0.0
    for leg in _legs(state, math.inf):
        if leg.rate == 0:
            return None
        seconds += leg.seconds
        if leg.end == 0 or abs(leg.end) == RUNNING or _is_final(state, leg):
            return state.at + max(math.ceil(seconds * 1_000_000), 1)
    return None


def phase(state: MotorState) -> str:
    """Return "standing", "starting", "running" (from RUNNING on), "braking" (against the field) or "coasting".

    One that stands although it is fed is "standing"; see `blocked`.
    """
    if state.speed == 0:
        return "standing"
    if state.feed == "off":
        return "coasting"
    speed = _frame(state)[1]
    return "braking" if speed < 0 else "running" if speed >= RUNNING - _NEAR else "starting"


def direction(state: MotorState) -> int:
    """Return 1 if it turns forward, -1 if in reverse, 0 if it stands."""
    return (state.speed > 0) - (state.speed < 0)


def blocked(state: MotorState) -> bool:
    """True if it stands although it has voltage, and will not start: it hums and draws its locked-rotor current."""
    return state.speed == 0 and state.feed != "off" and due(state) is None


def current(state: MotorState) -> float:
    """Return the line current at `state.at` as a share of the rated one; of the two live lines when single-phasing."""
    return _at(CURVES[state.feed], _frame(state)[1]).current


def torque(state: MotorState) -> float:
    """Return the torque at `state.at` as a share of the rated one, positive if forward."""
    sign, speed = _frame(state)
    return sign * _at(CURVES[state.feed], speed).torque


def rms_current(state: MotorState, now: int) -> float:
    """Return the root mean square of `current` from `state.at` to `now` [µs], feed and load constant; at `now` > `at`.

    The value with which an overload relay or a fuse warms as it does with the true current of a start. With `now` equal
    to the last step it is the current at that instant. Raises LadderError as `step`.
    """
    check_instant("Motor", state.at, now)
    if now == state.at:
        return current(state)
    seconds = (now - state.at) / 1_000_000
    return math.sqrt(sum(_charge(CURVES[state.feed], leg) for leg in _legs(state, seconds)) / seconds)


def _charge(curve: tuple[Point, ...], leg: _Leg) -> float:
    """Integral of the current squared over a leg, [s] of the rated current squared; exact."""
    first, last = _at(curve, leg.start).current, _at(curve, leg.end).current
    if leg.slope == 0 or leg.start == leg.end:
        return leg.seconds * (first**2 + first * last + last**2) / 3
    growth = math.expm1(leg.slope * leg.seconds)
    # current = first + swing · (exp(slope · t) - 1)
    swing = (last - first) / (leg.end - leg.start) * leg.rate / leg.slope
    base = first - swing
    squares = swing**2 * growth * (growth + 2) / 2 + 2 * base * swing * growth
    return base**2 * leg.seconds + squares / leg.slope


def _frame(state: MotorState) -> tuple[int, float]:
    """(sign, speed): the direction in which the torque acts, and the speed in that direction."""
    sign = {"forward": 1, "reverse": -1}.get(state.feed, -1 if state.speed < 0 else 1)
    return sign, sign * state.speed


def _legs(state: MotorState, seconds: float) -> Iterator[_Leg]:
    """The stretches of the next `seconds`, in the frame of the field, the last one cut short or at rest."""
    speed = _frame(state)[1]
    while seconds > 0:
        leg = _next_leg(state, speed)
        if leg.seconds > seconds + _NEAR:
            leg = leg._replace(seconds=seconds, end=_speed_after(leg, seconds))
        yield leg
        speed = leg.end
        seconds -= leg.seconds


def _next_leg(state: MotorState, speed: float) -> _Leg:
    """The stretch from `speed` to the next point of the curve or to the final speed; without end if there already."""
    curve, motor = CURVES[state.feed], state.motor
    rest = _Leg(speed, speed, math.inf, 0.0, 0.0)
    load = -motor.load if speed < 0 else motor.load
    rate = (_at(curve, speed).torque - load) / motor.run_up
    if (speed == 0 and rate <= 0) or abs(rate) < _NEAR:
        return rest
    ahead = [point for point in curve if (point.speed > speed if rate > 0 else point.speed < speed)]
    behind = [point for point in curve if (point.speed <= speed if rate > 0 else point.speed >= speed)]
    goal, start = (ahead[0], behind[-1]) if rate > 0 else (ahead[-1], behind[0])
    slope = (goal.torque - start.torque) / (goal.speed - start.speed) / motor.run_up
    if slope == 0:
        return _Leg(speed, goal.speed, (goal.speed - speed) / rate, rate, slope)
    left = 1 + slope * (goal.speed - speed) / rate  # share of the rate that is left at the goal
    if left > _NEAR:
        return _Leg(speed, goal.speed, math.log(left) / slope, rate, slope)
    final = speed - rate / slope
    distance = abs(final - speed)
    return _Leg(speed, final, math.log(max(distance / SETTLED, 1.0)) / -slope, rate, slope)


def _speed_after(leg: _Leg, seconds: float) -> float:
    """The speed after a part of a leg."""
    if leg.slope == 0:
        return leg.start + leg.rate * seconds
    return leg.start + leg.rate / leg.slope * math.expm1(leg.slope * seconds)


def _is_final(state: MotorState, leg: _Leg) -> bool:
    return _next_leg(state, leg.end).rate == 0


def _check_number(thing: str, value: object, least: float, most: float) -> None:
    if not is_number(value) or not least <= value <= most:
        raise LadderError(thing, f"a number from {least} to {most}", value)
