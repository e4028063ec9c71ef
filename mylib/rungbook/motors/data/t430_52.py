"""NEC Table 430.52 and the ceilings of 430.52(C): the largest short-circuit device, in % of table current."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from rungbook.motors.code_table import MEMORY, READ_ONCE

NON_TIME_DELAY, TIME_DELAY = "non-time-delay fuse", "time-delay fuse"
INSTANTANEOUS, INVERSE_TIME = "instantaneous-trip breaker", "inverse-time breaker"
DEVICES = (NON_TIME_DELAY, TIME_DELAY, INSTANTANEOUS, INVERSE_TIME)
EFFICIENT = "design B energy-efficient"


class Shares(NamedTuple):
    """Per cent of the full-load current for each of DEVICES, in their order, and where they are known from."""

    percent: tuple[int, int, int, int]
    origin: str = MEMORY


TABLE_430_52: Mapping[str, Shares] = MappingProxyType(
    {
        "squirrel cage": Shares((300, 175, 800, 250), READ_ONCE),
        EFFICIENT: Shares((300, 175, 1100, 250)),
        "wound rotor": Shares((150, 150, 800, 150), READ_ONCE),
        "synchronous": Shares((300, 175, 800, 250)),
        "single-phase": Shares((300, 175, 800, 250)),
        "direct current": Shares((150, 150, 250, 150)),
    }
)

#: 430.52(C)(1) Ex. 2 and (C)(3) Ex. 1: ceilings [%]. 225 % seen in a worked case, the others from memory
CEILING_NON_TIME_DELAY, CEILING_NON_TIME_DELAY_ABOVE_600_A = 400, 300
CEILING_TIME_DELAY = 225
CEILING_INVERSE_TIME, CEILING_INVERSE_TIME_ABOVE_100_A = 400, 300
CEILING_INSTANTANEOUS, CEILING_INSTANTANEOUS_EFFICIENT = 1300, 1700
