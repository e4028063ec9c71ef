"""What the marks say of the exercises: difficulty and discrimination."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import StatisticsError, correlation, fmean

from rungbook.classroom.marks import LabMarks
from rungbook.classroom.reporting.papers import Paper

_WIRES = re.compile(r" \(wires? [\d–, -]+\)")  # other circuits with the same mistake have other wire numbers
LEAST = 5  # students; with fewer, a correlation says nothing


@dataclass(frozen=True)
class Judged:
    """One exercise. share: mean of its points by its points at most, 0 to 1 (the larger the easier). full: students
    with all points. discrimination: point-biserial correlation of "all points: yes or no" with the points in the rest
    of the lab, -1 to 1; None with fewer than LEAST students or no spread. mistakes: (students, first thing to
    mend without its wire numbers)."""

    name: str
    most: float
    count: int
    share: float
    full: int
    discrimination: float | None
    mistakes: tuple[tuple[int, str], ...]


def judge(marks: Sequence[LabMarks], most: Mapping[str, float], papers: Mapping[str, Paper]) -> list[Judged]:
    """Return the exercises of a lab in its order, from the marks of those who were marked."""
    rows = [{one.name: one.points for one in mark.exercises if not one.waits} for mark in marks if mark.exercises]
    found = []
    for name, full in most.items():
        there = [row for row in rows if name in row]
        points = [row[name] for row in there]
        rest = [sum(row.values()) - row[name] for row in there]
        mistakes = Counter(_WIRES.sub("", paper.first[name]) for paper in papers.values() if paper.first.get(name))
        found.append(
            Judged(
                name,
                full,
                len(there),
                fmean(points) / full if points and full else 0.0,
                sum(one >= full for one in points),
                point_biserial([one >= full for one in points], rest),
                tuple((count, told) for told, count in mistakes.most_common()),
            )
        )
    return found


def point_biserial(right: Sequence[bool], rest: Sequence[float]) -> float | None:
    """Point-biserial correlation, (m1 - m0) / s · √(n1 n0 / n²) with s over all n; it is Pearson's with 0 and 1.

    None with fewer than LEAST values or where one side does not vary.
    """
    if len(right) < LEAST:
        return None
    try:
        return correlation([float(one) for one in right], list(rest))
    except StatisticsError:
        return None
