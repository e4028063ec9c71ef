"""Limits on what a person may hand in. Generous for a sheet of paper, small for a computer."""

from __future__ import annotations

from rungbook.errors import LadderError

MAX_TEXT = 200  # characters of a title, a plate or a note
MAX_RUNGS = 200
MAX_CONTACTS = 100  # contacts in one rung
MAX_LOADS = 10  # loads side by side at the end of one rung
MAX_DEPTH = 20  # levels of branches within branches
MAX_DEVICES = 200
MAX_JSON = 1_000_000  # characters of one ladder's JSON


def check_text(thing: str, field: str, text: object) -> str:
    """Return `text` if it is printable text of at most MAX_TEXT characters; raise LadderError otherwise."""
    if not isinstance(text, str):
        raise LadderError(thing, f"the {field} must be text", text)
    if len(text) > MAX_TEXT:
        raise LadderError(
            thing, f"the {field} may have at most {MAX_TEXT} characters, this has {len(text)}", text[:20] + "…"
        )
    if any(not letter.isprintable() for letter in text):
        raise LadderError(thing, f"the {field} must be one line of printable characters", text)
    return text
