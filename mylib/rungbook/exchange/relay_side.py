"""The relay's side of `equivalence`: timers as the proof engine has them, and counters, asked once a scan.

A state is what is known of it, whole numbers; the time that a period has run, or the count, stands beside it and may be
unknown (`proof.symbolic`).
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from rungbook.behaviour import counters
from rungbook.behaviour.blocks import COIL, DOWN, RESET, Clock, TimerBlock, counted
from rungbook.kit import Device
from rungbook.proof.symbolic import Inequality, form_of, inequality

SET, SINCE, OWN = "set", "since", "own"  # names: time or count set, time since the last scan, the relay's time or count
LEVELS = {"coil": COIL, "down": DOWN, "reset": RESET}


class TimerSide:
    """A timer relay: its code, and beside it the time that its period has run, `own`, 0 if none does.

    levels: of the inputs that it has. late: a flasher's periods may end after their time, with the next scan.
    """

    def __init__(self, function: str, levels: int, *, late: bool = False) -> None:
        self._block = TimerBlock(Device("K1", "timer relay", setting=f"{function} 1 s"), levels)
        self.start: tuple[int, ...] = (self._block.start,)
        self._in_time = not self._block.once and not late

    def runs(self, state: tuple[int, ...]) -> bool:
        """True if a period runs."""
        return self._block.clock(state[0]) is Clock.RUNS

    def more(self, state: tuple[int, ...], left: Any) -> list[Inequality]:
        """What is asked of the next scan, at which so much of the period is left: a flasher's is not over before it."""
        if not (self._in_time and self.runs(state)):
            return []
        return [inequality(*form_of(left), strict=False)]

    def step(self, state: tuple[int, ...], own: Any, levels: int, preset: Any, since: Any) -> tuple[Any, ...]:
        """Code, own time and output after a scan with these levels."""
        code, block = state[0], self._block
        runs = self.runs(state)
        if runs:
            own = own + since
            if own >= preset:
                code = block.expired(block.ripe(code))
                own = own - preset if self._in_time else 0  # a flasher's next period began when this one ended
        if block.levels(code) != levels:
            code, runs = block.answer(code, levels), False
        if block.clock(code) is Clock.NONE or (block.clock(code) is Clock.ZERO and not runs):
            own = 0
        return (block.settled(code),), own, block.operated(code)


class CounterSide:
    """A counter: the levels that it saw last, and beside them its count, `own`."""

    def __init__(self, direction: str) -> None:
        self._kind = direction
        self.start: tuple[int, ...] = (0,)

    def more(self, state: tuple[int, ...], left: Any) -> list[Inequality]:
        """Nothing is asked of the next scan."""
        return []

    def step(self, state: tuple[int, ...], own: Any, levels: int, preset: Any, since: Any) -> tuple[Any, ...]:
        """Levels, count and output after a scan with these levels."""
        counter: Any = SimpleNamespace(kind=self._kind, preset=preset)  # a `Counter` with a count that is not known
        found = counted(counter, own, state[0], levels)
        return (levels,), found.value, counters.output(found)
