"""What a timeline writes down, and what stands in its queue."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from rungbook.circuit import Contact

MICRO = 1_000_000  # microseconds in a second
ARMATURE = "armature "  # begins the keys of coils in the queue


class Change(NamedTuple):
    """At `time` [us] `device` came to be in `state` (a word of its kind, such as "in")."""

    time: int
    device: str
    state: str


@dataclass(frozen=True)
class Chatter:
    """From `time` [us] on, the coils of `devices` got and lost their voltage again and again, once in `period` [us]."""

    time: int
    period: int
    devices: tuple[str, ...]

    def __str__(self) -> str:
        names = " and ".join(self.devices)
        verb = "chatters" if len(self.devices) == 1 else "chatter"
        return f"{names} {verb}: the way to the coil opens and closes again every {self.period / 1000:g} ms"


class Entry(NamedTuple):
    """Something planned: at `time` [us], the `order`-th thing planned, for `key` if its turn is still `turn`.

    contacts: (number, closed) of those that move. word: the position reached, or "".
    """

    time: int
    order: int
    key: str
    turn: int
    contacts: tuple[tuple[int, bool], ...]
    word: str


def armature_key(tag: str) -> str:
    """Key of the armature of coil `tag`."""
    return f"{ARMATURE}{tag}"


def clock_key(tag: str) -> str:
    """Key of timer relay `tag`."""
    return f"clock {tag}"


def neighbour_key(place: int) -> str:
    """Key of the neighbour at `place`."""
    return f"neighbour {place}"


def by_kind(own: Iterable[tuple[int, Contact]]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Numbers of the NC contacts, and of the NO contacts."""
    known = tuple(own)
    nc, no = (tuple(number for number, contact in known if contact.kind == kind) for kind in ("NC", "NO"))
    return nc, no
