"""The timeline: events a second on eight relays, and one shift of a flashing lamp and a cycling pump."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from tests.benchmarks import measure

from rungbook import NC, NO, Device, Ladder, coil, lamp
from rungbook.behaviour import MICRO, Step, Timeline, possible_steps


def _orders(timeline: Timeline) -> dict[str, Step]:
    return {step.order: step for step in possible_steps(timeline.devices.values())}


@measure("timeline, 8 relays in a chain", "events/s", at_least=10_000)
def chain() -> Callable[[], float]:
    """Changes of relays and buttons in one second of our time; a new timeline for each run, nothing kept."""
    ladder = Ladder("Chain")
    ladder.rung(NO("S1"), coil("K1"))
    for number in range(2, 9):
        ladder.rung(NO(f"K{number - 1}"), coil(f"K{number}"))

    def run() -> float:
        timeline = Timeline(ladder)
        orders = _orders(timeline)
        start = perf_counter()
        for _ in range(500):
            for order in ("press S1", "let S1 go"):
                timeline.do(orders[order])
                timeline.advance(timeline.now + MICRO)
        return len(timeline.changes) / (perf_counter() - start)

    return run


@measure("timeline, a shift of 8 h, flashing lamp and cycling pump", "s", at_most=5)
def shift() -> Callable[[], float]:
    """A lamp flashing at 1 Hz and a pump that cycles once in 30 s, for eight hours."""
    timers = {"K1": "flash 500 ms", "K2": "on-delay 20 s", "K3": "on-delay 10 s"}
    panel = [Device(tag, "timer relay", setting=setting) for tag, setting in timers.items()]
    ladder = Ladder("Shift", [*panel, Device("S1"), Device("P1"), Device("Q1")])
    ladder.rung(NC("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    ladder.rung(NC("K3"), coil("K2"))
    ladder.rung(NO("K2"), coil("Q1"), coil("K3"))

    def run() -> float:
        timeline = Timeline(ladder, ladder.declared or ())
        start = perf_counter()
        timeline.advance(8 * 3600 * MICRO)
        assert len(timeline.changes) > 60_000
        return perf_counter() - start

    return run
