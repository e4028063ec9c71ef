"""`--map`: a CSV file in which an instructor says whose a file is, when its path does not."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection
from pathlib import Path

from rungbook.errors import LadderError


def read_map(path: Path, students: Collection[str]) -> dict[str, str]:
    """Return file -> student, from a CSV file with the columns file and student; an empty student leaves the file out.

    Rows whose file is empty are passed over.

    Raises LadderError if the file cannot be read, lacks a column, names a student who is not in the class or one file
    twice.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as problem:
        raise LadderError("--map", f"cannot be read: {problem}", str(path)) from None
    reader = csv.DictReader(io.StringIO(text, newline=""))
    if not {"file", "student"} <= set(reader.fieldnames or ()):
        head = ", ".join(reader.fieldnames or ())
        raise LadderError("--map", "the first line names the columns file and student", head, ("file,student",))
    told: dict[str, str] = {}
    for row in reader:
        file, student = (row["file"] or "").strip(), (row["student"] or "").strip()
        if not file:
            continue
        thing = f"--map, line {reader.line_num}"
        if student and student not in students:
            raise LadderError(thing, "no such student in the class", student)
        if told.setdefault(file, student) != student:
            raise LadderError(thing, f"the file has student {told[file]!r} already", file)
    return told
