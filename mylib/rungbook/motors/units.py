"""Numbers with their units: read from text, converted, shown. What every function of this room takes and gives.

A unit belongs to a dimension; within it one is converted into another. Two things that look alike are kept apart: W and
VA are not the same, and a share (power factor, slip) is written in % or as a plain number where the place allows it.
Horsepower is 745.69987 W (550 lb·ft/s), lb·ft 1.35581795 N·m, both by the definition of the pound and the foot.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rungbook.errors import LadderError

WATTS_OF_HP = 745.69987
NEWTON_METRES_OF_LB_FT = 1.35581795

#: dimension -> unit -> its size in the first unit of the dimension
DIMENSIONS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "current": {"A": 1.0, "mA": 1e-3, "kA": 1e3},
        "voltage": {"V": 1.0, "mV": 1e-3, "kV": 1e3},
        "power": {"W": 1.0, "kW": 1e3, "hp": WATTS_OF_HP},
        "apparent power": {"VA": 1.0, "kVA": 1e3},
        "torque": {"N·m": 1.0, "lb·ft": NEWTON_METRES_OF_LB_FT, "lb·in": NEWTON_METRES_OF_LB_FT / 12},
        "speed": {"rpm": 1.0, "rad/s": 30 / math.pi},
        "time": {"s": 1.0, "ms": 1e-3, "min": 60.0, "h": 3600.0},
        "frequency": {"Hz": 1.0, "kHz": 1e3},
        "share": {"": 1.0, "%": 0.01},
        "resistance": {"Ω": 1.0, "mΩ": 1e-3, "kΩ": 1e3},
        "length": {"m": 1.0, "mm": 1e-3, "cm": 0.01, "km": 1e3, "ft": 0.3048},
        "area": {"mm²": 1.0},
        "inertia": {"kg·m²": 1.0},
        "temperature": {"°C": 1.0},
        "volts per hertz": {"V/Hz": 1.0},
        "apparent power per horsepower": {"kVA/hp": 1.0},
    }
)
#: other ways to write a unit, in small letters -> the unit
SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("amp", "amps", "ampere", "amperes"), "A"),
        **dict.fromkeys(("volt", "volts"), "V"),
        **dict.fromkeys(("watt", "watts"), "W"),
        **dict.fromkeys(("horsepower",), "hp"),
        **dict.fromkeys(("nm", "n m", "n.m", "n*m", "n-m", "newton metres", "newton meters"), "N·m"),
        **dict.fromkeys(("lbft", "lb ft", "lb.ft", "lb*ft", "lb-ft", "lbf·ft", "lbf-ft", "lbf ft"), "lb·ft"),
        **dict.fromkeys(("ftlb", "ft lb", "ft.lb", "ft*lb", "ft-lb", "ft·lb", "ft-lbs", "ft·lbf"), "lb·ft"),
        **dict.fromkeys(("lbin", "lb in", "lb.in", "lb*in", "lb-in", "in-lb", "in·lb", "in lb"), "lb·in"),
        **dict.fromkeys(("r/min", "1/min", "/min", "min-1", "min^-1", "min⁻¹", "rev/min"), "rpm"),
        **dict.fromkeys(("sec", "second", "seconds"), "s"),
        **dict.fromkeys(("minute", "minutes"), "min"),
        **dict.fromkeys(("hertz", "cps"), "Hz"),
        **dict.fromkeys(("percent", "per cent"), "%"),
        **dict.fromkeys(("ohm", "ohms", "Ω"), "Ω"),
        **dict.fromkeys(("kohm", "kohms"), "kΩ"),
        **dict.fromkeys(("mm2", "mm^2"), "mm²"),
        **dict.fromkeys(("kgm2", "kg m2", "kg·m2", "kgm²", "kg m²", "kg·m^2"), "kg·m²"),
        **dict.fromkeys(("foot", "feet"), "ft"),
        **dict.fromkeys(("metre", "metres", "meter", "meters"), "m"),
    }
)
_DIMENSION_OF = {unit: name for name, units in DIMENSIONS.items() for unit in units}
# small letters are as good as capitals, but not where the capital makes a million of a thousandth
_LOWER = {unit.lower(): unit for unit in _DIMENSION_OF if not unit.startswith("m") or unit in ("m", "min", "mm²")}
_NUMBER = re.compile(r"\s*([+\-−]?\s?[0-9.,](?:[0-9.,' \u00a0\u2009\u202f]*[0-9.,])?(?:[eE][+\-−]?[0-9]+)?)(.*)", re.S)
# a true fraction as ratings have it; two numbers of a nameplate, "26/13 A" or "50/60 Hz", are none
_FRACTION = re.compile(r"\s*([+\-−]?)\s?(?:([0-9]+)[ \u00a0-])?([0-9]{1,2})/(2|3|4|6|8|1[0256])(?![0-9.,/])(.*)", re.S)
_SIGNS_OF_FRACTIONS = MappingProxyType({"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅙": " 1/6"})
_GROUPED = re.compile(r"[0-9]{1,3}(?:([ ,.'])[0-9]{3})(?:\1[0-9]{3})*")
MAX_LETTERS = 60


@dataclass(frozen=True)
class Quantity:
    """What a text says: the numbers it may mean, and its unit ("" if it has none).

    numbers: one; two where a single comma or point may part thousands or decimals ("1,500": 1500 or 1.5), the likelier
    one first.
    """

    numbers: tuple[float, ...]
    unit: str


def dimension_of(unit: str) -> str:
    """Return what `unit` measures: "current", "power", … Raises LadderError if it is none of `DIMENSIONS`."""
    if unit not in _DIMENSION_OF:
        raise LadderError("Unit", "no such unit", unit, tuple(name for name in _DIMENSION_OF if name))
    return _DIMENSION_OF[unit]


def convert(value: float, unit: str, to: str) -> float:
    """Return `value` [unit] in the unit `to`. Raises LadderError if they measure different things, or are unknown."""
    dimension, other = dimension_of(unit), dimension_of(to)
    if dimension != other:
        raise LadderError("Unit", f"{unit or 'a plain number'} measures {dimension}, asked for is {other}", unit, (to,))
    if unit == to:
        return value
    units = DIMENSIONS[dimension]
    return value * units[unit] / units[to]


def read_quantity(text: str, thing: str = "Quantity") -> Quantity:
    """Return what `text` says: "4.6 A", "4,6 A", "13 856 W", "40.7 Nm", "1,500 rpm", "7 1/2 hp".

    A comma may stand for the decimal point. Capitals do not matter, but for the m of a thousandth.
    Raises LadderError, naming `thing`, if it begins with no number, or ends in no unit of `DIMENSIONS`.
    """
    if not isinstance(text, str) or len(text) > MAX_LETTERS:
        raise LadderError(thing, f"a text of a number and a unit, at most {MAX_LETTERS} characters", text, ("4.6 A",))
    for sign, fraction in _SIGNS_OF_FRACTIONS.items():
        text = text.replace(sign, fraction)
    parts = _FRACTION.fullmatch(text)
    if parts is not None and int(parts[3]) < int(parts[4]):
        number = int(parts[2] or 0) + int(parts[3]) / int(parts[4])
        return Quantity((-number if parts[1] in "-−" and parts[1] else number,), _unit(parts[5].strip(), thing))
    found = _NUMBER.fullmatch(re.sub(r"\s1/min\b", " /min", text.strip()))
    if found is None:
        raise LadderError(thing, "begins with a number", text, ("4.6 A",))
    return Quantity(_numbers(found[1], thing), _unit(found[2].strip(), thing))


def _unit(text: str, thing: str) -> str:
    if text in _DIMENSION_OF:
        return text
    small = " ".join(text.lower().split())
    unit = SPELLINGS.get(small) or _LOWER.get(small)
    if unit is None:
        raise LadderError(thing, "no such unit", text, tuple(name for name in _DIMENSION_OF if name))
    return unit


def _numbers(text: str, thing: str) -> tuple[float, ...]:
    plain = re.sub(r"[ \u00a0\u2009\u202f]", " ", text.replace("−", "-").replace("’", "'"))
    sign = -1.0 if plain.startswith("-") else 1.0
    body, _, power = plain.lstrip("+- ").lower().partition("e")
    choices: list[str] = []
    grouped = _GROUPED.fullmatch(body)
    if grouped:
        choices.append(body.replace(grouped[1], ""))
        single = body.count(grouped[1]) == 1
        if grouped[1] == "." or (grouped[1] == "," and body.startswith("0")):
            choices = [body.replace(",", ".")]  # a point parts decimals; 0,125 has no thousands
        elif grouped[1] == "," and single:
            choices.append(body.replace(",", "."))
    else:
        last = max(body.rfind("."), body.rfind(","))
        whole, rest = (body[:last], body[last + 1 :]) if last >= 0 else (body, "")
        parts = _GROUPED.fullmatch(whole)
        choices.append(f"{whole.replace(parts[1], '') if parts else whole}.{rest}")
    try:
        numbers = tuple(sign * float(f"{choice}e{power or 0}") for choice in choices)
    except ValueError:
        raise LadderError(thing, "this is no number", text, ("4.6", "4,6", "1500")) from None
    if not all(math.isfinite(number) for number in numbers):
        raise LadderError(thing, "this number is too large", text)
    return numbers


def show(value: float, unit: str = "") -> str:
    """Return `value` with four significant digits, whole from 1000 on, and its unit: "19.75 A", "13856 W", "2.78 %"."""
    number = f"{value:.0f}" if abs(value) >= 1000 else f"{value:.4g}"
    return f"{number} {unit}".strip()
