"""The ledger in one SQLite file: entries are added, never changed. Two people may write at once.

Each entry is one transaction that takes the write lock first, reads the state it meets, asks whether the entry may
stand, and writes it. So the second of two people who issue one kit is told that it is out; and a process killed in the
middle leaves the ledger as it was. The file itself refuses to change or delete an entry (triggers).
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from rungbook.errors import LadderError
from rungbook.kit.ledger.books import Books
from rungbook.kit.ledger.entries import Entry, Finding, line
from rungbook.kit.ledger.pieces import Piece

MARK = 0x52426B31  # SQLite's application_id of a ledger: "RBk1"
VERSION = 1
WAIT = 20.0  # for another writer [s]
_TABLES = """
CREATE TABLE entries (
    number INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    by TEXT NOT NULL,
    kind TEXT NOT NULL,
    kit TEXT NOT NULL,
    data TEXT NOT NULL
);
CREATE TRIGGER no_change BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER no_delete BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END;
"""


class Ledger:
    """The ledger in the file `path`; it is made if it is not there and `new` is true.

    clock: tells date and time; left out, the computer's. Raises LadderError if there is no such file, it is no ledger,
    or one of a later version.
    """

    def __init__(self, path: Path, *, new: bool = False, clock: Callable[[], datetime] | None = None) -> None:
        self.path = Path(path)
        self._clock = clock or (lambda: datetime.now(UTC))
        if not self.path.is_file():
            if not new:
                raise LadderError("Ledger", "there is no such file; `rungbook kit add` makes it", str(path))
            self.path.parent.mkdir(parents=True, exist_ok=True)
        with self._open() as base:
            if new:
                self._prepare(base)
            self._check(base)

    def books(self) -> Books:
        """Return the state that follows from all entries."""
        with self._open() as base:
            return Books(_entries(base))

    def add(self, by: str, kit: str, name: str, pieces: Iterable[Piece]) -> Entry:
        """Add a kit of the number `kit`. Raises LadderError as `Books.may_add`."""
        listed = tuple(pieces)
        return self._write(by, "added", kit, lambda books: books.may_add(kit, name, listed))

    def issue(self, by: str, kit: str, group: str, members: Iterable[str]) -> Entry:
        """Issue a kit to a group. Raises LadderError as `Books.may_issue`."""
        people = list(members)
        return self._write(by, "issued", kit, lambda books: books.may_issue(kit, group, people))

    def check(self, by: str, kit: str, findings: Iterable[Finding], signed: Iterable[str]) -> Entry:
        """Enter the check-in list that the group has signed. Raises LadderError as `Books.may_check`."""
        found, people = tuple(findings), list(signed)
        return self._write(by, "checked", kit, lambda books: books.may_check(kit, found, people, back=False))

    def take_in(self, by: str, kit: str, findings: Iterable[Finding], signed: Iterable[str]) -> Entry:
        """Take a kit back from its group, with the list of what was found. Raises LadderError as `Books.may_check`."""
        found, people = tuple(findings), list(signed)
        return self._write(by, "returned", kit, lambda books: books.may_check(kit, found, people, back=True))

    def replace(self, by: str, kit: str, piece: str, remark: str = "") -> Entry:
        """A piece has been repaired or replaced: it is good again. Raises LadderError as `Books.may_replace`."""
        return self._write(by, "replaced", kit, lambda books: books.may_replace(kit, piece, remark))

    def withdraw(self, by: str, kit: str, remark: str = "") -> Entry:
        """Take a kit out of use; its history stays. Raises LadderError as `Books.may_withdraw`."""
        return self._write(by, "withdrawn", kit, lambda books: books.may_withdraw(kit, remark))

    def price(self, by: str, prices: dict[str, object], currency: str) -> Entry:
        """Enter what new pieces cost, by model; later prices stand. Raises LadderError as `Books.may_price`."""
        return self._write(by, "priced", "", lambda books: books.may_price(prices, currency))

    def take_back(self, by: str, number: int, reason: str) -> Entry:
        """Take an entry back: what follows from the others counts. Raises LadderError as `Books.may_take_back`."""
        return self._write(by, "taken back", "", lambda books: books.may_take_back(number, reason))

    def add_all(self, by: str, kits: Iterable[tuple[str, str, tuple[Piece, ...]]]) -> list[Entry]:
        """Add several kits (number, name, pieces), all or none. Raises LadderError as `Books.may_add`."""
        made = []
        with self._open() as base, _transaction(base):
            for kit, name, listed in kits:
                data = Books(_entries(base)).may_add(kit, name, listed)
                made.append(self._insert(base, by, "added", kit, data))
        return made

    def _write(self, by: str, kind: str, kit: str, ask: Callable[[Books], dict[str, Any]]) -> Entry:
        with self._open() as base, _transaction(base):
            return self._insert(base, by, kind, kit, ask(Books(_entries(base))))

    def _insert(self, base: sqlite3.Connection, by: str, kind: str, kit: str, data: dict[str, Any]) -> Entry:
        who = line("Written by", by, most=100)
        at = self._clock().astimezone(UTC).isoformat(timespec="seconds")
        (number,) = base.execute("SELECT COALESCE(MAX(number), 0) + 1 FROM entries").fetchone()
        text = json.dumps(data, ensure_ascii=False, sort_keys=True)
        base.execute("INSERT INTO entries VALUES (?, ?, ?, ?, ?, ?)", (number, at, who, kind, kit, text))
        return Entry(number, at, who, kind, kit, json.loads(text))

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        base = sqlite3.connect(self.path, timeout=WAIT, isolation_level=None)
        try:
            yield base
        except sqlite3.DatabaseError as error:
            raise LadderError("Ledger", f"cannot be read or written: {error}", str(self.path)) from error
        finally:
            base.close()

    def _prepare(self, base: sqlite3.Connection) -> None:
        with _transaction(base):
            if base.execute("SELECT COUNT(*) FROM sqlite_master").fetchone() == (0,):
                for statement in (part for part in _TABLES.split(";\n") if part.strip()):
                    base.execute(statement)
                base.execute(f"PRAGMA application_id = {MARK}")
                base.execute(f"PRAGMA user_version = {VERSION}")

    def _check(self, base: sqlite3.Connection) -> None:
        (mark,) = base.execute("PRAGMA application_id").fetchone()
        (version,) = base.execute("PRAGMA user_version").fetchone()
        if mark != MARK:
            raise LadderError("Ledger", "this file is no ledger of kits, and is left as it is", str(self.path))
        if version > VERSION:
            rule = f"was written by a later edition (version {version}; this one reads {VERSION})"
            raise LadderError("Ledger", rule, str(self.path))


@contextmanager
def _transaction(base: sqlite3.Connection) -> Iterator[None]:
    """The write lock, and all or nothing."""
    base.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        base.execute("ROLLBACK")
        raise
    base.execute("COMMIT")


def _entries(base: sqlite3.Connection) -> list[Entry]:
    rows = base.execute("SELECT number, at, by, kind, kit, data FROM entries ORDER BY number")
    return [Entry(number, at, by, kind, kit, json.loads(data)) for number, at, by, kind, kit, data in rows]
