"""Boards that no ladder can say, named and random."""

from __future__ import annotations

from hypothesis import strategies as st

from rungbook import NC, NO, Device, coil, lamp
from rungbook.behaviour.board import Board
from rungbook.circuit import Contact, Load, Wired


def board(title: str, *items: tuple[Contact | Load, int, int]) -> Board:
    """A board of items between nodes."""
    wired = tuple(Wired(*item) for item in items)
    return Board(title, wired, {one.item.device: Device(one.item.device) for one in wired})


def bridge() -> Board:
    """The middle contact of a bridge: S3 leads from the upper branch to the lower one, and back."""
    return board(
        "Bridge",
        (NO("S1", "13-14"), 1, 3),
        (NO("S2", "13-14"), 1, 4),
        (NC("S3", "11-12"), 3, 4),
        (NO("S4"), 3, 5),
        (NO("S5"), 4, 5),
        (coil("Q1", "A1-A2"), 5, 2),
    )


def two_outputs() -> Board:
    """One stop for two contactors that hold themselves, and two contacts in series between their coils."""
    return board(
        "Apple elevator",
        (NC("S1"), 1, 3),
        (NO("S2"), 3, 4),
        (NO("Q1"), 3, 4),
        (coil("Q1"), 4, 2),
        (NO("S3"), 3, 5),
        (NO("Q2"), 3, 5),
        (coil("Q2"), 5, 2),
        (NO("K1"), 4, 6),
        (NC("K2"), 6, 5),
        (lamp("P1", "green"), 5, 2),
        (NO("K1"), 1, 7),
        (lamp("P2"), 7, 2),
    )


def tangle() -> Board:
    """Three nodes each fed, each with a coil, each joined to each: it cannot be drawn without a crossing."""
    return board(
        "Tangle",
        (NO("S1"), 1, 3),
        (NO("S2"), 1, 4),
        (NO("S3"), 1, 5),
        (NO("S4"), 3, 4),
        (NO("S5"), 4, 5),
        (NO("S6"), 3, 5),
        (coil("Q1"), 3, 2),
        (coil("Q2"), 4, 2),
        (coil("Q3"), 5, 2),
    )


def mistakes() -> Board:
    """What a beginner wires: coils in series, a loose end, a contact with both ends on one wire, a short circuit."""
    return board(
        "Mistakes",
        (NO("S1"), 1, 3),
        (coil("Q1"), 3, 4),
        (coil("Q2"), 4, 2),
        (NC("F1"), 4, 5),
        (NO("S2"), 3, 3),
        (NO("S3"), 6, 7),
        (NO("S4"), 1, 2),
        (NO("S5"), 2, 2),
        (NO("S6"), 1, 1),
    )


def nothing() -> Board:
    """A board with nothing wired."""
    return board("Cellar fan")


BOARDS = {make.__name__: make for make in (bridge, two_outputs, tangle, mistakes, nothing)}

_NODES = (1, 2, 3, 4, 5, 6, 7, 8)
_NAMES = st.sampled_from(["S1", "S2", "B1", "F1", "Q1", "K999"])
_contacts = st.builds(lambda make, tag: make(tag), st.sampled_from([NO, NC]), _NAMES)


@st.composite
def boards(draw: st.DrawFn, most: int = 12) -> Board:
    """Up to `most` contacts and three loads between any nodes, rails included, in any order."""
    ends = st.tuples(st.sampled_from(_NODES), st.sampled_from(_NODES))
    contacts = draw(st.lists(st.tuples(_contacts, ends), max_size=most))
    loads = draw(st.lists(st.sampled_from(["Q1", "Q2", "P1"]), max_size=3, unique=True))
    items = [(contact, *pair) for contact, pair in contacts]
    items += [(coil(tag) if tag[0] == "Q" else lamp(tag, "red"), *draw(ends)) for tag in loads]
    return board("Any", *draw(st.permutations(items)))
