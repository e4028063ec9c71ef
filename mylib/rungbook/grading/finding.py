"""What a requirement finds in an answer: met or not, and what to say: done, seen, expected, because, look at."""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Finding:
    """The result of one requirement.

    earned: share of the requirement's points, 0 to 1. done: what was done, as bench orders. seen and expected: clauses
    about the device. because: the reason the circuit itself shows. look: where to look next. Only `earned` is needed
    when everything is met. picture: a timing diagram of what was done, as text.

    undecided: True if the question was too large to decide, or cannot be asked of this answer; `because` then says why.
    Such a requirement earns nothing yet, is no mistake, and waits for a person.
    """

    earned: float
    done: str = ""
    seen: str = ""
    expected: str = ""
    because: str = ""
    look: str = ""
    undecided: bool = False
    picture: str = ""

    @property
    def met(self) -> bool:
        """True if all points are earned."""
        return self.earned >= 1

    def parts(self) -> tuple[str, ...]:
        """What to say, a part each: done and seen, expected, because.

        ("Press S2. Let S2 go. Q1 drops out.", "Expected: Q1 holds in.", "There is no closed path …").
        """
        seen = f"{self.seen}." if self.seen else ""
        if self.done.endswith("."):
            seen = seen[:1].upper() + seen[1:]
        happened = " ".join(part for part in (self.done, seen) if part)
        expected = f"Expected: {self.expected}." if self.expected else ""
        return tuple(part for part in (happened, expected, self.because) if part)


MET = Finding(1)
_WAITS = "an instructor will look"  # how the proof room ends its reason; said once, by `mark`


def not_decided(why: str) -> Finding:
    """A finding that is none yet, for the reason `why`: "more than 50000 states can be reached"."""
    reason = why.strip().rstrip(".").removesuffix(_WAITS).rstrip("; ")
    return Finding(0, because=f"{reason[:1].upper()}{reason[1:]}.", undecided=True)


def in_sentences(script: str) -> str:
    """ "Press S2. Wait 5 s.": the orders as the student reads them, and as `run` reads them back."""
    pieces = [piece.strip().rstrip(".") for piece in re.split(r"[,;\n]|\.(?!\d)", script) if piece.strip()]
    return " ".join(f"{piece[0].upper()}{piece[1:]}." for piece in pieces) or "Nothing is touched."
