"""`rungbook class collect`: downloads -> submitted/STUDENT/LAB/, each file kept, each told of.

Every file is first copied to collected/LAB/files/ under the hash of its content, then judged by its content and its
path, then noted in collected/LAB/manifest.json. From all that was ever noted the latest file of each student is put
where nbgrader looks for it. So the order of downloads does not matter, and a second run on the same changes nothing.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from rungbook.classroom.class_folder import ClassFolder, as_json, write_bytes
from rungbook.classroom.collecting.finds import Found, find_files, is_fragment
from rungbook.classroom.collecting.mapping import read_map
from rungbook.classroom.collecting.notebooks import read_notebook
from rungbook.classroom.collecting.whose import Roll, Whose
from rungbook.classroom.labs import Lab
from rungbook.classroom.nbgrader_step import quiet
from rungbook.classroom.roster import Student
from rungbook.errors import LadderError
from rungbook.grading.variants import Variant

TAKEN, OLDER, SAME = "taken", "older, kept", "same as the one taken"
UNKNOWN, SEVERAL, UNCLEAR = "whose?", "whose of them?", "which is the latest?"
ASIDE = "put aside"
REFUSED, LEFT = "not usable", "left"
_LETTERS = 60  # of a cell by whose text a lab is known
OPEN = (UNKNOWN, SEVERAL, UNCLEAR, REFUSED)  # wait for a person


@dataclass(frozen=True)
class Entry:
    """What is known of one file that came in. place: its path as shown. sha256: of its content, and its copy's name.

    time: when it was handed in, ISO 8601 in UTC, "" if nothing tells; time_from: "name", "zip" or "file". students:
    whom it fits. by: what told so, "id", "name", "map". usable: it is a notebook of the lab. variant: the one that it
    says it is. outcome, remark, note: for the table; the note tells of it beside the others of the same student.
    """

    place: str
    sha256: str = ""
    time: str = ""
    time_from: str = ""
    number: int | None = None
    students: tuple[str, ...] = ()
    by: str = ""
    usable: bool = False
    variant: str = ""
    outcome: str = ""
    remark: str = ""
    note: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """The same file in the same place is the same entry."""
        return self.place, self.sha256


@dataclass(frozen=True)
class Asked:
    """What a notebook of the lab has. answers: grade_ids of its answer cells. texts: of cells no student changes, those
    long enough to stand in no other notebook."""

    answers: tuple[str, ...]
    texts: tuple[str, ...]

    @classmethod
    def of(cls, notebook: Mapping[str, Any]) -> Asked:
        """Read it from the instructor's notebook."""
        own = [(cell["metadata"].get("nbgrader", {}), "".join(cell["source"])) for cell in notebook["cells"]]
        answers = tuple(meta["grade_id"] for meta, _ in own if meta.get("solution"))
        return cls(answers, tuple(text for meta, text in own if not meta and len(text) >= _LETTERS))


@dataclass(frozen=True)
class Collected:
    """The outcome: entries of this run, in order; student -> entry in force; students without any; settle: a CSV file
    to fill in, if something waits for a person."""

    entries: tuple[Entry, ...]
    taken: Mapping[str, Entry]
    missing: tuple[Student, ...]
    settle: Path | None

    @property
    def waiting(self) -> tuple[Entry, ...]:
        """The files of this run that wait for a person."""
        return tuple(one for one in self.entries if one.outcome in OPEN)


