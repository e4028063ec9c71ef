"""Colours of buttons and lamps, and what they mean.

Lamps: IEC 60073 and NFPA 79 (red danger or fault, yellow abnormal, green normal, blue mandatory action,
white neutral). Buttons: IEC 60204-1, 10.2 (start white, grey, black or green and never red; stop black, grey,
white or red and never green; red actuator for emergency stop).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: colour -> letter written beside the symbol, so that nothing rests on colour alone.
COLOURS: Mapping[str, str] = MappingProxyType(
    {"red": "R", "yellow": "Y", "green": "G", "blue": "B", "white": "W", "grey": "GY", "black": "BK"}
)

#: colours a pilot lamp comes in, with their meaning (IEC 60073).
LAMP_MEANINGS: Mapping[str, str] = MappingProxyType(
    {
        "red": "danger or fault",
        "yellow": "abnormal",
        "green": "normal",
        "blue": "mandatory action",
        "white": "neutral",
    }
)

#: actuator colours for a start or on button: allowed ones, best first (IEC 60204-1, 10.2.1).
START_COLOURS = ("white", "grey", "black", "green")
#: actuator colours for a stop or off button: allowed ones, best first (IEC 60204-1, 10.2.1).
STOP_COLOURS = ("black", "grey", "white", "red")
