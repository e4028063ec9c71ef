"""All states and times that orders, given at any instant, can reach: a walk over words and zones, fewest orders first.

Timed automata with a clock for each period that runs (Alur and Dill 1994, from memory). An order comes at any instant
strictly between two ends of periods. Periods that end together by construction end in every order. The times that
cumulative timers keep while they are paused stand in a zone of their own; how they stood to the clocks that run on is
lost, so such a walk can pass through times that no run has, and `schedule` has the last word.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from rungbook.behaviour import Step
from rungbook.behaviour.blocks import Clock, TimerBlock
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.kit import Move
from rungbook.proof.limits import MAX_STATES, Deadline, TooMany
from rungbook.proof.timed.zones import NO_CLOCKS, Source, Zone, fixed, later, rearranged, together, within

WATCH = (-1, 0)  # the clock of an observer

ClockId = tuple[int, int]  # (number of the panel, place of the block)


@dataclass(frozen=True)
class Event:
    """An order (`due` is empty), or the end of the periods `due`: `step` then names a timer of the first panel."""

    step: Step
    due: tuple[ClockId, ...] = ()


@dataclass(frozen=True, eq=False)
class Node:
    """A state at rest with its times.

    words: of each panel. clocks: those that run, in order. fates: of each of them, what it did when this node was
    reached. zone: at the instant at which it was reached. paused: timers that keep a time, and kept, the zone of these
    times. came: node and event before, None for the first.
    """

    words: tuple[int, ...]
    clocks: tuple[ClockId, ...]
    fates: tuple[Clock, ...]
    zone: Zone
    paused: tuple[ClockId, ...] = ()
    kept: Zone = NO_CLOCKS
    came: tuple[Node, Event] | None = field(default=None, repr=False)
    watch: int = 0  # 0: no observer; else what the observer has seen

    def outcome(self, side: int) -> tuple[object, ...]:
        """What may differ in one panel, by chance, after one event: its state, which periods run and which began."""
        running = [one for one in zip(self.clocks, self.fates, strict=True) if one[0][0] == side]
        return self.words[side], tuple(running), tuple(clock for clock in self.paused if clock[0] == side)


@dataclass
class Arrival:
    """Where one event leads: all `nodes` (whoever reads may take some out, or add), by panel whether it may chatter.

    passed: of each panel, words that it may pass through before it rests.
    """

    before: Node | None
    event: Event | None
    nodes: list[Node]
    chatter: tuple[bool, ...]
    passed: tuple[frozenset[int], ...] = field(default=())


def ends(tag: str) -> Step:
    """The end of a period of timer `tag`, as a step that no hand can do."""
    return Step(tag, Move("", "", "wait for {tag}", "the time of {tag} ran out"))


class Walk:
    """A walk over one panel, or several that get the same orders.

    limit: nodes after which it gives up; deadline: when it does. watch: preset of an observer's clock [us].
    idle: steps to leave out.
    """

    def __init__(
        self,
        panels: Sequence[TimedPanel],
        limit: int = MAX_STATES,
        deadline: Deadline | None = None,
        watch: int | None = None,
        idle: frozenset[Step] = frozenset(),
    ) -> None:
        self.panels = tuple(panels)
        for panel in self.panels:
            panel.settling.tick = self._tick
        self.limit = limit
        self.deadline = deadline or Deadline()
        self.count = 0
        self.presets: dict[ClockId, int] = {} if watch is None else {WATCH: watch}
        self._tags: dict[ClockId, str] = {}
        self._timers = [
            [(place, seat, seat.block) for place, seat in enumerate(panel.seats) if isinstance(seat.block, TimerBlock)]
            for panel in self.panels
        ]
        for side, timers in enumerate(self._timers):
            for place, _, block in timers:
                self.presets[side, place] = block.preset
                self._tags[side, place] = block.tag
        self._turns = [
            (step, field, start, tuple(self._flip(panel, step) for panel in self.panels))
            for step, field, start, _ in self.panels[0].turns
            if step not in idle
        ]
        self._exact: set[tuple[object, ...]] = set()
        self._seen: dict[tuple[object, ...], list[Zone]] = {}

    @staticmethod
    def _flip(panel: TimedPanel, step: Step) -> int:
        return next(flip for other, _, _, flip in panel.turns if other == step)

    def _tick(self) -> None:
        self.deadline.check()

    def arrivals(self) -> Iterator[Arrival]:
        """Yield every arrival, those by few orders first; its nodes are walked on from when the next one is asked for.

        Raises TooMany when more nodes are reached than the limit, or the reckoning takes too long.
        """
        first = self._first()
        yield first
        level = self._new(first)
        while level:
            for node in level:  # the list grows: time passes without an order
                for arrival in self._ends(node):
                    yield arrival
                    level += self._new(arrival)
            following: list[Node] = []
            for node in level:
                for arrival in self._orders(node):
                    yield arrival
                    following += self._new(arrival)
            level = following

    def waits(self, node: Node) -> Iterator[Arrival]:
        """Where `node` leads if nothing is touched: to the next ends of periods. What is reached is not walked on."""
        yield from self._ends(node)

    def watched(self, node: Node) -> Node:
        """The same node with the observer's clock at 0."""
        clocks = (*node.clocks, WATCH)
        size = len(node.clocks) + 1
        zone = rearranged([node.zone], [*((0, row) for row in range(1, size)), (0, 0)])
        return replace(node, clocks=clocks, fates=(*node.fates, Clock.ZERO), zone=zone, watch=1)

    def _new(self, arrival: Arrival) -> list[Node]:
        """The nodes of `arrival` that no other one covers."""
        found = []
        for node in arrival.nodes:
            size = len(node.clocks) + 1
            key = node.words, node.watch, node.clocks, node.paused, node.kept
            exact = (*key, node.zone)
            if exact in self._exact:
                continue
            self._exact.add(exact)
            others = self._seen.setdefault((*key, fixed(node.zone, size)), [])
            if any(within(node.zone, other) for other in others):
                continue
            others.append(node.zone)
            found.append(node)
            self.count += 1
        if self.count > self.limit:
            raise TooMany(f"more than {self.limit} states can be reached")
        self.deadline.check()
        return found

    def _first(self) -> Arrival:
        nowhere = Node((), (), (), NO_CLOCKS)
        words = tuple(panel.packed(panel.start) for panel in self.panels)
        return self._arrival(nowhere, None, words, NO_CLOCKS)

    def _ends(self, node: Node) -> Iterator[Arrival]:
        presets = [self.presets[clock] for clock in node.clocks]
        for group in together(node.zone, presets):
            zone = later(node.zone, presets, group)
            if zone is None:
                continue
            due = tuple(node.clocks[place] for place in sorted(group))
            words = list(node.words)
            for side, place in due:
                if (side, place) != WATCH:
                    words[side] = self.panels[side].ripe(words[side], self.panels[side].seats[place])
            named = next((self._tags[clock] for clock in due if clock[0] == 0), "")  # told of the first panel alone
            event = Event(ends(named), due)
            yield self._arrival(node, event, tuple(words), zone)

    def _orders(self, node: Node) -> Iterator[Arrival]:
        zone = later(node.zone, [self.presets[clock] for clock in node.clocks])
        assert zone is not None
        for step, where, start, flips in self._turns:
            if node.words[0] & where == start and self.allows(node, step):
                words = tuple(word ^ flip for word, flip in zip(node.words, flips, strict=True))
                yield self._arrival(node, Event(step), words, zone)

    def allows(self, node: Node, step: Step) -> bool:
        """True if `step` may be ordered in `node`; an observer may say that nothing else is touched."""
        return True

    def _arrival(self, before: Node, event: Event | None, words: tuple[int, ...], zone: Zone) -> Arrival:
        rests = [panel.settle(word) for panel, word in zip(self.panels, words, strict=True)]
        came = None if event is None else (before, event)
        nodes = [self._node(before, came, found, zone) for found in product(*(rest.words for rest in rests))]
        passed = tuple(rest.passed for rest in rests)
        chatter = tuple(rest.chatter for rest in rests)
        return Arrival(before if event is not None else None, event, nodes, chatter, passed)

    def _node(self, before: Node, came: tuple[Node, Event] | None, words: tuple[int, ...], zone: Zone) -> Node:
        """The node of these words at rest, the clocks of which say what begins now."""
        rows = {clock: (0, place + 1) for place, clock in enumerate(before.clocks)}
        stands = {clock: (1, place + 1) for place, clock in enumerate(before.paused)} | rows
        clocks: list[ClockId] = []
        fates: list[Clock] = []
        sources: list[Source] = []
        paused: list[ClockId] = []
        for side, timers in enumerate(self._timers):
            word = words[side]
            for place, seat, block in timers:
                clock = side, place
                fate = block.clock(seat.code(word))
                if fate is Clock.NONE:
                    continue
                if fate is Clock.PAUSED:
                    paused.append(clock)
                    continue
                if fate is Clock.RESUMED and clock in rows:
                    fate = Clock.RUNS  # paused and taken up again at one instant
                clocks.append(clock)
                fates.append(fate)
                sources.append((0, 0) if fate is Clock.ZERO else stands[clock])
        if WATCH in rows and (came is None or WATCH not in came[1].due):
            clocks.append(WATCH)
            fates.append(Clock.RUNS)
            sources.append(rows[WATCH])
        settled = tuple(panel.settling.settled(word) for panel, word in zip(self.panels, words, strict=True))
        return Node(
            settled,
            tuple(clocks),
            tuple(fates),
            rearranged((zone, before.kept), sources),
            tuple(paused),
            rearranged((zone, before.kept), [stands[clock] for clock in paused]),
            came,
            before.watch,
        )


def path_to(node: Node) -> list[Node]:
    """The nodes from the first one to `node`."""
    found = [node]
    while found[-1].came is not None:
        found.append(found[-1].came[0])
    return found[::-1]
