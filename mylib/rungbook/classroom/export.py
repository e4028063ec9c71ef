"""`rungbook class export`: the marks as a CSV file that other gradebooks read.

A column is written `name`, or `Title=name` if the gradebook wants another heading. Names: id, first_name, last_name,
email, name; labNN for its points, labNN:max, labNN:percent, labNN:status, labNN:late [h]; an exercise's grade_id;
total, max, percent over the labs; `labs` and `labs:percent` stand for a column of each lab, `exercises` for one of each
exercise. In the profile "long" there is a row for each student and lab, and the lab's columns are lab, score, max,
percent, status, late.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from rungbook.classroom.class_folder import ClassFolder, write_bytes
from rungbook.classroom.labs import Lab
from rungbook.classroom.marks import NOT_HANDED_IN, LabMarks, by_student, most, read_marks
from rungbook.errors import LadderError
from rungbook.tables import csv_text

PROFILES = {
    "wide": "id,last_name,first_name,email,labs,total,max",
    "percent": "id,last_name,first_name,email,labs:percent,percent",
    "exercises": "id,last_name,first_name,exercises,total,max",
    "long": "id,last_name,first_name,email,lab,score,max,percent,status,late",
}
PERSON = ("id", "first_name", "last_name", "email", "name")
OF_LAB = ("max", "percent", "status", "late")
OF_ROW = ("lab", "score", *OF_LAB)
_Rows = dict[str, LabMarks]  # lab -> marks of one student


@dataclass(frozen=True)
class Exported:
    """What was written. waiting: marks that wait for a reader or a new marking, counted as they stand."""

    path: Path
    rows: int
    columns: int
    missing: int
    unmarked: int
    waiting: int


def export(
    place: ClassFolder,
    to: Path,
    labs: Sequence[Lab],
    profile: str = "wide",
    columns: str | None = None,
    missing: str = NOT_HANDED_IN,
    replace: bool = False,
) -> Exported:
    """Write the marks in `labs` to the CSV file `to`.

    missing: what stands for a lab that was not handed in; one not marked yet says so. columns: instead of those of the
    profile. Totals count what was not handed in as 0.

    Raises LadderError, and writes nothing, if the profile or a column is unknown, `to` is no .csv, its folder does not
    exist, or it holds other marks already and not `replace`.
    """
    if profile not in PROFILES:
        raise LadderError("--profile", "no such profile", profile, tuple(PROFILES))
    if to.suffix.lower() != ".csv" or not to.absolute().parent.is_dir():
        raise LadderError("--to", "is a .csv file in a folder that exists", str(to))
    exercises = {lab.short: most(place, lab) for lab in labs}
    makers = _makers(columns or PROFILES[profile], labs, exercises, missing, profile == "long")
    marks = read_marks(place, labs)
    people = by_student(marks)
    if profile == "long":
        people = {f"{one.student.id}\n{one.lab.short}": {one.lab.short: one} for one in marks}
    text = csv_text([title for title, _ in makers], [[make(of) for _, make in makers] for of in people.values()])
    if to.exists() and not replace and to.read_bytes() != text.encode():
        raise LadderError("--to", "holds something else already; --replace writes over it", str(to))
    write_bytes(to, text.encode())
    counts = [one.status for one in marks]
    return Exported(
        to,
        len(people),
        len(makers),
        counts.count(NOT_HANDED_IN),
        counts.count("not marked yet"),
        sum(one not in (NOT_HANDED_IN, "not marked yet", "marked") for one in counts),
    )


def _makers(
    columns: str, labs: Sequence[Lab], exercises: dict[str, dict[str, float]], missing: str, long: bool
) -> list[tuple[str, Callable[[_Rows], object]]]:
    """(title, what makes a cell of a student's marks)."""
    shorts = [lab.short for lab in labs]
    found: list[tuple[str, Callable[[_Rows], object]]] = []
    for column in columns.split(","):
        title, _, name = column.rpartition("=")
        name = name.strip()
        stem, _, kind = name.partition(":")
        if stem == "labs" and not long:
            names = [short + (f":{kind}" if kind else "") for short in shorts]
        elif name == "exercises" and not long:
            names = [one for short in shorts for one in exercises[short]]
        else:
            names = [name]
        for one in names:
            make = _maker(one, shorts, exercises, missing, long)
            heading = title.strip() if title and len(names) == 1 else f"{title.strip()} {one}".strip()
            found.append((heading, make))
    return found


def _maker(
    name: str, shorts: Sequence[str], exercises: dict[str, dict[str, float]], missing: str, long: bool
) -> Callable[[_Rows], object]:
    full = {short: sum(exercises[short].values()) for short in shorts}
    if name in PERSON:
        return lambda of: getattr(next(iter(of.values())).student, name)
    if long and name in OF_ROW:
        return lambda of: _cell(next(iter(of.values())), name, full[next(iter(of))], missing)
    stem, _, kind = name.partition(":")
    if not long and stem in shorts and kind in ("", *OF_LAB):
        return lambda of: _cell(of[stem], kind or "score", full[stem], missing)
    for short in shorts:
        if not long and name in exercises[short]:
            return lambda of, short=short: _exercise(of[short], name, missing)  # type: ignore[misc]
    if not long and name in ("total", "max", "percent"):
        return lambda of: _total(of, name, sum(full.values()))
    legal = (*PERSON, *OF_ROW) if long else (*PERSON, *shorts, *(f"{shorts[0]}:{one}" for one in OF_LAB), "labs")
    more = () if long else ("labs:percent", "exercises", "total", "max", "percent")
    raise LadderError("--columns", "no such column", name, (*legal, *more))


def _cell(of: LabMarks, kind: str, full: float, missing: str) -> object:
    if kind == "lab":
        return of.lab.short
    if kind == "max":
        return full
    if kind == "status":
        return of.status
    if kind == "late":
        return round(of.late / 3600, 1)
    if of.score is None:
        return missing if of.status == NOT_HANDED_IN else of.status
    return round(of.score, 2) if kind == "score" else round(100 * of.score / full, 1)


def _exercise(of: LabMarks, name: str, missing: str) -> object:
    if of.score is None:
        return missing if of.status == NOT_HANDED_IN else of.status
    points = next((one.points for one in of.exercises if one.name == name), None)
    return "not marked yet" if points is None else round(points, 2)


def _total(of: _Rows, kind: str, full: float) -> float:
    earned = sum(one.score or 0.0 for one in of.values())
    if kind == "max":
        return full
    return round(earned, 2) if kind == "total" else round(100 * earned / full, 1)
