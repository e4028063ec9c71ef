"""What a timing diagram shows, as data: one lane a device, below it the time of a timer or the heat of a relay.

A course runs from 0 to `end`, in seconds; of a script that does not speak of time, in columns: column 0 is the panel at
rest, column n what has come of order n.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from rungbook.behaviour import SUPPLY, Running, Trace, Warming
from rungbook.drawing.seconds import seconds
from rungbook.kit import Device, TimerSetting, parse_setting

CHATTERS = "chatters"
_SUPPLY_WORDS = ("off", "on")
_MOTOR_LEVELS = {"standing": 0.0, "running": 1.0}  # by the first word; what is between, such as starting, is half

Kind = Literal["states", "time", "heat"]


@dataclass(frozen=True)
class Lane:
    """One lane. tag: its device; label: what is written before it; about: plate and setting.

    kind "states": `changes` are (when, word), the first of them at the beginning, `levels` the height of each word from
    0 (at rest) to 1; loud: up means that it has voltage, or turns; chatter: (from, to) of repetitions passed over.
    kind "time": `running` of one timer. kind "heat": `warming` of one relay.
    """

    kind: Kind
    tag: str
    label: str
    about: str = ""
    changes: tuple[tuple[float, str], ...] = ()
    levels: Mapping[str, float] | None = None
    loud: bool = False
    chatter: tuple[tuple[float, float], ...] = ()
    running: tuple[Running, ...] = ()
    warming: tuple[Warming, ...] = ()
    preset: str = ""

    def level(self, word: str) -> float:
        """Height of `word`, 0 to 1."""
        return (self.levels or {}).get(word, 0.0)

    @cached_property
    def spans(self) -> tuple[tuple[float, str], ...]:
        """`changes` without those that are none: a word that was there before."""
        found: list[tuple[float, str]] = []
        for when, word in self.changes:
            if not found or found[-1][1] != word:
                found.append((when, word))
        return tuple(found)


@dataclass(frozen=True)
class Order:
    """What was done: `number` from 1, `when` on the axis, its `words`, and a `note` (race, chatter) or ""."""

    number: int
    when: float
    words: str
    note: str = ""


@dataclass(frozen=True)
class Course:
    """All that a timing diagram shows. timed: the axis is time [s], else columns, one an order.

    notes: sentences to be written below.
    """

    title: str
    lanes: tuple[Lane, ...]
    orders: tuple[Order, ...]
    start: float
    end: float
    timed: bool = True
    notes: tuple[str, ...] = ()


def course(trace: Trace) -> Course:
    """Return what the diagram of `trace` shows, all of it."""
    lanes = _timed_lanes(trace) if trace.timed else _lanes_in_columns(trace)
    orders = _orders(trace)
    notes = [f"{when(trace, n)}: {moment.note}." for n, moment in enumerate(trace.moments) if moment.note]
    notes += [f"At {seconds(time)}: {sentence.rstrip('.')}." for time, sentence in trace.findings]
    end = trace.end if trace.timed else float(len(trace))
    return Course(trace.title, tuple(lanes), tuple(orders), 0.0, end, trace.timed, tuple(notes))


def when(trace: Trace, number: int) -> str:
    """ "After order 2", or "At rest" for the panel before the first order."""
    return f"After order {number}" if number else "At rest"


def _orders(trace: Trace) -> Iterator[Order]:
    for number, moment in enumerate(trace.moments):
        if moment.order:
            yield Order(number, moment.time if trace.timed else float(number), moment.order, _short(moment.note))


def _short(note: str) -> str:
    return "race" if "race" in note else CHATTERS if CHATTERS in note else "may chatter" if "chatter" in note else ""


def _tags(trace: Trace) -> list[str]:
    """Designations in the order of the lanes: what a hand moves, coils, lamps, motors; the supply if it changes."""
    devices = trace.devices
    moved = [tag for tag, device in devices.items() if device.spec.operated]
    loads = [tag for tag, device in devices.items() if tag not in moved and not tag.startswith("M")]
    motors = [tag for tag in devices if tag.startswith("M")]
    supply = [SUPPLY] if any(tag == SUPPLY for _, tag, _ in trace.changes) else []
    coils = [tag for tag in loads if devices[tag].spec.load != "lamp"]
    return [*supply, *moved, *coils, *(tag for tag in loads if tag not in coils), *motors]


def state_lane(tag: str, device: Device | None, changes: Sequence[tuple[float, str]], label: str = "") -> Lane:
    """The lane of `device` (None: the supply) with its `changes`, the first at the beginning."""
    if device is None:
        levels = {word: float(word == "on") for word in (*_SUPPLY_WORDS, *(word for _, word in changes))}
        return Lane("states", tag, label or "supply", "", tuple(changes), levels)
    positions = device.spec.positions
    levels = {word: place / (len(positions) - 1) for place, word in enumerate(positions)}
    if tag.startswith("M"):
        levels = {word: _MOTOR_LEVELS.get(word.split()[0], 0.5) for _, word in changes}
    about = ", ".join(filter(None, (device.label, device.setting)))
    return Lane("states", tag, label or tag, about, tuple(changes), levels, not device.spec.operated)


def _timed_lanes(trace: Trace) -> Iterator[Lane]:
    changes: dict[str, list[tuple[float, str]]] = {}
    for time, tag, word in trace.changes:
        changes.setdefault(tag, []).append((time, word))
    for tag in _tags(trace):
        device = trace.devices.get(tag)
        rest = "on" if device is None else device.spec.rest
        lane = state_lane(tag, device, [(0.0, rest), *changes.get(tag, [])])
        bands = tuple(_joined((c.time / 1e6, end) for _, end, c in trace.chatter if tag in c.devices))
        yield replace(lane, chatter=bands)
        setting = None if device is None else parse_setting(device)
        if isinstance(setting, TimerSetting):
            running = tuple(one for one in trace.running if one.device == tag)
            words = seconds(setting.seconds)
            yield Lane("time", tag, f"{tag} time", f"{setting.function}, set to {words}", running=running, preset=words)
        warming = tuple(one for one in trace.warming if one.device == tag)
        if warming:
            yield Lane("heat", tag, f"{tag} heat", warming=warming)


def _joined(stretches: Iterable[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """Stretches that overlap or meet, as one."""
    last: tuple[float, float] | None = None
    for start, end in sorted(stretches):
        if last is not None and start <= last[1]:
            last = (last[0], max(last[1], end))
            continue
        if last is not None:
            yield last
        last = (start, end)
    if last is not None:
        yield last


def _lanes_in_columns(trace: Trace) -> Iterator[Lane]:
    words = columns(trace)
    for tag in _tags(trace):
        column = [one.get(tag, "") for one in words]
        if any(column):
            yield state_lane(
                tag, trace.devices.get(tag), list(zip(map(float, range(len(column))), column, strict=True))
            )


def columns(trace: Trace) -> list[dict[str, str]]:
    """Designation -> word at the end of each moment of `trace`; "chatters" for coils that do."""
    others = [tag for tag in (SUPPLY, *trace.devices) if tag not in trace.moments[0].positions]
    found = []
    for number, moment in enumerate(trace.moments):
        end = trace.moments[number + 1].time if number + 1 < len(trace) else trace.end
        last = number + 1 == len(trace)
        words = dict(moment.positions)
        for tag in others:
            rest = "on" if tag == SUPPLY else trace.devices[tag].spec.rest
            before = [word for time, name, word in trace.changes if name == tag and (time < end or last)]
            words[tag] = before[-1] if before else rest
        found.append(words)
    return found
