"""Hunts for a fault: what every suspect shows, the next reading that divides best, the best strategy, the marks."""

from __future__ import annotations

from time import perf_counter

from tests.benchmarks import Run, measure

from rungbook.circuit import NC, NO, Ladder, coil, lamp
from rungbook.proof.hunt import Case, Search, Tree, best_hunt, judge


def elevator() -> Ladder:
    """Apple elevator up and down, with a lamp each way: 60 suspects and more, 150 readings and more."""
    ladder = Ladder("Apple elevator")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("S3") & NC("Q2") & NC("F1"), coil("Q1"))
    ladder.rung(NC("S1") & (NO("S3") | NO("Q2")) & NC("S2") & NC("Q1"), coil("Q2"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def wash_pump() -> Ladder:
    """Start, stop, holding contact, overload relay, lamp."""
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


@measure("hunt: best next reading, 60 suspects or more, 150 readings or more", "s", at_most=1)
def next_reading() -> Run:
    """All suspects are left."""
    evidence = Case(elevator()).evidence
    if len(evidence.classes) < 60 or len(evidence.probes) < 150:
        raise ValueError(f"{len(evidence.classes)} suspects, {len(evidence.probes)} readings")

    def run() -> float:
        start = perf_counter()
        evidence.next_reading(evidence.every)
        return perf_counter() - start

    return run


def _evidence(make: object) -> Run:
    def run() -> float:
        start = perf_counter()
        assert callable(make)
        assert Case(make()).evidence.classes
        return perf_counter() - start

    return run


@measure("hunt: what each suspect shows, wash pump", "s", at_most=1)
def evidence_of_the_pump() -> Run:
    """Boards, stages, readings, classes."""
    return _evidence(wash_pump)


@measure("hunt: what each suspect shows, apple elevator", "s")
def evidence_of_the_elevator() -> Run:
    """The same for three rungs."""
    return _evidence(elevator)


@measure("hunt: best strategy for every symptom, apple elevator", "s")
def strategy() -> Run:
    """A new tree in each run."""
    evidence = Case(elevator()).evidence

    def run() -> float:
        start = perf_counter()
        tree = Tree(evidence.divisions)
        for part in evidence.symptoms:
            tree.cost(part)
        return perf_counter() - start

    return run


@measure("hunt: marks of one answer, wash pump, requirement cached", "s", at_most=1)
def marks() -> Run:
    """The acts done again on the board, and tried on every suspect."""
    case = Case(wash_pump())
    fault = next(fault for fault in case.faults if fault.kind == "open coil")
    search: Search = best_hunt(case.evidence, fault)
    claim = dict(zip(("device", "fault"), case.claims.names(fault)[0], strict=True))
    answer = {"hunt": 1, "token": "", "acts": [row.record() for row in search.rows], "claim": claim}

    def run() -> float:
        start = perf_counter()
        if judge(case.evidence, case.claims, fault, answer, 20).earned != 1:
            raise ValueError("the best strategy earns everything")
        return perf_counter() - start

    return run
