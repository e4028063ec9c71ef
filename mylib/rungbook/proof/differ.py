"""The shortest sequence of orders after which two panels differ, found on the parts that bear on what is watched.

Where no load of a part bears on itself, positions alone decide what it does: then nothing is walked, the two sides are
compared as decision diagrams. Else the two parts are walked side by side; with timers or counters, over all instants.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import NamedTuple

from rungbook.behaviour import SUPPLY, Panel, Step
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.circuit import Contact, Parallel, Part, Series
from rungbook.errors import LadderError
from rungbook.proof.diagrams import ALWAYS, NEVER, Diagrams, Orders, TooLarge
from rungbook.proof.explore import Edge
from rungbook.proof.limits import Deadline, TooMany
from rungbook.proof.pairs import BothRest, Pair, first_difference
from rungbook.proof.slices import Cones, widest
from rungbook.proof.timed import first_difference_in_time

MAX_NODES = 100_000  # of diagrams; above it the parts are walked
MAX_ASKED = 150  # operated devices of one part, above which no diagram is made


class Difference(NamedTuple):
    """`steps` show it, `edge` is the last of them; one of `watched` differs after it, or yours chatters."""

    steps: tuple[Step, ...]
    edge: Edge[Pair]
    watched: tuple[str, ...]


Walked = Panel | TimedPanel

_Both = frozenset[tuple[str, str]]  # ("yours" or "asked", designation)


class Differ:
    """Two panels with the same operated devices, both with timers or both without. limit: pairs of states of a part."""

    def __init__(self, yours: Walked, asked: Walked, limit: int, deadline: Deadline) -> None:
        self._yours, self._asked, self._limit, self._deadline = yours, asked, limit, deadline
        self._cones = Cones(yours.ladder), Cones(asked.ladder)
        self._number = {step: number for number, step in enumerate(yours.steps)}

    def first(self, watched: tuple[str, ...]) -> Difference | None:
        """The shortest sequence after which a load of `watched` may differ; None if there is none.

        A difference found in one part is told whatever becomes of the others. Else raises LadderError if a part of
        `asked` that bears on `watched` has a race or chatters, TooMany if a part is not decided.
        """
        parts = {tag: self._part(tag) for tag in watched}
        found: list[Difference] = []
        failed: list[LadderError | TooMany] = []
        for wide in widest(list(parts.values())):
            tags = tuple(tag for tag in watched if parts[tag] <= wide)
            try:
                found += self._of(wide, tags)
            except (LadderError, TooMany) as reason:
                failed.append(reason)
                for narrow in dict.fromkeys(parts[tag] for tag in tags if parts[tag] != wide):
                    with suppress(LadderError, TooMany):
                        found += self._of(narrow, tuple(tag for tag in tags if parts[tag] == narrow))
        if found:
            return min(found, key=lambda one: self._near(one, watched))
        if failed:
            raise min(failed, key=lambda reason: isinstance(reason, TooMany))
        return None

    def _near(self, one: Difference, watched: tuple[str, ...]) -> tuple[object, ...]:
        """What makes a difference come first: few orders, those first in number, chatter, a load that stands first."""
        orders = [self._number[step] for step in one.steps if step in self._number]  # waits left out
        chatter = one.edge.rest.chatter
        place = 0 if chatter else min(watched.index(tag) for tag in one.watched if self._shows(tag, one.edge))
        return len(orders), orders, not chatter, place

    def _shows(self, tag: str, edge: Edge[Pair]) -> bool:
        return any(self._yours.is_on(tag, mine) != self._asked.is_on(tag, other) for mine, other in edge.rest.states)

    def _part(self, tag: str) -> _Both:
        yours, asked = (cones.of((tag,)) for cones in self._cones)
        return frozenset({*(("yours", one) for one in yours), *(("asked", one) for one in asked)})

    def _of(self, part: _Both, tags: tuple[str, ...]) -> Iterator[Difference]:
        yours = frozenset(tag for side, tag in part if side == "yours")
        asked = frozenset(tag for side, tag in part if side == "asked")
        operated = {device.tag for device in self._yours.inputs if device.tag in yours | asked}
        mine, theirs = self._yours.only(yours | operated), self._asked.only(asked | operated)
        if isinstance(mine, TimedPanel) or isinstance(theirs, TimedPanel):
            assert isinstance(mine, TimedPanel)
            assert isinstance(theirs, TimedPanel)
            in_time = first_difference_in_time(mine, theirs, tags, self._limit, self._deadline)
            if in_time is not None:
                yield Difference(*in_time, tags)
            return
        if len(operated) <= MAX_ASKED and not (self._cones[0].has_state(yours) or self._cones[1].has_state(asked)):
            try:
                yield from self._by_positions(mine, theirs, tags)
                return
            except TooLarge:
                pass
        found = first_difference(mine, theirs, tags, self._limit, self._deadline)
        if found is not None:
            yield Difference(*found, tags)

    def _by_positions(self, mine: Panel, theirs: Panel, tags: tuple[str, ...]) -> list[Difference]:
        """The difference of two parts without a state, [] if there is none. Raises TooLarge."""
        places = {step.device: place for place, step in enumerate(mine.steps) if step.device != SUPPLY}
        places = {tag: place for place, tag in enumerate(places)}
        sizes = [len(mine.devices[tag].spec.positions) for tag in places]
        diagrams = Diagrams(sizes, MAX_NODES)
        one, other = _Side(mine, places, diagrams), _Side(theirs, places, diagrams)
        ways = [self._ways(tag) for tag in places]
        found = []
        for tag in tags:
            differs = diagrams.differ(one.on(tag), other.on(tag))
            orders = diagrams.nearest(differs, ways)
            if orders is not None:
                found.append((len(orders), orders, tag))
        if not found:
            return []
        steps = tuple(self._yours.steps[number] for number in min(found)[1])
        return [Difference(steps, _edge(mine, theirs, steps), tags)]

    def _ways(self, tag: str) -> list[Orders | None]:
        """For each position of `tag`, the fewest orders that bring it there from rest."""
        positions = self._yours.devices[tag].spec.positions
        moves = [(number, step.move) for step, number in self._number.items() if step.device == tag]
        found: dict[str, Orders] = {positions[0]: ()}
        waiting = [positions[0]]
        for here in waiting:  # grows
            for number, move in moves:
                if move.start == here and move.end not in found:
                    found[move.end] = (*found[here], number)
                    waiting.append(move.end)
        return [found.get(position) for position in positions]


class _Side:
    """The loads of one panel without a state, as functions of the positions."""

    def __init__(self, panel: Panel, places: dict[str, int], diagrams: Diagrams) -> None:
        self._panel, self._places, self._diagrams = panel, places, diagrams
        self._on: dict[str, int] = {}

    def on(self, tag: str) -> int:
        """True where `tag` is on with the supply on; a device that this ladder lacks never is."""
        if tag not in self._on:
            self._on[tag] = self._conducts(self._panel.way(tag)) if tag in self._panel.loads else NEVER
        return self._on[tag]

    def _conducts(self, part: Part | None) -> int:
        if part is None:
            return ALWAYS
        if isinstance(part, Contact):
            place = self._places.get(part.device)
            if place is not None:
                return self._diagrams.where(place, self._panel.closed_at(part))
            on = self.on(part.device)
            return on if part.kind == "NO" else self._diagrams.no(on)
        # the last ones first: they are asked last, so each step only adds a node on top
        assert isinstance(part, Series | Parallel)
        series = isinstance(part, Series)
        value = ALWAYS if series else NEVER
        for inner in reversed(part.parts):
            one = self._conducts(inner)
            value = self._diagrams.both(one, value) if series else self._diagrams.either(one, value)
        return value


def _edge(mine: Panel, theirs: Panel, steps: tuple[Step, ...]) -> Edge[Pair]:
    """The last of `steps`, each of which has one outcome."""
    before: Pair = (mine.start, theirs.start)
    rest: Pair = (mine.rest(mine.start).states[0], theirs.rest(theirs.start).states[0])
    for step in steps:
        before = rest
        rest = mine.after(step, before[0]).states[0], theirs.after(step, before[1]).states[0]
    return Edge(before, steps[-1] if steps else None, BothRest((rest,), False))
