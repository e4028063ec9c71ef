"""Wire numbers: one number for each electrical node, changing across each contact or load.

Common practice in control panels (for example *Lessons in Electric Circuits*, vol. IV, ch. 6): every wire that
joins the same point carries the same number, whatever the number of junctions.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.circuit.ladder import Ladder
from rungbook.circuit.parts import Contact, Load, Parallel, Part, Series

LEFT_RAIL = 1  # the ungrounded conductor
RIGHT_RAIL = 2  # the grounded conductor; loads hang on it


@dataclass(frozen=True)
class Wired:
    """One contact or load between two nodes: `left` nearer the left rail. Nodes are wire numbers."""

    item: Contact | Load
    left: int
    right: int


@dataclass(frozen=True)
class WiredRung:
    """A rung with its nodes: `items` in reading order, contacts then loads; `before_load` the node the loads share."""

    items: tuple[Wired, ...]
    before_load: int

    @property
    def contacts(self) -> tuple[Wired, ...]:
        return tuple(wired for wired in self.items if isinstance(wired.item, Contact))

    @property
    def loads(self) -> tuple[Wired, ...]:
        return tuple(wired for wired in self.items if isinstance(wired.item, Load))


def wire_numbers(ladder: Ladder) -> tuple[WiredRung, ...]:
    """Number the nodes of `ladder`: left rail 1, right rail 2, the rest 3, 4, … in reading order.

    Returns one `WiredRung` a rung. A ladder without rungs gives an empty tuple; nothing raises.
    """
    following = RIGHT_RAIL + 1
    rungs = []
    for rung in ladder.rungs:
        items: list[Wired] = []

        def lay(part: Part, left: int, right: int | None) -> int:
            """Lay `part` from node `left`; return the node at its right end (a new one if `right` is None)."""
            nonlocal following
            if isinstance(part, Series):
                node = left
                for inner in part.parts[:-1]:
                    node = lay(inner, node, None)
                return lay(part.parts[-1], node, right)
            if isinstance(part, Parallel):
                # the first branch reaches the common node and so may number it after its own inner nodes
                end = lay(part.parts[0], left, right)
                for inner in part.parts[1:]:
                    lay(inner, left, end)
                return end
            assert isinstance(part, Contact)
            if right is None:
                right, following = following, following + 1
            items.append(Wired(part, left, right))
            return right

        node = LEFT_RAIL if rung.contacts is None else lay(rung.contacts, LEFT_RAIL, None)
        items.extend(Wired(load, node, RIGHT_RAIL) for load in rung.loads)
        rungs.append(WiredRung(tuple(items), node))
    return tuple(rungs)
