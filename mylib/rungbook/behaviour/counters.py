"""Counters of a relay panel: they count the rising edges of the voltage at their inputs, and stop at their ends.

Enters: the voltage at each input, as true or false. Leaves: the value and the state of the contacts. No time in it: a
step is an instant at which something changed. As the blocks CTU, CTD and CTUD of IEC 61131-3 (from memory), with the
range 0 to 999 999 of a six-digit counter.

Order within a step: reset, then load, then counting. Reset and load act by their level: while one is on nothing is
counted, and an edge that came under it is lost. An input that already has voltage in the first step counts once.
Kept, as in a counter with a battery: the value, when the supply fails.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from rungbook.errors import LadderError

COUNTER_KINDS = ("up", "down", "up-down")
MAX_COUNT = 999_999
_INPUTS = {"up": ("up", "reset"), "down": ("down", "load"), "up-down": ("up", "down", "reset", "load")}


@dataclass(frozen=True)
class Counter:
    """A counter as set: kind, one of COUNTER_KINDS; preset, whole number from 1 to 999 999.

    Raises LadderError for another kind, or a preset that is no whole number or out of range.
    """

    kind: str
    preset: int

    def __post_init__(self) -> None:
        if self.kind not in COUNTER_KINDS:
            raise LadderError("Counter", "no such kind", self.kind, COUNTER_KINDS)
        if type(self.preset) is not int or not 1 <= self.preset <= MAX_COUNT:
            raise LadderError("Counter preset", "a whole number from 1 to 999 999", self.preset, ("1 … 999999",))


@dataclass(frozen=True, slots=True)
class CounterState:
    """The value of a counter, and the voltage at its count inputs in the last step; out of the box all are 0.

    A down counter out of the box stands at 0, so its contacts are operated until it is loaded.
    """

    counter: Counter
    value: int = 0
    up: bool = False
    down: bool = False


def step(
    state: CounterState, *, up: bool = False, down: bool = False, reset: bool = False, load: bool = False
) -> CounterState:
    """Return the state after the inputs took these levels.

    reset: value 0. load: value = preset. up, down: one more, one less, at a rising edge; both edges in one step leave
    the value as it is. The value stops at 0 and at 999 999.
    Raises LadderError if an input is on that the counter's kind has not (up: up, reset; down: down, load).
    """
    counter = state.counter
    for name, level in (("up", up), ("down", down), ("reset", reset), ("load", load)):
        if level and name not in _INPUTS[counter.kind]:
            raise LadderError(f"Counter ({counter.kind})", "no such input", name, _INPUTS[counter.kind])
    value = state.value
    if reset:
        value = 0
    elif load:
        value = counter.preset
    else:
        change = int(up and not state.up) - int(down and not state.down)
        value = min(max(value + change, 0), MAX_COUNT)
    return CounterState(counter, value, up, down)


def output(state: CounterState) -> bool:
    """True if the contacts are operated: value at or above the preset; in a down counter, value 0."""
    return at_zero(state) if state.counter.kind == "down" else state.value >= state.counter.preset


def at_zero(state: CounterState) -> bool:
    """True if the value is 0: the second contact of an up-down counter."""
    return state.value == 0


def with_preset(state: CounterState, preset: int) -> CounterState:
    """Return the state with another preset on the dials; the value stays. Raises LadderError as `Counter`."""
    return replace(state, counter=Counter(state.counter.kind, preset))
