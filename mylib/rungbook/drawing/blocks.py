"""The rung tree with its measures: widths add in series, heights add in parallel.

Measures are along and across the current path, whichever way it runs on the sheet: along is to the right and across
downwards, or, in a ladder whose paths run down, along is downwards and across to the right.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from rungbook.circuit import Parallel, Part, Series, Wired
from rungbook.drawing.cells import Cell

FORK = 14.0  # wire between a junction and what stands beside the group
BETWEEN = 9.0  # between the texts of one branch and those of the next
_ALONE = 16.0  # room on either side of a wire without symbols, for its number and the arrows
TURN = 38.0  # room for the arrow and letter at either end of a line that goes on elsewhere

Make = Callable[[Wired], Cell]


@dataclass(frozen=True)
class Block:
    """Part of a rung as a rectangle round the wire that enters at its beginning.

    width along the path; ascent before and descent behind that wire, across [px]. exit: how far across from where it
    entered the wire leaves. left, right: the nodes at its two ends. In a row the members stand one after the other;
    in a fork side by side, member n `drops[n]` from the first; in a fold the members are lines that go on one in the
    next, line n `drops[n]` from the first. closed: 1 for a fork that no wire leaves, -1 for one that none enters: a
    contact with both ends on one node. A block of none of these is a single symbol, or, without one, only wire.
    """

    width: float
    ascent: float
    descent: float
    left: int
    right: int
    exit: float = 0.0
    cell: Cell | None = None
    wired: Wired | None = None
    item: int = 0
    row: tuple[Block, ...] = ()
    fork: tuple[Block, ...] = ()
    fold: tuple[Block, ...] = ()
    drops: tuple[float, ...] = ()
    closed: int = 0

    @property
    def end(self) -> float:
        """How far along the wire leaves: at the end of the block, or of the last line of a fold."""
        if self.fold:
            return TURN + self.fold[-1].end
        return self.width - self.row[-1].width + self.row[-1].end if self.row else self.width


def stack(members: Sequence[tuple[float, float]], apart: float = BETWEEN) -> tuple[float, ...]:
    """How far from the first each of `members` (ascent, descent) stands so that none touches the next."""
    drops = [0.0]
    for (_, descent), (ascent, _) in itertools.pairwise(members):
        drops.append(drops[-1] + descent + apart + ascent)
    return tuple(drops)


def in_row(members: Sequence[Block]) -> Block:
    """The block of `members` one after the other."""
    if len(members) == 1:
        return members[0]
    ascent = descent = across = 0.0
    for block in members:
        ascent, descent = max(ascent, block.ascent - across), max(descent, block.descent + across)
        across += block.exit
    width = sum(block.width for block in members)
    return Block(width, ascent, descent, members[0].left, members[-1].right, across, row=tuple(members))


def in_fork(members: Sequence[Block]) -> Block:
    """The block of `members` side by side."""
    drops = stack([(block.ascent, block.descent) for block in members])
    width = max(block.width for block in members) + 2 * FORK
    first, last = members[0], members[-1]
    return Block(
        width,
        first.ascent,
        drops[-1] + last.descent,
        first.left,
        first.right,
        first.exit,
        fork=tuple(members),
        drops=drops,
    )


def in_fold(members: Sequence[Block]) -> Block:
    """The block of `members` as lines that go on one in the next."""
    drops = stack([(block.ascent, block.descent) for block in members])
    last = len(members) - 1
    width = max(block.width + TURN * ((n > 0) + (n < last)) for n, block in enumerate(members))
    return Block(
        width,
        members[0].ascent,
        drops[-1] + members[-1].descent,
        members[0].left,
        members[-1].right,
        drops[-1] + members[-1].exit,
        fold=tuple(members),
        drops=drops,
    )


def only_wire(node: int) -> Block:
    """A block of no length: the wire `node` alone."""
    return Block(0.0, _ALONE, _ALONE, node, node)


def single(wired: Wired, cell: Cell, item: int) -> Block:
    """The block of one symbol. item: its place in the rung's reading order."""
    return Block(2 * cell.half, cell.ascent, cell.descent, wired.left, wired.right, 0.0, cell, wired, item)


def measure(part: Part, items: Iterator[tuple[int, Wired]], make: Make) -> Block:
    """Return the block of `part`. items: its contacts with their place in the rung, in reading order."""
    if isinstance(part, Series):
        return in_row([measure(inner, items, make) for inner in part.parts])
    if isinstance(part, Parallel):
        return in_fork([measure(inner, items, make) for inner in part.parts])
    place, wired = next(items)
    return single(wired, make(wired), place)
