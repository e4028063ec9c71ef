"""What stands on a rung: contacts, series, parallel, and the loads at its end. Plain frozen data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import takewhile
from types import MappingProxyType
from typing import NoReturn

from rungbook.errors import LadderError
from rungbook.kit import (
    ALL_KINDS,
    COLOURS,
    KIND_OF_LETTER,
    KINDS,
    LAMP_MEANINGS,
    NC_KIND,
    NO_KIND,
    check_tag,
    check_terminals,
)
from rungbook.kit.limits import MAX_CONTACTS, MAX_DEPTH


class Part:
    """Anything that can stand between the rails before the load. `a & b` is series, `a | b` is parallel."""

    size: int  # number of contacts
    depth: int  # levels of series and parallel above a single contact

    def __and__(self, other: object) -> Part:
        return _join(Series, "&", self, other)

    def __rand__(self, other: object) -> Part:
        return _join(Series, "&", other, self)

    def __or__(self, other: object) -> Part:
        return _join(Parallel, "|", self, other)

    def __ror__(self, other: object) -> Part:
        return _join(Parallel, "|", other, self)

    def __bool__(self) -> bool:
        raise LadderError(
            str(self), "contacts are joined with & (series) and | (parallel); 'and', 'or' and 'not' would lose some"
        )

    def __invert__(self) -> NoReturn:
        raise LadderError(str(self), "a contact is made open or closed at rest: write NO('…') or NC('…') instead of ~")

    def contacts(self) -> Iterator[Contact]:
        """Yield the contacts in reading order: left to right, upper branch first."""
        raise NotImplementedError


@dataclass(frozen=True, repr=False)
class Contact(Part):
    """A contact of a device: `kind` "NO" (open at rest) or "NC" (closed at rest), terminals "" or a pair."""

    device: str
    kind: str
    terminals: str = ""
    size: int = field(default=1, init=False, repr=False, compare=False)
    depth: int = field(default=0, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if self.kind not in (NO_KIND, NC_KIND):
            raise LadderError("Contact", "unknown kind of contact", self.kind, (NO_KIND, NC_KIND))
        thing = f"Contact {self.kind}({_short(self.device)})"
        check_tag(thing, self.device)
        if not any(spec.closed for spec in ALL_KINDS.values() if spec.letter == self.device[0]):
            having = ", ".join(f"{k} {v}" for k, v in KIND_OF_LETTER.items() if KINDS[v].closed)
            rule = f"a {KIND_OF_LETTER[self.device[0]]} has no contacts"
            raise LadderError(thing, rule, self.device, (having,))
        if self.terminals != "":
            thing = f"Contact {self.kind}({_short(self.device)}, {_short(self.terminals)})"
        check_terminals(thing, self.kind, self.terminals)

    def contacts(self) -> Iterator[Contact]:
        """Yield this contact."""
        yield self

    def __repr__(self) -> str:
        return f"{self.kind}({self.device!r}{', ' + repr(self.terminals) if self.terminals else ''})"


@dataclass(frozen=True, repr=False)
class _Group(Part):
    parts: tuple[Part, ...]
    size: int = field(default=0, init=False, repr=False, compare=False)
    depth: int = field(default=0, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        size = sum(part.size for part in self.parts)
        depth = 1 + max(part.depth for part in self.parts)
        if size > MAX_CONTACTS:
            raise LadderError("Rung", f"at most {MAX_CONTACTS} contacts in one rung", size)
        if depth > MAX_DEPTH:
            raise LadderError("Rung", f"at most {MAX_DEPTH} levels of branches within branches", depth)
        object.__setattr__(self, "size", size)
        object.__setattr__(self, "depth", depth)

    def contacts(self) -> Iterator[Contact]:
        """Yield the contacts of all members in reading order."""
        for part in self.parts:
            yield from part.contacts()


class Series(_Group):
    """Parts one after the other: current passes if all pass."""

    def __repr__(self) -> str:
        return " & ".join(f"({p!r})" if isinstance(p, Parallel) else repr(p) for p in self.parts)


class Parallel(_Group):
    """Parts side by side between the same two points: current passes if one passes."""

    def __repr__(self) -> str:
        return " | ".join(repr(p) for p in self.parts)


def chain_of(part: Part | None) -> tuple[Part, ...]:
    """The parts in series from left to right; none of a rung without contacts."""
    if part is None:
        return ()
    return part.parts if isinstance(part, Series) else (part,)


def named_head(chain: Iterable[Part]) -> int:
    """How many of the first parts of `chain` name the terminals of all their contacts."""
    return sum(1 for _ in takewhile(lambda part: all(one.terminals for one in part.contacts()), chain))


def _join(group: type[_Group], sign: str, left: object, right: object) -> Part:
    parts: list[Part] = []
    for side in (left, right):
        if isinstance(side, Load):
            rule = f"a load cannot stand in a contact's place (beside '{sign}'); it ends the rung"
            raise LadderError(str(side), rule, choices=("ladder.rung(contacts, load)",))
        if not isinstance(side, Part):
            raise LadderError(f"'{sign}'", "joins contacts only", side, ("NO('S1')", "NC('S1')"))
        parts.extend(side.parts if isinstance(side, group) else (side,))
    return group(tuple(parts))


#: kind of load -> its terminals. Those of the further inputs are this course's own choice (EN 50005 gives none).
LOAD_TERMINALS: Mapping[str, str] = MappingProxyType(
    {"coil": "A1-A2", "lamp": "X1-X2", "reset": "R1-R2", "down": "D1-D2"}
)
#: kinds of load that are a further input of a device with a coil.
INPUTS = ("reset", "down")
_INPUT_LETTERS = {"K": "timer relay, counter"}
_VERBS = {"down": "count_down"}  # kind of load -> the function that makes it, where the name differs


@dataclass(frozen=True, repr=False)
class Load:
    """What ends a rung: `kind`, a key of `LOAD_TERMINALS`, its device, its colour (lamps), terminals "" or a pair.

    `name` tells the loads of a ladder apart: a counter's coil is "K5", its reset input "K5 reset".
    """

    device: str
    kind: str
    colour: str = ""
    terminals: str = ""

    def __post_init__(self) -> None:
        if not isinstance(self.kind, str) or self.kind not in LOAD_TERMINALS:
            raise LadderError("Load", "unknown kind of load", self.kind, tuple(LOAD_TERMINALS))
        verb = _VERBS.get(self.kind, self.kind)
        thing = f"{verb}({_short(self.device)})"
        check_tag(thing, self.device)
        letters = {spec.letter: spec.name for spec in KINDS.values() if spec.load == self.kind} or _INPUT_LETTERS
        if self.device[0] not in letters:
            found = KIND_OF_LETTER[self.device[0]]
            choices = tuple(f"{letter} ({name})" for letter, name in letters.items())
            rule = f"a {found} has no {self.kind} input" if self.kind in INPUTS else f"a {found} is no {self.kind}"
            raise LadderError(thing, rule, self.device, choices)
        if self.kind == "lamp":
            if not isinstance(self.colour, str) or (self.colour and self.colour not in LAMP_MEANINGS):
                raise LadderError(thing, "unknown colour of a lamp", self.colour, tuple(LAMP_MEANINGS))
        elif self.colour:
            raise LadderError(thing, "only a lamp has a colour", self.colour)
        pair = LOAD_TERMINALS[self.kind]
        if self.terminals not in ("", pair):
            word = f"{self.kind} input" if self.kind in INPUTS else self.kind
            raise LadderError(thing, f"the terminals of a {word} are {pair}", self.terminals, (pair,))

    @property
    def name(self) -> str:
        """The designation for a coil or lamp; for another input with its kind: "K5 reset", "K5 down"."""
        return f"{self.device} {self.kind}" if self.kind in INPUTS else self.device

    def _misplaced(self, sign: str, other: object, *, first: bool) -> NoReturn:
        _join(Series if sign == "&" else Parallel, sign, *((self, other) if first else (other, self)))
        raise AssertionError("unreachable: a load never joins")

    def __and__(self, other: object) -> NoReturn:
        self._misplaced("&", other, first=True)

    def __or__(self, other: object) -> NoReturn:
        self._misplaced("|", other, first=True)

    def __bool__(self) -> bool:
        rule = "loads side by side are separate arguments of rung; 'and', 'or' and 'not' would lose some"
        raise LadderError(str(self), rule, choices=("ladder.rung(contacts, load, load)",))

    def __invert__(self) -> NoReturn:
        raise LadderError(str(self), "a load has no opposite; put NC contacts before it", choices=("NC('S1')",))

    def __repr__(self) -> str:
        extra = f", {self.colour!r}" if self.colour else ""
        extra += f", terminals={self.terminals!r}" if self.terminals else ""
        return f"{_VERBS.get(self.kind, self.kind)}({self.device!r}{extra})"


def _short(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 24 else text[:24] + "…"


def NO(device: str, terminals: str = "") -> Contact:
    """Return a normally open contact of `device`: open at rest, closed when the device is operated.

    terminals: "" (the wiring step picks a free one) or a pair such as "13-14" with the function digits of EN 50005.
    Raises LadderError if the designation is malformed, the device has no contacts, or the terminals do not fit.
    """
    return Contact(device, NO_KIND, terminals)


def NC(device: str, terminals: str = "") -> Contact:
    """Return a normally closed contact of `device`: closed at rest, open when the device is operated.

    NC("S1") is open *while the button is pressed*: it is the contact, not a signal. Arguments, errors: as `NO`.
    """
    return Contact(device, NC_KIND, terminals)


def coil(device: str, terminals: str = "") -> Load:
    """Return the coil of contactor or relay `device` (letters Q and K; terminals "" or "A1-A2").

    Of a counter it is the count input: up for the settings "up" and "up-down", down for "down".
    Raises LadderError if the device has no coil.
    """
    return Load(device, "coil", "", terminals)


def lamp(device: str, colour: str = "", terminals: str = "") -> Load:
    """Return pilot lamp `device` (letter P) with a lens of `colour`: red, yellow, green, blue, white or "".

    Raises LadderError if the device is no lamp or the colour is none that IEC 60073 gives to lamps.
    """
    return Load(device, "lamp", colour, terminals)


def reset(device: str, terminals: str = "") -> Load:
    """Return the reset input of counter or cumulative timer `device` (letter K; terminals "" or "R1-R2").

    While it has voltage an up or up-down counter stands at 0, a down counter at its preset, a cumulative timer at no
    time gathered; it goes before every other input. Raises LadderError if the letter is not K.
    """
    return Load(device, "reset", "", terminals)


def count_down(device: str, terminals: str = "") -> Load:
    """Return the second count input of up-down counter `device` (letter K; terminals "" or "D1-D2"): one less an edge.

    Raises LadderError if the letter is not K.
    """
    return Load(device, "down", "", terminals)


__all__ = [
    "COLOURS",
    "INPUTS",
    "LOAD_TERMINALS",
    "NC",
    "NO",
    "Contact",
    "Load",
    "Parallel",
    "Part",
    "Series",
    "coil",
    "count_down",
    "lamp",
    "reset",
]
