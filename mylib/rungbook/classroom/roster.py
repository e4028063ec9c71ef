"""The students of a class, from a CSV file: id, names, e-mail. All bad rows are told at once, each with its line."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from rungbook.errors import LadderError

# a column and what else it may be called
COLUMNS = {
    "id": ("student_id", "student id", "student", "number", "student number", "username"),
    "first_name": ("first name", "first", "given name", "given names"),
    "last_name": ("last name", "last", "surname", "family name"),
    "email": ("e-mail", "mail", "email address", "e-mail address"),
}
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._@-]{0,63}\Z")
_LEGAL_ID = "1 to 64 letters a-z, digits, . _ @ -, the first a letter or digit"
_LAB = re.compile(r"lab[0-9]{2}(-|\Z)", re.IGNORECASE)
_MAIL = re.compile(r"[^@\s,;<>\"]+@[^@\s,;<>\"]+\Z")
_LONGEST = 128  # characters of a name or an e-mail address: nbgrader's gradebook keeps no more
_TOLD = 20  # bad rows that are told


@dataclass(frozen=True)
class Student:
    """One student of the roster."""

    id: str
    first_name: str = ""
    last_name: str = ""
    email: str = ""

    @property
    def name(self) -> str:
        """First and last name, or the id if there is none."""
        return f"{self.first_name} {self.last_name}".strip() or self.id


def read_roster(path: Path) -> tuple[Student, ...]:
    """Return the students of a CSV file in its order. Columns: id, and first_name, last_name, email if wanted.

    Comma, semicolon or tab between cells, whichever the first line has; a byte order mark and empty lines are passed
    over, columns of other names too.

    Raises LadderError if the file cannot be read, is not UTF-8, has no column id, two of one name, or no student; or
    if rows are bad: each is named with its line and what is legal (too many or few cells, an id that cannot be a
    folder's name, an id or e-mail address that stands twice, a name with control characters).
    """
    try:
        data = path.read_bytes()
    except OSError as problem:
        raise LadderError("Roster", f"cannot be read: {problem.strerror}", str(path)) from None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        raise LadderError("Roster", f"line {line} is not UTF-8; save it as CSV in UTF-8", str(path)) from None
    first = text.lstrip().partition("\n")[0]
    delimiter = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        rows = [(reader.line_num, [cell.strip() for cell in row]) for row in reader]
    except csv.Error as problem:
        raise LadderError("Roster", f"line {reader.line_num}: {problem}", str(path)) from None
    rows = [(line, row) for line, row in rows if any(row)]
    if not rows:
        raise LadderError("Roster", "is empty", str(path), tuple(COLUMNS))
    places = _places(rows[0][1], path)
    return _students(rows[1:], len(rows[0][1]), places, path)


def _places(head: list[str], path: Path) -> dict[str, int]:
    known = {other: name for name, others in COLUMNS.items() for other in (name, *others)}
    places: dict[str, int] = {}
    for place, cell in enumerate(head):
        name = known.get(" ".join(cell.casefold().split()))
        if name is None:
            continue
        if name in places:
            raise LadderError("Roster", f"two columns for {name}: {head[places[name]]!r} and {cell!r}", str(path))
        places[name] = place
    if "id" not in places:
        raise LadderError("Roster", "the first line names the columns, and one is id", ", ".join(head), tuple(COLUMNS))
    return places


def _students(rows: list[tuple[int, list[str]]], width: int, places: dict[str, int], path: Path) -> tuple[Student, ...]:
    students, bad = [], []
    ids: dict[str, int] = {}
    mails: dict[str, int] = {}
    for line, row in rows:
        if len(row) > width and any(row[width:]):
            bad.append(f"line {line}: {len(row)} cells, the first line names {width}")
            continue
        row = row + [""] * (width - len(row))
        one = Student(**{name: unicodedata.normalize("NFC", row[place]) for name, place in places.items()})
        wrong = _wrong(one)
        for told, value, seen in (("id", one.id, ids), ("e-mail", one.email, mails)):
            if value and seen.setdefault(value.casefold(), line) != line:
                wrong.append(f"{told} {value!r} stands in line {seen[value.casefold()]} already")
        bad += [f"line {line}: {what}" for what in wrong]
        students.append(one)
    if bad:
        more = f"\n  and {len(bad) - _TOLD} more" if len(bad) > _TOLD else ""
        listed = "".join(f"\n  {one}" for one in bad[:_TOLD])
        raise LadderError("Roster", f"{len(bad)} bad row{'s' * (len(bad) != 1)}{listed}{more}\n", str(path))
    if not students:
        raise LadderError("Roster", "has no student below its first line", str(path))
    return tuple(students)


def _wrong(one: Student) -> list[str]:
    wrong = []
    if not one.id:
        wrong.append(f"no id; legal: {_LEGAL_ID}")
    elif not _ID.match(one.id) or one.id.endswith("."):
        wrong.append(f"id {one.id!r}; legal: {_LEGAL_ID}, the last no dot")
    elif _LAB.match(one.id):
        wrong.append(f"id {one.id!r}; legal: any but the name of a lab")
    for told, value in (("first name", one.first_name), ("last name", one.last_name), ("e-mail", one.email)):
        if len(value) > _LONGEST:
            wrong.append(f"{told} of {len(value)} characters; legal: at most {_LONGEST}")
        elif value and not value.replace("\u200c", "").replace("\u200d", "").isprintable():  # joiners belong to scripts
            wrong.append(f"{told} {value!r} with characters that cannot be printed; legal: letters, marks, blanks")
    if one.email and not _MAIL.match(one.email):
        wrong.append(f"e-mail {one.email!r}; legal: one address, such as ina@cider.example")
    return wrong
