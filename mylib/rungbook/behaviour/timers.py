"""Timer functions of a relay: when its timed contacts operate, in exact whole microseconds.

Enters: the voltage at the timer's input, as true or false, at instants. Leaves: the state of the timed contacts and the
instant of their next change. Time is an `int` in [µs] everywhere, so eight hours of a flashing lamp drift by nothing;
seconds appear only in `Timer.preset` and in `microseconds`.

Order at one instant: a change that is due comes first, then the change of the input. Two readings of that matter:
an on-delay whose input falls exactly when the preset has run out has operated for no time at all and is at rest after
the step; a one-shot whose next edge comes exactly at the end of its pulse starts a new pulse without a gap.

Assumed, not checked: the off-delay, on-and-off delay, one-shot and cumulative functions have an auxiliary supply that
stays on (or are "true" off-delay), so `energised` is their control input. An on-delay or flasher may have its coil as
its supply: it resets with the voltage either way. Loss of the auxiliary supply is `lose_supply`. The repeat accuracy of
a real timer (some per cent) is not modelled, nor the travel of its contacts: that is the relay's own operating time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TypeGuard

from rungbook.errors import LadderError
from rungbook.kit.settings import TIMER_FUNCTIONS

MAX_PRESET = 360_000.0  # [s], 100 h
IDLE, TIMING, DONE = "idle", "timing", "done"


def is_number(value: object) -> TypeGuard[float]:
    """True if `value` is a finite int or float, and no bool."""
    return isinstance(value, int | float) and not isinstance(value, bool) and -math.inf < value < math.inf


def microseconds(seconds: float, thing: str = "Time") -> int:
    """Return `seconds` [s] as the nearest whole number of microseconds [µs].

    Raises LadderError, naming `thing`, if it is no finite number, or is negative.
    """
    if not is_number(seconds) or seconds < 0:
        raise LadderError(thing, "a time is a finite number of seconds, 0 or more", seconds)
    return round(seconds * 1_000_000)


def check_instant(thing: str, before: int, now: int) -> None:
    """Raise LadderError if `now` [µs] is no whole number, or lies before the block's last instant `before` [µs]."""
    if type(now) is not int:
        raise LadderError(thing, "an instant is a whole number of microseconds", now)
    if now < before:
        raise LadderError(thing, f"time runs forward; the last instant was {before} µs", now)


@dataclass(frozen=True)
class Timer:
    """A timer as set on its dials.

    function: one of TIMER_FUNCTIONS. preset: the set time [s], from 1 µs to 100 h; a flasher is on, and then off, for
    one preset each. Raises LadderError for another function, or a preset out of range.
    """

    function: str
    preset: float

    def __post_init__(self) -> None:
        if self.function not in TIMER_FUNCTIONS:
            raise LadderError("Timer", "no such function", self.function, TIMER_FUNCTIONS)
        if not 1 <= microseconds(self.preset, "Timer preset") <= MAX_PRESET * 1_000_000:
            raise LadderError("Timer preset", "more than 0 s and at most 100 h", self.preset, ("0.000001 … 360000 s",))


@dataclass(frozen=True, slots=True)
class TimerState:
    """A timer at the instant `at` [µs] of its last step; `TimerState(timer)` is one out of the box, without voltage.

    operated: timed contacts away from rest. since: start of the period that is running [µs], None if none is. kept:
    time gathered before it [µs], other than 0 in a cumulative on-delay alone. done: the last period ran out, and the
    input is still as it was at its start (a cumulative on-delay: has not been reset since).
    """

    timer: Timer
    at: int = 0
    energised: bool = False
    operated: bool = False
    since: int | None = None
    kept: int = 0
    done: bool = False


def output(state: TimerState) -> bool:
    """True if the timed contacts are operated: NO closed, NC open."""
    return state.operated


def due(state: TimerState) -> int | None:
    """Return the instant [µs] of the next change of the timed contacts if the input stays; None if none comes."""
    return None if state.since is None else state.since + _preset(state) - state.kept


def phase(state: TimerState) -> str:
    """Return "timing" if a change is due, "done" once the preset has run out, "idle" while it waits for its edge.

    An off-delay is idle while energised, and done from the fall of its contacts until its input rises again.
    """
    return TIMING if state.since is not None else DONE if state.done else IDLE


