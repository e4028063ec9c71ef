"""Boolean reading of contacts: does a way through them conduct? One function for one state and for all states.

A value is a whole number used as a column of bits. With `full = 1` it is one state: 1 conducts, 0 does not. With
`full = 2**rows - 1` bit k is row k of a truth table, and `&` and `|` work on all rows at once at memory speed.

This is the derived, fast reading: it assumes that every load gets full voltage when its rung conducts, which holds
for a rung of contacts with its loads side by side next to the grounded conductor, as `Ladder` builds them.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator

from rungbook.circuit import Contact, Parallel, Part, Series


def conducts(part: Part | None, closed: Callable[[Contact], int], full: int = 1) -> int:
    """Return the column in which `part` conducts (None: always). `closed(contact)` is the column of a contact."""
    if part is None:
        return full
    if isinstance(part, Contact):
        return closed(part)
    assert isinstance(part, Series | Parallel)
    if isinstance(part, Series):
        value = full
        for inner in part.parts:
            value &= conducts(inner, closed, full)
            if not value:
                break
        return value
    value = 0
    for inner in part.parts:
        value |= conducts(inner, closed, full)
        if value == full:
            break
    return value


def reader(part: Part | None, test: Callable[[Contact], tuple[int, Container[int]]]) -> Callable[[int], bool]:
    """Return a function that says of a packed state whether `part` conducts in it, quicker than by asking contacts.

    test(contact): a mask, and which values of the state under it close the contact.
    """
    if part is None:
        return lambda word: True
    if isinstance(part, Contact):
        mask, closed = test(part)
        return lambda word: word & mask in closed
    assert isinstance(part, Series | Parallel)
    inner = [reader(one, test) for one in part.parts]
    if isinstance(part, Series):
        return lambda word: all(one(word) for one in inner)
    return lambda word: any(one(word) for one in inner)


def bridging(part: Part | None, closed: Callable[[Contact], int]) -> tuple[Contact, ...]:
    """Return the open contacts each of which alone, if bridged, would make `part` conduct. Empty if it conducts.

    This is what a technician finds with a jumper lead on a dead circuit: the places at which the way is interrupted.
    """
    if part is None or conducts(part, closed):
        return ()
    return tuple(_bridging(part, closed))


def _bridging(part: Part, closed: Callable[[Contact], int]) -> Iterator[Contact]:
    if isinstance(part, Contact):
        yield part
    elif isinstance(part, Series):
        open_parts = [inner for inner in part.parts if not conducts(inner, closed)]
        if len(open_parts) == 1:
            yield from _bridging(open_parts[0], closed)
    elif isinstance(part, Parallel):
        for inner in part.parts:
            yield from _bridging(inner, closed)


def closed_way(part: Part | None, closed: Callable[[Contact], int]) -> tuple[Contact, ...]:
    """Return the contacts of one conducting way through `part`, uppermost branch first; empty if there is none."""
    if part is None or not conducts(part, closed):
        return ()
    if isinstance(part, Contact):
        return (part,)
    if isinstance(part, Series):
        return tuple(contact for inner in part.parts for contact in closed_way(inner, closed))
    assert isinstance(part, Parallel)
    return next(way for way in (closed_way(inner, closed) for inner in part.parts) if way)
