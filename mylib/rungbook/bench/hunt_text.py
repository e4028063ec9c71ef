"""The acts of a hunt as lines of text, which a person can read and an answer cell of a notebook holds.

    press S2: Q1 out, P1 dark
    volts S2:14 – X2: 120.0 V
    claim F1: contact 95-96 stays open

A line is what was done, a colon and a blank, and what was shown. Blank lines and blanks around a line do not matter.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from rungbook.errors import LadderError
from rungbook.proof.hunt import Row
from rungbook.proof.hunt.rig import QUANTITIES
from rungbook.proof.hunt.search import AS_FOUND, DO, LOCK, LOOK, SOURCE, UNLOCK

CLAIM = "claim"
_SOURCE = "volts at the live source"
_LEADS = re.compile(rf"({'|'.join(QUANTITIES)}) (\S.*?) [–-] (\S.*)\Z")


def write_acts(rows: Sequence[Row], claim: tuple[str, str] | None) -> str:
    """Return `rows`, and the claim if there is one, as text."""
    lines = [f"{row.told}: {row.shown}" for row in rows]
    if claim is not None:
        lines.append(f"{CLAIM} {claim[0]}: {claim[1]}")
    return "\n".join(lines)


def read_acts(text: object) -> tuple[list[dict[str, Any]], tuple[str, str] | None]:
    """Return the records (`Row.record`) of the acts in `text`, and the claim.

    Raises LadderError if it is no text, a line has no ": ", or something follows the claim.
    """
    if not isinstance(text, str):
        raise LadderError("Acts", "are text, as the hunt shows it to be copied", text)
    records: list[dict[str, Any]] = []
    claim: tuple[str, str] | None = None
    for number, line in enumerate(filter(None, map(str.strip, text.splitlines())), 1):
        thing = f"Acts, line {number}"
        if claim is not None:
            raise LadderError(thing, "nothing follows the claim, which is the last act", line)
        told, sign, shown = line.partition(": ")
        if not sign:
            raise LadderError(thing, "is what was done, ': ', and what was shown", line, ("press S2: Q1 in",))
        if told.startswith(f"{CLAIM} "):
            claim = (told.removeprefix(f"{CLAIM} "), shown)
        else:
            records.append({"n": number, **_act(told), "shown": shown})
    return records, claim


def _act(told: str) -> dict[str, Any]:
    if told == _SOURCE:
        return {"act": SOURCE}
    if told in (AS_FOUND, LOOK, LOCK, UNLOCK):
        return {"act": told}
    if found := _LEADS.match(told):
        return {"act": found[1], "leads": [found[2], found[3]]}
    return {"act": DO, "what": told}
