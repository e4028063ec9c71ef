"""`rungbook class report`: a page about a lab, or about the term, from the gradebook and the marked notebooks.

The outcome of each aim stands on both pages, and as a CSV file beside them: reports/LAB-aims.csv, reports/aims.csv.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from statistics import fmean

from rungbook.classroom.aims import load_aims
from rungbook.classroom.class_folder import ClassFolder, write_bytes
from rungbook.classroom.labs import Lab
from rungbook.classroom.marks import LabMarks, by_student, most, read_marks
from rungbook.classroom.reporting import figures
from rungbook.classroom.reporting.alike import find_alike, foreign_words
from rungbook.classroom.reporting.numbers import LEAST, Judged, judge
from rungbook.classroom.reporting.outcomes import HEAD, THRESHOLD, Outcome, outcomes
from rungbook.classroom.reporting.page import bullets, heading, note, page, table
from rungbook.classroom.reporting.papers import Paper, bare, read_paper
from rungbook.errors import LadderError
from rungbook.tables import csv_text

_HARD, _WEAK = 0.4, 0.1  # below: a share that asks for a look at the exercise; a correlation that does
_SOLUTION = re.compile(r"^### (?:BEGIN|END) SOLUTION\n?", re.MULTILINE)


def report_lab(place: ClassFolder, lab: Lab, threshold: float = THRESHOLD) -> list[Path]:
    """Write reports/LAB.html and reports/LAB-aims.csv, return their paths. threshold: percent of the points of an aim
    from which on it is reached.

    Raises LadderError if nothing is marked yet, the threshold is no percentage, or the lab's aims are stated wrongly.
    """
    marks = read_marks(place, [lab])
    exercises = most(place, lab)
    marked = [one for one in marks if one.score is not None]
    if not marked:
        raise LadderError(lab.name, "nothing is marked yet; first collect and mark")
    reached = outcomes(lab, load_aims(lab, exercises), marks, threshold)
    variants = place.variants(lab)
    found = (read_paper(place, lab, one.student.id, variants.get(one.student.id)) for one in marked)
    papers = {paper.student: paper for paper in found if paper is not None}
    judged = judge(marked, exercises, papers)
    full = sum(exercises.values())
    scores = [one.score for one in marked if one.score is not None]
    status = Counter(one.status for one in marks)
    parts = [
        note(", ".join(f"{count} {word}" for word, count in status.items())),
        note(f"Mean {fmean(scores):.1f} of {full:g} points."),
        figures.scores(scores, full),
        heading("Aims of the lab"),
        *_aims(reached, threshold),
        heading("Exercises"),
        figures.shares([one.name for one in judged], [one.share for one in judged]),
        _exercises(judged),
        heading("What went wrong"),
        note("First thing to mend, as the student reads it; variants are told in the words of the lab as it stands."),
        *_mistakes(judged),
        heading("The class"),
        _class(marks, list(exercises)),
        heading("Work that looks alike"),
        *_alike(place, lab, list(papers.values())),
        *_log(place, lab),
    ]
    pages = _written(place, f"{lab.name}.html", page(f"{_title(place, lab)}: report", parts))
    return [pages, _written(place, f"{lab.name}-aims.csv", _aims_csv(reached, threshold))]


def report_term(place: ClassFolder, threshold: float = THRESHOLD) -> list[Path]:
    """Write reports/term.html, every lab, aim and student over the term, and reports/aims.csv; return their paths.

    Raises LadderError as `report_lab`.
    """
    labs = place.labs()
    marks = read_marks(place, labs)
    exercises = {lab.short: most(place, lab) for lab in labs}
    full = {name: sum(of.values()) for name, of in exercises.items()}
    reached = [one for lab in labs for one in outcomes(lab, load_aims(lab, exercises[lab.short]), marks, threshold)]
    people = by_student(marks)
    percent = {
        student: [None if (s := of[lab.short].score) is None else 100 * s / full[lab.short] for lab in labs]
        for student, of in people.items()
    }
    columns = list(zip(*percent.values(), strict=True)) if percent else [() for _ in labs]
    means = [fmean(there) if (there := [one for one in column if one is not None]) else None for column in columns]
    if all(one is None for one in means):
        raise LadderError("Term", "nothing is marked yet; first collect and mark")
    rows = [
        [
            _name(next(iter(of.values()))),
            *(_cell(one) for one in of.values()),
            sum(one.score or 0 for one in of.values()),
            sum(one.status == "not handed in" for one in of.values()),
            sum(one.late > 0 for one in of.values()),
        ]
        for of in people.values()
    ]
    count = [sum(one is not None for one in column) for column in columns]
    parts = [
        figures.course([lab.short for lab in labs], means, list(percent.values())),
        note("Thick line: mean of the class. Thin lines: students."),
        heading("Labs"),
        table(
            "Means are over those who were marked.",
            ["lab", "title", "marked", "mean [%]"],
            [[lab.short, _title(place, lab), n, m] for lab, n, m in zip(labs, count, means, strict=True)],
        ),
        heading("Aims"),
        *_aims(reached, threshold, term=True),
        heading("Students"),
        table(
            "Points; the sum counts what is missing as 0.",
            ["student", *(lab.short for lab in labs), "sum", "missing", "late"],
            rows,
        ),
    ]
    pages = _written(place, "term.html", page("The term: report", parts))
    return [pages, _written(place, "aims.csv", _aims_csv(reached, threshold))]


def _written(place: ClassFolder, name: str, text: str) -> Path:
    path = place.root / "reports" / name
    write_bytes(path, text.encode())
    return path


def _title(place: ClassFolder, lab: Lab) -> str:
    source = json.loads((place.root / "source" / lab.name / f"{lab.short}.ipynb").read_text(encoding="utf-8"))
    text = "".join(source["cells"][0]["source"])
    return text.lstrip("# ").partition("\n")[0]


def _name(one: LabMarks) -> str:
    return f"{one.student.last_name}, {one.student.first_name}" if one.student.last_name else one.student.id


def _cell(one: LabMarks) -> object:
    return one.status if one.score is None else float(one.score)


def _exercises(judged: Sequence[Judged]) -> str:
    rows = []
    for one in judged:
        remarks = []
        if one.count >= LEAST and one.share < _HARD:
            remarks.append("hard")
        if one.discrimination is not None and one.discrimination < _WEAK:
            remarks.append("tells little of who did the rest well; look at it")
        rows.append([one.name, one.most, one.count, one.full, 100 * one.share, one.discrimination, "; ".join(remarks)])
    caption = (
        "Difficulty: share of the points earned. Discrimination: point-biserial correlation of “all points” with the "
        "rest of the lab; empty where there are too few students or no difference between them."
    )
    head = ["exercise", "points", "marked", "all points", "difficulty [%]", "discrimination", "remark"]
    return table(caption, head, rows)


def _mistakes(judged: Sequence[Judged]) -> list[str]:
    parts = []
    for one in judged:
        if one.mistakes:
            parts.append(heading(one.name, 3))
            parts.append(bullets([f"{n} student{'s' * (n != 1)}: {told}" for n, told in one.mistakes]))
    return parts or [note("Nothing to mend in any exercise marked by machine.")]


def _class(marks: Sequence[LabMarks], names: Sequence[str]) -> str:
    rows: list[list[object]] = []
    for one in marks:
        points = {exercise.name: exercise for exercise in one.exercises}
        cells = [points[name].points if name in points and not points[name].waits else None for name in names]
        late = f"late by {one.late / 3600:.1f} h" if one.late else ""
        rows.append([_name(one), *cells, one.score, "; ".join(filter(None, (one.status, late)))])
    short = [name.partition("-")[2].removesuffix("-marks") or name for name in names]
    return table("Points. An empty cell waits for a reader, or was not marked.", ["student", *short, "sum", ""], rows)


def _alike(place: ClassFolder, lab: Lab, papers: Sequence[Paper]) -> list[str]:
    source = json.loads((place.root / "source" / lab.name / f"{lab.short}.ipynb").read_text(encoding="utf-8"))
    given, right = {}, {}
    for cell in source["cells"]:
        own = cell["metadata"].get("nbgrader", {})
        if own.get("solution") and cell["cell_type"] == "code":
            text = "".join(cell["source"])
            right[own["grade_id"]] = bare(_SOLUTION.sub("", text))
            kept = re.sub(r"(?ms)^### BEGIN SOLUTION\n.*?^### END SOLUTION", "# YOUR WORK HERE", text)
            given[own["grade_id"]] = bare(kept)
    found = [*foreign_words(papers, place.variants(lab)), *find_alike(papers, given, right)]
    how = (
        "A reason to ask, no proof: groups may work together, and a wrong circuit of the book may be in many heads. "
        "Right answers that are alike are not listed."
    )
    if not found:
        return [
            note(
                "Nothing found. Looked for: the same wrong circuit written alike, the same comments or words, "
                "designations of another student's variant."
            )
        ]
    return [note(how), bullets([f"{', '.join(one.students)}: {'; '.join(one.signs)}" for one in found])]


def _aims(reached: Sequence[Outcome], threshold: float, term: bool = False) -> list[str]:
    """The outcome of each aim as a figure and a table; over the term each aim is named with its lab."""
    if not reached:
        why = "the source of the lab is not in this class folder, or has no list of them at its head"
        return [note(f"No aims are known: {why}.")]
    shown = [one for one in reached if one.share is not None]
    parts = [
        note(
            f"An aim is reached by who earned at least {threshold:g} % of the points of the exercises that show it, "
            "taken together, before any penalty for lateness. The share is of those who are marked in all of them; who "
            "waits for a reader, or has no marks yet, is told apart and is in no share."
        )
    ]
    if shown:
        names = [f"{one.lab.short} · {one.aim.number}" if term else f"aim {one.aim.number}" for one in shown]
        parts.append(figures.aims(names, [one.share or 0.0 for one in shown], [one.students for one in shown]))
    head = ["lab", "aim", "", "shown by", "students", "reached", "share [%]", "wait", "without marks"]
    rows = []
    for one in reached:
        lab, number, text, names_, _, _, *numbers, remark = one.row(threshold)
        by = ", ".join(str(name).removeprefix(f"{lab}-").removesuffix("-marks") for name in one.aim.shown)
        rows.append([lab, number, text, by if names_ else f"not marked: {remark}", *numbers][0 if term else 1 :])
    return [*parts, table("The outcome of each aim.", head if term else head[1:], rows)]


def _aims_csv(reached: Sequence[Outcome], threshold: float) -> str:
    return csv_text(HEAD, [one.row(threshold) for one in reached])


def _log(place: ClassFolder, lab: Lab) -> list[str]:
    """What the marking noted, the last line about each student, if there is a log."""
    path = place.root / "marking" / f"{lab.name}.jsonl"
    if not path.is_file():
        return []
    last: dict[str, dict[str, object]] = {}
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            entry = json.loads(line)
            last[str(entry["student"])] = entry
        except (ValueError, KeyError, TypeError):
            continue
    rows = [[student, _remarks(entry)] for student, entry in sorted(last.items()) if _remarks(entry)]
    if not rows:
        return [heading("Marking log"), note(f"{len(last)} submissions, nothing to remark.")]
    return [heading("Marking log"), table("Remarks of the last marking.", ["student", "remark"], rows)]


def _remarks(entry: dict[str, object]) -> str:
    """Texts and lists of texts under the log's keys that speak of trouble."""
    told = []
    for key in ("reason", "problem", "problems", "remarks", "notes"):
        value = entry.get(key)
        told += [str(one) for one in value] if isinstance(value, list) else [str(value)] if value else []
    return "; ".join(told)
