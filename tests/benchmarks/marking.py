"""Marking a class: `rungbook class mark` with isolation against plain `nbgrader autograde`, on the same submissions.

A run is the whole command in a process of its own, start and imports included, and every mark is compared with what the
sample answer must get. The peer is slow: it marks the first 5 submissions only, and what its command takes with nothing
to do is taken off, which leaves its best throughput. First figures and memory are those of the same runs.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from tests.benchmarks import Run, measure
from tests.benchmarks._class_run import MarkedClass, Ran

SIZE = 100
PEERS = 5
_runs: list[Ran] = []
_left: dict[str, list[Ran]] = {}


@cache
def _class(size: int) -> MarkedClass:
    return MarkedClass(size)


def _mark() -> Ran:
    ran = _class(SIZE).mark("--workers", "2")
    _runs.append(ran)
    return ran


def _of_the_same_runs(subject: str, value: Callable[[Ran], float]) -> Run:
    left = list(_runs)
    return lambda: value(left.pop(0) if left else _mark())


@measure("marking: 100 submissions, isolated, 2 processes; peer: nbgrader autograde, from 5", "1/s")
def throughput() -> tuple[Run, Run]:
    """Submissions a second. All answers differ in their text."""
    _class(SIZE).plain("s00000")
    idle = _class(SIZE).plain("s00000", again=False).seconds

    def peer() -> float:
        return PEERS / (_class(SIZE).plain(f"s0000[0-{PEERS - 1}]").seconds - idle)

    return lambda: SIZE / _mark().seconds, peer
