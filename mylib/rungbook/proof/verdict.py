"""What became of one rule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungbook.behaviour import Step, tell

Outcome = Literal["holds", "broken", "not shown", "not decided"]


@dataclass(frozen=True)
class Verdict:
    """What became of one rule.

    outcome: "holds" in every case; "broken" by `steps`, the shortest sequence of orders that shows it; "not shown":
    never broken, but the circuit never comes to the point at which the rule asks something; "not decided" within the
    limits of work. seen, expected, why: for a broken rule, in bench language; otherwise "". chatter:
    True if it is broken because the coils chatter.
    """

    sentence: str
    outcome: Outcome
    steps: tuple[Step, ...] = ()
    seen: str = ""
    expected: str = ""
    why: str = ""
    chatter: bool = False

    @property
    def holds(self) -> bool:
        """True if the rule holds in every case and was put to the test."""
        return self.outcome == "holds"

    def __str__(self) -> str:
        if self.outcome != "broken":
            return f"{self.outcome}: {self.sentence}" + (f" {self.why}" if self.why else "")
        done = tell(self.steps) or "Nothing is touched."
        return f"broken: {self.sentence} {done} Seen: {self.seen}. Expected: {self.expected}. {self.why}"
