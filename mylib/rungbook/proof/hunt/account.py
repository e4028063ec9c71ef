"""What the acts of a hunt had shown: the suspects left after each, and the reading that would have divided best."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rungbook.behaviour.faults import Fault
from rungbook.proof.hunt.evidence import Evidence, NextReading
from rungbook.proof.hunt.rig import VOLTS, Rig
from rungbook.proof.hunt.search import AS_FOUND, DO, LOCK, SOURCE, Row, Search, again, alike


@dataclass(frozen=True)
class Step:
    """One act with what followed from it.

    before, after: masks of the classes that were left. bits: the information that it gave [bit], as it came out. best:
    the reading that would have divided best then, of the stated set; None if nothing was left to divide.
    """

    row: Row
    before: int
    after: int
    bits: float
    best: NextReading | None

    @property
    def excluded(self) -> int:
        """How many classes the act excluded."""
        return (self.before & ~self.after).bit_count()


@dataclass(frozen=True)
class Account:
    """The steps of a hunt; `remaining` after the last one. used: readings that counted."""

    steps: tuple[Step, ...]
    remaining: int
    used: int

    @property
    def live(self) -> tuple[Row, ...]:
        """Readings of resistance tried on a live circuit."""
        return tuple(step.row for step in self.steps if step.row.live)

    @property
    def unproved(self) -> tuple[Row, ...]:
        """Readings of resistance on a circuit that was off, and not proved dead."""
        return tuple(step.row for step in self.steps if step.row.unproved and not step.row.live)


class _Trial:
    """The classes that are left, each with its own search, given the same acts as the faulty board."""

    def __init__(self, evidence: Evidence, most: int) -> None:
        self.left = evidence.every
        self._searches = {k: Search(evidence.rig(k), most) for k in range(len(evidence.classes))}

    def follow(self, row: Row) -> None:
        """Do the act of `row` on each, and drop those that show something that can be told from it."""
        record, numbers = row.record(), list(self._searches)
        shown = [again(self._searches[k], record) for k in numbers]
        for k, same in zip(numbers, alike([row, *shown])[1:], strict=True):
            if not same:
                self.left &= ~(1 << k)
                del self._searches[k]


def account(evidence: Evidence, rows: Sequence[Row], *, advice: bool = True) -> Account:
    """Return what `rows`, the acts on the faulty board in their order, had shown.

    Every class that is left is tried with the same acts; it is excluded by the first act at which it shows something
    that can be told from what was shown. advice: False leaves out `Step.best`, which takes most of the time.
    Raises LadderError if the acts cannot be done on this board.
    """
    trial = _Trial(evidence, len(rows) + 1)
    steps, used = [], 0
    for row in rows:
        left = trial.left
        best = evidence.next_reading(left) if advice and row.costs and left else None
        trial.follow(row)
        gained = math.log2(left.bit_count() / trial.left.bit_count()) if trial.left else 0.0
        steps.append(Step(row, left, trial.left, gained, best))
        used += row.costs
    return Account(tuple(steps), trial.left, used)


def best_hunt(evidence: Evidence, fault: Fault) -> Search:
    """Return the hunt for `fault` that the best strategy makes, its acts done: a model answer.

    It operates and looks at every stage, then takes one reading after another; before ohms it switches the supply off,
    locks it out and proves X1 – X2 dead. Raises LadderError if the fault is left out of `evidence`.
    """
    evidence.like(fault)
    most = len(evidence.classes) + 1
    search = Search(Rig(evidence.board, evidence.leads, fault, evidence.power), most)
    trial = _Trial(evidence, most)

    def act(name: str, what: str = "", leads: tuple[str, ...] = ()) -> None:
        trial.follow(search.act(name, what, leads))

    for stage in evidence.stages:
        act(AS_FOUND)
        for step in stage.steps:
            act(DO, step.order)
    while (probe := evidence.planned(trial.left)) is not None:
        act(AS_FOUND)
        steps = probe.stage.steps
        if not probe.stage.live:
            act(DO, steps[0].order)
            act(LOCK)
            act(SOURCE)
            act(VOLTS, leads=("X1", "X2"))
            act(SOURCE)
            steps = steps[1:]
        for step in steps:
            act(DO, step.order)
        act(probe.quantity, leads=(probe.a, probe.b))
    return search
