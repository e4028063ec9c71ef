"""What a review asks of a ladder with timers or counters: all edges of its walk, waits among them, with their times.

A wait is an edge whose step no hand can do. What a step sets off may come only when a time has run out: `follows`
finds the nearest such case, in which nothing else is touched and the time began with the step, or after it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from rungbook.behaviour import State, Step
from rungbook.behaviour.blocks import Clock
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.proof.explore import Edge
from rungbook.proof.limits import Deadline, TooMany
from rungbook.proof.timed import TimedExploration
from rungbook.proof.timed.schedule import schedule
from rungbook.proof.timed.walk import Arrival, ClockId, Node
from rungbook.proof.timed.zones import Zone, fixed, within


class _Started(NamedTuple):
    """A node, and those of its clocks that began because of the step that is asked about."""

    node: Node
    clocks: frozenset[ClockId]


class KeptExploration(TimedExploration):
    """A walk in time that remembers how it came to each of its edges, not to the last one alone."""

    def __init__(self, panel: TimedPanel, limit: int, deadline: Deadline) -> None:
        super().__init__(panel, limit, deadline)
        self._kept: list[tuple[Edge[State], Arrival]] = []
        self._arrival: dict[int, Arrival] = {}  # by the id of an edge in `_kept`

    def edges(self) -> Iterator[Edge[State]]:
        """Yield every edge, as `TimedExploration.edges`."""
        for edge in super().edges():
            assert self._at is not None
            self._kept.append(self._at)
            self._arrival[id(edge)] = self._at[1]
            yield edge

    def steps_to(self, edge: Edge[State]) -> tuple[Step, ...]:
        """Orders and waits that end with `edge`, any one yielded so far. Raises TooMany if no instants lead there."""
        return schedule(self.walk, self._arrival[id(edge)])

    def follows(
        self, wanted: Callable[[Step | None], bool], test: Callable[[State, State], bool]
    ) -> tuple[tuple[Step, ...], State, State] | None:
        """The nearest wait, set off by a step of `wanted`, of which `test(before, after)` is true.

        Returns the orders and waits, and the states before and after the time ran out. Raises TooMany as `edges`, or if
        there are such waits but none that is sure.
        """
        seen: dict[tuple[object, ...], list[Zone]] = {}
        unsure: TooMany | None = None
        count = 0
        for edge, first in self._kept:
            if not wanted(edge.step):
                continue
            waiting = [_Started(node, _begun(node)) for node in first.nodes]
            waiting = [one for one in waiting if _is_new(one, seen)]
            for one in waiting:  # the list grows: time passes without an order
                count += 1
                if count > self.walk.limit:
                    raise TooMany(f"more than {self.walk.limit} states can be reached")
                self.walk.deadline.check()
                for arrival in self.walk.waits(one.node):
                    assert arrival.event is not None
                    caused = not one.clocks.isdisjoint(arrival.event.due)
                    before = self._state(one.node.words[0])
                    for node in arrival.nodes:
                        after = self._state(node.words[0])
                        if caused and test(before, after):
                            try:
                                return schedule(self.walk, arrival), before, after
                            except TooMany as reason:
                                unsure = reason
                        begun = _begun(node) if caused else frozenset()
                        then = _Started(node, one.clocks.intersection(node.clocks) | begun)
                        if _is_new(then, seen):
                            waiting.append(then)
        if unsure is not None:
            raise unsure
        return None


def _begun(node: Node) -> frozenset[ClockId]:
    """The clocks that began, or went on after a pause, when `node` was reached."""
    return frozenset(clock for clock, fate in zip(node.clocks, node.fates, strict=True) if fate is not Clock.RUNS)


def _is_new(one: _Started, seen: dict[tuple[object, ...], list[Zone]]) -> bool:
    """True, and noted in `seen`, if some clock of `one` was set off and no case that covers it was there before."""
    node = one.node
    if not one.clocks:
        return False
    key = node.words, node.clocks, node.paused, node.kept, one.clocks, fixed(node.zone, len(node.clocks) + 1)
    others = seen.setdefault(key, [])
    if any(within(node.zone, other) for other in others):
        return False
    others.append(node.zone)
    return True
