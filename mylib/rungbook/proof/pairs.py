"""Two panels that get the same orders: the nearest step after which they may differ, on packed states."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from rungbook.behaviour import Panel, State, Step
from rungbook.errors import LadderError
from rungbook.proof.explore import Edge
from rungbook.proof.limits import Deadline, TooMany

Pair = tuple[State, State]
_Words = tuple[int, int]


@dataclass(frozen=True)
class BothRest:
    """Where the two panels rest: every pair that is possible; chatter: True if yours may never rest."""

    states: tuple[Pair, ...]
    chatter: bool
    passed: frozenset[Pair] = frozenset()


class _Side:
    """One panel, with what it shows of the watched loads kept by packed state."""

    def __init__(self, panel: Panel, watched: tuple[str, ...]) -> None:
        self.panel = panel
        self._looks = [panel.look(tag) if tag in panel.loads else None for tag in watched]
        self._shown: dict[int, int] = {}

    def rest(self, word: int) -> tuple[tuple[int, ...], bool]:
        return self.panel.settled(word)

    def shown(self, word: int) -> int:
        """Bit k set if watched load k is on."""
        if word not in self._shown:
            found = 0
            for k, look in enumerate(self._looks):
                if look is not None and (word & look.bit if look.bit else word & 1 and look.conducts(word)):
                    found |= 1 << k
            self._shown[word] = found
        return self._shown[word]

    @property
    def looks_at(self) -> int:
        """Bits of all operated devices that some contact of this ladder belongs to, and of the supply."""
        bits = 1
        for tag in self.panel.loads:
            bits |= self.panel.look(tag).looks_at
        return bits


def _both_moves(mine: _Side, asked: _Side) -> list[tuple[Step, int, int, int, int]]:
    """(step, field, start, flip of mine, flip of asked), without the devices that neither ladder has a contact of."""
    theirs = {step: (field, flip) for step, field, _, flip in asked.panel.turns}
    moves = []
    for step, field, start, flip in mine.panel.turns:
        other, other_flip = theirs[step]
        if field & mine.looks_at or other & asked.looks_at:
            moves.append((step, field, start, flip, other_flip))
    return moves


def first_difference(
    yours: Panel, asked: Panel, watched: tuple[str, ...], limit: int, deadline: Deadline | None = None
) -> tuple[tuple[Step, ...], Edge[Pair]] | None:
    """The shortest sequence of orders after which a load of `watched` may differ, and its last step; None: the same.

    The panels have the same operated devices. A panel of yours that may chatter differs too. Devices of which neither
    ladder has a contact are left alone: to move them shows nothing.
    Raises TooMany when more pairs of states than `limit` can be reached or the time is up; LadderError
    if `asked` has a race or chatters.
    """
    mine, theirs = _Side(yours, watched), _Side(asked, watched)
    deadline = deadline or Deadline()
    moves = _both_moves(mine, theirs)
    parent: dict[_Words, tuple[_Words, Step] | None] = {}
    level: list[_Words] = []

    def land(words: _Words, link: tuple[_Words, Step] | None, following: list[_Words]) -> bool:
        """Note the rests of `words` that are new; True if a watched load differs in one, or yours may chatter."""
        (ours, chatter), (wanted, odd) = mine.rest(words[0]), theirs.rest(words[1])
        if len(wanted) != 1 or odd:
            raise LadderError("compare", "the asked ladder has a race or chatters, so nothing definite is asked")
        differs = chatter
        for word in ours:
            pair = word, wanted[0]
            if pair not in parent:
                parent[pair] = link
                following.append(pair)
                differs = differs or mine.shown(word) != theirs.shown(wanted[0])
        return differs

    start = yours.packed(yours.start), asked.packed(asked.start)
    if land(start, None, level):
        return (), _edge(mine, theirs, start, start, None)
    while level:
        following: list[_Words] = []
        for before in level:
            deadline.check()
            one, other = before
            for step, field, begins, flip, other_flip in moves:
                if one & field != begins:
                    continue
                after = one ^ flip, other ^ other_flip
                if land(after, (before, step), following):
                    return _steps_to(parent, before, step), _edge(mine, theirs, before, after, step)
                if len(parent) > limit:
                    raise TooMany(f"more than {limit} states can be reached")
        level = following
    return None


def _steps_to(parent: dict[_Words, tuple[_Words, Step] | None], before: _Words, last: Step) -> tuple[Step, ...]:
    steps = [last]
    link = parent[before]
    while link is not None:
        steps.append(link[1])
        link = parent[link[0]]
    return tuple(reversed(steps))


def _edge(mine: _Side, theirs: _Side, before: _Words, after: _Words, step: Step | None) -> Edge[Pair]:
    def unpacked(words: _Words) -> Pair:
        return mine.panel.unpacked(words[0]), theirs.panel.unpacked(words[1])

    ours, chatter = mine.rest(after[0])
    pairs = tuple(unpacked(pair) for pair in product(ours, theirs.rest(after[1])[0]))
    return Edge(unpacked(before), step, BothRest(pairs, chatter))
