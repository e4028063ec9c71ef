"""What a network is made of: branches, sources, links. Plain data, and the limits of its numbers."""

from __future__ import annotations

import cmath
from dataclasses import dataclass
from typing import TypeAlias

from rungbook.errors import LadderError

Node: TypeAlias = int | str

LEAST_OHMS = 1e-6  # below it a load is a wire: use a Link
MOST_OHMS = 1e12  # above it a load is an insulator: leave it out
MOST_VOLTS = 1e6


@dataclass(frozen=True)
class Branch:
    """A load between nodes `a` and `b`: impedance [ohm], and another one while it is listed as sealed (None: none)."""

    name: str
    a: Node
    b: Node
    ohms: complex
    sealed_ohms: complex | None = None


@dataclass(frozen=True)
class Source:
    """A source: e.m.f. `volts` [V, phasor] from `b` up to `a`, behind an impedance `ohms` [ohm]."""

    name: str
    a: Node
    b: Node
    volts: complex
    ohms: complex


@dataclass(frozen=True)
class Link:
    """A contact or a piece of wire between `a` and `b`: 0 ohm when closed, nothing when open."""

    name: str
    a: Node
    b: Node


def check_element(item: object) -> Branch | Source | Link:
    """Return `item` if it can stand in a network.

    Raises LadderError if it is no Branch, Source or Link, its name is no text, a node is neither whole number nor
    text, a number is not finite, a resistance is below 1e-6 ohm, an impedance above 1e12 ohm, an e.m.f. above 1e6 V.
    """
    if not isinstance(item, Branch | Source | Link):
        raise LadderError("Network", "is made of branches, sources and links", item, ("Branch", "Source", "Link"))
    kind = type(item).__name__
    if not isinstance(item.name, str):
        raise LadderError(kind, "a name is text", item.name)
    thing = f"{kind} {item.name}"
    for node in (item.a, item.b):
        if not isinstance(node, int | str):
            raise LadderError(thing, "a node is a whole number or text", node)
    if not isinstance(item, Link):
        _check_ohms(thing, item.ohms)
    if isinstance(item, Branch) and item.sealed_ohms is not None:
        _check_ohms(thing, item.sealed_ohms)
    if isinstance(item, Source) and not (_finite(item.volts) and abs(item.volts) <= MOST_VOLTS):
        raise LadderError(thing, f"an e.m.f. is a finite number of at most {MOST_VOLTS:g} V", item.volts)
    return item


def _finite(number: object) -> bool:
    return isinstance(number, int | float | complex) and cmath.isfinite(number)


def _check_ohms(thing: str, ohms: complex) -> None:
    if not _finite(ohms):
        raise LadderError(thing, "an impedance is a finite number [ohm]", ohms)
    if complex(ohms).real < LEAST_OHMS or abs(ohms) > MOST_OHMS:
        rule = f"an impedance has a resistance of at least {LEAST_OHMS:g} ohm and a size of at most {MOST_OHMS:g} ohm"
        raise LadderError(thing, rule, ohms)
