"""`compare`: do two ladders do the same in every case? If not, the shortest sequence of orders that shows it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from rungbook.behaviour import Panel, Step, tell
from rungbook.behaviour.timed_panel import TimedPanel, works_in_time
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.proof.differ import Differ
from rungbook.proof.explain import CHATTER, why
from rungbook.proof.explore import Edge
from rungbook.proof.limits import MAX_SECONDS, MAX_STATES, Deadline, TooMany
from rungbook.proof.pairs import Pair
from rungbook.proof.tell import does


@dataclass(frozen=True)
class Comparison:
    """Two ladders compared on chosen outputs.

    outcome: "same" in every case, "different" (`steps` is the shortest sequence that shows it, `yours` and `asked`
    what each ladder then does, `why` the reason in yours), or "not decided" within the limit. True if the same.
    """

    outcome: str
    steps: tuple[Step, ...] = ()
    yours: str = ""
    asked: str = ""
    why: str = ""

    def __bool__(self) -> bool:
        return self.outcome == "same"

    def __str__(self) -> str:
        if self.outcome == "different":
            done = tell(self.steps) or "Nothing is touched."
            return f"different: {done} Yours: {self.yours}. Asked: {self.asked}. {self.why}"
        return self.outcome if self.outcome == "same" else f"{self.outcome}: {self.why}"

    __repr__ = __str__


class _Both(NamedTuple):
    yours: Panel | TimedPanel
    asked: Panel | TimedPanel


def panel_devices(*ladders: Ladder) -> tuple[Device, ...]:
    """All devices of several ladders, each once; the first ladder that declares or uses one decides its kind."""
    found: dict[str, Device] = {}
    for ladder in ladders:
        for device in (*(ladder.declared or ()), *ladder.devices.values()):
            found.setdefault(device.tag, device)
    return tuple(found.values())


def compare(
    mine: Ladder,
    asked: Ladder,
    outputs: Iterable[str] | None = None,
    limit: int = MAX_STATES,
    seconds: float = MAX_SECONDS,
) -> Comparison:
    """Compare two ladders over all sequences of bench orders, supply off and on included.

    outputs: designations of the coils and lamps that must agree whenever both panels rest; left out, all loads of
    `asked`. Other loads (helping relays) are free. Devices are those of both ladders; `asked` decides their kinds.
    Where the quickness of relays decides what `mine` does, every outcome must agree. What bears on no output, chatter
    too, is free. limit: pairs of states for one output; seconds: of work [s]; beyond either nothing is decided.

    With timers or counters in either ladder orders are given at any instant, and a difference counts if it lasts for
    some time; each keeps its own settings, if kinds agree.

    Raises LadderError if either ladder is not valid, an output is no load of `asked`, or nothing differs and `asked`
    itself has a race or chatter that bears on an output.
    """
    for ladder in (mine, asked):
        if not isinstance(ladder, Ladder):
            raise LadderError("compare", "works on two Ladders", ladder, ("Ladder('title')",))
    devices = panel_devices(asked, mine)
    own = tuple(own_setting(device, mine) for device in devices)
    in_time = works_in_time(mine, devices) or works_in_time(asked, devices)
    loads = (*asked.coils(), *asked.lamps())
    watched = loads if outputs is None else tuple(outputs)
    for tag in watched:
        if tag not in loads:
            raise LadderError("compare", f"the asked ladder has no load {tag}", tag, loads)
    if in_time:
        both = _Both(TimedPanel(mine, own), TimedPanel(asked, devices))
    else:
        both = _Both(Panel(mine, devices), Panel(asked, devices))
    try:
        nearest = Differ(both.yours, both.asked, limit, Deadline(seconds)).first(watched)
    except TooMany as limit_met:
        return Comparison("not decided", why=f"{limit_met}; an instructor will look.")
    if nearest is None:
        return Comparison("same")
    return Comparison("different", nearest.steps, *_difference(both, nearest.watched, nearest.edge))


def own_setting(device: Device, ladder: Ladder) -> Device:
    """Return `device`, or that of `ladder` if it is of the same kind and something is set on it."""
    own = next((one for one in (*(ladder.declared or ()), *ladder.devices.values()) if one.tag == device.tag), device)
    return own if own.kind == device.kind and own.setting else device


def _difference(both: _Both, watched: tuple[str, ...], edge: Edge[Pair]) -> tuple[str, str, str]:
    """What yours does, what is asked, and why, if they differ after `edge`."""
    if edge.rest.chatter:
        return "the coils chatter", "everything comes to rest", CHATTER
    for tag in watched:
        for mine, asked in edge.rest.states:
            is_on, wanted = both.yours.is_on(tag, mine), both.asked.is_on(tag, asked)
            if is_on == wanted:
                continue
            first = edge.step is None
            reason = why(both.yours, tag, wanted, mine, edge.step)
            if len(edge.rest.states) > 1:
                reason = f"It depends on which relay is quicker. {reason}"
            return (
                does(tag, None if first else both.yours.is_on(tag, edge.before[0]), is_on),
                does(tag, None if first else both.asked.is_on(tag, edge.before[1]), wanted),
                reason,
            )
    raise AssertionError("the step shows no difference")
