"""Decision diagrams: functions of the positions of devices, each function exactly one number.

A node asks where one device stands and has a follower for each of its positions. Devices are asked in a fixed order,
no node has all its followers alike, and no two nodes are the same; so two functions that agree everywhere are the same
node (R. E. Bryant, Graph-Based Algorithms for Boolean Function Manipulation, IEEE Trans. Computers C-35(8), 1986; from
memory). A rung in which each device has one contact takes one node a contact, however many positions there are.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

NEVER, ALWAYS = 0, 1  # the two functions that ask nothing
_LAST = 1 << 30  # their place: after every device

Orders = tuple[int, ...]
_Pair = tuple[int, int]


class TooLarge(Exception):
    """More nodes than allowed."""


class Diagrams:
    """Functions over devices in a fixed order. sizes: how many positions each has. most: nodes."""

    def __init__(self, sizes: Sequence[int], most: int) -> None:
        self._sizes, self._most = tuple(sizes), most
        self._asks = [_LAST, _LAST]  # node -> place of the device that it asks
        self._next: list[tuple[int, ...]] = [(), ()]  # node -> its followers, a position each
        self._found: dict[tuple[int, tuple[int, ...]], int] = {}
        self._both: dict[_Pair, int] = {}
        self._either: dict[_Pair, int] = {}
        self._differ: dict[_Pair, int] = {}

    def __len__(self) -> int:
        return len(self._asks)

    def _node(self, place: int, followers: tuple[int, ...]) -> int:
        if followers.count(followers[0]) == len(followers):
            return followers[0]
        key = place, followers
        node = self._found.get(key)
        if node is None:
            if len(self._asks) >= self._most:
                raise TooLarge
            node = self._found[key] = len(self._asks)
            self._asks.append(place)
            self._next.append(followers)
        return node

    def where(self, place: int, positions: frozenset[int]) -> int:
        """True where device `place` is in one of `positions`. Raises TooLarge, as all that follow."""
        return self._node(place, tuple(int(k in positions) for k in range(self._sizes[place])))

    def no(self, one: int) -> int:
        """True where `one` is not."""
        return self.differ(one, ALWAYS)

    def both(self, one: int, other: int) -> int:
        """True where both are."""
        if NEVER in (one, other):
            return NEVER
        if ALWAYS in (one, other):
            return one + other - ALWAYS
        return one if one == other else self._join(self._both, self.both, one, other)

    def either(self, one: int, other: int) -> int:
        """True where one of them is."""
        if ALWAYS in (one, other):
            return ALWAYS
        if NEVER in (one, other):
            return one + other - NEVER
        return one if one == other else self._join(self._either, self.either, one, other)

    def differ(self, one: int, other: int) -> int:
        """True where exactly one of them is."""
        if NEVER in (one, other):
            return one + other - NEVER
        return NEVER if one == other else self._join(self._differ, self.differ, one, other)

    def _join(self, done: dict[_Pair, int], join: Callable[[int, int], int], one: int, other: int) -> int:
        """`join` of two functions, by that of their followers; kept in `done`."""
        key = (one, other) if one < other else (other, one)
        found = done.get(key)
        if found is None:
            first, second = self._asks[one], self._asks[other]
            place = min(first, second)
            size = self._sizes[place]
            ones = self._next[one] if first == place else (one,) * size
            others = self._next[other] if second == place else (other,) * size
            found = done[key] = self._node(place, tuple(map(join, ones, others)))
        return found

    def nearest(self, one: int, orders: Sequence[Sequence[Orders | None]]) -> Orders | None:
        """The fewest orders that make `one` true, of those the first by number; None if nothing does.

        orders[place][position]: the orders that bring a device from rest there, None if none do. Numbers ascend from
        device to device.
        """
        best: list[Orders | None] = [None, ()]
        for node in range(2, one + 1):  # followers come before the node that has them
            ways = zip(orders[self._asks[node]], self._next[node], strict=True)
            choices = [
                (len(way) + len(rest), way + rest)
                for way, rest in ((way, best[follower]) for way, follower in ways)
                if way is not None and rest is not None
            ]
            best.append(min(choices)[1] if choices else None)
        return best[one]
