"""What is in the box: kinds of device, designations, terminals, colours.

Enters: designations, kinds, settings as text. Leaves: frozen records (`Device`, `DeviceKind`, `Move`, `Model`, …).
Positions are words, not numbers; settings and ratings carry V, A, VA, W, ms, s. Imports nothing of the other rooms.
"""

from rungbook.kit.catalogue import AUXILIARY_BLOCK, CATALOGUE
from rungbook.kit.colours import COLOURS, LAMP_MEANINGS, START_COLOURS, STOP_COLOURS
from rungbook.kit.device import Device, check_tag
from rungbook.kit.inventory import TRAINING_KIT, Fitted, Kit, fit
from rungbook.kit.kinds import (
    ALL_KINDS,
    KIND_OF_LETTER,
    KINDS,
    MORE_KINDS,
    NC_KIND,
    NO_KIND,
    DeviceKind,
    Move,
)
from rungbook.kit.models import ContactBlock, Dial, Model, Rating
from rungbook.kit.settings import (
    CounterSetting,
    OverloadSetting,
    StarterSetting,
    TimerSetting,
    parse_setting,
)
from rungbook.kit.terminals import check_terminals, contact_kind

__all__ = [
    "ALL_KINDS",
    "AUXILIARY_BLOCK",
    "CATALOGUE",
    "COLOURS",
    "KINDS",
    "KIND_OF_LETTER",
    "LAMP_MEANINGS",
    "MORE_KINDS",
    "NC_KIND",
    "NO_KIND",
    "START_COLOURS",
    "STOP_COLOURS",
    "TRAINING_KIT",
    "ContactBlock",
    "CounterSetting",
    "Device",
    "DeviceKind",
    "Dial",
    "Fitted",
    "Kit",
    "Model",
    "Move",
    "OverloadSetting",
    "Rating",
    "StarterSetting",
    "TimerSetting",
    "check_tag",
    "check_terminals",
    "contact_kind",
    "fit",
    "parse_setting",
]
