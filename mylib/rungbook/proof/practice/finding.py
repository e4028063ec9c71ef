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
    """The findings of one `review`, worst first, and what was not decided, a sentence each.

    True if there is no danger and no fault, and nothing was left undecided. Shows itself as text and as a table.
    """

    title: str
    findings: tuple[PracticeFinding, ...]
    undecided: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return not self.undecided and all(finding.severity == "advice" for finding in self.findings)

    def __str__(self) -> str:
        lines = [str(finding) for finding in self.findings] or ["Nothing found."]
        return "\n".join([*lines, *(f"not decided: {text}" for text in self.undecided)])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        head = ("severity", "finding", "shown by", "where", "what to do", "rule")
        rows: list[tuple[str, ...]] = [
            (f.severity, f.sentence, f.shown_by, f.place, f.remedy, f.rule) for f in self.findings
        ]
        rows += [("not decided", text, "", "", "", "") for text in self.undecided]
        caption = f"{self.title}: review of good practice".removeprefix(": ")
        return html_table(caption, head, rows or [("–", "Nothing found.", "", "", "", "")])
