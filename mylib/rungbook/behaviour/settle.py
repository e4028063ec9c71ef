"""Where coils come to rest, on states packed into whole numbers: quick enough to ask some hundred thousand times.

A word has one bit a coil and some bits for what does not move by itself. Coils that do not agree with their rung move
one at a time, in every order. Two things keep the work small. Whether a rung conducts is kept by the bits that it
looks at. And where no move takes back what another one did or wanted, every order ends alike, so one is enough.

Why that is so: let M be the coils that have moved when all that want to move have, again and again. If each move of M
can only help those of M and never turns one back, and if for every other coil the moves of M either all help or all
hinder, then by induction over any order just coils of M move, each once, and what is wanted once stays wanted until it
is done. So every order ends with all of M moved. `_one_way` reads that from the kinds of the contacts.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

S = TypeVar("S", bound="int | tuple[object, ...]")

FEW = 6  # coils that move: up to so many, every order is listed


@dataclass(frozen=True)
class Way:
    """What stands before one coil: its own `bit`, the bits its contacts look at, and those of coils by contact.

    conducts(word): True if the way is closed in `word`.
    """

    bit: int
    looks_at: int
    makes: int  # coils with a normally open contact here
    breaks: int  # coils with a normally closed contact here
    conducts: Callable[[int], bool]


class Settled(NamedTuple):
    """All words at rest, in ascending order, and whether the coils can get to where no order leads to rest."""

    words: tuple[int, ...]
    chatter: bool


class _Wants(dict[int, int]):
    """Bits that a coil's way looks at -> the bit of the coil if it conducts, else 0."""

    def __init__(self, way: Way) -> None:
        self.way = way

    def __missing__(self, word: int) -> int:
        self[word] = self.way.bit if self.way.conducts(word) else 0
        return self[word]


class Settling(dict[int, Settled]):
    """Word -> where it settles, found when first asked for."""

    def __init__(self, ways: Sequence[Way]) -> None:
        self.ways = tuple(ways)
        self.coils = sum(way.bit for way in ways)
        self._wants = tuple((way.looks_at, _Wants(way)) for way in ways)

    def __missing__(self, word: int) -> Settled:
        self[word] = self._settle(word)
        return self[word]

    def pending(self, word: int) -> int:
        """Bits of the coils that do not agree with their way."""
        wanted = 0
        for looks_at, wants in self._wants:
            wanted |= wants[word & looks_at]
        return (word ^ wanted) & self.coils

    def _settle(self, word: int) -> Settled:
        pending = self.pending(word)
        if not pending:
            return Settled((word,), False)
        moved = self._all_moved(word)
        if self._one_way(word, moved):
            return Settled((word ^ moved,), False)
        return self._every_order(word)[0]

    def _all_moved(self, word: int, but: int = 0) -> int:
        """The coils that have moved when all that want to have done so; `but` stays as it is."""
        moved = 0
        while True:
            more = self.pending(word ^ moved) & ~(moved | but)
            if not more:
                return moved
            moved |= more

    def _one_way(self, word: int, moved: int) -> bool:
        """True if no move of the coils `moved` can take back another's; the module says why that decides it."""
        rise, fall = moved & ~word, moved & word
        for way in self.ways:
            closing = way.makes & rise | way.breaks & fall
            opening = way.makes & fall | way.breaks & rise
            if opening if way.bit & rise else closing if way.bit & fall else opening and closing:
                return False
        return True

    def passed(self, word: int) -> set[int]:
        """Words that some order passes through before rest.

        All of them if few coils move. Else enough that any two coils stand there together in each way in which they
        ever do: the first word, and for each coil the word in which all have moved that can without it.
        """
        pending = self.pending(word)
        if not pending:
            return set()
        moved = self._all_moved(word)
        if moved.bit_count() > FEW and self._one_way(word, moved):
            each = (way.bit for way in self.ways if way.bit & moved)
            return {word, *(word ^ self._all_moved(word, bit) for bit in each)}
        return self._every_order(word)[1]

    def _every_order(self, start: int) -> tuple[Settled, set[int]]:
        """Where it settles, and the words passed through, by following every order."""
        stable, chatter, passed = every_order(start, self._next)
        return Settled(tuple(stable), chatter), passed

    def _next(self, word: int) -> list[int]:
        """The words that one coil's move makes of `word`."""
        pending, found = self.pending(word), []
        while pending:
            bit = pending & -pending
            pending ^= bit
            found.append(word ^ bit)
        return found


def every_order(start: S, following: Callable[[S], Sequence[S]]) -> tuple[list[S], bool, set[S]]:
    """Follow every order of moves from `start`: states at rest in order, whether it may chatter, states passed through.

    following: the states that one move makes of a state; none if it is at rest. It may chatter if some state that is
    reached leads to no rest any more.
    """
    before: dict[S, list[S]] = {start: []}
    waiting, stable = [start], []
    while waiting:
        state = waiting.pop()
        after = following(state)
        if not after:
            stable.append(state)
        for later in after:
            if later in before:
                before[later].append(state)
            else:
                before[later] = [state]
                waiting.append(later)
    settles, waiting = set(stable), list(stable)
    while waiting:
        for earlier in before[waiting.pop()]:
            if earlier not in settles:
                settles.add(earlier)
                waiting.append(earlier)
    return sorted(stable), len(settles) < len(before), before.keys() - set(stable)
