"""Timers and counters as small codes, for panels whose states are packed into whole numbers.

The blocks themselves stay in `timers` and `counters`; here each of their states in which something differs gets a
number. How far a period has run is no part of it: that is a clock outside. A period is new (it began at this very
instant), old (it runs since some earlier one), taken up again (cumulative: the time kept counts on), or paused.

The instants given to the pure blocks are artificial: now is always NOW, an old period began one microsecond before.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from enum import Enum
from types import MappingProxyType
from typing import NamedTuple

from rungbook.behaviour import counters, timers
from rungbook.behaviour.clockwork import clock_of
from rungbook.behaviour.counters import Counter, CounterState
from rungbook.behaviour.countwork import counter_of
from rungbook.behaviour.timers import Timer, TimerState
from rungbook.kit import Device

COIL, DOWN, RESET = 1, 2, 4  # bits of the inputs of a block
LEVELS: Mapping[int, str] = MappingProxyType({COIL: "{}", DOWN: "{} down", RESET: "{} reset"})  # -> `Load.name`
PERIOD = 1_000_000  # of an artificial timer [us]
NOW = 2 * PERIOD
OLD = NOW - 1


class Clock(Enum):
    """What the clock of a timer does after a move: `NONE` there is, it runs on, from 0, or from the time kept."""

    NONE = "none"
    RUNS = "runs"
    ZERO = "zero"
    RESUMED = "resumed"
    PAUSED = "paused"


class _Mode(NamedTuple):
    levels: int  # inputs that have voltage, as the block has last noted them
    state: TimerState
    due: bool  # its period ends at this instant, and has not ended yet


class TimerBlock:
    """A timer relay's block. tag: designation. preset: the time set [us]. bits: how many a code needs.

    once: False if period follows period as long as it has voltage (flash).

    Raises LadderError if no time is set on `device`.
    """

    def __init__(self, device: Device, levels: int) -> None:
        timer = clock_of(device).timer
        self.tag = device.tag
        self.preset = round(timer.preset * 1_000_000)
        self.once = timer.function != "flash"
        self._cumulative = timer.function == "cumulative on-delay"
        self._modes = [_Mode(0, TimerState(Timer(timer.function, PERIOD / 1_000_000), NOW), False)]
        self._codes = {self._modes[0]: 0}
        self._answers: dict[tuple[int, int], int] = {}
        self.start = 0
        for code, _ in enumerate(self._modes):  # the list grows as codes are asked for
            self.settled(code)
            if self.clock(code) is Clock.RUNS:
                self.expired(self.ripe(code))
            for level in range(8):
                if not level & ~levels:
                    self.answer(code, level)
        self.bits = (len(self._modes) - 1).bit_length()

    def _code(self, mode: _Mode) -> int:
        if mode not in self._codes:
            self._codes[mode] = len(self._modes)
            self._modes.append(mode)
        return self._codes[mode]

    def levels(self, code: int) -> int:
        """Bits of the inputs that have voltage, as last noted."""
        return self._modes[code].levels

    def operated(self, code: int) -> bool:
        """True if the timed contacts are away from rest."""
        return timers.output(self._modes[code].state)

    def due(self, code: int) -> bool:
        """True if its period ends at this instant and has not ended yet."""
        return self._modes[code].due

    def ripe(self, code: int) -> int:
        """The same, but its period ends at this instant."""
        return self._code(self._modes[code]._replace(due=True))

    def running(self, code: int) -> int:
        """The same, but if its period was to end at this instant it runs on."""
        return self._code(self._modes[code]._replace(due=False))

    def expired(self, code: int) -> int:
        """After the end of the period that is due."""
        mode = self._modes[code]
        state = timers.step(replace(mode.state, since=NOW - PERIOD), NOW, mode.state.energised)
        return self._code(_Mode(mode.levels, state, False))

    def answer(self, code: int, levels: int) -> int:
        """After its inputs took these levels, all in one step, as `Clockwork.answer` has it.

        A period that ends at this instant has not ended before; but that of a cumulative timer has.
        """
        key = code, levels
        if key not in self._answers:
            mode = self._modes[code]
            state = replace(mode.state, since=NOW - PERIOD) if mode.due and self._cumulative else mode.state
            state = timers.step(state, NOW, bool(levels & COIL) and not levels & RESET)
            if levels & RESET:
                state = timers.reset(state, NOW)
            self._answers[key] = self._code(_Mode(levels, state, mode.due and state.since == OLD))
        return self._answers[key]

    def clock(self, code: int) -> Clock:
        """What its clock does from this instant."""
        state = self._modes[code].state
        if state.since is None:
            return Clock.PAUSED if state.kept else Clock.NONE
        if state.since == OLD:
            return Clock.RUNS
        return Clock.RESUMED if state.kept else Clock.ZERO

    def settled(self, code: int) -> int:
        """The same when time has passed: what began at this instant is old."""
        mode = self._modes[code]
        if mode.state.since is None:
            return code
        return self._code(mode._replace(state=replace(mode.state, since=OLD, kept=0)))


class CounterBlock:
    """A counter's block: its code is the value [counts], and in the lowest three bits the levels of its inputs.

    An up counter is taken to stop at its preset, for nothing shows how far beyond it stands. Raises LadderError if no
    count is set on `device`.
    """

    def __init__(self, device: Device, levels: int) -> None:
        self.tag = device.tag
        self.once = True
        self.counter = counter_of(device).counter
        self._most = counters.MAX_COUNT if self.counter.kind == "up-down" else self.counter.preset
        self.bits = self._most.bit_length() + 3
        self.start = 0

    def levels(self, code: int) -> int:
        """Bits of the inputs that have voltage, as last noted."""
        return code & 7

    def operated(self, code: int) -> bool:
        """True if the contacts of the count are away from rest."""
        return counters.output(CounterState(self.counter, code >> 3))

    def due(self, code: int) -> bool:
        """False: a counter does nothing by itself."""
        return False

    def expired(self, code: int) -> int:
        """Never asked: a counter does nothing by itself."""
        raise AssertionError("a counter is never due")

    def answer(self, code: int, levels: int) -> int:
        """After its inputs took these levels, all in one step, as `Countwork.answer` has it."""
        return min(counted(self.counter, code >> 3, code & 7, levels).value, self._most) << 3 | levels

    def settled(self, code: int) -> int:
        """The same: time changes nothing."""
        return code


def counted(counter: Counter, value: int, before: int, levels: int) -> CounterState:
    """The counter at `value`, whose inputs had the levels `before`, after they took `levels`, all in one step."""
    counting, down, resetting = bool(levels & COIL), bool(levels & DOWN), bool(levels & RESET)
    if counter.kind == "down":
        return counters.step(CounterState(counter, value, down=bool(before & COIL)), down=counting, load=resetting)
    state = CounterState(counter, value, bool(before & COIL), bool(before & DOWN))
    return counters.step(state, up=counting, down=down, reset=resetting)


Block = TimerBlock | CounterBlock


def block_of(device: Device, levels: int) -> Block:
    """The block of a timer relay or counter with these inputs wired. Raises LadderError if nothing is set on it."""
    return CounterBlock(device, levels) if device.kind == "counter" else TimerBlock(device, levels)
