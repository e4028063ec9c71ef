"""Where a panel with timers and counters comes to rest in no time, on words (`timed_panel` says what is in them).

What can move: bits (`Mover`: a coil, the NC contacts of a relay, contacts of a button that come late) and blocks
(`Seat`: a timer or counter notes the voltages at its inputs, or its period ends). They move one at a time, in every
order. Where many move and none takes back another's move, all orders end alike and one is enough; `settle` says why.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from rungbook.behaviour.blocks import Block
from rungbook.behaviour.settle import FEW, every_order


class AtRest(NamedTuple):
    """Words at rest in ascending order, whether there may be no rest, and words passed through before.

    The clocks of the words at rest still say what begins at this instant (`Clock`); `TimedSettling.settled` forgets it.
    """

    words: tuple[int, ...]
    chatter: bool
    passed: frozenset[int]


@dataclass(frozen=True)
class Look:
    """A way, or whatever else a word decides: `holds(word)`; bits of movers that make it hold, and that break it."""

    holds: Callable[[int], bool]
    makes: int = 0
    breaks: int = 0


@dataclass(frozen=True)
class Mover:
    """A bit that comes to agree with what it looks at. device: whose bit it is."""

    bit: int
    device: str
    look: Look


@dataclass(frozen=True)
class Seat:
    """Where the block of a timer or counter lives in a word: its code from `shift` on, its timed contacts at `bit`."""

    block: Block
    shift: int
    mask: int
    bit: int
    inputs: tuple[tuple[int, Look], ...]  # bit of the level -> the way to the input

    def code(self, word: int) -> int:
        """The code of the block in `word`."""
        return word >> self.shift & self.mask

    def put(self, word: int, code: int) -> int:
        """`word` with another code, and the timed contacts as it says."""
        word = word & ~(self.mask << self.shift) | code << self.shift
        return word | self.bit if self.block.operated(code) else word & ~self.bit

    def levels(self, word: int) -> int:
        """Bits of the inputs that have voltage in `word`."""
        return sum(level for level, look in self.inputs if look.holds(word))

    def moved(self, word: int) -> int | None:
        """`word` after the block has noted its inputs, or else its period has ended; None if neither is to be."""
        code, levels = self.code(word), self.levels(word)
        if levels != self.block.levels(code):
            return self.put(word, self.block.answer(code, levels))
        return self.put(word, self.block.expired(code)) if self.block.due(code) else None


def _nothing() -> None:
    """What is called during long work if nothing else is said."""


class TimedSettling(dict[int, AtRest]):
    """Word -> where it comes to rest, found when first asked for. tick: called during long work; may raise."""

    def __init__(self, movers: Sequence[Mover], seats: Sequence[Seat], tick: Callable[[], None] = _nothing) -> None:
        self.movers = tuple(movers)
        self.seats = tuple(seats)
        self.tick = tick
        self._bits = sum(mover.bit for mover in movers) | sum(seat.bit for seat in seats)

    def __missing__(self, word: int) -> AtRest:
        end, moved = self._all_moved(word)
        if not moved:
            found = AtRest((word,), False, frozenset())
        elif len(moved) > FEW and self._one_way(word, end, moved):
            found = AtRest((end,), False, frozenset({word, *(self._all_moved(word, one)[0] for one in moved)}))
        else:
            stable, chatter, passed = every_order(word, self.following, self.what_moved)
            found = AtRest(tuple(stable), chatter, frozenset(passed))
        self[word] = found
        return found

    def following(self, word: int) -> list[int]:
        """The words that one move makes of `word`."""
        self.tick()
        found = [word ^ mover.bit for mover in self.movers if bool(word & mover.bit) != mover.look.holds(word)]
        for seat in self.seats:
            code, levels = seat.code(word), seat.levels(word)
            if levels != seat.block.levels(code):
                found.append(seat.put(word, seat.block.answer(code, levels)))
            if seat.block.due(code):
                found.append(seat.put(word, seat.block.expired(code)))
        return found

    def what_moved(self, before: int, after: int) -> int:
        """The bit of the mover, or the field of the block, that has made `after` of `before`."""
        changed = before ^ after
        return next((field for seat in self.seats if changed & (field := seat.mask << seat.shift)), changed)

    def settled(self, word: int) -> int:
        """A word at rest when time has passed: what began at that instant is old."""
        for seat in self.seats:
            word = seat.put(word, seat.block.settled(seat.code(word)))
        return word

    def _all_moved(self, word: int, but: object = None) -> tuple[int, list[object]]:
        """The word when all that want to move have done so, once each, and those that have; `but` stays as it is."""
        moved: list[object] = []
        while True:
            more: list[tuple[object, int, int]] = []  # what moves, the bits that it changes, and to what
            for mover in self.movers:
                if bool(word & mover.bit) != mover.look.holds(word):
                    more.append((mover.bit, mover.bit, ~word & mover.bit))
            for seat in self.seats:
                after = seat.moved(word)
                if after is not None:
                    field = seat.mask << seat.shift | seat.bit
                    more.append((seat.block.tag, field, after & field))
            more = [one for one in more if one[0] != but and one[0] not in moved]
            if not more:
                return word, moved
            for one, field, bits in more:
                moved.append(one)
                word = word & ~field | bits

    def _one_way(self, word: int, end: int, moved: list[object]) -> bool:
        """True if no move on the way from `word` to `end` can take back another's, or change what another one does.

        Movers and inputs as coils in `Settling`; a block moves for one reason only, one input or the end of its period.
        """
        rise, fall = self._bits & end & ~word, self._bits & word & ~end

        def steady(look: Look, before: bool, after: bool) -> bool:
            closing, opening = look.makes & rise | look.breaks & fall, look.makes & fall | look.breaks & rise
            return not (opening if after and not before else closing if before and not after else opening and closing)

        if self.following(end):
            return False
        if not all(steady(mover.look, bool(word & mover.bit), bool(end & mover.bit)) for mover in self.movers):
            return False
        for seat in self.seats:
            before, after = seat.block.levels(seat.code(word)), seat.block.levels(seat.code(end))
            if not all(steady(look, bool(before & level), bool(after & level)) for level, look in seat.inputs):
                return False
            reasons = (before ^ after).bit_count() + seat.block.due(seat.code(word))
            if reasons > 1 or (seat.block.tag in moved) != bool(reasons):
                return False
        return True
