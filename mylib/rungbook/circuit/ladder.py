"""A ladder: a title, the devices of the panel, and rungs. Plain data, checked as it grows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import takewhile

from rungbook.circuit.parts import INPUTS, Contact, Load, Parallel, Part, Series, chain_of, named_head
from rungbook.errors import LadderError
from rungbook.kit import CounterSetting, Device, TimerSetting, parse_setting
from rungbook.kit.limits import MAX_DEVICES, MAX_LOADS, MAX_RUNGS, check_text


@dataclass(frozen=True)
class Rung:
    """One rung: `contacts` (None: the loads hang between the rails), `loads` side by side, and a `note`.

    panel: the devices that the ladder declared, so that a rung on its own still knows a selector from a button.
    """

    contacts: Part | None
    loads: tuple[Load, ...]
    note: str = ""
    panel: tuple[Device, ...] = field(default=(), repr=False, compare=False)

    def device(self, tag: str) -> Device:
        """The device `tag` as declared, or the usual kind of its letter."""
        return next((device for device in self.panel if device.tag == tag), None) or Device(tag)

    def all_contacts(self) -> tuple[Contact, ...]:
        """The contacts in reading order."""
        return tuple(self.contacts.contacts()) if self.contacts is not None else ()

    def __repr__(self) -> str:
        parts = ([repr(self.contacts)] if self.contacts is not None else []) + [repr(load) for load in self.loads]
        if self.note:
            parts.append(f"note={self.note!r}")
        return f"rung({', '.join(parts)})"


class Ladder:
    """A ladder diagram as data.

    title: at most 200 characters. devices: the devices on the panel; given, the list is closed and a rung may name
    no other; left out, every designation stands for the usual kind of its letter.

    Raises LadderError if the title is too long, a device is declared twice, or an entry is no `Device`.
    """

    def __init__(self, title: str = "", devices: Iterable[Device] | None = None) -> None:
        self.title = check_text("Ladder", "title", title)
        self._declared: dict[str, Device] | None = None
        self._rungs: list[Rung] = []
        if devices is not None:
            self._declared = {}
            for device in devices:
                if not isinstance(device, Device):
                    raise LadderError(
                        f"Ladder {title!r}", "devices are listed as Device records", device, ("Device('S1')",)
                    )
                if device.tag in self._declared:
                    raise LadderError(f"Ladder {title!r}", f"device {device.tag} is declared twice", device.tag)
                self._declared[device.tag] = device
            if len(self._declared) > MAX_DEVICES:
                raise LadderError(f"Ladder {title!r}", f"at most {MAX_DEVICES} devices", len(self._declared))

    @property
    def rungs(self) -> tuple[Rung, ...]:
        """The rungs, top to bottom."""
        return tuple(self._rungs)

    @property
    def declared(self) -> tuple[Device, ...] | None:
        """The devices given when the ladder was made, or None if the list is open."""
        return tuple(self._declared.values()) if self._declared is not None else None

    @property
    def devices(self) -> Mapping[str, Device]:
        """Designation -> device, of every device used on a rung, in reading order."""
        found: dict[str, Device] = {}
        for tag in self._used():
            if tag not in found:
                found[tag] = self._declared[tag] if self._declared is not None else Device(tag)
        return found

    def _used(self) -> Iterator[str]:
        for rung in self._rungs:
            for contact in rung.all_contacts():
                yield contact.device
            for load in rung.loads:
                yield load.device

    def rung(self, *parts: Part | Load, note: str = "") -> Rung:
        """Add a rung below the others and return it: contacts first, then one or more loads side by side.

        Raises LadderError, and leaves the ladder as it was, if there is no load (empty rung), a load stands in a
        contact's place, the list of devices is closed and lacks one, a coil, lamp or input ends two rungs, the device
        as declared has no such input (`check_input`), or one pair of terminals of a device stands in two places. Rungs
        that begin with the same contacts, all terminals named, share those: each is one contact, drawn in each rung.
        """
        thing = f"Rung {len(self._rungs) + 1}"
        contacts, loads = _split(thing, parts)
        new = Rung(contacts, loads, check_text(thing, "note", note), self.declared or ())
        if len(self._rungs) >= MAX_RUNGS:
            raise LadderError(thing, f"at most {MAX_RUNGS} rungs", len(self._rungs) + 1)
        self._check_devices(thing, new)
        self._check_loads(thing, new)
        self._check_terminals(thing, new)
        self._rungs.append(new)
        return new

    def _check_devices(self, thing: str, new: Rung) -> None:
        if self._declared is None:
            return
        items: tuple[Contact | Load, ...] = (*new.all_contacts(), *new.loads)
        for item in items:
            if item.device not in self._declared:
                kind = "Contact " if isinstance(item, Contact) else ""
                listed = ", ".join(sorted(self._declared))
                raise LadderError(f"{kind}{item}", f"no device {item.device} on this panel", choices=(listed,))
            device = self._declared[item.device]
            if isinstance(item, Load) and item.colour and device.colour and item.colour != device.colour:
                rule = f"the lens of {item.device} on this panel is {device.colour}"
                raise LadderError(str(item), rule, item.colour, (device.colour,))
            if isinstance(item, Load):
                check_input(item, device)

    def _check_loads(self, thing: str, new: Rung) -> None:
        where = {load.name: n for n, rung in enumerate(self._rungs, 1) for load in rung.loads}
        for load in new.loads:
            if load.name in where:
                word = f"{load.kind} input" if load.kind in INPUTS else load.kind
                raise LadderError(
                    thing,
                    f"{word} {load.device} already ends rung {where[load.name]}; a {word} is wired once. "
                    "Put the second path in parallel on that rung with |",
                    load.device,
                )
            where[load.name] = len(self._rungs) + 1

    def _check_terminals(self, thing: str, new: Rung) -> None:
        where: dict[tuple[str, str], str] = {}
        for n, rung in enumerate(self._rungs, 1):
            for contact in rung.all_contacts():
                if contact.terminals:
                    where[contact.device, contact.terminals] = f"rung {n}"
        for part in chain_of(new.contacts)[self._shared(new) :]:
            for contact in part.contacts():
                if not contact.terminals:
                    continue
                key = (contact.device, contact.terminals)
                if key in where:
                    rule = f"terminals {contact.terminals} already stand on {where[key]}; one contact is one place"
                    raise LadderError(f"Contact {contact}", rule)
                where[key] = thing[0].lower() + thing[1:]

    def _shared(self, new: Rung) -> int:
        """How many of the first parts of `new` are those of a rung above: alike, with all terminals named."""
        chain = chain_of(new.contacts)
        chain = chain[: named_head(chain)]
        most = 0
        for rung in self._rungs if chain else ():
            alike = takewhile(lambda pair: pair[0] == pair[1], zip(chain, chain_of(rung.contacts), strict=False))
            most = max(most, sum(1 for _ in alike))
        return most

    def coils(self) -> tuple[str, ...]:
        """Designations of all coils, top to bottom."""
        return tuple(load.device for rung in self._rungs for load in rung.loads if load.kind == "coil")

    def lamps(self) -> tuple[str, ...]:
        """Designations of all lamps, top to bottom."""
        return tuple(load.device for rung in self._rungs for load in rung.loads if load.kind == "lamp")

    def inputs(self) -> tuple[str, ...]:
        """Designations of the devices with contacts here that a person or the plant moves, in reading order."""
        return tuple(tag for tag, device in self.devices.items() if device.spec.operated)

    def validate(self) -> None:
        """Check what only a finished ladder can answer.

        Raises LadderError if there is no rung, or a contact or a further input (reset, count down) belongs to a
        contactor or relay whose coil is on no rung.
        """
        if not self._rungs:
            raise LadderError(f"Ladder {self.title!r}", "has no rungs yet; add one with .rung(contacts, load)")
        coils, devices = self.coils(), self.devices
        for n, rung in enumerate(self._rungs, 1):
            for contact in rung.all_contacts():
                if devices[contact.device].spec.load == "coil" and contact.device not in coils:
                    listed = ", ".join(sorted(devices))
                    raise LadderError(
                        f"Contact {contact} on rung {n}",
                        f"no device {contact.device} with a coil in this ladder, so nothing moves the contact",
                        choices=(f"devices here: {listed}", f"coils here: {', '.join(coils) or 'none'}"),
                    )
            for load in rung.loads:
                if load.kind in INPUTS and load.device not in coils:
                    raise LadderError(
                        f"{load} on rung {n}",
                        f"the coil of {load.device} is on no rung, so there is nothing for this input to act on",
                        choices=(f"coil({load.device!r})", f"coils here: {', '.join(coils) or 'none'}"),
                    )

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Ladder):
            return NotImplemented
        return (self.title, self.declared, self.rungs) == (other.title, other.declared, other.rungs)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        lines = [f"Ladder({self.title!r})", *(f"{n:>4}  {rung!r}" for n, rung in enumerate(self._rungs, 1))]
        return "\n".join(lines)


def check_input(load: Load, device: Device) -> None:
    """Raise LadderError if `load` is a further input that `device` has not; nothing is asked of coils and lamps.

    reset: of a counter, or of a timer relay set to "cumulative on-delay". down: of a counter set to "up-down".
    """
    if load.kind not in INPUTS:
        return
    setting = parse_setting(device)
    if load.kind == "down":
        has = isinstance(setting, CounterSetting) and setting.direction == "up-down"
        choices: tuple[str, ...] = (f"Device({device.tag!r}, 'counter', setting='up-down 3')",)
        wanted = "a counter set to up-down"
    else:
        cumulative = isinstance(setting, TimerSetting) and setting.function == "cumulative on-delay"
        has = device.kind == "counter" or cumulative
        choices = (
            f"Device({device.tag!r}, 'counter', setting='up 3')",
            f"Device({device.tag!r}, 'timer relay', setting='cumulative on-delay 2 s')",
        )
        wanted = "a counter, or a timer relay set to cumulative on-delay"
    if not has:
        found = f"{device.kind} {device.setting or 'with nothing set'}" if device.spec.timed else device.kind
        raise LadderError(str(load), f"a {load.kind} input is that of {wanted}", found, choices)


def _own(part: Part) -> Part:
    """A copy of `part` in which every contact is its own object, so that a place on the rung can be told by `is`.

    Without it `trip = NC("F1")` used in two branches would be one object, and wire numbers would name the first place.
    """
    if isinstance(part, Contact):
        return replace(part)
    assert isinstance(part, Series | Parallel)
    return type(part)(tuple(_own(inner) for inner in part.parts))


def _split(thing: str, parts: tuple[object, ...]) -> tuple[Part | None, tuple[Load, ...]]:
    """Sort the arguments of `rung` into contacts and loads. Raises LadderError as `Ladder.rung` says."""
    if not parts:
        raise LadderError(
            thing, "is empty: a rung needs a load, and contacts before it", choices=("rung(NO('S1'), coil('Q1'))",)
        )
    contacts: Part | None = None
    loads: list[Load] = []
    for place, part in enumerate(parts, 1):
        if isinstance(part, Part):
            if loads:
                raise LadderError(
                    thing, f"{loads[-1]} stands in a contact's place: contacts come before loads", str(part)
                )
            if contacts is not None:
                raise LadderError(
                    thing, "contacts are one argument: join them with & (series) or | (parallel)", str(part)
                )
            contacts = _own(part)
        elif isinstance(part, Load):
            loads.append(part)
        else:
            raise LadderError(
                thing,
                f"argument {place} is neither contact nor load",
                part,
                ("NO('S1')", "NC('S1')", "coil('Q1')", "lamp('P1')"),
            )
    if not loads:
        raise LadderError(
            thing,
            "has no load at its end: it would short the supply when its contacts close",
            choices=("coil('Q1')", "lamp('P1', 'green')"),
        )
    if len(loads) > MAX_LOADS:
        raise LadderError(thing, f"at most {MAX_LOADS} loads on one rung", len(loads))
    return contacts, tuple(loads)
