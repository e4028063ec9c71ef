"""Wire numbers: one number for each electrical node, changing across each contact or load.

Common practice in control panels (for example *Lessons in Electric Circuits*, vol. IV, ch. 6): every wire that
joins the same point carries the same number, whatever the number of junctions.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count

from rungbook.circuit.ladder import Ladder
from rungbook.circuit.parts import Contact, Load, Parallel, Part, Series

LEFT_RAIL = 1  # the ungrounded conductor
RIGHT_RAIL = 2  # the grounded conductor; loads hang on it


@dataclass(frozen=True)
class Wired:
    """One contact or load between two nodes: `left` nearer the left rail. Nodes are wire numbers.

    turned: True if the second of the item's terminals lies on `left`; two that differ in this alone are equal.
    """

    item: Contact | Load
    left: int
    right: int
    turned: bool = field(default=False, compare=False)


@dataclass(frozen=True)
class WiredRung:
    """A rung with its nodes: `items` in reading order, contacts then loads; `before_load` the node the loads share."""

    items: tuple[Wired, ...]
    before_load: int

    @property
    def contacts(self) -> tuple[Wired, ...]:
        """The contacts with their nodes, in reading order."""
        return tuple(wired for wired in self.items if isinstance(wired.item, Contact))

    @property
    def loads(self) -> tuple[Wired, ...]:
        """The loads with their nodes, top to bottom."""
        return tuple(wired for wired in self.items if isinstance(wired.item, Load))


def wire_numbers(ladder: Ladder) -> tuple[WiredRung, ...]:
    """Number the nodes of `ladder`: left rail 1, right rail 2, the rest 3, 4, … in reading order.

    Returns one `WiredRung` a rung. A ladder without rungs gives an empty tuple; nothing raises.
    """
    fresh = count(RIGHT_RAIL + 1)
    rungs = []
    for rung in ladder.rungs:
        items: list[Wired] = []
        node = LEFT_RAIL if rung.contacts is None else _lay(rung.contacts, LEFT_RAIL, None, items, fresh)
        items.extend(Wired(load, node, RIGHT_RAIL) for load in rung.loads)
        rungs.append(WiredRung(tuple(items), node))
    return tuple(rungs)


def _lay(part: Part, left: int, right: int | None, items: list[Wired], fresh: Iterator[int]) -> int:
    """Add the contacts of `part`, from node `left`, to `items`; return its right node (fresh if `right` is None)."""
    if isinstance(part, Series):
        for inner in part.parts[:-1]:
            left = _lay(inner, left, None, items, fresh)
        return _lay(part.parts[-1], left, right, items, fresh)
    if isinstance(part, Parallel):
        for inner in part.parts:  # the first branch finds the common right node, the others end on it
            right = _lay(inner, left, right, items, fresh)
        assert right is not None
        return right
    assert isinstance(part, Contact)
    if right is None:
        right = next(fresh)
    items.append(Wired(part, left, right))
    return right
