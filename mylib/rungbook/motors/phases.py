"""One phase or three: the factor between line voltage times line current and apparent power."""

from __future__ import annotations

import math

from rungbook.errors import LadderError


def root_of(phases: int) -> float:
    """Return √3 for three phases, 1 for one. Raises LadderError for any other number."""
    if isinstance(phases, bool) or phases not in (1, 3):
        raise LadderError("Phases", "one or three", phases, ("1", "3"))
    return math.sqrt(3) if phases == 3 else 1.0


def root_text(phases: int) -> str:
    """How that factor is written in a step: "√3 × ", or nothing."""
    return "√3 × " if phases == 3 else ""
