"""One finding of a review, and the review: what was found, worst first, and what could not be decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungbook.behaviour import Step, tell
from rungbook.tables import html_table

Severity = Literal["danger", "fault", "advice"]
SEVERITIES: tuple[Severity, ...] = ("danger", "fault", "advice")


@dataclass(frozen=True)
class PracticeFinding:
    """Something in a circuit that good practice does otherwise.

    check: name of the check. severity: "danger" (can hurt someone), "fault" (against a rule), "advice" (could be
    better). sentence: what is wrong, for the student. place: device, rung and wires. rule: source and clause. remedy:
    what to do. steps: the shortest orders that show it, None if it can be seen without an order; seen: what they show.
    """

    check: str
    severity: Severity
    sentence: str
    place: str
    rule: str
    remedy: str
    steps: tuple[Step, ...] | None = None
    seen: str = ""

    @property
    def shown_by(self) -> str:
        """ "Press S2. Q1 pulls in.", or "" for what can be seen without an order."""
        if self.steps is None:
            return ""
        return f"{tell(self.steps) or 'Nothing is touched.'} {self.seen}".strip()

    def __str__(self) -> str:
        parts = (
            f"{self.severity}: {self.sentence}",
            self.shown_by,
            f"Where: {self.place}.",
            f"Do: {self.remedy}",
            f"Rule: {self.rule}.",
        )
        return " ".join(part for part in parts if part)


@dataclass(frozen=True)
class Review:
    """The findings of one `review`, worst first, what was not decided, and what was not looked for, a sentence each.

    not_looked_for: checks that can end in advice only, and that are not made on such a circuit.
    True if there is no danger and no fault, and nothing was left undecided. Shows itself as text and as a table.
    """

    title: str
    findings: tuple[PracticeFinding, ...]
    undecided: tuple[str, ...] = ()
    not_looked_for: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return not self.undecided and all(finding.severity == "advice" for finding in self.findings)

    def __str__(self) -> str:
        lines = [str(finding) for finding in self.findings] or ["Nothing found."]
        return "\n".join([*lines, *(f"{head}: {text}" for head, text in self._open())])

    def _open(self) -> list[tuple[str, str]]:
        """What is open, with its head."""
        return [
            *(("not decided", text) for text in self.undecided),
            *(("not looked for", text) for text in self.not_looked_for),
        ]

    __repr__ = __str__

    def _repr_html_(self) -> str:
        columns = ("severity", "finding", "shown by", "where", "what to do", "rule")
        rows: list[tuple[str, ...]] = [
            (f.severity, f.sentence, f.shown_by, f.place, f.remedy, f.rule) for f in self.findings
        ]
        if not rows and not self.undecided:
            rows = [("–", "Nothing found.", "", "", "", "")]
        rows += [(head, text, "", "", "", "") for head, text in self._open()]
        caption = f"{self.title}: review of good practice".removeprefix(": ")
        return html_table(caption, columns, rows)
