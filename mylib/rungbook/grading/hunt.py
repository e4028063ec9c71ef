"""`finds_fault`: was the hidden fault found, by a good method, and safely? And whose fault is which.

Judged are the acts, done again on the board with the fault; what they are said to have shown is only compared.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from rungbook.behaviour import Board
from rungbook.circuit import Ladder, PowerCircuit
from rungbook.errors import LadderError
from rungbook.grading.finding import Finding
from rungbook.grading.requirement import Requirement
from rungbook.grading.variants import Pool, choose
from rungbook.kit import Device, Kit
from rungbook.proof.hunt import BUDGET, Case, Judgement, judge

_SAFE = "switch off, lock out, test the meter on a live source, test X1 – X2, test the source again; then measure ohms"


def finds_fault(
    circuit: Ladder | Board,
    token: str,
    points: float,
    look: str = "",
    *,
    lab: str = "",
    budget: int = BUDGET,
    kit: Kit | None = None,
    power: PowerCircuit | None = None,
    built: bool = False,
) -> Requirement:
    """Ask for the fault that `token` hides in `circuit`; the answer is what `FaultHunt.answer()` returns.

    Arguments as the student's `FaultHunt` has them. 60 % of the points are for the fault (20 % if only the device is
    right, little more for a guess; faults that nothing tells apart are all right), 20 % for the method, 20 % for
    safety, as `proof.hunt.judge` says. An answer for another token, or with readings that this board does not
    give, earns nothing.

    Raises LadderError, when the exercise is written, if the token is none of this lab and circuit, the fault cannot be
    found in the stated set of operations, or as `Case`.
    """
    case = Case(circuit, lab, kit=kit, power=power, built=built)
    fault = case.hidden(token)
    case.evidence.like(fault)
    if isinstance(budget, bool) or not isinstance(budget, int) or budget < 1:
        raise LadderError("finds_fault", "a budget is a whole number of readings, 1 or more", budget)

    def judged(answer: Mapping[str, Any], devices: tuple[Device, ...]) -> Finding:
        if answer.get("token") != token:
            return Finding(0, because="This is the log of another hunt: its token is not yours.", look=look)
        return _finding(judge(case.evidence, case.claims, fault, answer, budget), answer, look)

    return Requirement(f"The fault in {case.board.title or 'the circuit'} is found, safely.", points, dict, judged)


def _finding(found: Judgement, answer: Mapping[str, Any], look: str) -> Finding:
    if found.invalid:
        return Finding(0, because=f"The log is not one of this board. {found.invalid.rstrip('.')}.", look=look)
    claim = answer["claim"]
    named = f"you named {claim['device']}, {claim['fault']}" if claim else "you named no fault"
    readings = f"with {found.used} reading{'s' * (found.used != 1)}"
    told = {
        "right": "That is the fault.",
        "device": "The device is right, its fault is another one.",
        "wrong": "That is not the fault.",
        "nothing": "Name device and fault with hunt.claim. What was handed in on the bench is in the lines it shows.",
    }[found.found]
    reasons = [told]
    if found.remaining > 1:
        reasons.append(f"Your acts left {found.remaining} faults that would have shown the same.")
    if found.used > found.best and found.found == "right":
        reasons.append(f"The best strategy needs {found.best} at worst.")
    if found.live:
        reasons.append(
            f"Resistance was measured on a live circuit{f', {found.live} times' * (found.live > 1)}: {_SAFE}."
        )
    elif found.unproved:
        reasons.append(f"Resistance was measured before the circuit was proved dead: {_SAFE}.")
    return Finding(
        found.earned, seen=f"{named[0].upper()}{named[1:]}, {readings}", because=" ".join(reasons), look=look
    )


def hunt_tokens(
    circuit: Ladder | Board,
    *,
    lab: str = "",
    salt: str = "",
    kinds: Iterable[str] | None = None,
    kit: Kit | None = None,
    power: PowerCircuit | None = None,
    built: bool = False,
) -> dict[str, str]:
    """Return a token for each fault that can be hunted in `circuit`: sentence -> token, one fault of each class.

    For the instructor, who writes them into the lab and its variants. kinds: `Fault.kind` of those wanted, else all.
    salt: another word gives other tokens for the same faults, so that two students with one fault cannot see that they
    share it.
    Raises LadderError if a kind is not among them, or as `Case`.
    """
    case = Case(circuit, lab, kit=kit, power=power, built=built)
    first = [group[0] for group in case.evidence.classes]
    wanted = None if kinds is None else set(kinds)
    there = {fault.kind for fault in first}
    for kind in sorted((wanted or set()) - there):
        raise LadderError("hunt_tokens", "no fault of this kind can be hunted here", kind, tuple(sorted(there)))
    return {fault.sentence: case.token(fault, salt) for fault in first if wanted is None or fault.kind in wanted}


def choose_fault(student: str, lab: str, secret: bytes, count: int) -> int:
    """Return which of `count` faults `student` hunts in `lab`, 0 to count - 1: always the same, each equally likely.

    By HMAC, as variants are chosen. Raises LadderError if the count is not 1 or more, or as `choose`.
    """
    if isinstance(count, bool) or not isinstance(count, int) or count < 1:
        raise LadderError("choose_fault", "chooses among 1 or more faults", count)
    pool = Pool(("fault",), become=tuple(str(number) for number in range(count)))
    return int(choose((pool,), secret, f"{lab} hunt", student).becomes["fault"])
