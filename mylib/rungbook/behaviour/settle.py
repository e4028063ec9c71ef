"""Where coils come to rest, on states packed into whole numbers: quick enough to ask some hundred thousand times.

A word has one bit a coil, one bit for each group of contacts that may be late (a *follower*: the hand has moved, but
what it closes has not closed yet), and some bits for what does not move by itself. Bits that do not agree with their
way move one at a time, in every order. Two things keep the work small. Whether a rung conducts is kept by the bits
that it looks at. And where no move takes back what another one did or wanted, every order ends alike, so one is enough.

A relay is one bit: its NC and NO contacts change over in one move. Between them lies a gap in which neither is closed,
but no coil releases in so short a time (`kit.ratings`), and an armature on its way arrives (`magnet`).

Why one order is enough: let M be the bits that have moved when all that want to move have, again and again. If each
move of M can only help those of M and never turns one back, and if for every other bit the moves of M either all help
or all hinder, then by induction over any order just the bits of M move, each once, and what is wanted once stays wanted
until it is done. So every order ends with all of M moved. `one_way` reads that from the kinds of the contacts. A
follower is one more bit with a way of its own, so nothing changes.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import xor
from typing import NamedTuple, TypeVar

S = TypeVar("S", bound="int | tuple[object, ...]")

FEW = 6  # coils that move: up to so many, every order is listed


@dataclass(frozen=True)
class Way:
    """What stands before one coil: its own `bit`, the bits its contacts look at, and those that move, by contact.

    conducts(word): True if the way is closed in `word`.
    """

    bit: int
    looks_at: int
    makes: int  # coils with a normally open contact here, followers that close a contact here as they come on
    breaks: int  # coils with a normally closed contact here, followers that close one as they go off
    conducts: Callable[[int], bool]


class Settled(NamedTuple):
    """All words at rest, in ascending order, and whether the coils may move without end."""

    words: tuple[int, ...]
    chatter: bool


class _Wants(dict[int, int]):
    """Bits that a way looks at -> its bit if it conducts, else 0."""

    def __init__(self, way: Way) -> None:
        self.way = way

    def __missing__(self, word: int) -> int:
        self[word] = self.way.bit if self.way.conducts(word) else 0
        return self[word]


class Moves:
    """Bits that move one at a time, each as its way wants it."""

    def __init__(self, ways: Iterable[Way]) -> None:
        self.ways = tuple(ways)
        self._bits = sum(way.bit for way in self.ways)
        self._wants = tuple((way.looks_at, _Wants(way)) for way in self.ways)

    def pending(self, word: int) -> int:
        """The bits that do not agree with their way."""
        wanted = 0
        for looks_at, wants in self._wants:
            wanted |= wants[word & looks_at]
        return (word ^ wanted) & self._bits

    def all_moved(self, word: int, but: int = 0) -> int:
        """The bits that have moved when all that want to have done so; `but` stays as it is."""
        moved = 0
        while True:
            more = self.pending(word ^ moved) & ~(moved | but)
            if not more:
                return moved
            moved |= more

    def one_way(self, word: int, moved: int) -> bool:
        """True if no move of the bits `moved` can take back another's; the module says why that decides it."""
        rise, fall = moved & ~word, moved & word
        for way in self.ways:
            closing = way.makes & rise | way.breaks & fall
            opening = way.makes & fall | way.breaks & rise
            if opening if way.bit & rise else closing if way.bit & fall else opening and closing:
                return False
        return True

    def following(self, word: int) -> list[int]:
        """The words that one move makes of `word`."""
        pending, found = self.pending(word), []
        while pending:
            bit = pending & -pending
            pending ^= bit
            found.append(word ^ bit)
        return found


