"""Whose file is it, when was it handed in, and which attempt: told from its path alone.

A student's id that stands in the path as a word of its own decides. Without one, a name does: first and last name in
any order, or the last name if only one student has it. What fits several students is not guessed.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from functools import cached_property

from rungbook.classroom.roster import Student
from rungbook.errors import LadderError

GROUPS = ("id", "name", "first", "last", "time", "number")
_TIME = re.compile(
    r"(?<!\d)(20\d\d)[-_.]?([01]\d)[-_.]?([0-3]\d)(?:[-_ T.]|at|\s)*"
    r"([0-2]\d)[-_.:h]?([0-5]\d)(?:[-_.:m]?([0-5]\d))?(?!\d)"
)
_DAY = re.compile(r"(?<!\d)20\d\d[-_.]?[01]\d[-_.]?[0-3]\d(?!\d)")
_NUMBER = (
    re.compile(r"\((\d{1,3})\)(?!.*\(\d{1,3}\))"),
    re.compile(r"(?:attempt|try|version)[ _-]?(\d{1,3})(?!\d)", re.IGNORECASE),
    re.compile(r"[ _.-]v(\d{1,2})(?![^\W_])", re.IGNORECASE),
    re.compile(r"(?<=[^\W_])-(\d{1,2})(?=\.ipynb)", re.IGNORECASE),
)


@dataclass(frozen=True)
class Whose:
    """What a path says. students: ids it fits, one if it is certain. by: "id", "name", "map" or "". time in UTC."""

    students: tuple[str, ...]
    by: str = ""
    time: datetime | None = None
    number: int | None = None


class Roll:
    """The students of the class, ready to be looked for in paths.

    students: of the roster. lab: its full and short name, which say nothing about a student. pattern: a regular
    expression with some of the named groups id, name, first, last, time, number, searched in the whole path instead.

    Raises LadderError if the pattern is none, has other groups, or tells no student.
    """

    def __init__(self, students: Iterable[Student], lab: Sequence[str], zone: tzinfo, pattern: str | None = None):
        self.students = tuple(students)
        self.zone = zone
        self._lab = re.compile("|".join(re.escape(name) for name in sorted(lab, key=len, reverse=True)), re.IGNORECASE)
        self.pattern = None if pattern is None else _compiled(pattern)

    @cached_property
    def _ids(self) -> dict[str, str]:
        return {plain(one.id): one.id for one in self.students}

    @cached_property
    def _id_pattern(self) -> re.Pattern[str]:
        words = sorted(self._ids, key=lambda word: (-len(word), word))
        return re.compile(rf"(?<![^\W_])(?:{'|'.join(map(re.escape, words)) or '(?!)'})(?![^\W_])")

    @cached_property
    def _names(self) -> list[tuple[str, tuple[str, ...], tuple[str, ...]]]:
        """(id, words of the first name, words of the last name)."""
        return [(one.id, words(one.first_name), words(one.last_name)) for one in self.students]

    def whose(self, parts: Sequence[str]) -> Whose:
        """Read a path, its folders among `parts`."""
        if self.pattern is not None:
            return self._by_pattern("/".join(parts))
        file = parts[-1]
        time = next((found for part in reversed(parts) if (found := read_time(part, self.zone))), None)
        number = read_number(self._lab.sub(" ", file))
        bare = [self._bare(part) for part in parts]
        ids = {self._ids[found[0]] for part in bare for found in self._id_pattern.finditer(plain(part))}
        if ids:
            return Whose(tuple(sorted(ids)), "id", time, number)
        return Whose(self._by_name([word for part in bare for word in words(part)]), "name", time, number)

    def _bare(self, part: str) -> str:
        """A part of the path without what is no student: times, numbers of attempts, the lab's name."""
        for pattern in (_TIME, _DAY, *_NUMBER, self._lab):
            part = pattern.sub(lambda found: found[0] if plain(found[0]) in self._ids else " ", part)
        return re.sub(r"\.(?:ipynb|zip|txt|json)\b", " ", part, flags=re.IGNORECASE)

    def _by_name(self, told: Sequence[str]) -> tuple[str, ...]:
        there = set(told)
        full = [
            student
            for student, first, last in self._names
            if last and first and ({*first, *last} <= there or {"".join(last + first), "".join(first + last)} & there)
        ]
        if full:
            return tuple(sorted(full))
        half = [student for student, _, last in self._names if last and ({*last} <= there or "".join(last) in there)]
        return tuple(sorted(half))

    def _by_pattern(self, path: str) -> Whose:
        assert self.pattern is not None
        match = self.pattern.search(path)
        if match is None:
            return Whose((), "pattern")
        told = {name: value for name, value in match.groupdict().items() if value}
        time = read_time(told.get("time", ""), self.zone)
        number = int(told["number"]) if told.get("number", "").isdecimal() else None
        if "id" in told:
            found = self._ids.get(plain(told["id"]))
            return Whose((found,) if found else (), "id", time, number)
        return Whose(self._by_name(words(" ".join(told.get(name, "") for name in GROUPS[1:4]))), "name", time, number)


def plain(text: str) -> str:
    """Small letters without accents, marks of direction and differences of writing."""
    text = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in text if not unicodedata.combining(c) and unicodedata.category(c) != "Cf")


def words(text: str) -> tuple[str, ...]:
    """The words of letters in `text`, made plain."""
    return tuple(re.findall(r"[^\W\d_]+", plain(text)))


def read_time(text: str, zone: tzinfo) -> datetime | None:
    """The date and time that stands in a name, in UTC; None if there is none, or only a day."""
    for match in _TIME.finditer(text):
        try:
            year, month, day, hour, minute, second = (int(one or 0) for one in match.groups())
            return datetime(year, month, day, hour, minute, second, tzinfo=zone).astimezone(UTC)
        except ValueError:
            continue
    return None


def read_number(file: str) -> int | None:
    """The number of the attempt or copy in a file's name, "lab02 (2).ipynb"; None if there is none."""
    for pattern in _NUMBER:
        if match := pattern.search(file):
            return int(match[1])
    return None


def _compiled(pattern: str) -> re.Pattern[str]:
    try:
        found = re.compile(pattern, re.IGNORECASE)
    except re.error as problem:
        raise LadderError("--pattern", f"is a regular expression: {problem}", pattern) from None
    groups = set(found.groupindex)
    if groups - set(GROUPS) or not groups & {"id", "name", "last"}:
        rule = "has named groups, (?P<id>…), (?P<name>…) or (?P<last>…) among them"
        raise LadderError("--pattern", rule, pattern, GROUPS)
    return found
