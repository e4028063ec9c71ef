"""Dividing what remains: which readings a meter tells apart, how well a division divides, and the best order of them.

A division of n classes is a list of bit masks that do not overlap and together make all; the division of a reading has
one mask for each value that a meter tells from the others. Nothing here knows a circuit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from types import MappingProxyType

#: two readings nearer than this [V, ohm], or than SHARE of the larger one, read the same
STEPS = MappingProxyType({"volts": 1.0, "ohms": 2.0, "continuity": 2.0})
SHARE = 0.05
EXACT_UP_TO = 8  # classes up to which `Tree` tries every division

Division = tuple[int, ...]


def told_apart(values: Sequence[float | None], quantity: str) -> tuple[int, ...]:
    """Return the group of each value, a whole number from 0: a meter reads the values of one group as the same.

    quantity: a key of `STEPS`. Values in order belong together as long as each differs from the next one by no more
    than the step of the quantity, or 5 %. None (open) is a group of its own.
    """
    rising = sorted({value for value in values if value is not None})
    group: dict[float | None, int] = {}
    number = -1
    for place, value in enumerate(rising):
        if place == 0 or value - rising[place - 1] > max(STEPS[quantity], SHARE * value):
            number += 1
        group[value] = number
    group[None] = number + 1
    return tuple(group[value] for value in values)


def division(groups: Sequence[object]) -> Division:
    """The masks of equal entries of `groups`, in order of first appearance."""
    masks: dict[object, int] = {}
    for place, group in enumerate(groups):
        masks[group] = masks.get(group, 0) | 1 << place
    return tuple(masks.values())


def bits(parts: Iterable[int], among: int) -> float:
    """Information that a division gives of which one of the classes `among` it is, all equally likely [bit]."""
    total = among.bit_count()
    sizes = [size for part in parts if (size := (part & among).bit_count())]
    return sum(size * math.log2(total / size) for size in sizes) / total


@dataclass(frozen=True)
class Best:
    """The division that divides best: its number in the list, bits of information, classes left at worst."""

    number: int
    bits: float
    left: int


def best_division(divisions: Sequence[Division], among: int) -> Best | None:
    """Return the one with most information about `among`; of equals the one that leaves fewest, then the first.

    None if no division parts them.
    """
    found: Best | None = None
    for number, parts in enumerate(divisions):
        sizes = [size for part in parts if (size := (part & among).bit_count())]
        if len(sizes) < 2:
            continue
        one = Best(number, bits(parts, among), max(sizes))
        if found is None or (round(one.bits, 9), -one.left) > (round(found.bits, 9), -found.left):
            found = one
    return found


@dataclass(frozen=True)
class Cost:
    """Readings that a strategy needs: at worst, and on the average over all classes."""

    worst: int
    mean: float


class Tree:
    """The best strategy over `divisions`: fewest readings at worst, then fewest on the average.

    exact: every division is tried at each step (an exact decision tree, found with bounds). Else the `width` ones with
    most information are tried to the end, so width 1 is the greedy strategy by information. Left out: exact for up to
    `EXACT_UP_TO` classes, else width 3.
    """

    def __init__(self, divisions: Sequence[Division], *, exact: bool | None = None, width: int = 3) -> None:
        self.divisions = list(dict.fromkeys(divisions))
        self._number = {parts: divisions.index(parts) for parts in self.divisions}
        self._exact, self._width = exact, width
        self._kept: dict[int, tuple[int, int, int]] = {}  # classes -> (worst, sum over classes, division or -1)

    def cost(self, among: int) -> Cost:
        """Readings needed to know which of `among` it is, as far as the divisions part them."""
        worst, total, _ = self._solve(among)
        return Cost(worst, total / max(among.bit_count(), 1))

    def choose(self, among: int) -> int | None:
        """The number, in the list given, of the next division to take; None if none parts `among`."""
        number = self._solve(among)[2]
        return None if number < 0 else self._number[self.divisions[number]]

    def _solve(self, among: int) -> tuple[int, int, int]:
        found = self._kept.get(among)
        if found is None:
            found = self._kept[among] = self._search(among)
        return found

    def _search(self, among: int) -> tuple[int, int, int]:
        count = among.bit_count()
        if count < 2:
            return 0, 0, -1
        options: dict[Division, tuple[float, int, int]] = {}
        for number, parts in enumerate(self.divisions):
            cut = tuple(sorted(part & among for part in parts if part & among))
            if len(cut) > 1 and cut not in options:
                options[cut] = (-round(bits(cut, among), 9), max(part.bit_count() for part in cut), number)
        ranked = sorted(options.items(), key=lambda pair: pair[1])
        exact = count <= EXACT_UP_TO if self._exact is None else self._exact
        found = (count, count * count, -1)
        most = max((len(cut) for cut in options), default=2)
        for cut, (_, _, number) in ranked if exact else ranked[: self._width]:
            worst, total = 1, count
            for part in sorted(cut, key=int.bit_count, reverse=True):
                if 1 + _least(part.bit_count(), most) > found[0]:
                    break  # it cannot be as good as what is found already
                deep, more, _ = self._solve(part)
                worst, total = max(worst, 1 + deep), total + more
                if (worst, total) >= found[:2]:
                    break
            else:
                if (worst, total) < found[:2]:
                    found = (worst, total, number)
        return found if found[2] >= 0 else (0, 0, -1)


def _least(count: int, most: int) -> int:
    """Readings that must be needed at worst for `count` classes if one reading has at most `most` outcomes."""
    depth, reach = 0, 1
    while reach < count:
        depth, reach = depth + 1, reach * most
    return depth
