"""Which labs a class has, and when each is due: short texts of the command line -> labs and dates."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def read_numbers(thing: str, text: str) -> tuple[int, ...]:
    """Return the numbers of "01-04,6,9" in ascending order.

    Raises LadderError if it is anything else, a range runs backwards, or a number stands twice.
    """
    numbers: list[int] = []
    for part in text.split(","):
        match = re.fullmatch(r"\s*(?:lab)?(\d{1,2})\s*(?:-\s*(?:lab)?(\d{1,2})\s*)?", part, re.ASCII)
        if match is None:
            raise LadderError(thing, "numbers and ranges with commas between them", text, ("01-04", "1,3,5-7"))
        first, last = int(match[1]), int(match[2] or match[1])
        if last < first or first < 1:
            raise LadderError(thing, "a range runs upwards, from 1", part.strip(), ("01-04",))
        numbers += range(first, last + 1)
    for number in numbers:
        if numbers.count(number) > 1:
            raise LadderError(thing, "each number stands once", text)
    return tuple(sorted(numbers))


def choose_labs(labs: Sequence[Lab], text: str) -> tuple[Lab, ...]:
    """Return the labs with the numbers of `text`, or all for "all". Raises LadderError, listing them, if one is not."""
    if text == "all":
        return tuple(labs)
    there = {int(lab.short[3:]): lab for lab in labs}
    wanted = read_numbers("--labs", text)
    missing = [f"{number:02d}" for number in wanted if number not in there]
    if missing:
        have = tuple(lab.short[3:] for lab in labs)
        raise LadderError("--labs", f"the course has no lab {', '.join(missing)}", text, have)
    return tuple(there[number] for number in wanted)


def read_date(thing: str, text: str) -> date:
    """Return the day of "2026-09-07". Raises LadderError if it is none."""
    try:
        if not re.fullmatch(r"\d{4}-\d\d-\d\d", text, re.ASCII):
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise LadderError(thing, "is a day, year-month-day", text, ("2026-09-07",)) from None


def read_due(text: str) -> tuple[int, time]:
    """Return weekday (0 is Monday) and time of "Fri 23:59". Raises LadderError if it is none."""
    match = re.fullmatch(r"(\w{3})\w* (\d\d?):(\d\d)", text.strip())
    day = match[1].capitalize() if match else ""
    if match is None or day not in DAYS or int(match[2]) > 23 or int(match[3]) > 59:
        raise LadderError("--due", "is a day of the week and a time", text, tuple(f"'{day} 23:59'" for day in DAYS))
    return DAYS.index(day), time(int(match[2]), int(match[3]))


def due_dates(
    labs: Sequence[Lab], start: date, weeks: Sequence[int] | None, due: tuple[int, time], zone: tzinfo
) -> dict[str, datetime]:
    """Return lab name -> when it is due, in UTC: a lab a week, in the weeks given, week 1 being that of `start`.

    weeks: numbers from 1, at least as many as labs; None takes the first ones. due: weekday and time in `zone`, which
    keeps its clock time over a change to or from summer time.

    Raises LadderError if there are fewer weeks than labs, or a lab would be due before `start`.
    """
    numbers = tuple(range(1, len(labs) + 1)) if weeks is None else tuple(weeks)
    if len(numbers) < len(labs):
        raise LadderError("--weeks", f"at least one week for each of {len(labs)} labs", len(numbers))
    monday = start - timedelta(days=start.weekday())
    dates = {}
    for lab, week in zip(labs, numbers, strict=False):
        day = monday + timedelta(weeks=week - 1, days=due[0])
        if day < start:
            raise LadderError("--term", f"{lab.short} would be due on {day}, before the term begins", str(start))
        dates[lab.name] = datetime.combine(day, due[1], zone).astimezone(UTC)
    return dates
