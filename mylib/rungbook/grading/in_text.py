"""`in_text`: the same requirements, asked of structured text that a student has written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading.finding import Finding
from rungbook.grading.requirement import Requirement
from rungbook.kit import Device


def in_text(
    *requirements: Requirement, wired: Mapping[str, str] | None = None, field: str = "program"
) -> tuple[Requirement, ...]:
    """Ask `requirements`, such as `must(…)`, of the text in the form's `field`; for `mark(…, *in_text(…))`.

    The text is read by `exchange.read_statements` on the panel of the exercise, and judged as the relays of its ladder:
    in every order in which they can move, so a program that hangs on the order of the scan counts as a race. wired:
    as there. A text that cannot be read earns nothing; the feedback names the line.
    Raises LadderError, when the exercise is written, if a requirement judges something else than a ladder.
    """
    for one in requirements:
        if one.wants is not Ladder:
            raise LadderError("in_text", "takes requirements that judge a ladder", one.sentence)
    return tuple(_asked(one, dict(wired or {}), field) for one in requirements)


def _asked(requirement: Requirement, wired: Mapping[str, str], field: str) -> Requirement:
    from rungbook.exchange import read_statements  # most exercises ask no text

    def judge(form: Mapping[str, Any], devices: tuple[Device, ...]) -> Finding:
        text = form.get(field)
        if not isinstance(text, str):
            return Finding(0, because=f"The form has no text under {field!r}.")
        if not text.strip():
            return Finding(0, because="You wrote nothing.")
        try:
            ladder = read_statements(text, devices, wired)
            ladder.validate()
        except LadderError as problem:
            return Finding(0, because=f"Your text cannot be read. {str(problem)[:1].upper()}{str(problem)[1:]}")
        return requirement.judge(ladder, devices)

    return Requirement(requirement.sentence, requirement.points, dict, judge)
