"""Of which devices the contacts that a hand's move closes may come late with an effect on where relays come to rest.

What a move opens is open at once; what it closes may close at once, or late, when coils have moved already. Let a move
be made from rest, and nothing that it closes be closed yet. Then only what follows from the opened contacts can move.
Each such move would also be made with all closed, but one: the drop-out of a coil that a closing contact would have
held. So if no coil with such a contact before it can come to drop out by what was opened, all orders with late contacts
are orders with quick ones. The inputs of timers and counters count as coils: each may move its contacts either way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

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


def late_contacts(
    devices: Iterable[tuple[Device, int, int]],
    closed_at: Mapping[Contact, Group],
    before: _Before,
    ways: Mapping[str, Way],
    bit: int,
    stirs: Mapping[str, int] | None = None,
) -> tuple[tuple[Way, ...], dict[Contact, tuple[int, int]]]:
    """A follower for each group of contacts that may come late with an effect, and which follower a contact asks for.

    devices: each with shift and mask of its position in a word. ways: coil -> its way. bit: of the first follower; the
    next ones are those above. stirs: as in `late_matters`. Returns the ways of the followers, and for a contact the bit
    of its follower with the value at which it is closed.
    """
    found: list[Way] = []
    asked: dict[Contact, tuple[int, int]] = {}
    for device, shift, mask in devices:
        groups = moving_groups(device, closed_at, before)
        if len(groups) < 2 or not late_matters(device, groups, closed_at, before, ways, stirs or {}):
            continue
        every = frozenset(range(len(device.spec.positions)))
        bits: dict[Group, tuple[int, int]] = {}  # positions -> bit, and its value once closed
        for group in groups:
            if every - group in bits:
                bits[group] = bits[every - group][0], 0
            else:
                bits[group] = bit, bit
                there = frozenset(position << shift for position in group)
                found.append(Way(bit, mask << shift, 0, 0, _stands(mask << shift, there)))
                bit <<= 1
        for contact, closed in closed_at.items():
            if contact.device == device.tag and closed in bits:
                asked[contact] = bits[closed]
    return tuple(found), asked


def _stands(field: int, values: frozenset[int]) -> Callable[[int], bool]:
    return lambda word: word & field in values


def late_matters(
    device: Device,
    groups: list[Group],
    closed_at: Mapping[Contact, Group],
    before: _Before,
    ways: Mapping[str, Way],
    stirs: Mapping[str, int],
) -> bool:
    """True if a contact that some move closes stands before a coil that what it opens may bring to drop out.

    ways: coil, or input of a timer or counter -> its way. stirs: input -> bit of the contacts that it may bring to
    change either way. A block takes note of all its inputs at once, so its inputs, which stir the same bit, must not
    change one after the other either.
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
        moved = _may_move(drop, rise, {coil: ways[coil] for coil in before}, stirs)
        stirred = {tag: stirs.get(tag, 0) for tag, _ in moved}
        return any(
            (one, False) in moved or any(bit & stirs.get(one, 0) for tag, bit in stirred.items() if tag != one)
            for one in late
        )

    return any(map(matters, device.spec.moves))


def _may_move(
    drop: set[str], rise: set[str], ways: Mapping[str, Way], stirs: Mapping[str, int]
) -> set[tuple[str, bool]]:
    """(coil, True if it may pull in, False if it may drop out), if `drop` may drop out and `rise` may pull in."""
    seen = {*((tag, False) for tag in drop), *((tag, True) for tag in rise)}
    fresh = list(seen)
    while fresh:
        tag, rises = fresh.pop()
        bit, stirred = ways[tag].bit, stirs.get(tag, 0)
        for coil, way in ways.items():
            either = bool((way.makes | way.breaks) & stirred)
            for touched, effect in ((way.makes & bit, rises), (way.breaks & bit, not rises)):
                for change in {effect} if touched and not either else {True, False} if either else ():
                    if (coil, change) not in seen:
                        seen.add((coil, change))
                        fresh.append((coil, change))
    return seen
