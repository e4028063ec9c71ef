"""`check`: the visible check a student runs before handing in. Same engine as the marks, without marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

from rungbook.behaviour import run
from rungbook.circuit import Ladder
from rungbook.errors import LadderError


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
        if self.problem:
            return f"Not yet: {self.problem}"
        lines = [("order", "device", "expected", "seen", ""), *self._lines()]
        widths = [max(len(line[k]) for line in lines) for k in range(5)]
        return "\n".join("  ".join(c.ljust(w) for c, w in zip(line, widths, strict=True)).rstrip() for line in lines)

    __repr__ = __str__

    def _repr_html_(self) -> str:
        if self.problem:
            return f"<p>{escape(str(self))}</p>"
        head = "".join(
            f'<th scope="col" style="text-align:left">{c}</th>' for c in ("order", "device", "expected", "seen", "")
        )
        body = ""
        for line in self._lines():
            wrong = line[2] != line[3]
            cells = (f"<b>{escape(c)}</b>" if wrong and k >= 3 else escape(c) for k, c in enumerate(line))
            body += "<tr>" + "".join(f'<td style="text-align:left">{c}</td>' for c in cells) + "</tr>"
        words = "Everything here is as expected" if self else "Not yet as expected"
        caption = escape(f"{self.title}: {words}".removeprefix(": "))
        return f"<table><caption>{caption}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def check(ladder: Ladder, *moments: tuple[str, Mapping[str, str]]) -> Checked:
    """Do orders on `ladder` one after the other and compare positions: `check(l, ("press S2", {"Q1": "in"}))`.

    moments: pairs of an order (or several, with commas) and device -> expected word. The result shows itself as a
    table and is True if all agree. A ladder that is not finished is no error here: the result says what is missing.
    It carries no marks.

    Raises LadderError as `run` does, or if a device is not on the ladder.
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
            rows.append((order, tag, word, moment.positions[tag]))
    return Checked(ladder.title, tuple(rows))
