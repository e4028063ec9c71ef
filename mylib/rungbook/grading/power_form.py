"""`power_form`: main wires of a contactor, filled in by hand and judged by what the motor then does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from rungbook.behaviour.motor_panel import WAYS, WORDS
from rungbook.behaviour.power import MotorFeed, PowerReading, energise
from rungbook.circuit.power import PowerCircuit, PowerDevice
from rungbook.errors import LadderError
from rungbook.grading.finding import MET, Finding
from rungbook.grading.requirement import Requirement
from rungbook.kit import Device

Case = tuple[Iterable[str], str, str]
_OUT = {"1-2": "2/T1", "3-4": "4/T2", "5-6": "6/T3"}  # pole -> its lower terminal
_SHOWN = 40


def power_form(
    circuit: PowerCircuit, tag: str, places: Mapping[str, str], cases: Iterable[Case], points: float, look: str = ""
) -> Requirement:
    """Ask where the lower main terminals of device `tag` are wired to: {"Q2:2/T1": "Q1:6/T3", …}, a field a pole.

    circuit: one that does as asked; of `tag` only the upper terminals are read. places: word that the student may write
    -> node of the circuit. cases: (devices that are closed, motor, what it does), such as (("Q9", "Q2"), "M1", "runs
    backwards"), in words of `motor_panel.WORDS`. Any wires that do all of this earn the points, no others do.

    Raises LadderError, when the exercise is written, if `circuit` has no such device, there is no case or no place, a
    place is no node of the circuit or above the poles of `tag`, or `circuit` itself does something else in a case.
    """
    thing = f"power_form {tag}"
    tags = tuple(device.tag for device in circuit.devices)
    if tag not in tags:
        raise LadderError(thing, "no such device in the power circuit", tag, tags)
    told = [(tuple(closed), motor, does) for closed, motor, does in cases]
    above = {pole.a for pole in circuit.poles if pole.device == tag}
    nodes = {end for pole in circuit.poles for end in (pole.a, pole.b)}
    wrong = [f"; {node} is none" for node in places.values() if node not in nodes]
    wrong += [f"; {node} is above the poles of {tag}" for node in places.values() if node in above]
    if not told or not places or wrong:
        rule = f"needs cases, and places on nodes of the circuit{''.join(wrong[:1])}"
        raise LadderError(thing, rule, dict(places), tuple(sorted(nodes - above)))
    if found := _first_wrong(circuit, told):
        raise LadderError(thing, f"the circuit itself does not do what is asked. {' '.join(found.parts())}")
    fields = {pole.pole: f"{tag}:{_OUT[pole.pole]}" for pole in circuit.poles if pole.device == tag}
    known = {_clean(word): node for word, node in places.items()}

    def judge(form: Mapping[str, Any], devices: tuple[Device, ...]) -> Finding:
        ends = {}
        for pole, name in fields.items():
            given = form.get(name)
            if given in (None, ""):
                return Finding(0, seen=f"{name}: you wrote nothing", look=look)
            if _clean(given) not in known:
                seen = f"{name}: you wrote {str(given)[:_SHOWN]!r}; the words are {', '.join(places)}"
                return Finding(0, seen=seen, look=look)
            ends[pole] = known[_clean(given)]
        found = _first_wrong(_rewired(circuit, tag, ends), told)
        return MET if found is None else replace(found, look=look)

    names = ", ".join(fields.values())
    return Requirement(f"With the wires on {names} every motor does as asked.", points, dict, judge)


def _rewired(circuit: PowerCircuit, tag: str, ends: Mapping[str, str]) -> PowerCircuit:
    """The circuit with the poles of `tag` leading to `ends`."""
    changed = PowerCircuit(circuit.title, circuit.source)
    for element in circuit.elements:
        if isinstance(element, PowerDevice) and element.tag == tag:
            element = replace(element, poles=tuple(replace(pole, b=ends[pole.pole]) for pole in element.poles))
        changed.add(element)
    return changed


def _first_wrong(circuit: PowerCircuit, cases: Iterable[tuple[tuple[str, ...], str, str]]) -> Finding | None:
    """What is seen in the first case that is not as asked; None if all are."""
    for closed, motor, does in cases:
        reading = energise(circuit, closed)
        if reading.shorts or _word(reading[motor]) != does:
            done = f"{_listed(closed)} {'is' if len(closed) == 1 else 'are'} closed."
            return Finding(0, done, _seen(reading, motor), f"{motor} {does}")
    return None


def _seen(reading: PowerReading, motor: str) -> str:
    told = str(reading.shorts[0]) if reading.shorts else str(reading[motor])
    return told.rstrip(".")


def _word(feed: MotorFeed) -> str:
    way = next((word for word, sign in WAYS.items() if sign == feed.direction), "")
    return WORDS[feed.state].format(way=way)


def _listed(tags: tuple[str, ...]) -> str:
    return f"{', '.join(tags[:-1])} and {tags[-1]}" if len(tags) > 1 else "".join(tags) or "Nothing"


def _clean(value: object) -> str:
    return value.strip().casefold() if isinstance(value, str) else ""


__all__ = ["power_form"]