def collect(
    place: ClassFolder,
    lab: Lab,
    given: Path,
    pattern: str | None = None,
    mapping: Path | None = None,
    file_times: bool = True,
) -> Collected:
    """Collect what was handed in for `lab` from `given`, a folder or a zip file as it was downloaded.

    pattern: see `Roll`. mapping: see `read_map`. file_times: a file whose name tells no time was handed in when the
    zip or the folder says that it was last changed; False: not known when.

    Raises LadderError, and changes nothing under submitted/, if the lab was not released, `given` is missing or holds
    the class folder itself, the pattern or the mapping is wrong, or the mapping names a file that did not come in.
    """
    source = place.root / "source" / lab.name / f"{lab.short}.ipynb"
    asked = Asked.of(json.loads(source.read_text(encoding="utf-8")))
    if place.root == given.resolve() or place.root.is_relative_to(given.resolve()):
        raise LadderError("Downloads", "hold the class folder itself; put them into a folder of their own", str(given))
    with quiet(), place.api().gradebook as gradebook:
        students = [Student(s.id, s.first_name or "", s.last_name or "", s.email or "") for s in gradebook.students]
        due = _due(place, lab, gradebook)
    told = {} if mapping is None else read_map(mapping, {one.id for one in students})
    roll = Roll(students, (lab.name, lab.short), place.zone(), pattern)
    store = place.root / "collected" / lab.name
    old = _read_manifest(store / "manifest.json")
    new: dict[tuple[str, str], Entry] = {}
    used: set[str] = set()
    for found in find_files(given, place.zone()):
        entry = _entry(found, roll, lab.short, asked, file_times)
        if found.data is not None and entry.outcome != LEFT:
            write_bytes(store / "files" / entry.sha256, found.data)
        new[entry.key] = _settled(entry, told, used, old.get(entry.key))
    unused = sorted(set(told) - used)
    if unused:
        raise LadderError("--map", "no such file came in, or more than one of that name", unused[0])

    by_hand = _by_hand(place, lab, store, old | new, (one.id for one in students))
    merged = _decided(old | {one.key: one for one in by_hand} | new, due, place.variants(lab))
    taken = {one.students[0]: one for one in merged.values() if one.outcome == TAKEN}
    for student, entry in sorted(taken.items()):
        _submit(place, lab, student, entry, (store / "files" / entry.sha256).read_bytes(), asked)
    write_bytes(store / "manifest.json", as_json({"lab": lab.name, "files": [asdict(one) for one in merged.values()]}))
    entries = tuple(merged[key] for key in new)
    handed_in = {one.students[0] for one in merged.values() if one.usable and len(one.students) == 1}
    missing = tuple(one for one in students if one.id not in handed_in)
    for one in missing:
        _withdraw(place, lab, one.id)
    return Collected(entries, taken, missing, _to_settle(store / "settle.csv", entries))


def _due(place: ClassFolder, lab: Lab, gradebook: Any) -> dict[str, datetime]:
    """student -> when the lab is due, "" for those without an extension."""
    due = place.due(lab, gradebook)
    found = {} if due is None else {"": due}
    for submission in gradebook.assignment_submissions(lab.name) if due else ():
        if submission.duedate is not None:
            found[submission.student.id] = submission.duedate.replace(tzinfo=UTC)
    return found


def _read_manifest(path: Path) -> dict[tuple[str, str], Entry]:
    if not path.is_file():
        return {}
    entries = [Entry(**one) for one in json.loads(path.read_text(encoding="utf-8"))["files"]]
    entries = [replace(one, students=tuple(one.students)) for one in entries]
    return {one.key: one for one in entries}


