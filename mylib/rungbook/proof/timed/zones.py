"""Zones: all the times at which some clocks may stand together, as bounds on their differences.

A zone over n clocks is a tuple of (n + 1)² bounds, row after row; the one in row i, column j bounds x_i - x_j from
above, x_0 being always 0. A bound is a whole number: 2 c for "less than c", 2 c + 1 for "at most c", c in [us]. Zones
are always canonical (no bound can be made tighter) and never empty. Difference bound matrices for timed systems: Dill
1989; Bengtsson and Yi 2004 (both from memory).

Here every order comes strictly between two ends of periods, so every bound is strict but those of differences that
are fixed: a zone is open within the planes that its fixed differences span. Two zones with the same fixed differences
therefore stay so under everything done here, and of two such zones the larger one does all that the smaller can.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isqrt

Zone = tuple[int, ...]
Bound = int

AT_MOST_0: Bound = 1
NO_CLOCKS: Zone = (AT_MOST_0,)


def add(one: Bound, other: Bound) -> Bound:
    """The bound on the sum of what two bounds bound."""
    return (one & ~1) + (other & ~1) | one & other & 1


def at_most(value: int) -> Bound:
    """The bound "at most `value`"."""
    return 2 * value + 1


def less_than(value: int) -> Bound:
    """The bound "less than `value`"."""
    return 2 * value


def _closed(bounds: list[Bound], size: int) -> Zone | None:
    """The canonical zone of these bounds; None if nothing fulfils them all."""
    span = range(size)
    for k in span:
        row_k = k * size
        for i in span:
            first = bounds[i * size + k]
            if i == k:
                continue
            row_i = i * size
            for j in span:
                way = add(first, bounds[row_k + j])
                if way < bounds[row_i + j]:
                    bounds[row_i + j] = way
    if any(bounds[i * size + i] < AT_MOST_0 for i in span):
        return None
    return tuple(bounds)


def later(zone: Zone, presets: Sequence[int], due: frozenset[int] = frozenset()) -> Zone | None:
    """The zone after some time, more than none: clocks in `due` stand at their preset, the others below theirs.

    presets: of each clock [us]; due: places of clocks, from 0. None if that never comes to pass.
    """
    size = len(presets) + 1
    bounds = list(zone)
    for place, preset in enumerate(presets):
        k = place + 1
        if place in due:
            bounds[k * size], bounds[k] = at_most(preset), at_most(-preset)
        else:
            bounds[k * size], bounds[k] = less_than(preset), bounds[k] & ~1
    return _closed(bounds, size)


def together(zone: Zone, presets: Sequence[int]) -> list[frozenset[int]]:
    """The clocks sorted by which of them must reach their presets at one instant, places from 0."""
    size = len(presets) + 1
    found: list[frozenset[int]] = []
    seen: set[int] = set()
    for i, preset in enumerate(presets):
        if i in seen:
            continue
        group = {i}
        for j in range(i + 1, len(presets)):
            fixed = at_most(preset - presets[j]), at_most(presets[j] - preset)
            if (zone[(i + 1) * size + j + 1], zone[(j + 1) * size + i + 1]) == fixed:
                group.add(j)
        seen |= group
        found.append(frozenset(group))
    return found


Source = tuple[int, int]  # number of a zone, and a row in it


def rearranged(zones: Sequence[Zone], sources: Sequence[Source]) -> Zone:
    """The zone of new clocks, each of which goes on from a clock of one of `zones`; row 0 of any is one from 0.

    Nothing is known of how clocks of different zones stand to each other.
    """
    sizes = [isqrt(len(zone)) for zone in zones]
    every = ((0, 0), *sources)
    bounds = []
    for which, row in every:
        zone, size = zones[which], sizes[which]
        for other, column in every:
            if which == other or not column:
                bounds.append(zone[row * size + column])
            elif not row:
                bounds.append(zones[other][column])
            else:
                bounds.append(add(zone[row * size], zones[other][column]))
    return tuple(bounds)


def fixed(zone: Zone, size: int) -> tuple[tuple[int, int], ...]:
    """(place, bound) of every difference that is fixed, and of every clock that stands at a fixed time."""
    found = []
    for i in range(size):
        for j in range(i):
            bound = zone[i * size + j]
            if add(bound, zone[j * size + i]) == AT_MOST_0:
                found.append((i * size + j, bound))
    return tuple(found)


def within(one: Zone, other: Zone) -> bool:
    """True if every time of `one` is one of `other`."""
    return all(a <= b for a, b in zip(one, other, strict=True))
