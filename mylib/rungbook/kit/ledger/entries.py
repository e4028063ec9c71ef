"""What can happen to a kit, one record a kind of entry: its fields, and the words in which it is told."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from rungbook.errors import LadderError
from rungbook.kit.ledger.pieces import Piece

#: in the order from sound to gone; the last two must be ordered
CONDITIONS = ("good", "worn", "damaged", "missing")
TO_ORDER = ("damaged", "missing")
MOST_PIECES = 500
MOST_TEXT = 500

#: kind of entry -> fields it has beside kit
FIELDS: Mapping[str, frozenset[str]] = {
    "added": frozenset({"name", "pieces"}),
    "issued": frozenset({"group", "members"}),
    "checked": frozenset({"findings", "signed"}),
    "returned": frozenset({"findings", "signed"}),
    "replaced": frozenset({"piece", "remark"}),
    "withdrawn": frozenset({"remark"}),
    "priced": frozenset({"prices", "currency"}),
    "taken back": frozenset({"entry", "remark"}),
}


@dataclass(frozen=True)
class Finding:
    """What a check found of one piece: its name, one of `CONDITIONS`, and a remark."""

    piece: str
    condition: str
    remark: str = ""

    def __post_init__(self) -> None:
        if self.condition not in CONDITIONS:
            raise LadderError(f"Piece {self.piece}", "is in one of the known conditions", self.condition, CONDITIONS)
        line("Remark", self.remark, empty=True)


@dataclass(frozen=True)
class Entry:
    """One entry as it stands in the ledger. number: from 1, in the order of writing. at: date and time (ISO 8601, UTC).

    by: who wrote it. kit: "" for prices and what is taken back. data: its fields, as `FIELDS` says.
    """

    number: int
    at: str
    by: str
    kind: str
    kit: str
    data: Mapping[str, Any]

    def told(self) -> str:
        """The entry as a sentence."""
        data = self.data
        if self.kind == "added":
            return f"added as {data['name']!r} with {len(data['pieces'])} pieces"
        if self.kind == "issued":
            return f"issued to group {data['group']} ({', '.join(data['members'])})"
        if self.kind in ("checked", "returned"):
            wrong = [_of(finding) for finding in data["findings"] if finding["condition"] != "good"]
            found = "; ".join(wrong) or f"all {len(data['findings'])} pieces good"
            return f"{self.kind}, signed by {', '.join(data['signed'])}: {found}"
        if self.kind == "replaced":
            return f"{data['piece']} replaced{_tail(data['remark'])}"
        if self.kind == "withdrawn":
            return f"withdrawn{_tail(data['remark'])}"
        if self.kind == "priced":
            return f"prices of {len(data['prices'])} models in {data['currency']}"
        return f"entry {data['entry']} taken back{_tail(data['remark'])}"


def _of(finding: Mapping[str, str]) -> str:
    return f"{finding['piece']} {finding['condition']}{_tail(finding['remark'])}"


def _tail(remark: str) -> str:
    return f" ({remark})" if remark else ""


def line(thing: str, text: object, *, empty: bool = False, most: int = MOST_TEXT) -> str:
    """Return `text` without blanks at its ends if it is one line of at most `most` characters. Raises LadderError."""
    if not isinstance(text, str) or any(ord(letter) < 32 for letter in text) or len(text) > most:
        raise LadderError(thing, f"is one line of at most {most} characters", text)
    if not text.strip() and not empty:
        raise LadderError(thing, "must not be empty", text)
    return text.strip()


def names(thing: str, given: object) -> list[str]:
    """Return the names of people in `given`, a list. Raises LadderError if there is none, or one stands twice."""
    if isinstance(given, str) or not isinstance(given, Sequence) or not given:
        raise LadderError(thing, "is a list of at least one name", given, ("['Ada', 'Ben']",))
    found = [line(thing, name, most=100) for name in given]
    for place, name in enumerate(found):
        if name in found[:place]:
            raise LadderError(thing, "names each person once", name)
    return found


def money(thing: str, given: object) -> str:
    """Return a cost as decimal text. Raises LadderError if it is no number from 0 to 1,000,000."""
    try:
        cost = Decimal(str(given).strip())
    except InvalidOperation:
        cost = Decimal(-1)
    if isinstance(given, bool) or not cost.is_finite() or not 0 <= cost <= 1_000_000:
        raise LadderError(thing, "costs a number from 0 to 1000000, written with a point", given, ("24.50",))
    return str(cost)


def findings_of(kit: str, have: Iterable[Piece], given: Iterable[Finding]) -> list[dict[str, str]]:
    """Return one finding for each piece of the kit, in its order, as plain data.

    Raises LadderError if a piece is unknown, found twice, or not looked at: a check is of the whole kit.
    """
    order = [piece.name for piece in have]
    found: dict[str, Finding] = {}
    for finding in given:
        if not isinstance(finding, Finding):
            raise LadderError(f"Kit {kit}", "a check is a list of Finding", finding)
        if finding.piece not in order:
            raise LadderError(f"Kit {kit}", "has no such piece", finding.piece, tuple(order))
        if finding.piece in found:
            raise LadderError(f"Kit {kit}", "each piece is looked at once in a check", finding.piece)
        found[finding.piece] = finding
    if left_out := [name for name in order if name not in found]:
        raise LadderError(f"Kit {kit}", "a check looks at every piece; not looked at", ", ".join(left_out))
    return [{"piece": name, "condition": found[name].condition, "remark": found[name].remark.strip()} for name in order]