class Settling(dict[int, Settled]):
    """Word -> where it settles, found when first asked for.

    ways: one a coil. followers: one for each group of contacts that may be late.
    """

    def __init__(self, ways: Sequence[Way], followers: Sequence[Way] = ()) -> None:
        self.coils = sum(way.bit for way in ways)
        self._moves = Moves((*ways, *followers))
        self._straight: dict[int, int | None] = {}

    def __missing__(self, word: int) -> Settled:
        moved = self._one_way(word)
        self[word] = self._every_order(word)[0] if moved is None else Settled((word ^ moved,), False)
        return self[word]

    def pending(self, word: int) -> int:
        """Bits of the coils and followers that do not agree with their way."""
        return self._moves.pending(word)

    def _one_way(self, word: int) -> int | None:
        """The bits that move, if every order moves just those, each once; else None."""
        if word not in self._straight:
            moved = self._moves.all_moved(word)
            self._straight[word] = moved if not moved or self._moves.one_way(word, moved) else None
        return self._straight[word]

    def passed(self, word: int) -> set[int]:
        """Words that some order passes through before rest; followers in them stand anyhow.

        All of them if few coils move. Else enough that any two coils stand there together in each way in which they
        ever do: the first word, and for each coil the word in which all have moved that can without it.
        """
        moved = self._one_way(word)
        if moved is None:
            return self._every_order(word)[1]
        coils = moved & self.coils
        if not coils & (coils - 1):
            return {word} if coils else set()
        if coils.bit_count() <= FEW:
            return self._every_order(word)[1]
        found = {word}
        while coils:
            bit = coils & -coils
            coils ^= bit
            found.add(word ^ self._moves.all_moved(word, bit))
        return found

    def _every_order(self, start: int) -> tuple[Settled, set[int]]:
        """Where it settles, and the words passed through, by following every order."""
        stable, chatter, passed = every_order(start, self._moves.following, xor)
        return Settled(tuple(stable), chatter), passed

    def moments(self, word: int) -> set[int]:
        """`word` and all that follows from it, rest included."""
        stable, _, passed = every_order(word, self._moves.following, xor)
        return passed.union(stable)


def every_order(
    start: S, following: Callable[[S], Sequence[S]], move: Callable[[S, S], object] | None = None
) -> tuple[list[S], bool, set[S]]:
    """Follow every order of moves from `start`: states at rest in order, whether it may chatter, states passed through.

    following: the states that one move makes of a state; none if it is at rest. move(before, after): what has moved. It
    may chatter if some order goes on for ever, though nothing that wants to move all the time is left waiting for ever.
    Without `move` that is not asked: it may chatter only if some state that is reached leads to no rest any more.
    """
    after: dict[S, Sequence[S]] = {}
    before: dict[S, list[S]] = {start: []}
    waiting, stable = [start], []
    while waiting:
        state = waiting.pop()
        after[state] = following(state)
        if not after[state]:
            stable.append(state)
        for later in after[state]:
            if later in before:
                before[later].append(state)
            else:
                before[later] = [state]
                waiting.append(later)
    return sorted(stable), _may_go_on(after, before, stable, move), before.keys() - set(stable)


def _may_go_on(
    after: dict[S, Sequence[S]], before: dict[S, list[S]], stable: list[S], move: Callable[[S, S], object] | None
) -> bool:
    """True if there is a knot (states that lead to one another) in which all moves that are always wanted are made."""
    left = {state: len(later) for state, later in after.items()}
    waiting = list(stable)
    while waiting:  # take away, from the end, what leads into no knot
        state = waiting.pop()
        del left[state]
        for earlier in before[state]:
            left[earlier] -= 1
            if not left[earlier]:
                waiting.append(earlier)
    if move is None:
        return not before.keys() <= _reaching(stable, before)
    while left:
        knot = _reached(one := next(iter(left)), after, left) & _reached(one, before, left)
        wanted = [{move(state, later) for later in after[state]} for state in knot]
        made = {move(state, later) for state in knot for later in after[state] if later in knot}
        if made and set.intersection(*wanted) <= made:
            return True
        for state in knot or {one}:
            del left[state]
    return False


def _reaching(stable: Sequence[S], before: Mapping[S, Sequence[S]]) -> set[S]:
    """The states from which some order leads to rest."""
    found = set(stable)
    for state in stable:
        found |= _reached(state, before, before)
    return found


def _reached(start: S, links: Mapping[S, Sequence[S]], among: Container[S]) -> set[S]:
    """The states `among` those given to which links lead from `start`, itself only if they lead back."""
    found: set[S] = set()
    waiting = [start]
    while waiting:
        for there in links[waiting.pop()]:
            if there in among and there not in found:
                found.add(there)
                waiting.append(there)
    return found
