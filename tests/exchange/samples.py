"""The ladders that every way out and back is tried on."""

from __future__ import annotations

from pathlib import Path

from contract.circuits import CIRCUITS, build
from exchange.mill import everything, wash_pump
from labs.harness import run_cell
from rungbook import Ladder
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_labs
from timed_ladders import random_ladder

ROOT = Path(__file__).parents[2]


def of_labs() -> list[Ladder]:
    """Every valid ladder of every lab's source, solutions and hidden tests included."""
    found: dict[int, Ladder] = {}
    kept = []  # or an address would be used twice
    for lab in find_labs(ROOT):
        namespace: dict[str, object] = {"__name__": "__main__"}
        for cell in instructor_notebook(lab).cells:
            if cell.cell_type == "code":
                run_cell(cell.source, namespace)
                for thing in namespace.values():
                    if isinstance(thing, Ladder) and thing.rungs:
                        found[id(thing)] = thing
                        kept.append(thing)
    return list(found.values())


def of_the_trade() -> list[Ladder]:
    return [wash_pump(), everything(), *map(build, CIRCUITS)]


def at_random() -> list[Ladder]:
    """Two hundred with timers and counters."""
    functions = ("on-delay", "off-delay", "on-and-off delay", "flash", "cumulative on-delay")
    functions += ("one-shot on rising edge", "one-shot on falling edge")
    return [random_ladder(seed, functions, timers=3) for seed in range(200)]
