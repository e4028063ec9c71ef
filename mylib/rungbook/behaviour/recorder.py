"""What a trace shows beside changes: timers while they run, and the heat of overload relays.

A `Recorder` is a neighbour of the timeline that only looks. It comes last of the neighbours, so it sees what the plant
has just done.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rungbook.behaviour import timers
from rungbook.behaviour.events import MICRO
from rungbook.behaviour.overload import ULTIMATE, OverloadState, heat_after
from rungbook.kit import TimerSetting, parse_setting

if TYPE_CHECKING:
    from rungbook.behaviour.plant import Plant
    from rungbook.behaviour.timeline import Timeline


@dataclass(frozen=True)
class Running:
    """Timer relay `device` gathers time from `start` to `end` [s].

    begins, ends: time gathered at the two ends, as shares of the time set [unitless]; 1 is the change of its contacts.
    """

    device: str
    start: float
    end: float
    begins: float
    ends: float


@dataclass(frozen=True)
class Warming:
    """The heat of overload relay `device` from `start` to `end` [s], as a share of the heat at which it trips.

    begins: heat at the start. towards: where the present current would bring it. tau: time constant [s].
    """

    device: str
    start: float
    end: float
    begins: float
    towards: float
    tau: float

    def heat(self, time: float) -> float:
        """The heat at `time` [s]."""
        return heat_after(self.begins, self.towards, time - self.start, self.tau)


class Recorder:
    """Watches the timer relays of one timeline, and the relays of `plant`. Times inside in whole microseconds."""

    due: int | None = None  # it never does anything by itself

    def __init__(self, plant: Plant | None = None) -> None:
        self._plant = plant
        self._presets: dict[str, int] | None = None
        self._open: dict[str, tuple[int, int]] = {}  # timer -> since when it runs, when it is due
        self._running: list[tuple[str, int, int, int]] = []  # timer, start, end, due
        self._heats: dict[str, list[OverloadState]] = {} if plant is None else {tag: [] for tag in plant.relays}

    def tick(self, timeline: Timeline) -> None:
        """Do nothing."""

    def react(self, timeline: Timeline) -> None:
        """Note which timers run now, and with what current the relays warm."""
        if self._presets is None:
            settings = {tag: parse_setting(device) for tag, device in timeline.devices.items()}
            wound = {load.device for load in timeline.board.loads if load.kind == "coil"} - timeline.board.stuck.keys()
            self._presets = {
                tag: setting.milliseconds * 1000
                for tag, setting in settings.items()
                if isinstance(setting, TimerSetting) and tag in wound
            }
        for tag in self._presets:
            phase, left = timeline.timer(tag)
            runs = None if phase != timers.TIMING or left is None else timeline.now + round(left * MICRO)
            if runs != (self._open[tag][1] if tag in self._open else None):
                self._close(tag, timeline.now)
                if runs is not None:
                    self._open[tag] = (timeline.now, runs)
        if self._plant is not None:
            for tag, states in self._heats.items():
                state = self._plant.relays[tag]
                if not states or state.current != states[-1].current:
                    states.append(state)

    def _close(self, tag: str, now: int) -> None:
        if tag in self._open:
            start, due = self._open.pop(tag)
            if now > start:
                self._running.append((tag, start, now, due))

    def running(self, now: int) -> tuple[Running, ...]:
        """All stretches in which a timer ran, up to `now` [us]; those that still run end there."""
        for tag in tuple(self._open):
            self._close(tag, now)
        presets = self._presets or {}

        def share(tag: str, left: int) -> float:
            return round(1 - left / presets[tag], 9)

        return tuple(
            Running(tag, start / MICRO, end / MICRO, share(tag, due - start), share(tag, due - end))
            for tag, start, end, due in self._running
        )

    def warming(self, now: int) -> tuple[Warming, ...]:
        """The heat of each relay up to `now` [us], in stretches of one current each."""
        found = []
        for tag, states in self._heats.items():
            for state, end in zip(states, [*(one.at for one in states[1:]), now], strict=True):
                if end > state.at:
                    towards = (state.current / ULTIMATE) ** 2
                    found.append(Warming(tag, state.at / MICRO, end / MICRO, state.heat, towards, state.relay.tau))
        return tuple(found)
