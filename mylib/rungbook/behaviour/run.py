"""`run`: do a script of bench orders on a ladder and watch what every device does, in time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise

from rungbook.behaviour.actions import MEND, possible_steps
from rungbook.behaviour.events import Chatter
from rungbook.behaviour.moments import Moment, moment_of
from rungbook.behaviour.panel import Panel, Rest, State
from rungbook.behaviour.plant import Plant
from rungbook.behaviour.recorder import Recorder, Running, Warming
from rungbook.behaviour.script import MICRO, Timed, read_timed
from rungbook.behaviour.timeline import Timeline
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.tables import html_table, text_table


@dataclass(frozen=True)
class Trace:
    """What happened. Shows itself as a table of `moments`, one an order; the first is the panel untouched.

    changes: every change of every device, as (time [s], device, word), in the order in which they happened. A coil's
    word changes when its NO contacts do. end [s]: of the run. devices: those in the table, and the plant's motors,
    each at rest before the first change. running, warming: timers while they run, and the heat of the plant's overload
    relays. chatter: from and to [s], repetitions of a chatter that are not among the changes. findings: (time [s],
    sentence) of the plant.
    """

    title: str
    moments: tuple[Moment, ...]
    changes: tuple[tuple[float, str, str], ...] = ()
    timed: bool = False  # the script speaks of time, so the table shows it
    end: float = 0.0
    devices: Mapping[str, Device] = field(default_factory=dict)
    running: tuple[Running, ...] = ()
    warming: tuple[Warming, ...] = ()
    chatter: tuple[tuple[float, float, Chatter], ...] = ()
    findings: tuple[tuple[float, str], ...] = ()

    def __getitem__(self, place: int) -> Moment:
        return self.moments[place]

    def __len__(self) -> int:
        return len(self.moments)

    def _rows(self) -> tuple[list[str], list[list[str]]]:
        tags = list(self.moments[0].positions)
        rows = []
        for number, moment in enumerate(self.moments):
            time = [f"{moment.time:g} s"] if self.timed else []
            cells = [moment.positions.get(tag, "") for tag in tags]
            rows.append([str(number), *time, moment.order or "(at rest)", *cells, moment.note])
        return ["", *(["time"] if self.timed else []), "order", *tags, ""], rows

    def __str__(self) -> str:
        return text_table(*self._rows())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        head, rows = self._rows()
        first = head.index("order") + 1
        changed = {
            (number, k)
            for number, (before, now) in enumerate(pairwise(rows), 1)
            for k in range(first, len(head))
            if before[k] != now[k]
        }
        caption = f"{self.title}: what each order does (changes in bold)".removeprefix(": ")
        return html_table(caption, head, rows, bold=changed)


def run(
    ladder: Ladder,
    script: str | Iterable[str],
    plant: Plant | None = None,
    devices: Iterable[Device] | None = None,
) -> Trace:
    """Do `script` on `ladder`, with real parts and in time, and return the `Trace`.

    script: orders such as "press S2, let S2 go, wait 5 s, at 12 s press S1" (text, or a list of orders); without a time
    an order follows one second after the one before. It starts with the supply on and every device at rest. If the
    quickness of relays decides the outcome the moment's note says so; if coils chatter the note gives the cycle and
    their word is "chatters".

    plant: motors behind the contactors, whose overload relays act on the control circuit; a new one for each run. Its
    motors are in the trace's `changes`.

    devices: of the panel, with their kinds; left out, those that the ladder declares.

    Devices that the ladder declares but does not use can be operated too, as on the bench; the trace shows those that
    were.

    Raises LadderError if the ladder is not valid, an order or a time is none, or an order is impossible where its
    device stands (a pressed button cannot be pressed again).
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("run", "works on a Ladder", ladder, ("Ladder('title')",))
    recorder = Recorder(plant)
    panel = tuple((ladder.declared or ()) if devices is None else devices)
    timeline = Timeline(ladder, panel, neighbours=(*(() if plant is None else (plant,)), recorder))
    todo, end = read_timed(script, {tag: d for tag, d in timeline.devices.items() if d.spec.operated})
    operated = {one.step.device for one in todo if one.step is not None}
    shown = [tag for tag in timeline.devices if tag in ladder.devices or tag in operated]
    untimed = None if any(d.spec.timed for d in timeline.devices.values()) else Panel(ladder, panel)
    moments: list[Moment] = []
    orders: list[Timed] = [Timed(0), *(one for one in todo if one.order)]
    for one, following in zip(orders, [*orders[1:], None], strict=True):
        timeline.advance(one.time)
        rest = _do(timeline, untimed, one, len(moments))
        known = len(timeline.chatters)
        timeline.advance(end if following is None else following.time)
        found = timeline.chatters[known:]
        now = moment_of(timeline, one.order)
        words = {tag: now.positions[tag] for tag in shown}
        if found:
            words |= dict.fromkeys(found[-1].devices, "chatters")
        moments.append(replace(now, positions=words, note=_note(rest, found), time=one.time / MICRO))
    changes = tuple((change.time / MICRO, change.device, change.state) for change in timeline.changes)
    told = any(one.time != (place + 1) * MICRO or not one.order for place, one in enumerate(todo))
    motors = {} if plant is None else {tag: Device(tag) for tag in plant.drives}
    return Trace(
        ladder.title,
        tuple(moments),
        changes,
        told,
        timeline.now / MICRO,
        {tag: timeline.devices[tag] for tag in shown} | motors,
        recorder.running(timeline.now),
        recorder.warming(timeline.now),
        tuple(_passed_over(timeline)),
        () if plant is None else tuple((time / MICRO, sentence) for time, sentence in plant.findings),
    )


def _passed_over(timeline: Timeline) -> Iterator[tuple[float, float, Chatter]]:
    """The repetitions that the timeline has passed over, each with the chatter that they belong to."""
    for start, end in timeline.passed_over:
        yield start / MICRO, end / MICRO, [one for one in timeline.chatters if one.time <= start][-1]


def _do(timeline: Timeline, untimed: Panel | None, one: Timed, number: int) -> Rest | None:
    """Do one order on the timeline; return where the panel may rest after it, by the quickness of its relays."""
    if one.level is not None:
        timeline.set_supply_level(one.level)
        return None
    if one.step is not None and not timeline.can(one.step):
        there = timeline.position(one.step.device)
        rule = f"order {number} is impossible: {one.step.device} is {there} at that moment"
        steps = possible_steps(timeline.devices.values())
        legal = tuple(step.order for step in steps if step.device == one.step.device and timeline.can(step))
        raise LadderError("Script", rule, one.order, legal)
    rest = None
    if untimed is not None:
        state = _state(timeline, untimed)
        rest = untimed.rest(state) if one.step in (None, MEND) else untimed.after(one.step, state)
    if one.step is not None:
        timeline.do(one.step)
    return rest


def _state(timeline: Timeline, untimed: Panel) -> State:
    """Where the timeline stands, as a state of the untimed panel."""
    places = tuple(device.spec.positions.index(timeline.position(device.tag)) for device in untimed.inputs)
    pulled = sum(1 << bit for bit, tag in enumerate(untimed.coils) if timeline.position(tag) == "in")
    return State(timeline.supply_on, places, pulled)


def _note(rest: Rest | None, found: list[Chatter]) -> str:
    if found:
        return "; ".join(str(chatter) for chatter in found)
    if rest is not None and rest.chatter:
        return "may chatter, by which relay is quicker"
    if rest is not None and len(rest.states) > 1:
        return "a race: the outcome depends on which relay is quicker"
    return ""
