"""`check`: the visible check a student runs before handing in. Same engine as the marks, without marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

from rungbook.behaviour import run
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.tables import html_table, text_table

_HEAD = ("order", "device", "expected", "seen", "")


@dataclass(frozen=True)
class Checked:
    """What `check` saw: rows of (order, device, expected, seen). True if all agree. Shows itself as a table."""

    title: str
    rows: tuple[tuple[str, str, str, str], ...]
    problem: str = ""  # why nothing could be tried, for a ladder that is not finished

    def __bool__(self) -> bool:
        return not self.problem and all(expected == seen for _, _, expected, seen in self.rows)

    def _lines(self) -> list[tuple[str, str, str, str, str]]:
        return [(*row, "as expected" if row[2] == row[3] else "NOT as expected") for row in self.rows]

    def __str__(self) -> str:
        return f"Not yet: {self.problem}" if self.problem else text_table(_HEAD, self._lines())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        if self.problem:
            return f"<p>{escape(str(self))}</p>"
        lines = self._lines()
        wrong = {(number, k) for number, line in enumerate(lines) if line[2] != line[3] for k in (3, 4)}
        words = "everything here is as expected" if self else "not yet as expected"
        return html_table(f"{self.title}: {words}".removeprefix(": "), _HEAD, lines, bold=wrong)


def check(ladder: Ladder, *moments: tuple[str, Mapping[str, str]]) -> Checked:
    """Do orders on `ladder` one after the other and compare positions: `check(l, ("press S2", {"Q1": "in"}))`.

    moments: pairs of an order (or several, with commas) and device -> expected word. The result shows itself as a
    table and is True if all agree. A ladder that is not finished is no error here: the result says what is missing.
    It carries no marks.

    Raises LadderError as `run` does, or if a device is not on the ladder or has no such position.
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("check", "works on a Ladder", ladder, ("Ladder('title')",))
    try:
        ladder.validate()
    except LadderError as unfinished:
        return Checked(ladder.title, (), str(unfinished))
    rows: list[tuple[str, str, str, str]] = []
    done = ""
    for order, wanted in moments:
        done = f"{done}, {order}" if done else order
        moment = run(ladder, done)[-1]
        for tag, word in wanted.items():
            if tag not in moment.positions:
                raise LadderError("check", f"no device {tag} in this ladder", tag, tuple(moment.positions))
            words = ladder.devices[tag].spec.positions if tag in ladder.devices else (word,)
            if word not in words:
                raise LadderError("check", f"{tag} has no such position", word, words)
            rows.append((order, tag, word, moment.positions[tag]))
    return Checked(ladder.title, tuple(rows))
