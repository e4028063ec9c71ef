"""A moment: where everything on a panel stands, at an instant of a run or in a state of a panel without time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from rungbook.behaviour import timers
from rungbook.errors import LadderError

if TYPE_CHECKING:
    from rungbook.behaviour.board_panel import BoardPanel
    from rungbook.behaviour.panel import Panel, State
    from rungbook.behaviour.timed_panel import TimedPanel
    from rungbook.behaviour.timeline import Timeline


def _none() -> Mapping[str, float]:
    return MappingProxyType({})


@dataclass(frozen=True)
class Moment:
    """The panel just before the next order, `time` [s] the instant of the order itself.

    positions: designation -> word. note: "" or a finding (race, chatter). closed: whether each contact of the circuit
    is closed, in reading order. supply: True if it feeds the circuit. left: timer relay that runs -> time [s] until its
    next change. counts: counter -> its value.
    """

    order: str
    positions: Mapping[str, str]
    note: str = ""
    time: float = 0.0
    closed: tuple[bool, ...] = ()
    supply: bool = True
    left: Mapping[str, float] = field(default_factory=_none)
    counts: Mapping[str, float] = field(default_factory=_none)


def moment_of(timeline: Timeline, order: str = "") -> Moment:
    """Return the moment at which `timeline` stands now. order: what was done last."""
    left, counts = {}, {}
    board = timeline.board
    wound = {load.device for load in board.loads if load.kind == "coil"} - board.stuck.keys()
    for tag, device in timeline.devices.items():
        if device.kind == "timer relay" and tag in wound:
            phase, rest = timeline.timer(tag)
            if phase == timers.TIMING and rest is not None:
                left[tag] = rest
        elif device.kind == "counter" and tag in wound:
            counts[tag] = timeline.counter(tag)
    return Moment(
        order,
        dict(timeline.positions()),
        time=timeline.now / 1_000_000,
        closed=tuple(bool(timeline.closed >> place & 1) for place in range(len(board.contacts))),
        supply=timeline.supply_on and timeline.fuse_whole,
        left=left,
        counts=counts,
    )


def panel_moment(panel: Panel | TimedPanel | BoardPanel, state: State, order: str = "") -> Moment:
    """Return `state` of a panel without times as a moment. order: what was done last.

    Raises LadderError if `panel` is none.
    """
    from rungbook.behaviour.board_panel import BoardPanel
    from rungbook.behaviour.panel import Panel
    from rungbook.behaviour.timed_panel import TimedPanel

    if isinstance(panel, BoardPanel):
        closed, supply = panel.closed_contacts(state), not panel.is_dead(state)
    elif isinstance(panel, Panel | TimedPanel):
        contacts = (contact for rung in panel.ladder.rungs for contact in rung.all_contacts())
        closed, supply = tuple(bool(panel.closed(contact, state)) for contact in contacts), state.supply
    else:
        raise LadderError("Moment", "states are those of a panel", panel, ("Panel(ladder)", "BoardPanel(board)"))
    return Moment(order, {tag: panel.position(tag, state) for tag in panel.devices}, closed=closed, supply=supply)
