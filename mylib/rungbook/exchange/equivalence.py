"""The blocks that are written for timers and counters, proved to do what the relay's functions do.

Two sides are called at the same instants: the block as it is written (`composed`, run by `machine` on the blocks of the
standard), and the relay's function as the proof engine has it (`behaviour.blocks`, `behaviour.counters`). Their pairs
of states are walked over from a cold start, with every change of the inputs in every scan. Times are unknown numbers
(`proof.symbolic`): the set time, the time from scan to scan, which need not be even, and all that either side has
gathered; a set of such times is walked on from once. So what is found is true of every set time, every number of scans
and every instant of theirs. The walk ends because it comes to no new set of times.

A period of the relay that is up between two scans has ended by the next, before that one's inputs are looked at. What
is asked of `FLASH`: it does what the relay does if there is a scan at each end of a period, as with a time that is a
whole number of scans; and with any scans what a relay does whose periods end with the next scan (`late`).

So a block may stand for the relay's function in `scan_panel`, where relays and program get their orders at any instant.

Counts are unknown too, from 0 to 32 767, the end of INT: what an up-down counter does beyond that is not said, and the
set count is at most 9999 (`kit.settings`). Supply off is no part of this: a program then begins anew (`differences`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import product
from math import lcm
from typing import Any

from rungbook.behaviour import MICRO, counters
from rungbook.errors import LadderError
from rungbook.exchange.blocks import INT_MAX, INT_MIN
from rungbook.exchange.composed import COMPOSED, USES, Use
from rungbook.exchange.machine import Machine
from rungbook.exchange.parser import parse
from rungbook.exchange.relay_side import LEVELS, OWN, SET, SINCE, CounterSide, TimerSide
from rungbook.kit.settings import COUNTER_DIRECTIONS, TIMER_FUNCTIONS
from rungbook.proof import MAX_STATES, TooMany
from rungbook.proof.symbolic import (
    Assumptions,
    Inequality,
    Known,
    Unknown,
    example,
    follows,
    form_of,
    inequality,
    possible,
    projected,
    ways,
)

MOST_SET = 9999  # counts
_INSTANCE = "K"
MOST_TRIED = 6  # set counts for which a difference is looked for with numbers


@dataclass(frozen=True)
class Instant:
    """One scan of a sequence: time since the one before [us], inputs that are on, what the relay and the block say."""

    since: int
    on: tuple[str, ...]
    relay: bool
    block: bool


@dataclass(frozen=True)
class Equivalence:
    """outcome: "same", or "different" with the shortest sequence that shows it and what is set, [us] or a count.

    states: pairs of states that were walked over, each with all its times. True if the same.
    """

    function: str
    block: str
    outcome: str
    states: int
    set_to: int = 0
    sequence: tuple[Instant, ...] = ()

    def __bool__(self) -> bool:
        return self.outcome == "same"

    def __str__(self) -> str:
        if self:
            return f"{self.block} does what {self.function} does: {self.states} states, each with all its times"
        timed = self.function in TIMER_FUNCTIONS
        number = f"{self.set_to / MICRO:g} s" if timed else str(self.set_to)
        told = [
            (f"{one.since / MICRO:g} s later " if timed and place else "")
            + f"{' and '.join(one.on) or 'nothing'} on: relay {_word(one.relay)}, block {_word(one.block)}"
            for place, one in enumerate(self.sequence)
        ]
        return f"{self.block} set to {number} is not {self.function}: {'; '.join(told)}"

    __repr__ = __str__


def _word(on: bool) -> str:
    return "on" if on else "off"


def equivalence(function: str, text: str = "", *, late: bool = False, limit: int = MAX_STATES) -> Equivalence:
    """Return whether the block that is written for timer `function`, or counter direction, does the same in every case.

    text: another function block of the same name and inputs in its place. late: compare with a flasher each of whose
    periods ends with the next scan. limit: pairs of states.
    Raises LadderError if there is no such function, or as `parse` and `Machine`; TooMany above the limit.
    """
    if function not in USES:
        raise LadderError("equivalence", "no such function", function, tuple(USES))
    text = text or COMPOSED.get(USES[function].block, "")
    return _Walk(function, text, limit, late=late).result()


# -- both together -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class _Node:
    """A pair of states: the relay's, the block's values (None: unknown, under its name), and what is known of these."""

    relay: tuple[int, ...]
    values: tuple[int | None, ...]
    own: int | None
    known: Known
    came: tuple[_Node, int] | None = field(default=None, repr=False)


class _Walk:
    """The walk over pairs of states, fewest scans first."""

    def __init__(self, function: str, text: str, limit: int, *, late: bool) -> None:
        self.function, self.use, self.limit = function, USES[function], limit
        self.counts = function in COUNTER_DIRECTIONS
        self.machine = Machine(parse(_program(self.use, text)))
        levels = [LEVELS[kind] for kind in self.use.inputs]
        self.levels = [sum(some) for some in product(*((0, level) for level in levels))]
        self.relay = CounterSide(function) if self.counts else TimerSide(function, sum(levels), late=late)
        self.names = tuple(self.machine.values)
        self.count = next((name for name in self.names if name.endswith(".CV")), "")
        self._unread = _never_read(self.machine)
        self._seen: dict[tuple[object, ...], list[Known]] = {}

    def result(self) -> Equivalence:
        """Walk to the end, or to the first difference."""
        level, count = self._new(self._starts()), 0
        while level:
            following: list[_Node] = []
            for node in level:
                count += 1
                if count > self.limit:
                    raise TooMany(f"more than {self.limit} states can be reached")
                for levels in self.levels:
                    for after, same in self._scans(node, levels):
                        if not same:
                            return self._told(node, levels, count)
                        following += self._new([after])
            level = following
        return Equivalence(self.function, self.use.block, "same", count)

    def _starts(self) -> list[_Node]:
        """A cold start; of a counter, with every count at once: the relay's and the block's are equal, or at an end."""
        cold = tuple(self.machine.values.values())
        least = [inequality({SET: 1}, -1, strict=False) if self.counts else inequality({SET: 1}, 0, strict=True)]
        if not self.counts:
            return [_Node(self.relay.start, cold, 0, frozenset(least))]
        values = tuple(None if name == self.count else value for name, value in zip(self.names, cold, strict=True))
        least.append(inequality({SET: -1}, MOST_SET, strict=False))
        return [
            _Node(self.relay.start, values, None, frozenset([*least, *bounds]))
            for bounds in _counts(self.function, self.count)
        ]

    def _new(self, nodes: Iterable[_Node]) -> list[_Node]:
        """Those of `nodes` that no node before covers."""
        found = []
        for node in nodes:
            others = self._seen.setdefault((node.relay, node.values, node.own), [])
            if any(_within(node.known, other) for other in others):
                continue
            others.append(node.known)
            found.append(node)
        return found

    def _scans(self, node: _Node, levels: int) -> Iterator[tuple[_Node, bool]]:
        """What one scan from `node` with these levels leads to, and whether outputs agree."""
        known = node.known
        if not self.counts:
            left = Unknown(Assumptions(known), {SET: 1, SINCE: -1, OWN: -int(node.own is None)}, -(node.own or 0))
            known |= {inequality({SINCE: 1}, 0, strict=True), *self.relay.more(node.relay, left)}
        if not possible(known):
            return

        def run(under: Assumptions) -> tuple[tuple[int, ...], Any, tuple[Any, ...], bool]:
            def unknown(name: str, value: int | None) -> Any:
                return Unknown(under, {name: 1}) if value is None else value

            values = [unknown(name, value) for name, value in zip(self.names, node.values, strict=True)]
            since = 0 if self.counts else unknown(SINCE, None)
            return self._both(node.relay, unknown(OWN, node.own), values, levels, unknown(SET, None), since)

        for under, (relay, own, values, same) in ways(known, run, whole=self.counts):
            if self.function == "up-down" and not under.decide(_most(own)):
                continue  # beyond the end of INT
            yield self._node(relay, own, values, under.known, (node, levels)), same

    def _both(
        self, relay: tuple[int, ...], own: Any, values: Iterable[Any], levels: int, preset: Any, since: Any
    ) -> tuple[tuple[int, ...], Any, tuple[Any, ...], bool]:
        """One scan of both: the relay's state and time, the block's values, and whether the outputs agree."""
        after, own, on = self.relay.step(relay, own, levels, preset, since)
        self._scan(values, levels, preset, since)
        found = self.machine.values
        return after, own, tuple(found.values()), bool(found[f"{_INSTANCE}.Q"]) == on

    def _scan(self, values: Iterable[Any], levels: int, preset: Any, since: Any) -> None:
        """One scan of the block from `values`."""
        self.machine.values.update(zip(self.names, values, strict=True))
        for kind, name in self.use.inputs.items():
            self.machine.values[name] = int(bool(levels & LEVELS[kind]))
        self.machine.values[self.use.setting] = preset
        self.machine.scan(since)

    def _node(
        self, relay: tuple[int, ...], own: Any, values: tuple[Any, ...], known: Known, came: tuple[_Node, int]
    ) -> _Node:
        """The node of these values; what is never read again is forgotten."""
        equal: list[Inequality] = []
        counts = {OWN, self.count} if self.counts else set()
        kept: list[int | None] = []
        fresh = {SET: SET}  # names after this scan -> names while it is reckoned
        for name, value in ((OWN, own), *zip(self.names, values, strict=True)):
            if name in self._unread:
                kept.append(0)
                continue
            terms, constant = form_of(value)
            if not terms and name not in counts:
                kept.append(constant)
                continue
            kept.append(None)
            fresh[name] = f"{name}'"
            one = inequality({**{n: -f for n, f in terms.items()}, f"{name}'": 1}, -constant, strict=False)
            equal += [one, one.opposite]
        left = projected([*known, *equal], fresh.values())
        back = {new: old for old, new in fresh.items()}
        renamed = frozenset(
            inequality({back[name]: factor for name, factor in one.terms}, one.constant, strict=one.strict)
            for one in left
        )
        return _Node(relay, tuple(kept[1:]), kept[0], renamed, came)

    # -- what is told ----------------------------------------------------------------------------------------------

    def _told(self, node: _Node, levels: int, count: int) -> Equivalence:
        """The difference after `levels` in `node`, with numbers, done on both sides from a cold start."""
        way = [(node, levels)]
        while way[0][0].came is not None:
            way.insert(0, way[0][0].came)
        preset, steps = self._small_count() if self.counts else self._times([levels for _, levels in way])
        values, own, relay = tuple(self.machine.cold.values()), 0, self.relay.start
        told = []
        for levels, since in steps:
            relay, own, values, same = self._both(relay, own, values, levels, preset, since)
            on = tuple(name for kind, name in self.use.inputs.items() if levels & LEVELS[kind])
            block = bool(self.machine.values[f"{_INSTANCE}.Q"])
            told.append(Instant(since, on, block if same else not block, block))
        if told[-1].relay == told[-1].block:
            raise TooMany("they differ, and not with the numbers that were tried")
        return Equivalence(self.function, self.use.block, "different", count, preset, tuple(told))

    def _times(self, way: list[int]) -> tuple[int, list[tuple[int, int]]]:
        """A set time, and levels with times since the scan before, after which outputs differ; all whole numbers."""
        cold = tuple(self.machine.cold.values())

        def run(under: Assumptions) -> bool:
            relay, own, values, same = self.relay.start, 0, cold, True
            for number, levels in enumerate(way):
                since = Unknown(under, {f"{SINCE}{number}": 1})
                preset = Unknown(under, {SET: 1})
                if not all(under.decide(one) for one in self.relay.more(relay, preset - own - since)):
                    return True
                relay, own, values, same = self._both(relay, own, values, levels, preset, since)
            return same

        names = (SET, *(f"{SINCE}{number}" for number, _ in enumerate(way)))
        least = [frozenset(inequality({name: 1}, -size, strict=False) for name in names) for size in (MICRO, 1)]
        known = next((under.known for above in least for under, same in ways(above, run) if not same), None)
        if known is None:
            raise TooMany("they differ, and not with whole microseconds")
        found = example(known)
        size = lcm(*(number.denominator for number in found.values()))
        times = [int(found[f"{SINCE}{number}"] * size) for number, _ in enumerate(way)]
        return int(found[SET] * size), list(zip(way, times, strict=True))

    def _small_count(self) -> tuple[int, list[tuple[int, int]]]:
        """A set count, and levels after which outputs differ, fewest scans first."""
        for preset in range(1, MOST_TRIED + 1):
            first = self.relay.start, 0, tuple(self.machine.cold.values())
            ways_to: dict[tuple[object, ...], list[int]] = {first: []}
            waiting = [first]
            for relay, own, values in waiting:  # grows
                for levels in self.levels:
                    *after, same = self._both(relay, own, values, levels, preset, 0)
                    way = [*ways_to[relay, own, values], levels]
                    if not same:
                        return preset, [(one, 0) for one in way]
                    if after[1] <= MOST_TRIED and tuple(after) not in ways_to:
                        ways_to[tuple(after)] = way
                        waiting.append(tuple(after))
        raise TooMany(f"they differ, and not with a set count up to {MOST_TRIED}")


# -- conditions --------------------------------------------------------------------------------------------------------


def _within(one: Known, other: Known) -> bool:
    """True if all numbers of `one` are numbers of `other`."""
    return all(follows(one, each) for each in other)


def _most(own: Any) -> Inequality:
    """The count is no more than INT holds."""
    terms, constant = form_of(own)
    return inequality({name: -factor for name, factor in terms.items()}, INT_MAX - constant, strict=False)


def _counts(direction: str, count: str) -> list[list[Inequality]]:
    """How the relay's count and the block's may stand: equal; or one at its end, where the other goes on."""

    def between(name: str, low: int, high: int) -> list[Inequality]:
        return [inequality({name: 1}, -low, strict=False), inequality({name: -1}, high, strict=False)]

    same = inequality({OWN: 1, count: -1}, 0, strict=False)
    equal = [same, same.opposite, *between(OWN, 0, INT_MAX)]
    if direction == "up":
        return [equal, [*between(count, INT_MAX, INT_MAX), *between(OWN, INT_MAX, counters.MAX_COUNT)]]
    if direction == "down":
        return [equal, [*between(count, INT_MIN, 0), *between(OWN, 0, 0)]]
    return [equal]


# -- the block's side --------------------------------------------------------------------------------------------------


def _program(use: Use, text: str) -> str:
    """A program that does nothing but call one block."""
    kind = "INT" if use.setting == "PV" else "TIME"
    inputs = "".join(f"{name} : BOOL; " for name in use.inputs.values())
    arguments = ", ".join(f"{name} := {name}" for name in (*use.inputs.values(), use.setting))
    return (
        f"{text}PROGRAM X VAR {inputs}{use.setting} : {kind}; {_INSTANCE} : {use.block}; END_VAR "
        f"{_INSTANCE}({arguments}); END_PROGRAM"
    )


def _never_read(machine: Machine) -> frozenset[str]:
    """Values that are written in every call before they are read: inputs of the program, and of every block."""
    found = set()
    for name in machine.values:
        owner, _, part = name.rpartition(".")
        if not owner or part in machine.ports(machine.types[owner], "VAR_INPUT"):
            found.add(name)
    return frozenset(found)
