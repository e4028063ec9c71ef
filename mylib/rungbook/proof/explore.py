"""Every state that any sequence of bench orders can reach, nearest first, with the shortest way to each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Generic, NamedTuple, Protocol, TypeVar, runtime_checkable

from rungbook.behaviour import Step
from rungbook.proof.limits import MAX_STATES, Deadline, TooMany

S = TypeVar("S")
S_co = TypeVar("S_co", covariant=True)


class Resting(Protocol[S_co]):
    """Where something comes to rest: every possible state, and whether some order of relays never ends."""

    @property
    def states(self) -> tuple[S_co, ...]:
        """All states in which it may rest."""
        ...

    @property
    def chatter(self) -> bool:
        """True if it may never rest."""
        ...

    @property
    def passed(self) -> frozenset[S_co]:
        """States that it may pass through before."""
        ...


class Walkable(Protocol[S]):
    """What can be explored: one `Panel`, or two side by side."""

    @property
    def start(self) -> S:
        """The state before anything moves."""
        ...

    @property
    def steps(self) -> Sequence[Step]:
        """Every step there is."""
        ...

    def can(self, step: Step, state: S) -> bool:
        """True if `step` is possible in `state`."""
        ...

    def after(self, step: Step, state: S) -> Resting[S]:
        """Where it rests after `step`."""
        ...

    def rest(self, state: S) -> Resting[S]:
        """Where it rests if nothing is touched."""
        ...


@runtime_checkable
class Onward(Protocol[S]):
    """What lists its possible steps and their rests by itself, quicker than by asking `can` and `after` of each."""

    def onward(self, state: S) -> Iterable[tuple[Step, Resting[S]]]:
        """Every step that is possible in `state`, in the order of `steps`, and where it rests after it."""
        ...


class Edge(NamedTuple, Generic[S]):
    """One step from a reachable state at rest: `before`, the `step`, the `rest` it leads to.

    The first edge of an exploration has no step: it is the panel at rest when the supply is first on.
    """

    before: S
    step: Step | None
    rest: Resting[S]


class Exploration(Generic[S]):
    """Walk over all reachable states, breadth first, so the first breach found has the fewest orders."""

    def __init__(self, panel: Walkable[S], limit: int = MAX_STATES, deadline: Deadline | None = None) -> None:
        self.panel = panel
        self.limit = limit
        self.deadline = deadline or Deadline()
        self._parent: dict[S, tuple[S, Step] | None] = {}

    def edges(self) -> Iterator[Edge[S]]:
        """Yield every edge, those from near states first.

        Raises TooMany when more states are reachable than the limit, or the time is up.
        """
        start = self.panel.start
        first: Edge[S] = Edge(start, None, self.panel.rest(start))
        self._parent = dict.fromkeys(first.rest.states)
        yield first
        level = list(self._parent)
        onward = self.panel.onward if isinstance(self.panel, Onward) else self._onward
        while level:
            following: list[S] = []
            for before in level:
                self.deadline.check()
                for step, rest in onward(before):
                    for state in rest.states:
                        if state not in self._parent:
                            self._parent[state] = (before, step)
                            following.append(state)
                    yield Edge(before, step, rest)
                    if len(self._parent) > self.limit:
                        raise TooMany(f"more than {self.limit} states can be reached")
            level = following

    def _onward(self, state: S) -> Iterator[tuple[Step, Resting[S]]]:
        for step in self.panel.steps:
            if self.panel.can(step, state):
                yield step, self.panel.after(step, state)

    def is_sure(self, edge: Edge[S]) -> bool:
        """True: each edge is one that the panel can do."""
        return True

    def steps_to(self, edge: Edge[S]) -> tuple[Step, ...]:
        """The shortest sequence of orders that ends with `edge`."""
        if edge.step is None:
            return ()
        steps = [edge.step]
        link = self._parent[edge.before]
        while link is not None:
            state, step = link
            steps.append(step)
            link = self._parent[state]
        return tuple(reversed(steps))


__all__ = ["MAX_STATES", "Edge", "Exploration", "Onward", "Resting", "TooMany", "Walkable"]
