"""A second reading of ladders, made for the tests alone. It imports nothing of `behaviour` or `proof`.

A way through contacts is found by listing every path from rail to load, not by `&` and `|` on a tree. A panel state
is a set of words: the devices that are operated ("S1", "F1"), the coils that are in ("Q1"), and "supply". A hand can
hover, everywhere: while it settles, "S1 between" says that S1 has left one pair of contacts and not reached the other.
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
        self.most_moves = 0  # of the shortest way to any rest that was asked for, hands left out
        self._rests: dict[State, tuple[set[State], bool, set[State]]] = {}

    def _is_closed(self, contact: Contact, state: State) -> bool:
        tag = contact.device
        if f"{tag} between" in state:
            return False
        return (tag in state) == (contact.kind == "NO")

    def only_what_bears_on(self, *loads: str) -> None:
        """Leave out the coils that have no contact on any path to `loads`, nor to a coil that has."""
        heard, size = set(loads), 0
        while len(heard) > size:
            size = len(heard)
            heard |= {contact.device for load in tuple(heard) for path in self.ways.get(load, []) for contact in path}
        self.coils = [tag for tag in self.coils if tag in heard]

    def alive(self, load: str, state: State) -> bool:
        """True if `load` has voltage in `state`."""
        return "supply" in state and any(
            all(self._is_closed(contact, state) for contact in path) for path in self.ways.get(load, [])
        )

    def on(self, load: str, state: State) -> bool:
        return load in state if load in self.coils else self.alive(load, state)

    def at_rest(self, state: State) -> State:
        """The same without words for contacts on their way."""
        return frozenset(word for word in state if " " not in word)

    def _next(self, state: State) -> list[State]:
        found = [state - {word} for word in state if word.endswith(" between")]
        return found + [state ^ {tag} for tag in self.coils if self.alive(tag, state) != (tag in state)]

    def _cloud(self, state: State) -> set[State]:
        found, todo = {state}, [state]
        while todo:
            for later in self._next(todo.pop()):
                if later not in found:
                    found.add(later)
                    todo.append(later)
        return found

    def rests(self, state: State, moved: str | None = None) -> tuple[set[State], bool]:
        """All states in which it may come to rest, and whether it may move for ever.

        moved: the device that a hand has just moved into its position in `state`, if any.
        """
        return self._settled(state, moved)[:2]

    def passes(self, state: State, moved: str | None = None) -> set[State]:
        """The states it may pass through before, without those in which it may rest."""
        return self._settled(state, moved)[2]

    def _settled(self, state: State, moved: str | None) -> tuple[set[State], bool, set[State]]:
        if "supply" not in state:
            return {state - set(self.coils)}, False, set()
        begin = state
        if moved in self.operated:
            begin |= {f"{moved} between"}
        if begin not in self._rests:
            cloud = self._cloud(begin)
            self.most_moves = max(self.most_moves, self._farthest(begin))
            calm = {one for one in cloud if not self._next(one)}
            rests = {self.at_rest(one) for one in calm}
            passed = {self.at_rest(one) for one in cloud} - rests
            self._rests[begin] = rests, self._may_go_on(cloud), passed
        return self._rests[begin]

    def _may_go_on(self, cloud: set[State]) -> bool:
        """True if it may move for ever with nothing left waiting for ever: in some set of states that lead to one
        another, each word that wants to change in all of them does change in one of them."""
        after = {one: set(self._next(one)) for one in cloud}
        before: dict[State, set[State]] = {one: set() for one in cloud}
        for one, following in after.items():
            for later in following:
                before[later].add(one)
        restless = set(cloud)
        while ends := {one for one in restless if not after[one] & restless}:
            restless -= ends
        while restless:
            one = next(iter(restless))
            round_trip = self._cloud_within(one, after) & self._cloud_within(one, before)
            changes = [{other ^ later for later in after[other]} for other in round_trip]
            made = {other ^ later for other in round_trip for later in after[other] & round_trip}
            if made and set.intersection(*changes) <= made:
                return True
            restless -= round_trip | {one}
        return False

    @staticmethod
    def _cloud_within(start: State, after: dict[State, set[State]]) -> set[State]:
        found: set[State] = set()
        todo = [start]
        while todo:
            fresh = after[todo.pop()] - found
            found |= fresh
            todo += fresh
        return found

    def _farthest(self, begin: State) -> int:
        """Moves of the shortest way to the rest that is farthest away."""
        seen, level, number, farthest = {begin}, [begin], 0, 0
        while level:
            farthest = number if any(not self._next(one) for one in level) else farthest
            level = list({later for one in level for later in self._next(one)} - seen)
            seen.update(level)
            number += 1
        return farthest

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
                calm, stuck = bench.rests(before ^ {device}, device)
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
            calm, stuck = mine.rests(m ^ {device} if device else m, device)
            wanted, odd = asked.rests(a ^ {device} if device else a, device)
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
        found = [bench.rests(state ^ {device}, device) for state in states]
        states = {one for calm, _ in found for one in calm}
        stuck = any(odd for _, odd in found)
    return states, stuck
