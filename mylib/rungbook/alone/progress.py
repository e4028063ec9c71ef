"""What a learner did, in one SQLite file of the learner's own: entries are added, never changed.

A run of marks is one transaction under SQLite's write lock, so two runs at once both stand whole, and a process killed
in the middle leaves the file as it was.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rungbook.errors import LadderError

if TYPE_CHECKING:
    import sqlite3

MARK = 0x52426C31  # SQLite's application_id of a learner's file: "RBl1"
VERSION = 1
WAIT = 20.0  # for another writer [s]
PLACE = "RUNGBOOK_DATA"  # environment variable: the folder to use instead of the user's data folder
FILE = "progress.db"
KINDS = ("attempt", "hint", "solution", "practice")
_TABLE = """CREATE TABLE entries (
    number INTEGER PRIMARY KEY, at TEXT NOT NULL, kind TEXT NOT NULL, exercise TEXT NOT NULL, data TEXT NOT NULL
)"""


@dataclass(frozen=True)
class Note:
    """One thing done. kind: "attempt" (data: points, most, first, digest), "hint" (step, about), "solution" (asked:
    True if it was shown before an honest attempt), "practice" (level, seed, points, most). exercise: "lab02-holding".
    at: when, None before it is written."""

    kind: str
    exercise: str
    data: Mapping[str, Any] = field(default_factory=dict)
    at: datetime | None = None


def data_folder() -> Path:
    """Return the folder of the learner's data: RUNGBOOK_DATA if set, else the system's place for a user's data."""
    if os.environ.get(PLACE):
        return Path(os.environ[PLACE])
    try:
        from platformdirs import user_data_path
    except ImportError:  # an edition without it, as in a browser
        return Path.home() / ".local" / "share" / "rungbook"
    return user_data_path("rungbook", appauthor=False)


class Progress:
    """The learner's file in `folder` (left out: `data_folder()`), made when the first note is written.

    clock: tells date and time; left out, the computer's. Raises LadderError if the file is none of ours, or of a later
    edition; it is then left as it is.
    """

    def __init__(self, folder: Path | None = None, clock: Callable[[], datetime] | None = None) -> None:
        self.path = (folder or data_folder()) / FILE
        self._clock = clock or (lambda: datetime.now(UTC))

    def notes(self) -> list[Note]:
        """Return all notes, oldest first; none if there is no file yet."""
        if not self.path.is_file():
            return []
        with self._open() as base:
            if not self._is_ours(base):
                return []
            rows = base.execute("SELECT at, kind, exercise, data FROM entries ORDER BY number").fetchall()
        return [Note(kind, exercise, json.loads(data), datetime.fromisoformat(at)) for at, kind, exercise, data in rows]

    def add(self, notes: Iterable[Note]) -> None:
        """Write notes, all or none. Raises LadderError if the file or its folder cannot be written, or a kind is
        unknown."""
        listed = list(notes)
        for note in listed:
            if note.kind not in KINDS:
                raise LadderError("Progress", "unknown kind of note", note.kind, KINDS)
        at = self._clock().astimezone(UTC).isoformat(timespec="seconds")
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise LadderError("Progress", f"cannot be written: {problem.strerror}", str(self.path)) from None
        with self._open() as base:
            base.execute("BEGIN IMMEDIATE")
            try:
                if not self._is_ours(base):
                    base.execute(_TABLE)
                    base.execute(f"PRAGMA application_id = {MARK}")
                    base.execute(f"PRAGMA user_version = {VERSION}")
                rows = ((at, n.kind, n.exercise, json.dumps(dict(n.data), sort_keys=True)) for n in listed)
                base.executemany("INSERT INTO entries (at, kind, exercise, data) VALUES (?, ?, ?, ?)", rows)
            except BaseException:
                base.execute("ROLLBACK")
                raise
            base.execute("COMMIT")

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        import sqlite3

        try:
            base = sqlite3.connect(self.path, timeout=WAIT, isolation_level=None)
        except sqlite3.Error as error:
            raise LadderError("Progress", f"cannot be read or written: {error}", str(self.path)) from None
        try:
            yield base
        except sqlite3.Error as error:
            raise LadderError("Progress", f"cannot be read or written: {error}", str(self.path)) from None
        finally:
            base.close()

    def _is_ours(self, base: sqlite3.Connection) -> bool:
        """True if the file holds notes, False if it is empty. Raises LadderError if it holds something else."""
        if base.execute("SELECT COUNT(*) FROM sqlite_master").fetchone() == (0,):
            return False
        if base.execute("PRAGMA application_id").fetchone() != (MARK,):
            raise LadderError(
                "Progress", "this file is none of a learner's progress, and is left as it is", str(self.path)
            )
        (version,) = base.execute("PRAGMA user_version").fetchone()
        if version > VERSION:
            rule = f"was written by a later edition (version {version}; this one reads {VERSION})"
            raise LadderError("Progress", rule, str(self.path))
        return True
