"""A second reading of ladders with timers and counters, made for the tests alone: a graph of regions.

It imports nothing of `behaviour` or `proof`. Each clock is a whole number of seconds and a rank of its fraction; time
moves from one region to the next (Alur and Dill 1994, from memory), so it is exact for presets of whole seconds. Orders
are given where no clock stands at a whole number: then two clocks end together only if the circuit makes them.
Cumulative timers, whose time can stand still, are not in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from oracle import Path, paths
from rungbook.circuit import Contact, Ladder

TIMED_DIGITS = {"5-6", "7-8", "5-8"}


@dataclass(frozen=True)
class Timer:
    """seen: voltage as last noted. out: timed contacts operated. runs: None, "new" (from this instant) or "old"."""

    function: str
    seen: bool = False
    out: bool = False
    runs: str | None = None
    due: bool = False

    def note(self, on: bool) -> Timer:
        function, to = self.function, replace(self, seen=on)
        stopped = replace(to, runs=None, due=False)
        started = replace(to, runs="new", due=False)
        if function == "on-delay":
            return started if on else replace(stopped, out=False)
        if function == "off-delay":
            return replace(stopped, out=True) if on else started
        if function == "on-and-off delay":
            return stopped if on == self.out else started
        if function == "flash":
            return replace(started, out=True) if on else replace(stopped, out=False)
        wanted = function == "one-shot on rising edge"
        return replace(started, out=True) if on == wanted and self.runs is None else to

    def end(self) -> Timer:
        again = "new" if self.function == "flash" else None
        return replace(self, out=not self.out, runs=again, due=False)


@dataclass(frozen=True)
class Counter:
    kind: str
    preset: int
    value: int = 0
    seen: tuple[bool, bool, bool] = (False, False, False)  # coil, down, reset

    def note(self, on: tuple[bool, bool, bool]) -> Counter:
        up, down = on[0] and not self.seen[0], on[1] and not self.seen[1]
        if on[2]:
            value = self.preset if self.kind == "down" else 0
        elif self.kind == "down":
            value = max(self.value - up, 0)
        else:
            value = max(self.value + up - down, 0)
        return replace(self, value=value if self.kind == "up-down" else min(value, self.preset), seen=on)

    @property
    def out(self) -> bool:
        return self.value == 0 if self.kind == "down" else self.value >= self.preset


@dataclass(frozen=True)
class Still:
    """A state without its times. operated: devices away from rest, and "supply". coils: magnets that are in.

    late: devices of which no contact has closed yet since they moved.
    """

    operated: frozenset[str]
    coils: frozenset[str]
    late: frozenset[str]
    blocks: tuple[tuple[str, Timer | Counter], ...]

    def block(self, tag: str) -> Timer | Counter | None:
        return dict(self.blocks).get(tag)

    def with_block(self, tag: str, block: Timer | Counter) -> Still:
        return replace(self, blocks=tuple((name, block if name == tag else old) for name, old in self.blocks))


Clocks = tuple[tuple[str, int, int], ...]  # (tag, whole seconds, rank of its fraction; 0: none), sorted by tag


class TimedBench:
    """A ladder with timers (whole seconds) and counters, and its operated devices of two positions each."""

    def __init__(self, ladder: Ladder, operated: tuple[str, ...]) -> None:
        self.operated = operated
        self.ways: dict[str, list[Path]] = {load.name: paths(r.contacts) for r in ladder.rungs for load in r.loads}
        self.tags = [load.device for rung in ladder.rungs for load in rung.loads if load.kind == "coil"]
        self.lamps = [load.device for rung in ladder.rungs for load in rung.loads if load.kind == "lamp"]
        self.presets: dict[str, int] = {}
        blocks: list[tuple[str, Timer | Counter]] = []
        for tag in self.tags:
            device = ladder.devices[tag]
            if device.kind == "timer relay":
                function, number, _ = device.setting.rsplit(" ", 2)
                self.presets[tag] = int(number)
                blocks.append((tag, Timer(function)))
            elif device.kind == "counter":
                kind, number = device.setting.split()
                blocks.append((tag, Counter(kind, int(number))))
        self.begin = Still(frozenset({"supply"}), frozenset(), frozenset(), tuple(blocks))
        self.rests: dict[Still, tuple[set[Still], bool]] = {}

    def closed(self, contact: Contact, still: Still) -> bool:
        block = still.block(contact.device)
        digits = "-".join(pair[-1:] for pair in contact.terminals.split("-"))
        if block is not None and (not contact.terminals or digits in TIMED_DIGITS):
            away = block.out
        else:
            if contact.device in still.late:
                return False
            away = contact.device in still.coils or contact.device in still.operated
        return away == (contact.kind == "NO")

    def alive(self, name: str, still: Still) -> bool:
        if "supply" not in still.operated:
            return False
        return any(all(self.closed(c, still) for c in path) for path in self.ways.get(name, []))

    def on(self, tag: str, still: Still) -> bool:
        block = still.block(tag)
        if block is not None:
            return block.out
        return tag in still.coils if tag in self.tags else self.alive(tag, still)

    def moves(self, still: Still) -> dict[object, Still]:
        """What can move next -> the state after it."""
        found: dict[object, Still] = {}
        for tag in self.tags:
            if self.alive(tag, still) != (tag in still.coils):
                found[tag, "coil"] = replace(still, coils=still.coils ^ {tag})
        for tag in still.late:
            found[tag, "late"] = replace(still, late=still.late ^ {tag})
        for tag, block in still.blocks:
            if isinstance(block, Timer):
                on = self.alive(tag, still)
                if on != block.seen:
                    found[tag, "note"] = still.with_block(tag, block.note(on))
                if block.due:
                    found[tag, "end"] = still.with_block(tag, block.end())
            else:
                levels = self.alive(tag, still), self.alive(f"{tag} down", still), self.alive(f"{tag} reset", still)
                if levels != block.seen:
                    found[tag, "note"] = still.with_block(tag, block.note(levels))
        return found

    def rest(self, still: Still) -> tuple[set[Still], bool]:
        """Where it comes to rest, and whether it may go on for ever while nothing is left waiting for ever."""
        if still not in self.rests:
            later: dict[Still, dict[object, Still]] = {}
            todo = [still]
            while todo:
                here = todo.pop()
                if here not in later:
                    later[here] = self.moves(here)
                    todo += later[here].values()
            calm = {one for one, moves in later.items() if not moves}
            self.rests[still] = calm, self._goes_on(later)
        return self.rests[still]

    @staticmethod
    def _goes_on(later: dict[Still, dict[object, Still]]) -> bool:
        after = {one: set(moves.values()) for one, moves in later.items()}
        before: dict[Still, set[Still]] = {one: set() for one in later}
        for one, following in after.items():
            for there in following:
                before[there].add(one)

        def reached(start: Still, ways: dict[Still, set[Still]]) -> set[Still]:
            found: set[Still] = set()
            todo = [start]
            while todo:
                fresh = ways[todo.pop()] - found
                found |= fresh
                todo += fresh
            return found

        def what(key: object) -> object:
            assert isinstance(key, tuple)
            return key[0] if key[1] in ("note", "end") else key

        restless = set(later)
        for ways in (after, before):  # take away what leads into no knot, and what comes from none
            while ends := {one for one in restless if not ways[one] & restless}:
                restless -= ends
        while restless:
            one = next(iter(restless))
            knot = reached(one, after) & reached(one, before)
            if knot:
                wanted = set.intersection(*({what(key) for key in later[other]} for other in knot))
                if wanted <= {what(key) for other in knot for key, there in later[other].items() if there in knot}:
                    return True
            restless -= knot | {one}
        return False

    def shown(self, still: Still) -> tuple[frozenset[str], frozenset[str]]:
        """What can be seen: devices operated, loads that are on."""
        loads = (*self.tags, *self.lamps)
        return still.operated, frozenset(tag for tag in loads if self.on(tag, still))

    def landed(self, still: Still, clocks: Clocks) -> Iterator[tuple[Still, Clocks]]:
        """The rests from `still` with their clocks, those that begin now at 0."""
        now = {tag: (whole, rank) for tag, whole, rank in clocks}
        for calm in self.rest(still)[0]:
            blocks, running = [], []
            for tag, block in calm.blocks:
                if isinstance(block, Timer) and block.runs is not None:
                    running.append((tag, *((0, 0) if block.runs == "new" else now[tag])))
                    block = replace(block, runs="old")
                blocks.append((tag, block))
            yield replace(calm, blocks=tuple(blocks)), _ranked(running)

    def pass_time(self, clocks: Clocks) -> Clocks:
        """The next region in time."""
        if any(rank == 0 for _, _, rank in clocks):
            return _ranked([(tag, whole, rank + 1) for tag, whole, rank in clocks])
        top = max(rank for _, _, rank in clocks)
        return _ranked([(tag, whole + 1, 0) if rank == top else (tag, whole, rank) for tag, whole, rank in clocks])

    def walk(self) -> Iterator[tuple[int, Still, str, list[Still], bool]]:
        """(orders before, state before, order or "time", states after, chatter), every one once, fewest orders first.

        An order is the name of the device moved. The first has the order "".
        """
        stuck = self.rest(self.begin)[1]
        level = set(self.landed(self.begin, ()))
        yield 0, self.begin, "", [still for still, _ in level], stuck
        seen, orders = set(level), 0
        while level:
            todo, following = list(level), set()
            while todo:
                still, clocks = todo.pop()
                generic = all(rank for _, _, rank in clocks)
                due = [tag for tag, whole, rank in clocks if whole == self.presets[tag] and not rank]
                found: list[tuple[str, Still, Clocks, bool]] = []
                if due:
                    ripe = still
                    for tag in due:
                        block = ripe.block(tag)
                        assert isinstance(block, Timer)
                        ripe = ripe.with_block(tag, replace(block, due=True))
                    found.append(("time", ripe, clocks, False))
                else:
                    if clocks and (still, later := self.pass_time(clocks)) not in seen:
                        seen.add((still, later))
                        todo.append((still, later))
                    if generic:
                        for device in (*self.operated, "supply"):
                            late = still.late if device == "supply" else still.late | {device}
                            moved = replace(still, operated=still.operated ^ {device}, late=late)
                            found.append((device, moved, clocks, True))
                for order, moved, times, is_order in found:
                    ends = list(self.landed(moved, times))
                    yield orders, still, order, [end for end, _ in ends], self.rest(moved)[1]
                    for end in ends:
                        if end not in seen:
                            seen.add(end)
                            if is_order:
                                following.add(end)
                            else:
                                todo.append(end)
            level = following
            orders += 1


def _ranked(clocks: list[tuple[str, int, int]]) -> Clocks:
    ranks = sorted({rank for _, _, rank in clocks} | {0})
    return tuple(sorted((tag, whole, ranks.index(rank)) for tag, whole, rank in clocks))
