"""Benchmarks: `python -m tests.benchmarks [NAME …] [--json FILE]`. Never tests: pytest collects nothing here.

One module a subject. A function under `@measure` sets the stage, untimed, and returns one callable or two: ours, and
a peer's. Each call makes one run and returns its value in the unit of the measure. Runs of ours and of the peer
alternate; the table shows medians of five or more; what takes many minutes is run once and its name says so. Nothing
may be kept from one run to the next unless the name says "cached".
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pkgutil import iter_modules
from statistics import median

RUNS = 7

Run = Callable[[], float]


class MissingPeerError(Exception):
    """Raised by a peer's run (or the stage) if its program is not installed; the table then shows no peer."""


@dataclass(frozen=True)
class Measure:
    """A registered measure: `goal` is a bound on the value, from below if `at_least`, None if there is none."""

    name: str
    unit: str
    stage: Callable[[], Run | tuple[Run, Run | None]]
    goal: float | None
    at_least: bool
    runs: int


MEASURES: dict[str, Measure] = {}


def measure(
    name: str, unit: str, *, at_most: float | None = None, at_least: float | None = None, runs: int = RUNS
) -> Callable[[Callable[[], Run | tuple[Run, Run | None]]], Callable[[], Run | tuple[Run, Run | None]]]:
    """Register the decorated function as the stage of measure `name`, with a goal from above or from below."""
    if runs < 5 and "one run" not in name:
        raise ValueError(f"{name}: a median of at least five runs, not {runs}")
    if at_most is not None and at_least is not None:
        raise ValueError(f"{name}: one goal, not two")
    if name in MEASURES:
        raise ValueError(f"{name}: the name stands twice")

    def register(stage: Callable[[], Run | tuple[Run, Run | None]]) -> Callable[[], Run | tuple[Run, Run | None]]:
        goal = at_most if at_least is None else at_least
        MEASURES[name] = Measure(name, unit, stage, goal, at_least is not None, runs)
        return stage

    return register


def load() -> None:
    """Import every module of this package, so that its measures register."""
    for module in sorted(info.name for info in iter_modules(__path__)):
        if not module.startswith("_"):
            import_module(f"{__name__}.{module}")


def take(what: Measure) -> dict[str, object]:
    """Run one measure; return its row. ratio: value / peer's value. held: None if there is no goal."""
    runs = what.stage()
    ours, peer = runs if isinstance(runs, tuple) else (runs, None)
    own: list[float] = []
    other: list[float] = []
    for _ in range(what.runs):
        own.append(ours())
        if peer is not None:
            try:
                other.append(peer())
            except MissingPeerError:
                peer = None
    value, against = median(own), median(other) if other else None
    held = None if what.goal is None else value >= what.goal if what.at_least else value <= what.goal
    return {
        "measure": what.name,
        "value": value,
        "unit": what.unit,
        "peer's value": against,
        "ratio": value / against if against else None,
        "goal": None if what.goal is None else f"{'≥' if what.at_least else '≤'} {what.goal:g}",
        "held": held,
    }
