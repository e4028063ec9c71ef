"""What a contact's symbol has to tell, whatever the set: late or at once, in which positions closed, by which letters.

Where the standards have no sign for what a timer does, letters of our own stand under the symbol (`MEANINGS`), as
the terms of the trade TDE and TDD (time delay on energisation, on de-energisation) do where a set has no sign.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from rungbook.behaviour.clockwork import is_timed_contact
from rungbook.circuit import Contact, Load
from rungbook.drawing.shapes import Shape
from rungbook.errors import LadderError
from rungbook.kit import Device, TimerSetting, parse_setting

#: function of a timer -> late when its coil is energised, late when it is de-energised, letters of our own.
_FUNCTIONS: Mapping[str, tuple[bool, bool, str]] = MappingProxyType(
    {
        "on-delay": (True, False, ""),
        "off-delay": (False, True, ""),
        "on-and-off delay": (True, True, ""),
        "one-shot on rising edge": (False, False, "1S-ON"),
        "one-shot on falling edge": (False, False, "1S-OFF"),
        "flash": (False, False, "FLASH"),
        "cumulative on-delay": (True, False, "CUM"),
        "": (False, False, "TD"),
    }
)
#: terminals of the contacts that a manual motor starter moves when it trips, and only then (`kit.kinds`).
_TRIP = ("95-96", "97-98")
#: order in which the positions of a three-position selector are charted.
CHARTED = ("left", "off", "right")

#: letters of our own under, or in, a symbol -> what a legend says of them.
MEANINGS: Mapping[str, str] = MappingProxyType(
    {
        "R": "R in a coil: its reset input",
        "D": "D in a coil: its count-down input",
        "TD": "TD: timer, its function not set yet; its contacts move in time, not with the coil",
        "1S-ON": "1S-ON: timer, one pulse when its coil is energised",
        "1S-OFF": "1S-OFF: timer, one pulse when its coil is de-energised",
        "FLASH": "FLASH: timer, on and off in turn while its coil is energised",
        "CUM": "CUM: timer that adds up the times its coil is energised",
        "TDE": "TDE: timer, late when its coil is energised",
        "TDD": "TDD: timer, late when its coil is de-energised",
        "CTR": "CTR: counter; its contacts move at its count",
    }
)


def delays(device: Device, contact: Contact | None = None) -> tuple[bool, bool]:
    """Whether `contact` moves late when the coil of `device` is energised, and when it is de-energised.

    No contact: the same of the whole device. (False, False) for all but a timer, and for an instantaneous contact.
    """
    late_on, late_off, _ = _timing(device, contact)
    return late_on, late_off


def letters(device: Device, contact: Contact | None = None) -> str:
    """Letters that tell what a timer or counter does and no sign of a standard tells; "" if there are none."""
    if device.kind == "counter" and (contact is None or is_timed_contact(contact)):
        return "CTR"
    return _timing(device, contact)[2]


def _timing(device: Device, contact: Contact | None) -> tuple[bool, bool, str]:
    if device.kind != "timer relay" or (contact is not None and not is_timed_contact(contact)):
        return (False, False, "")
    setting = parse_setting(device)
    return _FUNCTIONS[setting.function if isinstance(setting, TimerSetting) else ""]


def closed_at(device: Device, contact: Contact) -> tuple[bool, ...]:
    """Whether `contact` of a three-position selector is closed at left, off, right."""
    closed = device.spec.closed_in(contact.kind, contact.terminals)
    return tuple(position in closed for position in CHARTED)


def is_trip(contact: Contact) -> bool:
    """True if `contact`, of a manual motor starter, moves when the starter trips, not with its handle."""
    return contact.terminals in _TRIP


def lens(device: Device, load: Load) -> str:
    """Colour of a lamp, as the rung or the panel says; "" if neither does."""
    return load.colour or device.colour


def mirror_contact(shape: Shape) -> Shape:
    """The symbol of a closed contact marked as a mirror contact: not closed while a main contact is (IEC 60947-4-1).

    Annex F of the standard has a sign for it; its shape is not known here with certainty, so a word stands for it.
    """
    return replace(shape, name=f"mirror contact, {shape.name}", mark="MIRROR")


def no_contact(device: Device, contact: Contact, known: tuple[str, ...]) -> LadderError:
    """The error for `contact` of a device that has none. known: kinds that have contacts."""
    return LadderError(
        "draw", f"no symbol for {_article(contact.kind)} contact of {_article(device.kind)}", choices=known
    )


def no_device(kind: object, known: tuple[str, ...]) -> LadderError:
    """The error for a kind that has no symbol as a whole. known: kinds that have one."""
    return LadderError("draw", "no symbol of a whole device for this kind", kind, known)


def _article(words: str) -> str:
    return f"a{'n' if words[0] in 'aeiouN' else ''} {words}"
