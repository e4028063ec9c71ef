"""The set of IEC 60617: which symbol of `iec_shapes` a device gets."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from rungbook.circuit import Contact, Load
from rungbook.drawing import iec_shapes as draw
from rungbook.drawing.character import MEANINGS, closed_at, delays, is_trip, lens, letters, no_contact, no_device
from rungbook.drawing.shapes import Shape
from rungbook.kit import NC_KIND, Device

#: kind of device -> the symbol of its contact, by whether that is closed at rest.
_CONTACTS: Mapping[str, Callable[[bool], Shape]] = MappingProxyType(
    {
        "contactor": lambda closed: draw.contact("relay contact", closed),
        "control relay": lambda closed: draw.contact("relay contact", closed),
        "push button": draw.push_button,
        "emergency stop": draw.emergency_stop,
        "two-position selector": draw.selector,
        "limit switch": draw.limit,
        "overload relay": draw.overload,
        "soft starter": lambda closed: draw.boxed("soft starter contact", closed, draw.RAMP),
        "drive": lambda closed: draw.boxed("drive contact", closed, draw.CONVERTER),
        "programmable relay": lambda closed: draw.boxed("output contact", closed, draw.PROGRAM),
        "fuse": lambda closed: draw.fuse() if closed else draw.boxed("contact of a fuse's striker", closed, draw.BLOWN),
    }
)
_KNOWN = tuple(sorted({*_CONTACTS, "three-position selector", "manual motor starter", "timer relay", "counter"}))
#: letters that this set needs none of: it has a sign for what they say.
_SIGNED = ("TDE", "TDD")


class Iec:
    """See `symbol_sets.SymbolSet`."""

    name = "iec"
    standard = "IEC 60617"
    mirrored = False  # turned back as the standard shows them: contacts close from left to right
    #: colour -> its code (IEC 60757, from memory).
    colours: Mapping[str, str] = MappingProxyType(
        {"red": "RD", "yellow": "YE", "green": "GN", "blue": "BU", "white": "WH", "grey": "GY", "black": "BK"}
    )
    meanings: Mapping[str, str] = MappingProxyType(
        {letter: words for letter, words in MEANINGS.items() if letter not in _SIGNED}
    )

    def contact(self, device: Device, contact: Contact) -> Shape:
        """The symbol of `contact`, one of `device`."""
        kind, closed = device.kind, contact.kind == NC_KIND
        if kind in ("timer relay", "counter"):
            return self._moved_in_time(device, contact, closed)
        if kind == "three-position selector":
            return draw.selector_of_three(closed, closed_at(device, contact))
        if kind == "manual motor starter":
            return draw.starter(closed, is_trip(contact))
        if kind not in _CONTACTS:
            raise no_contact(device, contact, _KNOWN)
        return _CONTACTS[kind](closed)

    def _moved_in_time(self, device: Device, contact: Contact, closed: bool) -> Shape:
        late, mark = delays(device, contact), letters(device, contact)
        if any(late):
            return draw.timed(closed, late, mark)
        if device.kind == "counter" and mark:
            return draw.boxed("counter contact", closed, draw.COUNTER, mark)
        return draw.lettered("timed contact", closed, mark) if mark else draw.contact("relay contact", closed)

    def load(self, device: Device, load: Load) -> Shape:
        """The symbol of `load`, one of `device`."""
        if load.kind == "lamp":
            return draw.lamp(self.colours.get(lens(device, load), ""))
        if load.kind == "reset":
            return draw.further_input("reset input", "R")
        if load.kind == "down":
            return draw.further_input("count-down input", "D")
        if device.kind == "soft starter":
            return draw.run_input()
        if device.kind == "programmable relay":
            return draw.supply()
        return draw.coil(delays(device), letters(device))

    def device(self, kind: str) -> Shape:
        """The symbol of a whole device."""
        if kind != "control transformer":
            raise no_device(kind, ("control transformer",))
        return draw.transformer()


IEC = Iec()
