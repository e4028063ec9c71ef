"""The rung tree with its measures: widths add in series, heights add in parallel."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rungbook.circuit import Parallel, Part, Series, Wired
from rungbook.drawing.cells import Cell, contact_cell
from rungbook.drawing.symbol_sets import SymbolSet
from rungbook.kit import Device

FORK = 14.0  # wire between a junction and what stands beside the group
BETWEEN = 9.0  # between the texts of one branch and those of the next


@dataclass(frozen=True)
class Block:
    """Part of a rung as a rectangle round the wire that enters at its left and leaves at its right.

    width; ascent above and descent below that wire [px]. left, right: the nodes at its two ends. In a row the
    members stand side by side; in a fork one below the other, member n `drops[n]` below the first.
    """

    width: float
    ascent: float
    descent: float
    left: int
    right: int
    cell: Cell | None = None
    wired: Wired | None = None
    item: int = 0
    row: tuple[Block, ...] = ()
    fork: tuple[Block, ...] = ()
    drops: tuple[float, ...] = ()


def stack(members: tuple[tuple[float, float], ...]) -> tuple[float, ...]:
    """How far below the first each of `members` (ascent, descent) stands so that none touches the next."""
    drops = [0.0]
    for (_, descent), (ascent, _) in itertools.pairwise(members):
        drops.append(drops[-1] + descent + BETWEEN + ascent)
    return tuple(drops)


def measure(part: Part, items: Iterator[tuple[int, Wired]], devices: Mapping[str, Device], symbols: SymbolSet) -> Block:
    """Return the block of `part`. items: its contacts with their place in the rung, in reading order."""
    if isinstance(part, Series):
        row = tuple(measure(inner, items, devices, symbols) for inner in part.parts)
        ascent, descent = max(block.ascent for block in row), max(block.descent for block in row)
        return Block(sum(block.width for block in row), ascent, descent, row[0].left, row[-1].right, row=row)
    if isinstance(part, Parallel):
        fork = tuple(measure(inner, items, devices, symbols) for inner in part.parts)
        drops = stack(tuple((block.ascent, block.descent) for block in fork))
        width = max(block.width for block in fork) + 2 * FORK
        descent = drops[-1] + fork[-1].descent
        return Block(width, fork[0].ascent, descent, fork[0].left, fork[0].right, fork=fork, drops=drops)
    place, wired = next(items)
    cell = contact_cell(wired, devices[wired.item.device], symbols)
    return Block(2 * cell.half, cell.ascent, cell.descent, wired.left, wired.right, cell, wired, place)