def _entry(
    found: Found,
    roll: Roll,
    short: str,
    asked: Asked,
    file_times: bool,
) -> Entry:
    """Judge one file by itself."""
    sha = "" if found.data is None else hashlib.sha256(found.data).hexdigest()
    name = found.parts[-1].lower() if found.parts else ""
    if found.parts and is_fragment(found.parts):
        return Entry(found.place, sha, outcome=LEFT, remark="not a student's: left by a system")
    whose = roll.whose(found.parts) if found.parts else Whose(())
    time, time_from = (whose.time, "name") if whose.time else (found.time, found.time_from)
    if not file_times and time_from != "name":
        time, time_from = None, ""
    told = Entry(
        found.place,
        sha,
        time.isoformat(timespec="seconds") if time else "",
        time_from if time else "",
        whose.number,
        whose.students,
        whose.by if whose.students else "",
    )
    if found.data is None or found.problem:
        return replace(told, outcome=REFUSED, remark=found.problem)
    if ".ipynb" not in name and not name.endswith(".json"):
        kind = "an archive that is not opened; unpack it" if name.endswith((".rar", ".7z", ".gz", ".tar")) else ""
        return replace(told, outcome=REFUSED, remark=f"wrong file: {kind or 'no notebook'}")
    reading = read_notebook(found.data, short, asked.answers, asked.texts)
    if reading.text is None:
        return replace(told, outcome=REFUSED, remark=reading.problem)
    told = replace(told, usable=True, variant=reading.variant or "", remark=reading.remark)
    if not whose.students:
        why = "does not fit --pattern" if whose.by == "pattern" else "no student of the class in its path"
        return replace(told, outcome=UNKNOWN, note=why)
    if len(whose.students) > 1:
        why = f"fits {', '.join(whose.students[:5])}{', …' if len(whose.students) > 5 else ''}"
        return replace(told, outcome=SEVERAL, note=why)
    return told


def told_of(entry: Entry) -> str:
    """What the table says of a file beside its outcome."""
    return _and(entry.remark, entry.note)


