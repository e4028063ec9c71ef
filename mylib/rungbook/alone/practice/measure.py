"""How hard a circuit is, and its canonical form."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from math import log2

from rungbook.behaviour import Panel
from rungbook.circuit import Contact, Ladder, Part, Series
from rungbook.circuit.parts import Parallel
from rungbook.proof import Exploration, compare

_TAG = re.compile(r"\b([A-Z])(\d+)\b")


@dataclass(frozen=True)
class Measure:
    """contacts: of the smallest solution known: one of whose contacts none can be left out (that no other circuit has
    fewer is not proved). states: that its panel can reach, positions of buttons included. hardness: contacts plus the
    logarithm of the states to base 2: each contact is a decision, each doubling of the states one more case in mind."""

    contacts: int
    states: int

    @property
    def hardness(self) -> float:
        """Contacts and bits of state."""
        return self.contacts + log2(self.states)

    @property
    def level(self) -> int:
        """1 to 5: below 9.5 (a holding circuit has 8.1), 12.5, 16, 20, and above."""
        return 1 + sum(self.hardness >= bound for bound in (9.5, 12.5, 16, 20))

    def __str__(self) -> str:
        return f"{self.contacts} contact{'s' * (self.contacts != 1)}, {self.states} states"


def measure(ladder: Ladder) -> Measure:
    """Measure `ladder`. Raises LadderError as `compare`, TooMany if its states are too many to walk."""
    small = smallest(ladder)
    walk = Exploration(Panel(small, ladder.declared or ()))
    states = {state for edge in walk.edges() for state in edge.rest.states}
    return Measure(sum(len(list(rung.all_contacts())) for rung in small.rungs), len(states))


def smallest(ladder: Ladder) -> Ladder:
    """Return `ladder` without the contacts that can be left out, tried in reading order, until none can."""
    for number, rung in enumerate(ladder.rungs):
        for place in range(len(list(rung.all_contacts()))):
            less = without(ladder, number, place)
            if compare(less, ladder):
                return smallest(less)
    return ladder


def without(ladder: Ladder, number: int, place: int) -> Ladder:
    """Return `ladder` with contact `place` of rung `number` left out, both from 0 in reading order."""
    made = Ladder(ladder.title, ladder.declared)
    for here, rung in enumerate(ladder.rungs):
        way = rung.contacts
        if here == number and way is not None:
            way = _less(way, iter(range(place, -1, -1)))
        made.rung(*([] if way is None else [way]), *rung.loads)
    return made


def _less(part: Part, countdown: object) -> Part | None:
    """`part` without the contact at which the countdown comes to 0."""
    if isinstance(part, Contact):
        return None if next(countdown, None) == 0 else part  # type: ignore[call-overload]
    kept = [one for member in part.parts if (one := _less(member, countdown)) is not None]  # type: ignore[attr-defined]
    whole: Part | None = None
    for one in kept:
        whole = one if whole is None else whole & one if isinstance(part, Series) else whole | one
    return whole


def canonical(*ladders: Ladder, texts: Iterable[str] = ()) -> str:
    """Return a text that is the same for ladders that differ in designations and in the order of contacts, branches
    and rungs alone, as far as sorting by shape tells them apart. texts: sentences about them, renamed along with
    them."""
    shapes = []
    for ladder in ladders:
        rungs = [f"{_sorted(rung.contacts)}>{'+'.join(load.device for load in rung.loads)}" for rung in ladder.rungs]
        shapes.append("; ".join(sorted(rungs, key=_bare)))
    names: dict[str, str] = {}
    return _TAG.sub(lambda tag: names.setdefault(tag[0], f"{tag[1]}{len(names)}"), " / ".join([*shapes, *texts]))


def _sorted(part: Part | None) -> str:
    if part is None:
        return "rail"
    if isinstance(part, Contact):
        return f"{part.kind}({part.device})"
    sign = "|" if isinstance(part, Parallel) else "&"
    members = sorted((_sorted(member) for member in part.parts), key=_bare)  # type: ignore[attr-defined]
    return f"({sign.join(members)})"


def _bare(shape: str) -> str:
    return _TAG.sub(r"\1", shape)
