"""Of which devices the contacts that a hand's move closes may come late with an effect on where relays come to rest.

What a move opens is open at once; what it closes may close at once, or late, when coils have moved already. Let a move
be made from rest, and nothing that it closes be closed yet. Then only what follows from the opened contacts can move.
Each such move would also be made with all closed, but one: the drop-out of a coil that a closing contact would have
held. So if no coil with such a contact before it can come to drop out by what was opened, all orders with late contacts
are orders with quick ones.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rungbook.behaviour.settle import Way
from rungbook.circuit import Contact
from rungbook.kit import Device, Move

Group = frozenset[int]  # the positions in which a contact is closed
_Before = Mapping[str, Sequence[Contact]]  # coil -> the contacts before it


def moving_groups(device: Device, closed_at: Mapping[Contact, Group], before: _Before) -> list[Group]:
    """The groups of contacts of `device` before coils, each once; not of contacts that never move."""
    contacts = (contact for way in before.values() for contact in way if contact.device == device.tag)
    found = dict.fromkeys(closed_at[contact] for contact in contacts)
    return [one for one in found if one and len(one) < len(device.spec.positions)]


def late_matters(
    device: Device, groups: list[Group], closed_at: Mapping[Contact, Group], before: _Before, ways: Mapping[str, Way]
) -> bool:
    """True if a contact that some move closes stands before a coil that what it opens may bring to drop out.

    ways: coil -> its way.
    """

    def holders(moved: list[Group]) -> set[str]:
        return {
            coil
            for coil, contacts in before.items()
            for contact in contacts
            if contact.device == device.tag and closed_at[contact] in moved
        }

    def matters(move: Move) -> bool:
        start, end = (device.spec.positions.index(word) for word in (move.start, move.end))
        closing = [group for group in groups if end in group and start not in group]
        late = holders(closing)
        drop = holders([group for group in groups if start in group and end not in group])
        # of several groups that close, one may be closed already while another is late
        rise = late if len(closing) > 1 else set[str]()
        return not late.isdisjoint(_may_drop(drop, rise, {coil: ways[coil] for coil in before}))

    return any(map(matters, device.spec.moves))


def _may_drop(drop: set[str], rise: set[str], ways: Mapping[str, Way]) -> set[str]:
    """The coils that may come to drop out if those of `drop` may drop out and those of `rise` may pull in."""
    seen = {*((tag, False) for tag in drop), *((tag, True) for tag in rise)}
    fresh = list(seen)
    while fresh:
        tag, rises = fresh.pop()
        for coil, way in ways.items():
            for touched, effect in ((way.makes & ways[tag].bit, rises), (way.breaks & ways[tag].bit, not rises)):
                if touched and (coil, effect) not in seen:
                    seen.add((coil, effect))
                    fresh.append((coil, effect))
    return {tag for tag, rises in seen if not rises}
