"""A second reading of ladders, made for the tests alone. It imports nothing of `behaviour` or `proof`.

A way through contacts is found by listing every path from rail to load, not by `&` and `|` on a tree. A panel state
is a set of words: the devices that are operated ("S1", "F1"), the coils that are in ("Q1"), and "supply".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import product

from rungbook.circuit import Contact, Ladder, Part, Series

State = frozenset[str]
Path = tuple[Contact, ...]


def paths(part: Part | None) -> list[Path]:
    """Every path through `part`: lists of contacts that all must be closed."""
    if part is None:
        return [()]
    if isinstance(part, Contact):
        return [(part,)]
    inner = [paths(member) for member in part.parts]
    if isinstance(part, Series):
        return [tuple(contact for path in choice for contact in path) for choice in product(*inner)]
    return [path for choices in inner for path in choices]


def passes(part: Part | None, closed: Callable[[Contact], bool]) -> bool:
    return any(all(closed(contact) for contact in path) for path in paths(part))


class Bench:
    """A ladder on the bench, with operated devices `operated` (two positions each) and the supply."""

    def __init__(self, ladder: Ladder, operated: tuple[str, ...]) -> None:
        self.operated = operated
        self.ways = {load.device: paths(rung.contacts) for rung in ladder.rungs for load in rung.loads}
        self.coils = [load.device for rung in ladder.rungs for load in rung.loads if load.kind == "coil"]
        self._rests: dict[State, tuple[set[State], bool]] = {}

    def only_what_bears_on(self, *loads: str) -> None:
        """Leave out the coils that have no contact on any path to `loads`, nor to a coil that has."""
        heard, size = set(loads), 0
        while len(heard) > size:
            size = len(heard)
            heard |= {contact.device for load in tuple(heard) for path in self.ways.get(load, []) for contact in path}
        self.coils = [tag for tag in self.coils if tag in heard]

    def alive(self, load: str, state: State) -> bool:
        return "supply" in state and any(
            all((contact.device in state) == (contact.kind == "NO") for contact in path)
            for path in self.ways.get(load, [])
        )

    def on(self, load: str, state: State) -> bool:
        return load in state if load in self.coils else self.alive(load, state)

    def _next(self, state: State) -> list[State]:
        return [state ^ {tag} for tag in self.coils if self.alive(tag, state) != (tag in state)]

    def _cloud(self, state: State) -> set[State]:
        found, todo = {state}, [state]
        while todo:
            for later in self._next(todo.pop()):
                if later not in found:
                    found.add(later)
                    todo.append(later)
        return found

    def rests(self, state: State) -> tuple[set[State], bool]:
        """All states in which it may come to rest, and whether it may get to where there is none."""
        if "supply" not in state:
            return {state - set(self.coils)}, False
        if state not in self._rests:
            cloud = self._cloud(state)
            calm = {one for one in cloud if not self._next(one)}
            stuck = any(not any(not self._next(later) for later in self._cloud(one)) for one in cloud)
            self._rests[state] = (calm, stuck)
        return self._rests[state]

    def moves(self) -> tuple[str, ...]:
        return (*self.operated, "supply")


START: State = frozenset({"supply"})


def walk(bench: Bench) -> Iterator[tuple[int, State | None, str | None, State | None]]:
    """(orders, state before, device moved, state after) for every step from every reachable state, nearest first.

    A state after of None says that the coils may chatter.
    """
    level, seen = set(), set()
    calm, stuck = bench.rests(START)
    for after in calm:
        yield 0, None, None, after
    if stuck:
        yield 0, None, None, None
    level = set(calm)
    seen |= level
    orders = 0
    while level:
        orders += 1
        following = set()
        for before in sorted(level, key=sorted):
            for device in bench.moves():
                calm, stuck = bench.rests(before ^ {device})
                if stuck:
                    yield orders, before, device, None
                for after in sorted(calm, key=sorted):
                    yield orders, before, device, after
                    if after not in seen:
                        seen.add(after)
                        following.add(after)
        level = following


def first_difference(mine: Bench, asked: Bench, outputs: tuple[str, ...]) -> int | str | None:
    """Fewest orders that show a difference in `outputs`; None if there is none; "unclear" if `asked` has a race."""
    pairs, seen, orders = {(None, START, START)}, set(), 0
    while pairs:
        landed, unclear, different = set(), False, False
        for device, m, a in pairs:
            calm, stuck = mine.rests(m ^ {device} if device else m)
            wanted, odd = asked.rests(a ^ {device} if device else a)
            unclear |= odd or len(wanted) != 1
            different |= stuck or any(mine.on(t, x) != asked.on(t, y) for t in outputs for x in calm for y in wanted)
            landed |= {(x, y) for x in calm for y in wanted}
        if unclear:
            return "unclear"
        if different:
            return orders
        fresh = landed - seen
        seen |= fresh
        pairs = {(device, x, y) for x, y in fresh for device in mine.moves()}
        orders += 1
    return None


def possible_ends(bench: Bench, moved: tuple[str, ...]) -> tuple[set[State], bool]:
    """All states in which the bench may rest after moving these devices one after the other; and if it may chatter."""
    states, stuck = bench.rests(START)
    for device in moved:
        found = [bench.rests(state ^ {device}) for state in states]
        states = {one for calm, _ in found for one in calm}
        stuck = any(odd for _, odd in found)
    return states, stuck
