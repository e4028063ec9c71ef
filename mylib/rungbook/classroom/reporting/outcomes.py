"""The outcome of each aim of a lab over a class: how many students reached it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rungbook.classroom.aims import Aim
from rungbook.classroom.labs import Lab
from rungbook.classroom.marks import LabMarks
from rungbook.errors import LadderError

THRESHOLD = 60.0  # percent of an aim's points from which on it is reached; our choice, no standard names one
HEAD = (
    "lab",
    "aim",
    "text",
    "shown by",
    "points",
    "threshold [%]",
    "students",
    "reached",
    "share [%]",
    "wait for a reader",
    "without marks",
    "remark",
)


@dataclass(frozen=True)
class Outcome:
    """One aim. points: of its exercises together. students: who were marked in all of them, reached: of these, who
    have the threshold. waiting: who have one that waits for a reader. missing: who handed nothing in, or nothing that
    is marked yet."""

    lab: Lab
    aim: Aim
    points: float
    students: int
    reached: int
    waiting: int
    missing: int

    @property
    def share(self) -> float | None:
        """Percent of `students` who reached it; None if there are none."""
        return 100 * self.reached / self.students if self.students else None

    def row(self, threshold: float) -> list[object]:
        """Its row under HEAD."""
        shown = ", ".join(self.aim.shown)
        counts: list[object] = [self.points, threshold, self.students, self.reached, self.share]
        if not self.aim.shown:
            counts = [None, None, None, None, None]
        remark = self.aim.unmarked or ("" if self.aim.shown else "the class does not say which exercises show it")
        last = [self.waiting, self.missing] if self.aim.shown else [None, None]
        return [self.lab.short, self.aim.number, self.aim.text, shown, *counts, *last, remark]


def outcomes(lab: Lab, aims: Sequence[Aim], marks: Sequence[LabMarks], threshold: float = THRESHOLD) -> list[Outcome]:
    """Return the outcome of each aim from the marks of `lab`, without penalties for lateness.

    An aim is reached by who has at least `threshold` percent of the points of its exercises taken together.

    Raises LadderError if the threshold is not above 0 and at most 100.
    """
    if not 0 < threshold <= 100:
        raise LadderError("--threshold", "is percent of an aim's points, above 0 and at most 100", threshold)
    rows = [{one.name: one for one in mark.exercises} for mark in marks if mark.lab == lab]
    found = []
    for aim in aims:
        theirs = [[row[name] for name in aim.shown] for row in rows if aim.shown and set(aim.shown) <= set(row)]
        ready = [own for own in theirs if not any(one.waits for one in own)]
        reached = sum(
            sum(one.points for one in own) >= threshold / 100 * sum(one.most for one in own) - 1e-9 for own in ready
        )
        points = sum(one.most for one in theirs[0]) if theirs else 0.0
        missing = len(rows) - len(theirs) if aim.shown else 0
        found.append(Outcome(lab, aim, points, len(ready), reached, len(theirs) - len(ready), missing))
    return found
