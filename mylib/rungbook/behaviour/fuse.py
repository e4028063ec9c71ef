"""A fuse: when it melts. It never resets.

Enters: the current [A], constant between two steps. Leaves: whole or blown, and the exact instant at which the element
melts, in whole microseconds [µs].

Model. The element warms and cools as one body: its heat, as a share of the heat at which it melts, tends to
(I / minimum fusing current)² with the time constant I²t / (minimum fusing current)². A large current melts it after
I²t / I², without loss of heat; a small one takes longer, and the minimum fusing current just never melts it; short
overloads add up and are forgotten in time. Assumed, not checked: the arc goes out as the element melts, and the source
can drive what the network says (no breaking capacity). The values of the control fuse are invented but plausible.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from rungbook.behaviour.overload import heat_after, heat_time
from rungbook.behaviour.timers import check_instant, is_number
from rungbook.errors import LadderError

MAX_AMPS = 1e6  # beyond this a current is a mistake of the caller, not of the circuit


@dataclass(frozen=True)
class Fuse:
    """A fuse: rated current [A]; minimum fusing current as a multiple of it [unitless]; melting integral I²t [A²s].

    Raises LadderError if the rating or the integral is not positive, or the factor is not above 1: a fuse carries its
    rated current for ever.
    """

    rating: float = 2.0
    factor: float = 1.5
    i2t: float = 6.0

    def __post_init__(self) -> None:
        for thing, value, least in (
            ("rating [A]", self.rating, 0),
            ("I²t [A²s]", self.i2t, 0),
            ("factor", self.factor, 1),
        ):
            if not is_number(value) or not least < value <= MAX_AMPS**2:
                raise LadderError(f"Fuse {thing}", f"a number above {least}", value)

    @property
    def minimum(self) -> float:
        """Minimum fusing current [A]: it just never melts the element."""
        return self.rating * self.factor

    @property
    def tau(self) -> float:
        """Time constant of warming and cooling [s]."""
        return self.i2t / self.minimum**2


@dataclass(frozen=True, slots=True)
class FuseState:
    """A fuse at the instant `at` [µs] of its last step; `FuseState(fuse)` is a new, cold one.

    current: current from `at` on [A]. heat: share of the heat at which it melts [unitless].
    """

    fuse: Fuse
    at: int = 0
    current: float = 0.0
    heat: float = 0.0
    blown: bool = False


def due(state: FuseState) -> int | None:
    """Return the instant [µs] at which the fuse melts if the current stays; None if never, or if it has melted."""
    if state.blown:
        return None
    seconds = heat_time(state.heat, _end(state), 1.0, state.fuse.tau)
    return None if seconds is None else state.at + math.ceil(seconds * 1_000_000)


def step(state: FuseState, now: int, current: float) -> FuseState:
    """Return the state at `now` [µs], with `current` [A, root mean square] from then on.

    A melting that fell due on the way, or at `now`, is made up for before the current changes. A blown fuse stays so,
    and carries no current whatever is given.
    Raises LadderError if `now` is no whole number or lies before the last step, or `current` is not from 0 to 1e6 A.
    """
    check_instant("Fuse", state.at, now)
    if not is_number(current) or not 0 <= current <= MAX_AMPS:
        raise LadderError("Fuse current", "from 0 to 1e6 A", current)
    instant = due(state)
    if state.blown or (instant is not None and instant <= now):
        return FuseState(state.fuse, now, blown=True)
    heat = heat_after(state.heat, _end(state), (now - state.at) / 1_000_000, state.fuse.tau)
    return replace(state, at=now, heat=heat, current=float(current))


def output(state: FuseState) -> bool:
    """True if the fuse is blown: the circuit is open there."""
    return state.blown


def _end(state: FuseState) -> float:
    """The heat that the present current leads to."""
    return (state.current / state.fuse.minimum) ** 2
