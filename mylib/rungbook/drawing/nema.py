"""The set of North American practice: which symbol of `nema_shapes` a device gets.

Contacts of relays are bars, whoever moves them; letters below say who, where it is no plain coil: OL overload relay,
MMS and TRIP manual motor starter, SS soft starter, VFD drive, PR programmable relay, CTR counter.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from rungbook.circuit import Contact, Load
from rungbook.drawing import nema_shapes as draw
from rungbook.drawing.character import (
    MEANINGS,
    closed_at,
    delays,
    is_trip,
    lens,
    letters,
    no_contact,
    no_device,
)
from rungbook.drawing.shapes import Shape
from rungbook.kit import COLOURS, NC_KIND, Device

#: kind of device -> its name and mark, for contacts drawn as bars.
_BARS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "contactor": ("relay contact", ""),
        "control relay": ("relay contact", ""),
        "overload relay": ("overload contact", "OL"),
        "manual motor starter": ("auxiliary contact", "MMS"),
        "soft starter": ("soft starter contact", "SS"),
        "drive": ("drive contact", "VFD"),
        "programmable relay": ("output contact", "PR"),
        "fuse": ("contact of a fuse's striker", "FU"),
    }
)
#: kind of device -> the symbol of its contact, by whether that is closed at rest.
_MOVED: Mapping[str, Callable[[bool], Shape]] = MappingProxyType(
    {
        "push button": draw.push_button,
        "emergency stop": draw.mushroom,
        "two-position selector": draw.selector,
        "limit switch": draw.limit,
    }
)
_BOXES = {"soft starter": ("run input", "SS"), "programmable relay": ("supply", "PR")}
_KNOWN = tuple(sorted({*_BARS, *_MOVED, "three-position selector", "timer relay", "counter"}))


class Nema:
    """See `symbol_sets.SymbolSet`."""

    name = "nema"
    standard = "NEMA ICS 19, IEEE 315"
    mirrored = True  # a button's head comes to the left
    colours: Mapping[str, str] = COLOURS
    meanings: Mapping[str, str] = MappingProxyType(
        {
            **MEANINGS,
            "MMS": "MMS: contact that the handle of a manual motor starter moves",
            "TRIP": "TRIP: contact that moves when a manual motor starter trips",
            "SS": "SS: soft starter",
            "VFD": "VFD: variable-frequency drive",
            "PR": "PR: programmable relay",
            "FU": "FU: contact of a fuse's striker",
            "X": "X and O: contact of a selector closed, open in its positions from left to right",
        }
    )

    def contact(self, device: Device, contact: Contact) -> Shape:
        """The symbol of `contact`, one of `device`."""
        kind, closed = device.kind, contact.kind == NC_KIND
        if kind in _MOVED:
            return _MOVED[kind](closed)
        if kind == "three-position selector":
            return draw.selector_of_three(closed, closed_at(device, contact))
        if kind in ("timer relay", "counter"):
            late, mark = delays(device, contact), letters(device, contact)
            return draw.timed(closed, late, mark) if any(late) else draw.bars("relay contact", closed, mark)
        if kind == "fuse" and closed:
            return draw.fuse()
        if kind not in _BARS:
            raise no_contact(device, contact, _KNOWN)
        name, mark = _BARS[kind]
        return draw.bars(name, closed, "TRIP" if kind == "manual motor starter" and is_trip(contact) else mark)

    def load(self, device: Device, load: Load) -> Shape:
        """The symbol of `load`, one of `device`."""
        if load.kind == "lamp":
            return draw.lamp(self.colours.get(lens(device, load), ""))
        if load.kind == "reset":
            return draw.further_input("reset input", "R")
        if load.kind == "down":
            return draw.further_input("count-down input", "D")
        if device.kind in _BOXES:
            return draw.box(*_BOXES[device.kind])
        late_on, late_off = delays(device)
        return draw.coil(" ".join(filter(None, ("TDE" * late_on, "TDD" * late_off, letters(device)))))

    def device(self, kind: str) -> Shape:
        """The symbol of a whole device."""
        if kind != "control transformer":
            raise no_device(kind, ("control transformer",))
        return draw.transformer()


NEMA = Nema()
