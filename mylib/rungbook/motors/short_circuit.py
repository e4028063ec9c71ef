"""The short-circuit and ground-fault device of a motor: NEC 430.52, standard ratings 240.6(A)."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from rungbook.errors import LadderError
from rungbook.motors.answer import Answer, Given, choice, given, table_current
from rungbook.motors.code_table import doubt
from rungbook.motors.data import t430_52 as table
from rungbook.motors.data.s240_6 import FUSES_BESIDE, STANDARD_RATINGS
from rungbook.motors.units import show

_FUSES = tuple(sorted((*STANDARD_RATINGS, *FUSES_BESIDE)))


def standard_ratings(*, fuse: bool) -> tuple[int, ...]:
    """Return the standard ratings [A] of fuses (fuse=True) or inverse-time breakers, ascending, NEC 240.6(A)."""
    return _FUSES if fuse else STANDARD_RATINGS


def next_standard_rating(amps: Given, *, fuse: bool) -> int:
    """Return the smallest standard rating [A] not below `amps` [A], NEC 240.6(A).

    Raises LadderError if `amps` is no current above 0, or is above 6000 A.
    """
    number, _ = given("Rating", amps, "A", 0, STANDARD_RATINGS[-1], above=True)
    ratings = standard_ratings(fuse=fuse)
    return ratings[bisect_left(ratings, round(number, 6))]


def rating_within(amps: Given, *, fuse: bool) -> int | None:
    """Return the largest standard rating [A] not above `amps` [A], NEC 240.6(A); None if the smallest is above it.

    Raises LadderError if `amps` is no current above 0.
    """
    number, _ = given("Rating", amps, "A", 0, 1e6, above=True)
    ratings = standard_ratings(fuse=fuse)
    place = bisect_right(ratings, round(number, 6))
    return ratings[place - 1] if place else None


def short_circuit_device(
    full_load: Given, device: str = table.INVERSE_TIME, motor: str = "squirrel cage", *, raised: bool = False
) -> Answer:
    """Return the largest rating [A] of the branch circuit's short-circuit and ground-fault device, NEC 430.52.

    full_load: the table current [A] (430.6(A)(1)). device: one of DEVICES. motor: a row of Table 430.52. A value that
    is no standard rating goes up to the next one (430.52(C)(1) Ex. 1). raised: that does not carry the start, so the
    ceilings of Ex. 2 hold, rounded down; of an instantaneous-trip breaker (C)(3) Ex. 1. Such a breaker is adjustable
    and part of a listed combination: its setting [A] is not rounded. The edition in force, its local amendments and a
    licensed person decide.
    Raises LadderError if a choice is unknown, or the current is out of range or the nameplate's.
    """
    amps, before = table_current(full_load, 2000)
    choice("Short-circuit device", device, table.DEVICES)
    choice("Motor", motor, tuple(table.TABLE_430_52))
    row = table.TABLE_430_52[motor]
    share = row.percent[table.DEVICES.index(device)]
    wanted = share / 100 * amps
    steps = [
        *before,
        f"{share} % × {show(amps, 'A')} = {show(wanted, 'A')} (NEC Table 430.52, {motor}, {device}){doubt(row.origin)}",
    ]
    if device == table.INSTANTANEOUS:
        if raised:
            wanted, step = _instantaneous_ceiling(amps, motor)
            steps.append(step)
        return Answer(f"Setting of the {device}, at most", wanted, "A", tuple(steps), True)
    fuse = device != table.INVERSE_TIME
    if wanted > STANDARD_RATINGS[-1]:
        raise LadderError("Short-circuit device", "no standard rating above 6000 A (NEC 240.6(A))", show(wanted, "A"))
    rating = next_standard_rating(wanted, fuse=fuse)
    steps.append(
        f"{rating} A is a standard rating (NEC 240.6(A))"
        if abs(rating - wanted) < 1e-6
        else f"next standard rating up: {rating} A (NEC 430.52(C)(1) Ex. 1, 240.6(A))"
    )
    if raised:
        rating = _ceiling(amps, device, rating, steps)
    return Answer(f"Rating of the {device}, at most", rating, "A", tuple(steps), True)


def _instantaneous_ceiling(amps: float, motor: str) -> tuple[float, str]:
    share = table.CEILING_INSTANTANEOUS_EFFICIENT if motor == table.EFFICIENT else table.CEILING_INSTANTANEOUS
    most = share / 100 * amps
    return most, f"ceiling {share} % × {show(amps, 'A')} = {show(most, 'A')} (NEC 430.52(C)(3) Ex. 1, from memory)"


def _ceiling(amps: float, device: str, rating: int, steps: list[str]) -> int:
    """The largest standard rating under the ceiling of Ex. 2; the one by Ex. 1 if that is larger. Adds to `steps`."""
    fuse = device != table.INVERSE_TIME
    if device == table.TIME_DELAY:
        share = table.CEILING_TIME_DELAY
    elif device == table.INVERSE_TIME:
        share = table.CEILING_INVERSE_TIME if amps <= 100 else table.CEILING_INVERSE_TIME_ABOVE_100_A
    else:
        share = table.CEILING_NON_TIME_DELAY
    most = share / 100 * amps
    found = rating_within(most, fuse=fuse) or 0
    steps.append(f"ceiling {share} % × {show(amps, 'A')} = {show(most, 'A')} (NEC 430.52(C)(1) Ex. 2)")
    if device == table.NON_TIME_DELAY and found > 600:
        share = table.CEILING_NON_TIME_DELAY_ABOVE_600_A
        found = max(600, rating_within(share / 100 * amps, fuse=True) or 0)
        steps.append(f"above 600 A only {share} % = {show(share / 100 * amps, 'A')}")
    if found <= rating:
        steps.append(f"no standard rating between it and {rating} A: that stays")
        return rating
    steps.append(f"next standard rating down: {found} A")
    return found
