"""When to do each order, so that a sequence of orders and waits shows what was found; and its words.

Every instant is a sum of those of the orders and of set times, so what must hold between them is linear. The orders
are given as far as can be from every end of a period, up to a second; then, as far as that leaves it open, one second
after one another, for which no wait need be told; and then as early as can be.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from rungbook.behaviour import MICRO, Step
from rungbook.behaviour.blocks import Clock
from rungbook.kit import Move
from rungbook.proof.limits import TooMany
from rungbook.proof.timed.linear import maximise
from rungbook.proof.timed.walk import Arrival, ClockId, Node, Walk, path_to

PAUSE = MICRO  # from one order to the next if nothing is said, as in a script [us]
#: margins that give times one can read off a watch [us]
MARGINS = tuple(MICRO // (part * 10**k) for k in range(6) for part in (1, 2, 5))
_FAR = 10**13  # beyond every instant [us]
_FIRST, _THEN = 10**12, 10**6  # weights of the margin, and of pauses, against the sum of the instants

_Sum = tuple[dict[int, int], int]  # number of an order -> how often its instant counts; and what is added [us]


def _plus(one: _Sum, other: _Sum, sign: int = 1) -> _Sum:
    terms = dict(one[0])
    for name, times in other[0].items():
        terms[name] = terms.get(name, 0) + sign * times
        if not terms[name]:
            del terms[name]
    return terms, one[1] + sign * other[1]


class _Conditions:
    """What must hold between the instants of the orders on the way to an arrival."""

    def __init__(self, walk: Walk, arrival: Arrival) -> None:
        self.presets = walk.presets
        self.positive: list[_Sum] = []
        self.steps: list[Step] = []
        self._ends: dict[ClockId, _Sum] = {}  # of each period that runs, when it ends
        self._left: dict[ClockId, _Sum] = {}  # of each that is paused, how much of it is left
        self.now: _Sum = ({}, 0)
        path = [] if arrival.before is None else path_to(arrival.before)
        for node in path:
            self._reach(node)
        if arrival.event is not None:
            self._event(arrival.event.step, arrival.event.due, path[-1].clocks)
        before, pauses = dict(self._ends), dict(self._left)
        for node in arrival.nodes:  # after a race, what is seen is there whichever way it went
            self._ends, self._left = dict(before), dict(pauses)
            self._land(node)
            self._show(node)
        self._instant()

    def _instant(self) -> None:
        """The next order, or the look at the end."""
        then: _Sum = ({len(self.steps): 1}, 0)
        self.positive.append(_plus(then, self.now, -1))
        self.now = then

    def _show(self, node: Node) -> None:
        seen: _Sum = ({len(self.steps): 1}, 0)
        self.positive += [_plus(self._ends[clock], seen, -1) for clock in node.clocks]

    def _reach(self, node: Node) -> None:
        if node.came is not None:
            before, event = node.came
            self._event(event.step, event.due, before.clocks)
        self._land(node)

    def _event(self, step: Step, due: tuple[ClockId, ...], running: tuple[ClockId, ...]) -> None:
        if not due:
            self._instant()
            self.steps.append(step)
        else:
            then = self._ends[due[0]]
            if any(_plus(self._ends[clock], then, -1) != ({}, 0) for clock in due[1:]):
                raise TooMany("times that are kept would have to agree exactly")
            self.positive.append(_plus(then, self.now, -1))
            self.now = then
        self.positive += [_plus(self._ends[clock], self.now, -1) for clock in running if clock not in due]

    def _land(self, node: Node) -> None:
        for clock in node.paused:
            if clock in self._ends:
                self._left[clock] = _plus(self._ends[clock], self.now, -1)
        fates = dict(zip(node.clocks, node.fates, strict=True))
        for clock, fate in fates.items():
            if fate is Clock.ZERO:
                self._ends[clock] = _plus(self.now, ({}, self.presets[clock]))
            elif fate is Clock.RESUMED:
                self._ends[clock] = _plus(self.now, self._left[clock])
        self._ends = {clock: self._ends[clock] for clock in fates}


def _times(conditions: _Conditions, most: int) -> tuple[Fraction, list[Fraction]]:
    """The widest margin up to `most` [us], and the earliest instants with it [us]."""
    count = len(conditions.steps) + 1
    nothing = [0] * count  # unknowns: the instants, the pauses before them up to a second, and the margin plus _FAR
    rows: list[tuple[list[int], int]] = [([*nothing, *nothing, 1], most + _FAR)]
    for terms, added in conditions.positive:
        rows.append(([*(-terms.get(k, 0) for k in range(count)), *nothing, 1], added + _FAR))
    for k in range(count):
        pause = [int(j == k) for j in range(count)]
        rows.append(([*nothing, *pause, 0], PAUSE))
        rows.append(([*(int(j == k - 1) - int(j == k) for j in range(count)), *pause, 0], 0))
    found = maximise([*([-1] * count), *([_THEN] * count), _FIRST], rows)
    assert found is not None
    return found[-1] - _FAR, found[:count]


def wait(micro: int) -> Step:
    """The step that is told "Wait 5 s."; `read_timed` reads it."""
    minutes, rest = divmod(micro, 60 * MICRO)
    if minutes > 1 and not rest:
        words = f"{minutes} min"
    else:
        seconds, part = divmod(micro, MICRO)
        words = f"{seconds}.{part:06}".rstrip("0").rstrip(".") + " s"
    return Step("time", Move("", "", f"wait {words}", f"{words} had passed"))


def schedule(walk: Walk, arrival: Arrival) -> tuple[Step, ...]:
    """The orders that lead to `arrival`, with waits between them, up to a moment at which it can be seen.

    Raises TooMany if no instants do: the walk has then passed through times that no run has (cumulative timers).
    """
    conditions = _Conditions(walk, arrival)
    margin, instants = _times(conditions, PAUSE)
    if margin <= 0:
        raise TooMany("the times kept by a cumulative timer are not known well enough")
    if margin < PAUSE:
        round_one = next((one for one in MARGINS if one <= margin), None)
        if round_one is not None:
            _, instants = _times(conditions, round_one)
    return _told(conditions.steps, instants)


def is_sure(walk: Walk, arrival: Arrival) -> bool:
    """True if there are instants that lead to `arrival`. Only what a cumulative timer has kept can make it unsure."""
    path = [] if arrival.before is None else path_to(arrival.before)
    if not any(fate is Clock.RESUMED for node in path for fate in node.fates):
        return True
    try:
        schedule(walk, arrival)
    except TooMany:
        return False
    return True


def _told(steps: Sequence[Step], instants: Sequence[Fraction]) -> tuple[Step, ...]:
    found: list[Step] = []
    before = 0
    for step, instant in zip((*steps, None), instants, strict=True):
        now = round(instant)
        if now - before != PAUSE:
            found.append(wait(now - before))
        if step is not None:
            found.append(step)
        before = now
    return tuple(found)