def elapsed(state: TimerState, now: int) -> int:
    """Return the time gathered by `now` [µs]: 0 when idle, the preset when done, and held by a paused cumulative one.

    `now` not past the next due change; then it is the ET of the block in IEC 61131-3 (from memory). Raises LadderError
    if `now` lies before the last step.
    """
    check_instant("Timer", state.at, now)
    if state.done:
        return _preset(state)
    running = 0 if state.since is None else now - state.since
    return min(state.kept + running, _preset(state))


def remaining(state: TimerState, now: int) -> int | None:
    """Return the time [µs] from `now` until the next change, None if none is due. Raises as `elapsed`."""
    check_instant("Timer", state.at, now)
    instant = due(state)
    return None if instant is None else max(instant - now, 0)


def step(state: TimerState, now: int, energised: bool) -> TimerState:
    """Return the state at `now` [µs], the input being `energised` from then on. Call it at input changes and when due.

    Changes that fell due on the way are made up for, the one at `now` itself included, before the input changes.
    Raises LadderError if `now` is no whole number or lies before the last step.
    """
    check_instant("Timer", state.at, now)
    state = _caught_up(state, now)
    return state if energised == state.energised else _edge(state, energised)


def reset(state: TimerState, now: int) -> TimerState:
    """Return the state after a pulse on the reset input at `now` [µs]: contacts at rest, time gathered 0.

    If still energised the time starts anew at `now`. Raises LadderError as `step`, and for any function but
    "cumulative on-delay": the others have no such input.
    """
    if state.timer.function != "cumulative on-delay":
        raise LadderError("Timer", "no reset input with this function", state.timer.function, ("cumulative on-delay",))
    check_instant("Timer", state.at, now)
    return TimerState(state.timer, now, state.energised, since=now if state.energised else None)


def lose_supply(state: TimerState, now: int) -> TimerState:
    """Return the state after the auxiliary supply failed at `now` [µs]: contacts at rest, input off, period forgotten.

    A cumulative on-delay keeps the time it has gathered; one that had run out operates as soon as it is energised
    again. Raises LadderError as `step`.
    """
    check_instant("Timer", state.at, now)
    state = _caught_up(state, now)
    kept = elapsed(state, now) if state.timer.function == "cumulative on-delay" else 0
    return TimerState(state.timer, now, kept=kept)


def _preset(state: TimerState) -> int:
    return round(state.timer.preset * 1_000_000)


def _caught_up(state: TimerState, now: int) -> TimerState:
    """The state at `now` with the input unchanged."""
    instant = due(state)
    if instant is None or instant > now:
        return replace(state, at=now)
    if state.timer.function == "flash":
        assert state.since is not None
        periods = (now - state.since) // _preset(state)
        operated = state.operated ^ bool(periods % 2)
        return replace(state, at=now, operated=operated, since=state.since + periods * _preset(state))
    function = state.timer.function
    back = function.startswith("one-shot") and state.energised != function.endswith("rising edge")
    return replace(state, at=now, operated=not state.operated, since=None, kept=0, done=not back)


def _edge(state: TimerState, rising: bool) -> TimerState:
    """The state after the input has just changed, at `state.at`."""
    now, function = state.at, state.timer.function
    fresh = replace(state, energised=rising, since=None, done=False)
    started = replace(fresh, since=now)
    if function == "on-delay":
        return started if rising else replace(fresh, operated=False)
    if function == "off-delay":
        return replace(fresh, operated=True) if rising else started
    if function == "on-and-off delay":
        return fresh if rising == state.operated else started
    if function == "flash":
        return replace(started, operated=True) if rising else replace(fresh, operated=False)
    if function == "cumulative on-delay":
        return _cumulative_edge(state, rising)
    if state.since is not None:  # a one-shot during its pulse heeds no edge
        return replace(state, energised=rising)
    return replace(started, operated=True) if rising == (function == "one-shot on rising edge") else fresh


def _cumulative_edge(state: TimerState, rising: bool) -> TimerState:
    if state.done:
        return replace(state, energised=rising)
    if not rising:
        return replace(state, energised=False, since=None, kept=elapsed(state, state.at))
    if state.kept >= _preset(state):  # had run out before its supply failed
        return replace(state, energised=True, operated=True, kept=0, done=True)
    return replace(state, energised=True, since=state.at)
