"""The walk over states and times as an `Exploration`, so that every rule that knows no times is decided on it too."""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.behaviour import Rest, State, Step
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.proof.explore import Edge
from rungbook.proof.limits import MAX_STATES, Deadline
from rungbook.proof.timed.many import Many
from rungbook.proof.timed.schedule import is_sure, schedule
from rungbook.proof.timed.walk import Arrival, Walk


class TimedExploration:
    """Walk over all reachable states of a panel with timers and counters; a wait is a step that no hand can do."""

    def __init__(self, panel: TimedPanel, limit: int = MAX_STATES, deadline: Deadline | None = None) -> None:
        self.panel = panel
        self.walk = Walk([panel], limit, deadline)
        self._many = Many([panel])
        self._at: tuple[Edge[State], Arrival] | None = None
        self._states: dict[int, State] = {}

    def edges(self) -> Iterator[Edge[State]]:
        """Yield every edge, those from near states first. Raises TooMany as `Walk.arrivals`."""
        for arrival in self.walk.arrivals():
            before = self.panel.start if arrival.before is None else self._state(arrival.before.words[0])
            ends = {node.outcome(0): self._state(node.words[0]) for node in arrival.nodes}
            states = tuple(ends.values())  # two that look alike may differ in what a timer does
            passed = frozenset(map(self._state, arrival.passed[0]))
            step = None if arrival.event is None else arrival.event.step
            edge = Edge(before, step, Rest(states, arrival.chatter[0], passed))
            self._at = edge, arrival
            yield edge
            self._many.spread(arrival)

    def _state(self, word: int) -> State:
        if word not in self._states:
            self._states[word] = self.panel.unpacked(word)
        return self._states[word]

    def is_sure(self, edge: Edge[State]) -> bool:
        """True if there are instants, and counts, at which orders lead to `edge`, the one yielded last."""
        assert self._at is not None
        return self._many.is_sure(self._at[1]) and is_sure(self.walk, self._at[1])

    def steps_to(self, edge: Edge[State]) -> tuple[Step, ...]:
        """Orders and waits that end with `edge`, which is the one yielded last.

        Raises TooMany if no instants lead there for certain, or an up-down counter may not count so far.
        """
        assert self._at is not None
        assert self._at[0] is edge
        self._many.must_be_sure(self._at[1])
        return schedule(self.walk, self._at[1])
