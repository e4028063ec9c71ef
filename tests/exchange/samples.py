"""The ladders that every way out and back is tried on."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from contract.circuits import CIRCUITS, build
from exchange.mill import everything, wash_pump
from labs.harness import run_cell
from rungbook import Ladder
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_labs
from timed_ladders import random_ladder

ROOT = Path(__file__).parents[2]
FUNCTIONS = (
    "on-delay",
    "off-delay",
    "on-and-off delay",
    "flash",
    "cumulative on-delay",
    "one-shot on rising edge",
    "one-shot on falling edge",
)


@cache
def by_lab() -> Mapping[str, tuple[Ladder, ...]]:
    """Lab -> every valid ladder of its source, solutions and hidden tests included."""
    labs = {}
    for lab in find_labs(ROOT):
        found: dict[int, Ladder] = {}
        kept = []  # or an address would be used twice
        namespace: dict[str, object] = {"__name__": "__main__"}
        for cell in instructor_notebook(lab).cells:
            if cell.cell_type == "code":
                run_cell(cell.source, namespace)
                for thing in namespace.values():
                    if isinstance(thing, Ladder) and thing.rungs:
                        found[id(thing)] = thing
                        kept.append(thing)
        labs[lab.name] = tuple(found.values())
    return MappingProxyType(labs)


def of_labs() -> list[Ladder]:
    """The ladders of every lab."""
    return [ladder for ladders in by_lab().values() for ladder in ladders]


def of_the_trade() -> list[Ladder]:
    return [wash_pump(), everything(), *map(build, CIRCUITS)]


def at_random(timers: int = 3, seeds: range = range(200)) -> list[Ladder]:
    """Two hundred with up to so many timers, of every function, and at times a counter."""
    return [random_ladder(seed, FUNCTIONS, timers=timers) for seed in seeds]
