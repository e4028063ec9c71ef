"""Figures that are no circuits: from the data on each time. Fonts and schemdraw are loaded."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from tests.benchmarks import Run, measure

from rungbook import NC, NO, Device, Ladder, coil, draw, lamp, run, truth_table
from rungbook.behaviour import Trace
from rungbook.drawing import trip_curve


def _line(changes: int) -> Trace:
    """Twelve devices (four buttons, four contactors, four lamps), run until there are `changes` changes."""
    tags = [f"{letter}{n}" for letter in "SQP" for n in range(1, 5)]
    ladder = Ladder("Filling line", [Device(tag, label="press pump of the second line") for tag in tags])
    for n in range(1, 5):
        ladder.rung(NC("S1") & (NO(f"S{n % 4 + 1}") | NO(f"Q{n}")), coil(f"Q{n}"))
        ladder.rung(NO(f"Q{n}"), lamp(f"P{n}"))
    orders = [f"{word} {tag}{end}" for tag in ("S2", "S3", "S4", "S1") for word, end in (("press", ""), ("let", " go"))]
    trace = run(ladder, [*(orders * (changes // 20)), "wait 2 s"])
    assert len(trace.changes) == changes, len(trace.changes)
    return trace


def _timed(work: Callable[[], object]) -> Run:
    work()

    def once() -> float:
        start = perf_counter()
        work()
        return 1000 * (perf_counter() - start)

    return once


@measure("timing diagram: 12 devices, 200 changes, as SVG, warm", "ms", at_most=50)
def two_hundred() -> Run:
    """A long story of a lab."""
    trace = _line(200)
    return _timed(lambda: draw(trace))


@measure("timing diagram: a shift of 8 h of a lamp that flashes, as SVG, warm", "ms")
def eight_hours() -> Run:
    """57,600 changes in one band."""
    panel = [Device("K1", "timer relay", setting="flash 500 ms"), Device("S1"), Device("P1")]
    ladder = Ladder("Shift", panel)
    ladder.rung(NC("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    trace = run(ladder, "wait 8 h")
    return _timed(lambda: draw(trace))


@measure("truth table: 64 rows as SVG, warm", "ms")
def table() -> Run:
    """Six inputs."""
    ladder = Ladder("Mill")
    ladder.rung(NO("S1") & NO("S2") & NC("S3") & NC("S4") & NC("F1"), coil("Q1"))
    rows = truth_table(ladder)
    assert len(rows) == 64
    return _timed(lambda: draw(rows))


@measure("trip curve: two curves, limits, two points, as SVG, warm", "ms")
def curve() -> Run:
    """Class 10."""
    return _timed(lambda: trip_curve("10", (6,), (6,)))
