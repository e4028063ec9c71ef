"""The wires of a channel: one level track for each node that needs one, upright pieces from it to the pins.

No two pins of different nodes face each other (`power_rows` sees to that), so the tracks may lie in any order. They
are put in the order in which the wires cross least, and nodes side by side share a track.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

CLEAR = 9.0  # least distance of two upright wires that are not in line [px]
TRACK = 14.0  # between two tracks [px]


@dataclass
class Net:
    """A node in a channel: the x of its pins above and below, and the number of its track (-1: needs none)."""

    node: str
    above: tuple[float, ...]
    below: tuple[float, ...]
    track: int = -1

    @property
    def span(self) -> tuple[float, float]:
        """Its leftmost and rightmost pin."""
        xs = (*self.above, *self.below)
        return min(xs), max(xs)

    @property
    def turns(self) -> bool:
        """True if it needs a track."""
        return self.span[0] != self.span[1]


def tracks(above: Sequence[tuple[float, str]], below: Sequence[tuple[float, str]]) -> tuple[list[Net], int]:
    """Return the nodes of a channel with their tracks, 0 the uppermost, and the number of tracks."""
    nodes = dict.fromkeys(node for _, node in (*above, *below))
    nets = [Net(node, _of(node, above), _of(node, below)) for node in nodes]
    turning = _fewest_crossings([net for net in nets if net.turns])
    ends: list[tuple[Net, int]] = []
    for net in turning:
        left, right = net.span
        lower = [n for other, n in ends if other.span[0] - CLEAR < right and left < other.span[1] + CLEAR]
        net.track = max(lower, default=-1) + 1
        ends.append((net, net.track))
    return nets, max((net.track for net in turning), default=-1) + 1


def _of(node: str, pins: Iterable[tuple[float, str]]) -> tuple[float, ...]:
    return tuple(sorted({x for x, other in pins if other == node}))


def crossings(upper: Net, lower: Net) -> int:
    """How often two nodes cross if the track of `upper` lies above that of `lower`."""
    down = sum(lower.span[0] < x < lower.span[1] for x in upper.below)
    return down + sum(upper.span[0] < x < upper.span[1] for x in lower.above)


def crossing_count(above: Sequence[tuple[float, str]], below: Sequence[tuple[float, str]]) -> int:
    """How often wires cross in the channel between these pins."""
    nets, _ = tracks(above, below)
    turning = [net for net in nets if net.turns]
    count = sum(crossings(*sorted(pair, key=lambda net: net.track)) for pair in combinations(turning, 2))
    straight = [net.above[0] for net in nets if not net.turns and net.above and net.below]
    return count + sum(net.span[0] < x < net.span[1] for net in turning for x in straight)


def _fewest_crossings(nets: list[Net]) -> list[Net]:
    """The nets in an order that no exchange of two neighbours makes better."""
    order = list(nets)
    better = True
    while better:
        better = False
        for n in range(len(order) - 1):
            one, other = order[n], order[n + 1]
            if crossings(other, one) < crossings(one, other):
                order[n], order[n + 1] = other, one
                better = True
    return order


def joints(net: Net) -> list[float]:
    """The x of its track at which three or four pieces of wire meet."""
    left, right = net.span
    found = []
    for x in sorted({*net.above, *net.below}):
        ways = (x in net.above) + (x in net.below) + (x > left) + (x < right)
        if ways > 2:
            found.append(x)
    return found
