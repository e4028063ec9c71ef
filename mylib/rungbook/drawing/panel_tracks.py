"""The order of the wires in a channel: on tracks below one another, with few crossings.

Every wire in a channel runs along it on one track between two upright pieces, each of which leaves it up or down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

CLEAR = 13.0  # [px], least distance between two wires on one track
_NEAR = 9.0  # [px], upright pieces nearer than this ought not to stand beside each other
_BESIDE = 0.4  # crossings that two such pieces are held to be worth
_PASSES = 6


@dataclass(frozen=True)
class Run:
    """A wire's piece along a channel. ends: x of the upright pieces, left and right, and whether each goes up."""

    wire: int
    ends: tuple[tuple[float, bool], tuple[float, bool]]

    @property
    def left(self) -> float:
        """Left end."""
        return self.ends[0][0]

    @property
    def right(self) -> float:
        """Right end."""
        return self.ends[1][0]


def run(wire: int, one: tuple[float, bool], other: tuple[float, bool]) -> Run:
    """The run of `wire` between two upright pieces, in any order."""
    return Run(wire, (one, other) if one[0] <= other[0] else (other, one))


def crossings(upper: Run, lower: Run) -> int:
    """How often the two cross if `upper` lies above `lower`."""
    down = sum(lower.left < x < lower.right for x, up in upper.ends if not up)
    return down + sum(upper.left < x < upper.right for x, up in lower.ends if up)


def _cost(upper: Run, lower: Run) -> float:
    beside = sum(abs(x - other) < _NEAR for x, up in lower.ends if up for other, rises in upper.ends if not rises)
    return crossings(upper, lower) + _BESIDE * beside


def tracks(runs: Sequence[Run]) -> list[int]:
    """Return the track of each run, 0 the highest; runs on one track are apart by `CLEAR`. Equal input, equal order."""
    cost = [[_cost(one, other) for other in runs] for one in runs]
    order: list[int] = []
    for k in sorted(range(len(runs)), key=lambda k: (-(runs[k].right - runs[k].left), runs[k].left, runs[k].wire)):
        order.insert(_best(order, k, cost), k)
    for _ in range(_PASSES):
        before = list(order)
        for k in before:
            order.remove(k)
            order.insert(_best(order, k, cost), k)
        if order == before:
            break
    found = [0] * len(runs)
    for place, k in enumerate(order):
        above = [found[j] + 1 for j in order[:place] if _meet(runs[j], runs[k])]
        found[k] = max(above, default=0)
    return found


def _best(order: Sequence[int], k: int, cost: Sequence[Sequence[float]]) -> int:
    """The first of the best places for run `k` among `order`."""
    now = sum(cost[k][j] for j in order)  # above all
    best, place = now, 0
    for n, j in enumerate(order, 1):
        now += cost[j][k] - cost[k][j]
        if now < best - 1e-9:
            best, place = now, n
    return place


def _meet(one: Run, other: Run) -> bool:
    """True if the two cannot be on one track."""
    return one.left < other.right + CLEAR and other.left < one.right + CLEAR
