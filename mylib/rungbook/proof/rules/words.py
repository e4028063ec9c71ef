"""Words of rules: orders, positions and loads, checked when a rule is made and not when it is decided."""

from __future__ import annotations

from collections.abc import Sequence

from rungbook.behaviour import SUPPLY, read_script
from rungbook.errors import LadderError
from rungbook.kit import ALL_KINDS, KINDS, Device


def check_load(thing: str, tag: str) -> None:
    """Raise LadderError if `tag` is no coil or lamp."""
    if not Device(tag).spec.load:
        loads = tuple(f"{kind.letter} ({kind.name})" for kind in KINDS.values() if kind.load)
        raise LadderError(thing, f"{tag} is no load of a control circuit", tag, loads)


def check_loads(thing: str, tags: Sequence[str], fewest: int) -> None:
    """Raise LadderError if one of `tags` is no load, or stands there twice, or they are fewer than `fewest`."""
    for tag in tags:
        check_load(thing, tag)
    if len(set(tags)) != len(tags) or len(tags) < fewest:
        rule = f"takes {'two loads or more' if fewest == 2 else 'one load or more'}, each once"
        raise LadderError(thing, rule, ", ".join(tags), ("'Q1', 'Q2'",))


def check_position(thing: str, device: str, position: str) -> None:
    """Raise LadderError if no kind of the letter of `device` has `position`."""
    words = [word for kind in ALL_KINDS.values() if kind.letter == device[:1] for word in kind.positions]
    if position not in words:
        raise LadderError(thing, f"{device} has no such position", position, tuple(words))


def device_of(order: str) -> str:
    """The designation in a bench order, or "supply"."""
    words = order.split()
    for word in words:
        if word[:1].isupper() and word[1:].isdigit():
            return word
    return SUPPLY


def checked_order(thing: str, order: str) -> str:
    """Return `order` if some kind of device understands it. Raises LadderError otherwise."""
    tag = device_of(order)
    if tag == SUPPLY:
        steps = read_script(order, {})
        if len(steps) != 1:
            raise LadderError(thing, "no such order: a rule takes exactly one", order, ("press S2",))
        return steps[0].order
    kinds = [kind for kind in ALL_KINDS.values() if kind.letter == tag[0]]
    orders = [move.order.format(tag=tag) for kind in kinds for move in kind.moves]
    if order not in orders:
        raise LadderError(thing, "no such order", order, tuple(orders))
    return order


def named(order: str) -> str:
    """`order` with its device in braces, in place of which its name with the plate is put."""
    tag = device_of(order)
    return order if tag == SUPPLY else order.replace(tag, "{" + tag + "}")


def braced(tag: str) -> str:
    """ "{S1}" for an operated device, whose plate is told; "Q1" for a load."""
    return tag if Device(tag).spec.load else "{" + tag + "}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """ "Q1", "Q1 and Q2", "Q1, Q2 and Q3"."""
    return f"{', '.join(words[:-1])} {last} {words[-1]}" if len(words) > 1 else words[0]


def on_word(tag: str) -> str:
    """ "in" or "lit"."""
    return Device(tag).spec.positions[1]
