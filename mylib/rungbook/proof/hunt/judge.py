"""What a hunt is worth: the right fault, the method, safety. Decided from the acts, done again on the faulty board.

Shares of the points: 60 % for the fault (20 % if only the device is right), 20 % for the method, 20 % for safety.
A right claim that the acts had not proved is a guess among the classes that they left: of the 40 % between device and
fault it earns its chance, one over their number.

Method: readings of the best strategy at worst, over the readings used, and never above 1; multiplied by what the acts
had shown, in bits, over what was to be shown: who guesses earns nothing for it. The best strategy begins with the
classes that look like this fault when everything has been operated, as looking costs nothing. Safety: half of it goes
if resistance was measured on a circuit that was off and not proved dead, all of it if on a live one. Method and safety
count only with the right device: a hunt in which nothing was found shows neither.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rungbook.behaviour.faults import Fault
from rungbook.errors import LadderError
from rungbook.proof.hunt.account import Account, account
from rungbook.proof.hunt.evidence import Evidence
from rungbook.proof.hunt.rig import Rig
from rungbook.proof.hunt.search import ACTS, MAX_ACTS, Row, Search, alike, repeat
from rungbook.proof.hunt.suspects import Claims

FAULT, DEVICE, METHOD, SAFETY = 0.6, 0.2, 0.2, 0.2
VERSION = 1
_KEYS = ("hunt", "token", "acts", "claim")


@dataclass(frozen=True)
class Judgement:
    """What a hunt is worth. earned: share of the points, 0 to 1. found: "right", "device", "wrong" or "nothing".

    used, best: readings that counted, and what the best strategy needs at worst. remaining: how many classes the acts
    had left. live, unproved: how often resistance was measured so. invalid: what in the log cannot be true, or "".
    """

    earned: float
    found: str = "nothing"
    method: float = 0.0
    safety: float = 0.0
    used: int = 0
    best: int = 0
    remaining: int = 0
    live: int = 0
    unproved: int = 0
    invalid: str = ""


def judge(evidence: Evidence, claims: Claims, fault: Fault, answer: Mapping[str, Any], budget: int) -> Judgement:
    """Return what the `answer` (as `FaultHunt.answer` makes it) to the hidden `fault` is worth.

    The token is the caller's to check. An answer that cannot be read, acts that cannot be done on this board within
    the budget, and readings that this board does not give earn nothing, and `invalid` says which.
    Raises LadderError if the fault cannot be found in the stated set.
    """
    like = evidence.like(fault)
    search = Search(Rig(evidence.board, evidence.leads, fault, evidence.power), budget)
    try:
        records, claim = read_answer(answer)
        repeat(search, records)
        named = None if claim is None else claims.read(*claim)
    except LadderError as problem:
        return Judgement(0, invalid=str(problem))
    if told := first_untrue(search.rows, records):
        return Judgement(0, invalid=told)
    shown = account(evidence, search.rows, advice=False)
    best = evidence.cost(like).worst
    method, safety = _method(evidence, shown, best), _safety(shown)
    found = _found(evidence, claims, fault, named)
    remaining = shown.remaining.bit_count()
    earned = 0.0
    if found in ("right", "device"):
        earned = DEVICE + SAFETY * safety
    if found == "right":
        earned += (FAULT - DEVICE) / max(remaining, 1) + METHOD * method
    counted = (shown.used, best, remaining, len(shown.live), len(shown.unproved))
    return Judgement(round(earned, 6), found, method, safety, *counted)


def read_answer(answer: object) -> tuple[list[dict[str, Any]], tuple[object, object] | None]:
    """Return the records of the acts and the claim, checked for form. Raises LadderError if it is not as made."""
    if not isinstance(answer, Mapping) or set(answer) != set(_KEYS) or answer["hunt"] != VERSION:
        raise LadderError("Hunt", "hand in what hunt.answer() returns, unchanged", choices=_KEYS)
    acts, claim = answer["acts"], answer["claim"]
    if not isinstance(acts, list) or len(acts) > MAX_ACTS:
        raise LadderError("Hunt", f"acts are a list of at most {MAX_ACTS}", type(acts).__name__)
    for number, record in enumerate(acts, 1):
        thing = f"Act {number}"
        if not isinstance(record, dict) or not {"n", "act", "shown"} <= set(record) <= {
            "n",
            "act",
            "shown",
            "what",
            "leads",
        }:
            raise LadderError(thing, "has its number, act, what or leads, and what was shown", record)
        if record["n"] != number or isinstance(record["n"], bool):
            raise LadderError(thing, "acts are numbered in their order", record["n"])
        if record["act"] not in ACTS or not isinstance(record["shown"], str):
            raise LadderError(thing, "no such act, or nothing shown", record["act"], ACTS)
        if not isinstance(record.get("leads", []), list):
            raise LadderError(thing, "leads are a list of two", record["leads"])
    if claim is None:
        return acts, None
    if not isinstance(claim, Mapping) or set(claim) != {"device", "fault"}:
        raise LadderError("Claim", "names a device and a fault", claim, ("device", "fault"))
    return acts, (claim["device"], claim["fault"])


def first_untrue(rows: Sequence[Row], records: Sequence[Mapping[str, Any]]) -> str:
    """Say which record shows something else than `rows`, the same acts on the board; "" if none does.

    A number may differ by as much as a meter does not tell.
    """
    for row, record in zip(rows, records, strict=True):
        said = record["shown"]
        if said == row.shown or (row.leads is not None and _near(row, said)):
            continue
        return f"Act {row.number}, {row.told}: the log says {said[:40]!r}, this board shows {row.shown!r}"
    return ""


def _near(row: Row, said: str) -> bool:
    """True if `said` is the display of `row` but for a difference in its number that a meter does not tell."""
    number, _, rest = said.partition(" ")
    try:
        value = float(number)
    except ValueError:
        return False
    if row.value is None or not math.isfinite(value) or rest != row.shown.partition(" ")[2]:
        return False
    return alike([row, replace(row, value=value)])[1]


def _found(evidence: Evidence, claims: Claims, fault: Fault, named: tuple[str, str] | None) -> str:
    if named is None:
        return "nothing"
    number = evidence.class_of(fault)
    assert number is not None
    if any(evidence.class_of(one) == number for one in claims.faults(named)):
        return "right"
    right = {device for one in evidence.classes[number] for device, _ in claims.names(one)}
    return "device" if named[0] in right else "wrong"


def _method(evidence: Evidence, shown: Account, best: int) -> float:
    count = len(evidence.classes)
    if not shown.remaining or count == 1:
        return float(bool(shown.remaining))
    proved = math.log2(count / shown.remaining.bit_count()) / math.log2(count)
    return proved * min(1.0, max(best, 1) / max(shown.used, 1))


def _safety(shown: Account) -> float:
    return 0.0 if shown.live else 0.5 if shown.unproved else 1.0
