"""Symbols asked for by the kind of device, as the tests name them."""

from __future__ import annotations

from rungbook.circuit import Contact, Load
from rungbook.drawing.shapes import Shape
from rungbook.drawing.symbol_sets import symbol_set
from rungbook.kit import ALL_KINDS, Device

#: kind of device -> settings that change its symbol, "" first.
SETTINGS = {
    "timer relay": (
        "",
        "on-delay 5 s",
        "off-delay 5 s",
        "on-and-off delay 5 s",
        "one-shot on rising edge 5 s",
        "one-shot on falling edge 5 s",
        "flash 1 s",
        "cumulative on-delay 5 s",
    ),
    "counter": ("up-down 3",),
}
#: kinds of which a contact can stand in a control ladder.
WITH_CONTACTS = tuple(name for name, kind in ALL_KINDS.items() if kind.closed or name == "programmable relay")


def device_of(kind: str, setting: str = "", colour: str = "") -> Device:
    return Device(f"{ALL_KINDS[kind].letter}1", kind, colour, setting=setting)


def contact_of(name: str, kind: str, contact: str, terminals: str = "", setting: str = "") -> Shape:
    """The symbol in set `name` of a contact ("NO", "NC") of a device of `kind`."""
    device = device_of(kind, setting)
    return symbol_set(name).contact(device, Contact(device.tag, contact, terminals))


def load_of(name: str, kind: str, load: str, setting: str = "", colour: str = "") -> Shape:
    """The symbol in set `name` of a load ("coil", "lamp", "reset", "down") of a device of `kind`."""
    device = device_of(kind, setting, colour)
    return symbol_set(name).load(device, Load(device.tag, load))
