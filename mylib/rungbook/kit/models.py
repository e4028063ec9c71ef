"""The record of one model in the box: its contacts, main poles, terminals and ratings. Data, no behaviour.

Terminals: contacts by EN 50005 (first digit the position, second the function), coil A1-A2, main poles 1/L1-2/T1 and so
on. A changeover is two contacts that share their common terminal: 11-12 and 11-14.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from rungbook.errors import LadderError
from rungbook.kit.kinds import ALL_KINDS, NC_KIND, NO_KIND
from rungbook.kit.ratings import CoilRating, LampRating
from rungbook.kit.terminals import contact_kind

INVENTED = "invented for this course; plausible, no real part"


@dataclass(frozen=True)
class ContactBlock:
    """One contact: `terminals` such as "13-14", `kind` "NO" or "NC", `closed` the positions in which it is closed.

    timed: True if it changes late, by a time or a count that is set (function digits 5 to 8 of a timer).
    """

    terminals: str
    kind: str
    closed: frozenset[str]
    timed: bool = False

    @property
    def ends(self) -> tuple[str, str]:
        """Its two terminals; of a changeover the common one comes first."""
        first, _, second = self.terminals.partition("-")
        return first, second


@dataclass(frozen=True)
class Rating:
    """One figure of a data sheet: what, how much, and the unit."""

    name: str
    value: float
    unit: str


@dataclass(frozen=True)
class Dial:
    """The range of an adjustable current [A]: lowest and highest mark."""

    lowest: float
    highest: float


def blocks(kind: str, *terminals: str) -> tuple[ContactBlock, ...]:
    """The contacts of a device of `kind` on `terminals`, closed as its kind's chart says.

    A pair that EN 50005 knows as a contact is what its digits say; main terminals such as 1-2 (a fuse) are closed at
    rest. Timed are, on a kind with a time or count that is set, the contacts with function digits 5 to 8.
    """
    spec = ALL_KINDS[kind]
    found = []
    for pair in terminals:
        contact = contact_kind(pair) or NC_KIND
        timed = spec.setting in ("timer", "counter") and pair[1:2] == "5"
        found.append(ContactBlock(pair, contact, spec.closed_in(contact, pair), timed))
    return tuple(found)


@dataclass(frozen=True)
class Model:
    """One model of the catalogue: a device, or an accessory that a device can carry.

    name: unique in the catalogue. kind: a name in `ALL_KINDS`, "" for an accessory. contacts: in catalogue order, the
    order in which wiring takes them. poles: main poles as pairs of terminals. supply: the two terminals of coil, lamp
    or electronics. more: further terminals. pins: base pin -> terminal. coil, lamp, dial, ratings: figures, all from
    `source`. fits: kinds of device that carry this accessory. slot: the place it takes there; one accessory a place.
    joins: how many devices one piece sits on (2: an interlock between two contactors).

    Raises LadderError if the kind is unknown, two terminals read the same (but for a changeover's common one), a
    contact is of another kind than its digits say, or a pin names no terminal.
    """

    name: str
    kind: str = ""
    contacts: tuple[ContactBlock, ...] = ()
    poles: tuple[tuple[str, str], ...] = ()
    supply: tuple[str, ...] = ()
    more: tuple[str, ...] = ()
    pins: Mapping[int, str] = field(default_factory=dict, hash=False)
    coil: CoilRating | None = None
    lamp: LampRating | None = None
    dial: Dial | None = None
    ratings: tuple[Rating, ...] = ()
    fits: tuple[str, ...] = ()
    slot: str = ""
    joins: int = 1
    source: str = INVENTED

    def __post_init__(self) -> None:
        thing = f"Model {self.name!r}"
        object.__setattr__(self, "pins", MappingProxyType(dict(self.pins)))
        for kind in (*self.fits, *([self.kind] if self.kind else [])):
            if kind not in ALL_KINDS:
                raise LadderError(thing, "unknown kind of device", kind, tuple(ALL_KINDS))
        if bool(self.kind) == bool(self.fits):
            raise LadderError(thing, "is a device of some kind, or an accessory that fits some kind", self.kind)
        check_blocks(thing, self.contacts)
        fixed = [*self.supply, *(end for pole in self.poles for end in pole), *self.more]
        ends = {end for block in self.contacts for end in block.ends}
        for place, end in enumerate(fixed):
            if end in ends or end in fixed[:place]:
                raise LadderError(thing, f"terminal {end} stands there twice", end)
        for pin, end in self.pins.items():
            if end not in self.terminals:
                raise LadderError(thing, f"pin {pin} leads to no terminal of it", end, self.terminals)

    @property
    def terminals(self) -> tuple[str, ...]:
        """All terminals in wiring order: supply, contacts, main poles, the rest."""
        ends = [*self.supply, *(end for block in self.contacts for end in block.ends)]
        ends += [*(end for pole in self.poles for end in pole), *self.more]
        return tuple(dict.fromkeys(ends))

    def contacts_on(self, kind: str) -> tuple[ContactBlock, ...]:
        """The contacts as they close on a device of `kind`; an accessory takes the positions of what carries it."""
        return blocks(kind, *(block.terminals for block in self.contacts)) if not self.kind else self.contacts


def accessory(name: str, fits: tuple[str, ...], *terminals: str, slot: str, joins: int = 1) -> Model:
    """An accessory with contacts on `terminals`, closed as on the first kind that it fits."""
    return Model(name, contacts=blocks(fits[0], *terminals), fits=fits, slot=slot, joins=joins)


def check_blocks(thing: str, contacts: tuple[ContactBlock, ...]) -> None:
    """Raise LadderError if a contact is of another kind than its digits, or two contacts share what they must not.

    Two contacts may share their first terminal only, if one opens and the other closes: a changeover.
    """
    for place, block in enumerate(contacts):
        found = contact_kind(block.terminals)
        if block.kind not in (NO_KIND, NC_KIND) or found not in (block.kind, None):
            raise LadderError(thing, f"terminals {block.terminals} are not those of an {block.kind} contact (EN 50005)")
        for other in contacts[:place]:
            common = set(block.ends) & set(other.ends)
            changeover = common == {block.ends[0]} == {other.ends[0]} and block.kind != other.kind
            if common and not changeover:
                raise LadderError(thing, f"contacts {other.terminals} and {block.terminals} share a terminal")
