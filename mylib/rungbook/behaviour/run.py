"""`run`: do a script of bench orders on a ladder and watch what every device does."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from rungbook.behaviour.actions import read_script
from rungbook.behaviour.panel import Panel, Rest, State
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.tables import html_table, text_table


@dataclass(frozen=True)
class Moment:
    """The panel at rest after one order: `positions` designation -> word; `note` is "" or a finding (race, chatter)."""

    order: str
    positions: Mapping[str, str]
    note: str = ""


@dataclass(frozen=True)
class Trace:
    """What happened, one `Moment` an order; the first is the panel at rest. Shows itself as a table."""

    title: str
    moments: tuple[Moment, ...]

    def __getitem__(self, place: int) -> Moment:
        return self.moments[place]

    def __len__(self) -> int:
        return len(self.moments)

    def _rows(self) -> tuple[list[str], list[list[str]]]:
        tags = list(self.moments[0].positions)
        rows = []
        for number, moment in enumerate(self.moments):
            cells = [moment.positions.get(tag, "") for tag in tags]
            rows.append([str(number), moment.order or "(at rest)", *cells, moment.note])
        return ["", "order", *tags, ""], rows

    def __str__(self) -> str:
        return text_table(*self._rows())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        head, rows = self._rows()
        changed = {
            (number, k)
            for number, (before, now) in enumerate(pairwise(rows), 1)
            for k in range(2, len(head))
            if before[k] != now[k]
        }
        caption = f"{self.title}: what each order does (changes in bold)".removeprefix(": ")
        return html_table(caption, head, rows, bold=changed)


def run(ladder: Ladder, script: str | Iterable[str]) -> Trace:
    """Do `script` on `ladder` and return the `Trace`: where each device rests after each order.

    script: orders such as "press S2, let S2 go" (text, or a list of orders). It starts with the supply on, every
    device at rest and no coil in. If the order in which relays move decides the outcome, the moment's note says so
    and the first outcome is followed; if coils never come to rest the note says so and the run ends there.

    Devices that the ladder declares but does not use can be operated too, as on the bench; the trace shows those that
    were.

    Raises LadderError if the ladder is not valid, an order is unknown, or it is impossible where its device stands
    (a pressed button cannot be pressed again).
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("run", "works on a Ladder", ladder, ("Ladder('title')",))
    panel = Panel(ladder, ladder.declared or ())
    steps = read_script(script, {device.tag: device for device in panel.inputs})
    operated = {step.device for step in steps}
    shown = tuple(tag for tag in panel.devices if tag in ladder.devices or tag in operated)
    state = panel.start
    rest = panel.rest(state)
    moments = [_moment(panel, shown, "", state, rest)]
    for step in steps:
        if not rest.states:
            break
        state = rest.states[0]
        if not panel.can(step, state):
            there = panel.position(step.device, state)
            rule = f"order {len(moments)} is impossible: {step.device} is {there} at that moment"
            legal = tuple(
                other.order for other in panel.steps if other.device == step.device and panel.can(other, state)
            )
            raise LadderError("Script", rule, step.order, legal)
        state = panel.moved(step, state)
        rest = panel.rest(state)
        moments.append(_moment(panel, shown, step.order, state, rest))
    return Trace(ladder.title, tuple(moments))


def _moment(panel: Panel, shown: tuple[str, ...], order: str, state: State, rest: Rest) -> Moment:
    if not rest.states:
        words = {tag: panel.position(tag, state) for tag in shown}
        restless = dict.fromkeys((*panel.coils, *panel.lamps), "?")
        return Moment(order, words | restless, "never comes to rest: coils chatter")
    note = ""
    if rest.chatter:
        note = "may chatter, by which relay is quicker"
    elif len(rest.states) > 1:
        note = "a race: the outcome depends on which relay is quicker"
    return Moment(order, {tag: panel.position(tag, rest.states[0]) for tag in shown}, note)
