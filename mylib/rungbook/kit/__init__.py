"""What is in the box: kinds of device, designations, terminals, colours.

Enters: designations and kinds as text. Leaves: frozen records (`Device`, `DeviceKind`, `Move`). No units yet:
positions are words, not numbers. Imports nothing of the other rooms.
"""

from rungbook.kit.colours import COLOURS, LAMP_MEANINGS, START_COLOURS, STOP_COLOURS
from rungbook.kit.device import Device, check_tag
from rungbook.kit.kinds import KIND_OF_LETTER, KINDS, NC_KIND, NO_KIND, DeviceKind, Move
from rungbook.kit.terminals import check_terminals, contact_kind

__all__ = [
    "COLOURS",
    "KINDS",
    "KIND_OF_LETTER",
    "LAMP_MEANINGS",
    "NC_KIND",
    "NO_KIND",
    "START_COLOURS",
    "STOP_COLOURS",
    "Device",
    "DeviceKind",
    "Move",
    "check_tag",
    "check_terminals",
    "contact_kind",
]
