"""Limits of operation of thermal overload relays that a trip curve is drawn with, each with where it is from.

All at +20 °C with the same current in all poles. Confirmed at second hand only, or from memory: the standard in force
and the relay's own data sheet decide.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

TWO_HOURS = 7200.0
_MEMORY = "IEC 60947-4-1, from memory"
_SECOND_HAND = "IEC 60947-4-1, at second hand"

#: At 7.2 times the setting from cold: trips after more than the first and within the second time [s].
AT_7_2: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"5": (0.5, 5.0), "10A": (2.0, 10.0), "10": (4.0, 10.0), "20": (6.0, 20.0), "30": (9.0, 30.0)}
)
#: At 1.5 times the setting after running at the setting: trips within [s].
AT_1_5: Mapping[str, float] = MappingProxyType({"5": 120.0, "10A": 120.0, "10": 240.0, "20": 480.0, "30": 720.0})
#: Class n of UL and NEMA, at 6 times the setting: trips within [s].
AT_6: Mapping[str, float] = MappingProxyType({"10": 10.0, "20": 20.0, "30": 30.0})


@dataclass(frozen=True)
class Limit:
    """At `current` [share of the setting] the relay trips after more than `over` and within `within` [s].

    over 0: there is no lower limit. within None: it may take any time. state: "cold" or "warm". source: where from.
    """

    current: float
    over: float
    within: float | None
    state: str
    source: str


def limits(trip_class: str) -> Iterator[Limit]:
    """The limits of a trip class of `rungbook.behaviour.overload`, in the order of their currents."""
    yield Limit(1.05, TWO_HOURS, None, "cold", _MEMORY)
    yield Limit(1.2, 0.0, TWO_HOURS, "warm", _MEMORY)
    yield Limit(1.5, 0.0, AT_1_5[trip_class], "warm", _MEMORY)
    if trip_class in AT_6:
        yield Limit(6.0, 0.0, AT_6[trip_class], "cold", "UL and NEMA, at second hand")
    over, within = AT_7_2[trip_class]
    yield Limit(7.2, over, within, "cold", _MEMORY if trip_class == "5" else _SECOND_HAND)
