"""The one table that tells of each file that came in what became of it."""

from __future__ import annotations

from datetime import datetime, tzinfo

from rungbook.classroom.collecting.collect import LEFT, TAKEN, Collected, told_of
from rungbook.classroom.labs import Lab
from rungbook.tables import text_table

_WIDTH = 56  # columns of a path; a longer one is cut in the middle, the manifest has it in full


def report(done: Collected, lab: Lab, zone: tzinfo) -> str:
    """The table, those who have not handed in, and what to do next, as text for a terminal. zone: of the times."""
    rows = []
    for one in done.entries:
        time = f"{datetime.fromisoformat(one.time).astimezone(zone):%Y-%m-%d %H:%M}" if one.time else ""
        who = one.students[0] if len(one.students) == 1 else ""
        rows.append((_cut(one.place), who, one.outcome, time, one.time_from, told_of(one)))
    lines = [text_table(("file", "student", "outcome", "handed in", "by", "remark"), rows)] if rows else []
    late = sum("late by" in one.note for one in done.taken.values())
    left = sum(one.outcome == LEFT for one in done.entries)
    new = sum(one.outcome == TAKEN for one in done.entries)
    lines += [
        "",
        f"{lab.name}: {len(done.entries)} files, {new} taken, {left} left by systems, {len(done.waiting)} wait for "
        f"you; {len(done.taken)} students have handed in so far, {late} of them late",
    ]
    if done.missing:
        lines.append("not handed in: " + ", ".join(f"{one.id} ({one.name})" for one in done.missing))
    if done.settle is not None:
        lines.append(f"whose is it? Copy {done.settle}, fill in its column student, and give it with --map")
    return "\n".join(lines)


def _cut(place: str) -> str:
    if len(place) <= _WIDTH:
        return place
    half = (_WIDTH - 1) // 2
    return f"{place[:half]}…{place[-half:]}"