def _and(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def _foreign(entry: Entry, variants: Mapping[str, Variant]) -> str:
    """What is odd about the variant that the notebook says it is."""
    own = variants.get(entry.students[0])
    if own is None or entry.variant == own.name:
        return ""
    others = [one for one, variant in variants.items() if variant.name == entry.variant]
    return f"has the variant of {', '.join(sorted(others))}" if others else "has not the student's variant"


def _settled(entry: Entry, told: Mapping[str, str], used: set[str], old: Entry | None) -> Entry:
    """The entry as the mapping, or an earlier one, says whose it is."""
    file = next((f for f in (entry.place, f"'{entry.place}", entry.place.rpartition("/")[2]) if f in told), None)
    if file is not None:
        if file in used and file != entry.place:
            raise LadderError("--map", "several files have this name; give the path as in the table", file)
        used.add(file)
        student = told[file]
    elif old is not None and old.by == "map":
        student = old.students[0] if old.students else ""
    else:
        return entry
    if not student:
        return replace(entry, students=(), by="map", usable=False, outcome=ASIDE, note="as the map says")
    return replace(entry, students=(student,), by="map", outcome="" if entry.usable else entry.outcome, note="")


def _by_hand(
    place: ClassFolder, lab: Lab, store: Path, known: Mapping[tuple[str, str], Entry], students: Iterable[str]
) -> list[Entry]:
    """Submissions that somebody put under submitted/ by other means: kept, and in the running like the others."""
    texts = {entry.sha256 for entry in known.values()}
    entries = []
    for student in students:
        path = place.root / "submitted" / student / lab.name / f"{lab.short}.ipynb"
        if not path.is_file() or path.is_symlink():
            continue
        data = path.read_bytes()
        sha = hashlib.sha256(data).hexdigest()
        if sha in texts or (store / "written" / sha).exists():
            continue
        write_bytes(store / "files" / sha, data)
        time = datetime.fromtimestamp(path.stat().st_mtime, UTC).isoformat(timespec="seconds")
        where = f"submitted/{student}/{lab.name}/{lab.short}.ipynb"
        entries.append(Entry(where, sha, time, "file", None, (student,), "id", True, remark="was there before"))
    return entries


def _decided(
    entries: Mapping[tuple[str, str], Entry], due: Mapping[str, datetime], variants: Mapping[str, Variant]
) -> dict[tuple[str, str], Entry]:
    """The entries with their outcomes: of each student's usable ones the latest is taken."""
    decided = dict(entries)
    groups: dict[str, list[Entry]] = {}
    for one in entries.values():
        if one.usable and len(one.students) == 1:
            groups.setdefault(one.students[0], []).append(one)
    for student, group in groups.items():
        latest, how = _latest(group)
        until = due.get(student, due.get(""))
        for one in group:
            if latest is None:
                outcome, why = UNCLEAR, "neither a time nor a number tells; --map puts the others aside"
            elif one is latest:
                outcome, why = TAKEN, _and(_late(one, until), _foreign(one, variants))
            else:
                outcome, why = (SAME, "") if one.sha256 == latest.sha256 else (OLDER, how)
            decided[one.key] = replace(one, outcome=outcome, note=why)
    return decided


def _latest(group: list[Entry]) -> tuple[Entry | None, str]:
    """The latest of a student's files, and by what; None if nothing tells.

    The time in their names if all have one; else the numbers of their attempts, a name without one being the first,
    if they come from names alike; else the times of the files.
    """
    distinct = {one.sha256: one for one in group}
    if len(distinct) == 1:
        return max(group, key=lambda one: (one.time, one.place)), ""
    ways = [
        (lambda one: one.time if one.time_from == "name" else None, "by its time"),
        (lambda one: one.number or 0, "by its number"),
        (lambda one: one.time or None, "by its file's time"),
    ]
    for way, how in ways:
        marks = [(way(one), one) for one in group]
        if any(mark is None for mark, _ in marks):
            continue
        best = max(mark for mark, _ in marks)  # type: ignore[type-var]
        first = [one for mark, one in marks if mark == best]
        if len({one.sha256 for one in first}) == 1:
            return first[0], how
    return None, ""


def _late(one: Entry, until: datetime | None) -> str:
    if until is None or not one.time:
        return ""
    seconds = (datetime.fromisoformat(one.time) - until).total_seconds()
    if seconds <= 0:
        return ""
    days, rest = divmod(int(seconds), 86400)
    hours, minutes = divmod(rest // 60, 60)
    span = f"{days} d {hours} h" if days else f"{hours} h {minutes} min" if hours else f"{max(1, minutes)} min"
    return f"late by {span}"


def _submit(place: ClassFolder, lab: Lab, student: str, entry: Entry, data: bytes, asked: Asked) -> None:
    """Put a student's file where nbgrader looks for it, with its time."""
    reading = read_notebook(data, lab.short, asked.answers, asked.texts)
    assert reading.text is not None
    folder = place.root / "submitted" / student / lab.name
    text = reading.text.encode()
    mark = place.root / "collected" / lab.name / "written" / hashlib.sha256(text).hexdigest()
    write_bytes(mark, f"{entry.sha256}\n".encode())
    write_bytes(folder / f"{lab.short}.ipynb", text)
    if entry.time:
        time = datetime.fromisoformat(entry.time)
        write_bytes(folder / "timestamp.txt", f"{time:%Y-%m-%d %H:%M:%S} UTC\n".encode())
    else:
        (folder / "timestamp.txt").unlink(missing_ok=True)


def _withdraw(place: ClassFolder, lab: Lab, student: str) -> None:
    """Take back what was put there for a student whose file turned out to be another's; it is kept under collected/."""
    folder = place.root / "submitted" / student / lab.name
    path = folder / f"{lab.short}.ipynb"
    if path.is_file() and not path.is_symlink():
        sha = hashlib.sha256(path.read_bytes()).hexdigest()
        if (place.root / "collected" / lab.name / "written" / sha).is_file():
            path.unlink()
            (folder / "timestamp.txt").unlink(missing_ok=True)


def _to_settle(path: Path, entries: tuple[Entry, ...]) -> Path | None:
    """A CSV file with what waits for a person, to be filled in and given with --map; None if nothing does."""
    from rungbook.tables import csv_text

    rows = [(one.place, "", one.outcome, told_of(one)) for one in entries if one.outcome in (UNKNOWN, SEVERAL, UNCLEAR)]
    if not rows:
        path.unlink(missing_ok=True)
        return None
    write_bytes(path, csv_text(("file", "student", "what", "remark"), rows).encode())
    return path
