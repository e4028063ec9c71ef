"""Wire numbers: one number for each electrical node, changing across each contact or load.

Common practice in control panels (for example *Lessons in Electric Circuits*, vol. IV, ch. 6): every wire that
joins the same point carries the same number, whatever the number of junctions.

Rungs that begin with the same contacts on the same terminals share them: drawn in each rung, they are one contact, and
the wires behind them are one node. Behind an open contact there is no source, so that changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import count

from rungbook.circuit.ladder import Ladder
from rungbook.circuit.parts import Contact, Load, Parallel, Part, Series, chain_of, named_head

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
    """A rung with its nodes: `items` in reading order, contacts then loads; `before_load` the node the loads share.

    places: place of each item among those of the whole ladder (`wired_items`), from 0; a contact that rungs share has
    one.
    """

    items: tuple[Wired, ...]
    before_load: int
    places: tuple[int, ...] = field(default=(), compare=False)

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
    chains = [chain_of(rung.contacts) for rung in ladder.rungs]
    return numbered(chains, [rung.loads for rung in ladder.rungs], [named_head(chain) for chain in chains])


def wired_items(ladder: Ladder) -> tuple[Wired, ...]:
    """The contacts and loads of `ladder` with their nodes, in reading order; a contact that rungs share stands once."""
    return unique(wire_numbers(ladder))


def shared_contacts(ladder: Ladder) -> dict[Contact, tuple[int, ...]]:
    """Contact -> the numbers of the rungs, for each contact that rungs share."""
    found: dict[Contact, list[int]] = {}
    for number, rung in enumerate(ladder.rungs, 1):
        for contact in rung.all_contacts():
            if contact.terminals:
                found.setdefault(contact, []).append(number)
    return {contact: tuple(rungs) for contact, rungs in found.items() if len(rungs) > 1}


def unique(rungs: Sequence[WiredRung]) -> tuple[Wired, ...]:
    """The items of all `rungs`, each once, at its place."""
    found: list[Wired] = []
    for rung in rungs:
        found += [wired for wired, place in zip(rung.items, rung.places, strict=True) if place >= len(found)]
    return tuple(found)


def numbered(
    chains: Sequence[Sequence[Part]], loads: Sequence[Sequence[Load]], heads: Sequence[int]
) -> tuple[WiredRung, ...]:
    """Number the nodes of rungs given as parts in series, and their loads.

    heads: of each rung, how many of its first parts are the same contacts as equal ones at the same place of another.
    """
    fresh = count(RIGHT_RAIL + 1)
    known: dict[tuple[int, Part], tuple[list[tuple[int, int, int]], int]] = {}
    taken = 0
    rungs = []
    for chain, own, head in zip(chains, loads, heads, strict=True):
        items: list[Wired] = []
        places: list[int] = []
        node = LEFT_RAIL
        for k, part in enumerate(chain):
            if k < head and (node, part) in known:
                ends, right = known[node, part]
                items += [Wired(one, a, b) for one, (a, b, _) in zip(part.contacts(), ends, strict=True)]
                places += [place for _, _, place in ends]
            else:
                start = len(items)
                right = _lay(part, node, None, items, fresh)
                places += range(taken, taken + part.size)
                taken += part.size
                if k < head:
                    pairs = zip(items[start:], places[start:], strict=True)
                    known[node, part] = [(one.left, one.right, place) for one, place in pairs], right
            node = right
        items += [Wired(load, node, RIGHT_RAIL) for load in own]
        places += range(taken, taken + len(own))
        taken += len(own)
        rungs.append(WiredRung(tuple(items), node, tuple(places)))
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
