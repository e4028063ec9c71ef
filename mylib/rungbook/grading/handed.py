"""An answer as it leaves the student's process: text that anybody may read, since nothing of the student's runs in it.

The marker may run the student's notebook in another process than the test cells. What crosses is a `Handed`; `declared`
(`mark.py`) makes one of every answer, so the marks are the same wherever the answer comes from.
"""

from __future__ import annotations

import json
from dataclasses import dataclass

from rungbook.circuit import Ladder, to_json
from rungbook.errors import LadderError
from rungbook.kit.limits import MAX_JSON

MAX_WORD = 300  # characters of a type's name and of a problem's text


@dataclass(frozen=True)
class Handed:
    """An answer as text. kind: the name of its type. text: JSON; None if it has none. problem: why it has none."""

    kind: str
    text: str | None = None
    problem: str = ""


def hand_over(name: str, answer: object) -> Handed:
    """Write the answer called `name` as JSON. Raises nothing: what cannot be written says why in `problem`."""
    if type(answer) is Ladder:
        try:
            return Handed("Ladder", to_json(answer))
        except LadderError as problem:
            return Handed("Ladder", problem=str(problem))
        except Exception:  # attributes overwritten by hand can be anything
            rule = "this Ladder was changed other than by .rung(...); make it anew"
            return Handed("Ladder", problem=str(LadderError(f"Answer {name}", rule)))
    if type(answer) is dict:
        try:
            text = json.dumps(answer)
        except (TypeError, ValueError, RecursionError):
            return Handed("dict", problem=str(LadderError(f"Answer {name}", "a form holds words and numbers only")))
        if len(text) > MAX_JSON:
            too_long = LadderError(f"Answer {name}", f"at most {MAX_JSON} characters", len(text))
            return Handed("dict", problem=str(too_long))
        return Handed("dict", text)
    # a type that another module or the student calls Ladder or dict is still another type
    kind = type(answer).__name__
    return Handed(f"another {kind}" if kind in ("Ladder", "dict") else kind)


def as_error(name: str, problem: str) -> LadderError:
    """The error whose message is `problem`, as the student's process told it."""
    thing, colon, rule = problem.partition(": ")
    if not colon:
        thing, rule = f"Answer {name}", problem
    return LadderError(thing, rule.removesuffix("."))
