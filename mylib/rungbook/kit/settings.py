"""What is set on a device: the text a person writes on the plan, read into a record of numbers with units.

| kind | setting | example |
|---|---|---|
| timer relay | function, time | `on-delay 5 s` |
| counter | direction, preset | `up 3` |
| overload relay | current, trip class, reset | `2.4 A class 10 manual` (or `automatic`; `with test` may follow) |
| manual motor starter | current | `2.5 A` |

One blank between words, small letters but for the unit A, a point as decimal mark. Trip classes: IEC 60947-4-1.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rungbook.errors import LadderError
from rungbook.kit.kinds import ALL_KINDS

if TYPE_CHECKING:
    from rungbook.kit.device import Device

TIMER_FUNCTIONS = (
    "on-delay",
    "off-delay",
    "on-and-off delay",
    "one-shot on rising edge",
    "one-shot on falling edge",
    "flash",
    "cumulative on-delay",
)
COUNTER_DIRECTIONS = ("up", "down", "up-down")
TRIP_CLASSES = ("5", "10A", "10", "20", "30")
RESETS = ("manual", "automatic")
MAX_COUNT = 9999
MAX_MILLISECONDS = 100 * 3600 * 1000

_MILLISECONDS = {"ms": 1, "s": 1000, "min": 60_000, "h": 3_600_000}
_NUMBER = r"([0-9]{1,4})(?:\.([0-9]{1,3}))?"
_TIMER = re.compile(rf"([a-z -]+) {_NUMBER} (ms|s|min|h)", re.ASCII)
_COUNTER = re.compile(r"(up|down|up-down) ([1-9][0-9]{0,3})", re.ASCII)
_OVERLOAD = re.compile(rf"{_NUMBER} A class (5|10A|10|20|30) (manual|automatic)( with test)?", re.ASCII)
_STARTER = re.compile(rf"{_NUMBER} A", re.ASCII)

#: the word in `DeviceKind.setting` -> legal forms, as texts
FORMS = {
    "timer": (
        *(f"{function} TIME" for function in TIMER_FUNCTIONS),
        "TIME is a number and ms, s, min or h, such as 5 s, 0.5 s, 2 min; from 1 ms to 100 h",
    ),
    "counter": (*(f"{direction} COUNT" for direction in COUNTER_DIRECTIONS), f"COUNT from 1 to {MAX_COUNT}"),
    "overload": (
        "CURRENT A class CLASS RESET, such as 2.4 A class 10 manual",
        f"CLASS {', '.join(TRIP_CLASSES)}",
        f"RESET {', '.join(RESETS)}; 'with test' may follow",
    ),
    "starter": ("CURRENT A, such as 2.5 A",),
}


@dataclass(frozen=True)
class TimerSetting:
    """function: one of `TIMER_FUNCTIONS`. milliseconds: the time set, a whole number so that times stay exact [ms].

    A flashing timer is on for that time and off for the same time.
    """

    function: str
    milliseconds: int

    @property
    def seconds(self) -> float:
        """The time set [s]."""
        return self.milliseconds / 1000


@dataclass(frozen=True)
class CounterSetting:
    """direction: one of `COUNTER_DIRECTIONS`. preset: the count at which the contacts change, 1 to 9999 [counts]."""

    direction: str
    preset: int


@dataclass(frozen=True)
class OverloadSetting:
    """amps: dial [A]. trip_class: one of `TRIP_CLASSES`. reset: "manual" or "automatic". test: test button enabled."""

    amps: float
    trip_class: str
    reset: str
    test: bool = False


@dataclass(frozen=True)
class StarterSetting:
    """amps: dial of the overload release [A]."""

    amps: float


Setting = TimerSetting | CounterSetting | OverloadSetting | StarterSetting


def parse_setting(device: Device) -> Setting | None:
    """Return the record of `device.setting`; None if nothing is set.

    Raises nothing: a `Device` with a setting that cannot be read is refused when it is made.
    """
    return read_setting(f"Device({device.tag!r})", device.kind, device.setting)


def read_setting(thing: str, kind: str, text: object) -> Setting | None:
    """Return the record that `text` sets on a device of `kind`; None for "".

    Raises LadderError if `text` is no text, a device of this kind has no setting, or the text has none of the legal
    forms (they are listed), a time or current of 0, or a time beyond 100 h.
    """
    if text == "":
        return None
    what = ALL_KINDS[kind].setting
    if not isinstance(text, str):
        raise LadderError(thing, "the setting must be text", text, FORMS.get(what, ()))
    if not what:
        having = tuple(spec.name for spec in ALL_KINDS.values() if spec.setting)
        raise LadderError(thing, f"a {kind} has nothing to set", text, having)
    found = {"timer": _timer, "counter": _counter, "overload": _overload, "starter": _starter}[what](text)
    if found is None:
        raise LadderError(thing, f"this is no setting of a {kind}", text, FORMS[what])
    return found


def _timer(text: str) -> TimerSetting | None:
    match = _TIMER.fullmatch(text)
    if not match or match[1] not in TIMER_FUNCTIONS:
        return None
    thousandths = int(match[2]) * 1000 + int((match[3] or "").ljust(3, "0"))
    time, rest = divmod(thousandths * _MILLISECONDS[match[4]], 1000)
    return TimerSetting(match[1], time) if not rest and 0 < time <= MAX_MILLISECONDS else None


def _counter(text: str) -> CounterSetting | None:
    match = _COUNTER.fullmatch(text)
    return CounterSetting(match[1], int(match[2])) if match else None


def _amps(whole: str, part: str | None) -> float:
    return float(f"{whole}.{part or 0}")


def _overload(text: str) -> OverloadSetting | None:
    match = _OVERLOAD.fullmatch(text)
    amps = _amps(match[1], match[2]) if match else 0.0
    return OverloadSetting(amps, match[3], match[4], bool(match[5])) if match and amps else None


def _starter(text: str) -> StarterSetting | None:
    match = _STARTER.fullmatch(text)
    amps = _amps(match[1], match[2]) if match else 0.0
    return StarterSetting(amps) if amps else None
