"""`good_practice`: marks for a circuit as good practice has it."""

from __future__ import annotations

from collections.abc import Iterable

from rungbook.behaviour import tell
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading.finding import MET, Finding, not_decided
from rungbook.grading.panel import on_panel
from rungbook.grading.requirement import Requirement
from rungbook.kit import Device
from rungbook.proof.practice import MAX_REVIEWED, SEVERITIES, Severity, review


def good_practice(
    points: float,
    *,
    up_to: Severity = "fault",
    leave_out: Iterable[str] = (),
    never_together: Iterable[tuple[str, str]] = (),
    not_asked: Iterable[str] = (),
    limit: int = MAX_REVIEWED,
    look: str = "",
) -> Requirement:
    """Ask that `review` finds nothing of severity `up_to` or worse.

    leave_out: names of checks that this exercise does not ask, such as "overload contact". not_asked: devices that it
    does not ask for yet, such as an emergency stop of a later exercise. never_together, limit: as in `review`. Devices
    of the exercise decide colours and kinds. A review that finds nothing but leaves something undecided earns nothing
    until a person has looked; so does one with `up_to="advice"` of a ladder with timers or counters, in which no
    needless contacts are looked for. Raises LadderError if a severity is unknown.
    """
    if up_to not in SEVERITIES:
        raise LadderError("good_practice", "unknown severity", up_to, SEVERITIES)
    counted = SEVERITIES[: SEVERITIES.index(up_to) + 1]
    ignored, pairs, later = frozenset(leave_out), tuple(never_together), tuple(not_asked)

    def judge(ladder: Ladder, devices: tuple[Device, ...]) -> Finding:
        try:
            there = on_panel(ladder, devices)
            known = {device.tag for device in (*there.devices.values(), *(there.declared or ()))}
            left = [tag for tag in later if tag in known]
            found = review(there, never_together=pairs, not_asked=left, limit=limit)
        except LadderError as problem:
            return Finding(0, because=str(problem), look=look)
        for one in found.findings:
            if one.severity in counted and one.check not in ignored:
                done = (tell(one.steps) or "Nothing is touched.") if one.steps is not None else ""
                because = f"{one.sentence} {one.remedy} ({one.rule}.)"
                return Finding(0, done, one.seen.rstrip("."), because=because, look=look or one.place)
        if found.undecided:
            return not_decided(found.undecided[0])
        if found.not_looked_for and "advice" in counted and "needless contact" not in ignored:
            return not_decided(found.not_looked_for[0])
        return MET

    return Requirement("The circuit is built as good practice has it.", points, Ladder, judge)
