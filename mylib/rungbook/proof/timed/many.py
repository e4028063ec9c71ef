"""Up-down counters without an end: from a certain count on it is "many", and less than many may still be many.

An up-down counter has a million values, and a walk over all of them ends at its limit. Its contacts say only whether
the count is at its preset. So above the preset by `ROOM` all counts are one, `top`, which stands for itself and for
every count beyond; what is taken from it leads to what is left of `top`, and to everything up to `top` itself. Counters
that are compared must stay equal, else the walk gives up: the count of one is that of the other, however many it is.

So the walk passes through all that can be, and perhaps more: that nothing was found is certain, what was found on a way
through "many" is not (`is_sure`). Not covered: the end of the count itself, 999 999, where an edge is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rungbook.behaviour.blocks import RESET, CounterBlock
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.behaviour.timed_settle import Seat
from rungbook.proof.limits import TooMany
from rungbook.proof.timed.walk import Arrival, Node, path_to

ROOM = 4  # counts from the preset to `top`

_Group = tuple[Seat, ...]  # the counter of this designation in each panel


class Many:
    """The up-down counters of one panel, or of several that are walked over together.

    Only counters that all panels have, with one preset, are treated so; any other one is walked to its end.
    """

    def __init__(self, panels: Sequence[TimedPanel]) -> None:
        self._groups: list[_Group] = []
        self._blurred: set[Node] = set()
        for seat in panels[0].seats:
            same = [other for panel in panels for other in panel.seats if _alike(seat, other)]
            if len(same) == len(panels):
                self._groups.append(tuple(same))

    def is_sure(self, arrival: Arrival) -> bool:
        """True if no count on the way to `arrival`, nor there, was taken for another one."""
        nodes = [*arrival.nodes, *([] if arrival.before is None else path_to(arrival.before))]
        return self._blurred.isdisjoint(nodes)

    def must_be_sure(self, arrival: Arrival) -> None:
        """Raise TooMany if it is not."""
        if not self.is_sure(arrival):
            raise TooMany("an up-down counter counts far above its preset")

    def spread(self, arrival: Arrival) -> None:
        """Have the nodes of `arrival` stand for all counts that there may be.

        Raises TooMany if counters that are compared differ and one has many, or if it cannot be told what comes of
        many: it has gone below the preset in one event, and that was no reset.
        """
        for group in self._groups:
            top = _top(group[0])
            before = arrival.before
            many = before is not None and all(
                _count(seat, word) == top for seat, word in zip(group, before.words, strict=True)
            )
            arrival.nodes[:] = [one for node in arrival.nodes for one in self._all(group, top, node, many=many)]
            if many:
                _check(group, arrival)

    def _all(self, group: _Group, top: int, node: Node, *, many: bool) -> list[Node]:
        """`node` with every count that its counters may have; many: they had `top` before the event."""
        counts = {_count(seat, word) for seat, word in zip(group, node.words, strict=True)}
        count = max(counts)
        if len(counts) > 1 and (many or count > top):
            raise TooMany(f"{group[0].block.tag} counts above {top}, and otherwise in the two ladders")
        if len(counts) > 1 or (count <= top and not (many and count >= _preset(group[0]))):
            return [node]
        found = [node] if count <= top else []
        for other in range(min(count + 1, top), top + 1):
            if other != count:
                found.append(replace(node, words=_with(group, node.words, other)))
                self._blurred.add(found[-1])
        return found


def _alike(one: Seat, other: Seat) -> bool:
    both = one.block, other.block
    if not (isinstance(both[0], CounterBlock) and isinstance(both[1], CounterBlock)):
        return False
    return both[0].tag == both[1].tag and both[0].counter == both[1].counter and both[0].counter.kind == "up-down"


def _preset(seat: Seat) -> int:
    assert isinstance(seat.block, CounterBlock)
    return seat.block.counter.preset


def _top(seat: Seat) -> int:
    return _preset(seat) + ROOM


def _count(seat: Seat, word: int) -> int:
    return seat.code(word) >> 3


def _with(group: _Group, words: tuple[int, ...], count: int) -> tuple[int, ...]:
    """`words` with this count in all of the group."""
    return tuple(seat.put(word, count << 3 | seat.code(word) & 7) for seat, word in zip(group, words, strict=True))


def _check(group: _Group, arrival: Arrival) -> None:
    """Raise TooMany if a count went from many to below the preset otherwise than by a reset that is still on."""
    for side, seat in enumerate(group):
        words = {*arrival.passed[side], *(node.words[side] for node in arrival.nodes)}
        if any(_count(seat, word) < _preset(seat) and not seat.code(word) & RESET for word in words):
            raise TooMany(f"{seat.block.tag} counts from many to below its preset at once")
