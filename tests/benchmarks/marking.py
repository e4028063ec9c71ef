"""Marking a class: `rungbook class mark` with isolation against plain `nbgrader autograde`, on the same submissions.

A run is the whole command in a process of its own, start and imports included, and every mark is compared with what the
sample answer must get. The peer is slow: it marks the first 5 submissions only, and what its command takes with nothing
to do is taken off, which leaves its best throughput. First figures, memory and processor time are those of these runs.
The cluster needs the extra `cluster`. The large classes have a name of their own, since they take minutes.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import cache

from tests.benchmarks import Run, measure
from tests.benchmarks._class_run import MarkedClass, Ran

SIZE = 100
PEERS = 5
_runs: list[Ran] = []
_peers: list[Ran] = []


@cache
def _class(size: int) -> MarkedClass:
    return MarkedClass(size)


@cache
def _idle() -> Ran:
    """nbgrader's command with nothing to do."""
    _class(SIZE).plain("s00000")
    return _class(SIZE).plain("s00000", again=False)


def _mark() -> Ran:
    ran = _class(SIZE).mark("--workers", "2")
    _runs.append(ran)
    return ran


def _plain() -> Ran:
    ran = _class(SIZE).plain(f"s0000[0-{PEERS - 1}]")
    _peers.append(ran)
    return ran


def _of_the_same_runs(value: Callable[[Ran], float], runs: list[Ran], more: Callable[[], Ran]) -> Run:
    left = list(runs)
    return lambda: value(left.pop(0) if left else more())


@measure("marking: 100 submissions, isolated, 2 processes; peer: nbgrader autograde, from 5", "1/s", runs=5)
def throughput() -> tuple[Run, Run]:
    """Submissions a second, all answers of different text."""
    idle = _idle().seconds
    return lambda: SIZE / _mark().seconds, lambda: PEERS / (_plain().seconds - idle)


@measure("marking: the same, processor time a submission", "s", runs=5)
def processor_time() -> tuple[Run, Run]:
    """Of all processes, with the start for ours, without it for the peer: it heeds less what else the machine does."""
    idle = _idle().processor
    return (
        _of_the_same_runs(lambda ran: ran.processor / SIZE, _runs, _mark),
        _of_the_same_runs(lambda ran: (ran.processor - idle) / PEERS, _peers, _plain),
    )


@measure("marking: the same, until the first figure is printed", "s", at_most=2, runs=5)
def first_figure() -> Run:
    """The first digit on the screen: how many there are to mark."""
    return _of_the_same_runs(lambda ran: ran.seconds if ran.first is None else ran.first, _runs, _mark)


@measure("marking: the same, memory of all processes together at most", "MiB", at_most=1536, runs=5)
def memory() -> Run:
    """Each page divided by the number of processes that have it; looked at three times a second."""
    return _of_the_same_runs(lambda ran: ran.peak, _runs, _mark)


@measure("marking: the same, throughput of a run over the peer's in the run beside it", "times", at_least=20, runs=5)
def ratio() -> Run:
    """What the goal is set for, run by run."""
    idle = _idle().seconds
    ours = _of_the_same_runs(lambda ran: SIZE / ran.seconds, _runs, _mark)
    peers = _of_the_same_runs(lambda ran: PEERS / (ran.seconds - idle), _peers, _plain)
    return lambda: ours() / peers()


@measure("marking: 100 submissions, two Dask workers on this machine; peer: one of them", "1/s", runs=5)
def cluster() -> tuple[Run, Run]:
    """A new cluster for each run, since its workers remember verdicts; they warm up within the run."""
    from distributed import LocalCluster

    def run(workers: int) -> float:
        with LocalCluster(n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None) as started:
            return SIZE / _class(SIZE).mark("--cluster", started.scheduler_address).seconds

    return lambda: run(2), lambda: run(1)


@measure("large class: 1,000 submissions, one run", "s", runs=1)
def thousand() -> Run:
    """Memory and processor time are printed beside it."""
    return lambda: _large(1000)


@measure("large class: 3,000 submissions, one run", "s", runs=1)
def three_thousand() -> Run:
    """As `thousand`."""
    return lambda: _large(3000)


def _large(size: int) -> float:
    ran = MarkedClass(size).mark("--workers", "2")
    told = f"  {size} submissions: {ran.seconds:.0f} s, memory {ran.peak:.0f} MiB, processor time {ran.processor:.0f} s"
    print(told, file=sys.stderr)
    return ran.seconds
