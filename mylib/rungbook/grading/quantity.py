"""A requirement for a calculation: a number with its unit, a tolerance, and the mistakes that are usual."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from rungbook.behaviour.timers import is_number
from rungbook.errors import LadderError
from rungbook.grading.finding import MET, Finding
from rungbook.grading.requirement import Requirement
from rungbook.kit import Device
from rungbook.motors.answer import Answer
from rungbook.motors.units import Quantity, convert, dimension_of, read_quantity, show

_HAIR = 1e-9  # rounding of the computer
_TENS = (1e6, 1e3, 100.0, 10.0)
_SHOWN = 40


def quantity(
    name: str,
    value: float | Answer,
    unit: str,
    tolerance: float | str,
    points: float,
    mistakes: Mapping[float | Answer, str] | None = None,
    *,
    wrong_unit: float = 0.0,
    because: str = "",
    look: str = "",
) -> Requirement:
    """Ask for `value` [unit] in the field `name` of a form: {"overload": "16.5 A"}.

    The student writes a number and a unit; any unit that measures the same is converted, a decimal comma is as good as
    a point, and a comma that may part thousands is read in the student's favour. unit: "" for a plain number such as a
    power factor, for which "85 %" is right too. tolerance: in `unit`, or relative to the value, as "2 %". mistakes:
    what a wrong method gives [unit] -> the sentence that tells it. wrong_unit: share of the points for the right number
    with a missing or wrong unit. because: what is said of a number that nothing explains. Values may be the answers of
    `rungbook.motors`, so that nothing is typed in twice.

    The right value is never told. Raises LadderError if the unit is unknown, a number is none or measures something
    else, the tolerance is not above 0, the share not from 0 to below 1, a sentence is empty, or a mistake lies within
    the tolerance of the right value.
    """
    thing = f"quantity {name!r}"
    dimension = dimension_of(unit)
    right = _number(thing, value, unit)
    margin = _margin(thing, tolerance, right)
    told = {_number(thing, wrong, unit): sentence for wrong, sentence in (mistakes or {}).items()}
    for wrong, sentence in told.items():
        if not isinstance(sentence, str) or not sentence.strip():
            raise LadderError(thing, "each mistake has a sentence that tells it", sentence)
        if _near(wrong, right, margin):
            raise LadderError(thing, f"a mistake is within the tolerance of {show(right, unit)}", show(wrong, unit))
    if not is_number(wrong_unit) or not 0 <= wrong_unit < 1:
        raise LadderError(thing, "the share for a wrong unit is a number from 0 to below 1", wrong_unit)

    def judge(form: Mapping[str, Any], devices: tuple[Device, ...]) -> Finding:
        given = form.get(name)
        if given is None or given == "":
            return Finding(0, seen=f"{name}: you wrote nothing", look=look)
        seen = f"{name}: you wrote {str(given)[:_SHOWN]!r}"
        try:
            read = read_quantity(str(given) if is_number(given) else given, name)
        except LadderError as problem:
            return Finding(0, seen=seen, because=_unreadable(problem, unit), look=look)
        same = (read.unit != "" or dimension == "share") and dimension_of(read.unit) == dimension
        numbers = tuple(convert(number, read.unit, unit) for number in read.numbers) if same else ()
        if any(_near(number, right, margin) for number in numbers):
            return MET
        trouble = _unit_trouble(read, unit)
        if trouble and any(_near(number, right, margin) for number in read.numbers):
            return Finding(wrong_unit, seen=seen, because=f"The number is right. {trouble}", look=look)
        mistake = _mistake(numbers if same else read.numbers, told, margin)
        if not mistake and same:
            mistake = _prefix(numbers, right, margin) or because
        reasons = (trouble if not same else "", mistake)
        return Finding(0, seen=seen, because=" ".join(filter(None, reasons)), look=look)

    sentence = f"{name} is right, {f'in {unit}' if unit else 'as a plain number'}, within {_told(tolerance, unit)}."
    return Requirement(sentence, points, dict, judge)


def _number(thing: str, value: object, unit: str) -> float:
    if isinstance(value, Answer):
        return convert(value.value, value.unit, unit)
    if not is_number(value):
        raise LadderError(thing, f"a number in {unit or 'no unit'}, or an answer of rungbook.motors", value)
    return float(value)


def _margin(thing: str, tolerance: float | str, right: float) -> float:
    """The tolerance in the unit of the value."""
    rule = "the tolerance is a number above 0 in the unit of the value, or a share of the value"
    if isinstance(tolerance, str):
        read = read_quantity(tolerance, thing)
        if read.unit != "%" or right == 0:
            raise LadderError(thing, rule, tolerance, ("0.1", "'2 %'"))
        margin = abs(right) * read.numbers[0] / 100
    else:
        margin = tolerance
    if not is_number(margin) or margin <= 0:
        raise LadderError(thing, rule, tolerance, ("0.1", "'2 %'"))
    return float(margin)


def _told(tolerance: float | str, unit: str) -> str:
    return tolerance.strip() if isinstance(tolerance, str) else show(tolerance, unit)


def _near(number: float, right: float, margin: float) -> bool:
    return abs(number - right) <= margin + _HAIR * max(abs(right), margin)


def _unit_trouble(read: Quantity, unit: str) -> str:
    """What is to be said of the unit; "" if it is the one asked for."""
    if read.unit == unit:
        return ""
    asked = f"asked for is {dimension_of(unit)}{f', in {unit}' if unit else ', as a plain number'}"
    if read.unit == "":
        return f"The unit is missing: {asked}."
    if dimension_of(read.unit) == dimension_of(unit):
        return f"The unit is not: {read.unit} is another size of the same; {asked}."
    return f"{read.unit} measures {dimension_of(read.unit)}; {asked}."


def _unreadable(problem: LadderError, unit: str) -> str:
    if problem.rule == "no such unit":
        return f"There is no unit {str(problem.value)[:_SHOWN]!r} here; write a number and {unit or 'no unit'}."
    return f"A number{f' and a unit, such as 4 {unit},' if unit else ''} is asked for."


def _mistake(numbers: tuple[float, ...], told: Mapping[float, str], margin: float) -> str:
    """The sentence of the nearest mistake that one of `numbers` is."""
    found = [(abs(n - wrong), sentence) for n in numbers for wrong, sentence in told.items() if _near(n, wrong, margin)]
    return min(found, key=lambda pair: pair[0])[1] if found else ""


def _prefix(numbers: tuple[float, ...], right: float, margin: float) -> str:
    for number in numbers:
        for tens in _TENS:
            if right and math.copysign(1, number) == math.copysign(1, right):
                if _near(number / tens, right, margin):
                    return f"It is {tens:.0f} times too large: look at the decimal point and at the prefix of the unit."
                if _near(number * tens, right, margin):
                    return f"It is {tens:.0f} times too small: look at the decimal point and at the prefix of the unit."
    return ""
