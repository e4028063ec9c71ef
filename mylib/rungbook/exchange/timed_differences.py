"""Where relays and the program of a ladder with timers or counters differ: the search over orders and all instants.

Two panels get the same orders in one walk over times (`proof.timed.walk`): the relays, which move one at a time in
every order (`TimedPanel`), and the program, in scans of no length (`ScanPanel`). So what is told apart here is there
however short the scan. That a time is up in the first scan at or after it, up to one scan late, is no difference; nor
is what only an order within some scans of the end of a period would show. What lasts for some scans and is over then is
"late", "pulse" or "no pause", as for ladders without times. While the supply is off nothing is compared.

Instants are found with the widest margin (`schedule`), and each sequence is then done on the program itself with scans
of the length asked for (`confirm`). One that does not show it there is not told, and the question not decided. Not
decided either: a flasher whose time is no whole number of scans (it falls behind with every period, `composed`), and
what lies beyond the limits. What adds up over many periods otherwise is not looked for.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise

from rungbook.behaviour import MICRO, SUPPLY, Rest, State, Step
from rungbook.behaviour.blocks import TimerBlock
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.circuit import Ladder
from rungbook.exchange.confirm import Row, rows_of
from rungbook.exchange.frames import Frames
from rungbook.exchange.judge import BY_ORDER, Difference, Judge
from rungbook.exchange.scan import Scan
from rungbook.exchange.scan_panel import ScanPanel
from rungbook.kit import CounterSetting, TimerSetting, parse_setting
from rungbook.proof import Deadline, TooMany
from rungbook.proof.slices import Cones
from rungbook.proof.tell import does
from rungbook.proof.timed.many import Many
from rungbook.proof.timed.schedule import schedule
from rungbook.proof.timed.walk import Arrival, Node, Walk, path_to

MOST_TRIES = 12  # sequences of one kind that the program itself does not show, before no more are tried
ENDLESS = 20  # changes of outputs at the end of a run, in half of which one that never rests takes part
RUNS_ON = "{} runs on without the supply; in the program it begins anew."
KEEPS = "{} keeps its time without the supply; in the program it begins anew."
NOT_CALLED = "The output of a block is FALSE until it is first called; a counter at 0 that counts down is on at once."
COUNTS = "{} counts what stands at its input when the supply returns; the program remembers that it was there before."


class TimedJudge(Judge):
    """As `Judge`, for relays with timers and counters. due: timers whose periods end with what is judged."""

    def __init__(self, panel: TimedPanel, program: ScanPanel, tags: tuple[str, ...]) -> None:
        super().__init__(panel, tags)
        self.timed, self.program = panel, program
        self.due: tuple[str, ...] = ()

    def race(self, moved: State, way: tuple[Step, ...]) -> str:
        """Why relays may end in several ways: times that are up together, their order, or contacts that open first."""
        if len(self.due) > 1:
            names = f"{', '.join(self.due[:-1])} and {self.due[-1]}"
            return f"The times of {names} are up at the same instant; what follows hangs on which is quicker."
        word = self.timed.packed(moved)
        late, at_once = self.timed.settle(word).words, self.timed.settle(self.program.arrived(word)).words
        by_order = self._kinds(at_once) > 1 or (self._kinds(late) == 1 and len(at_once) > 1)
        return BY_ORDER if by_order else self.by_travel(way)

    def _kinds(self, words: tuple[int, ...]) -> int:
        return len({self.shown(self.timed.unpacked(word)) for word in words})


@dataclass
class TimedSearch:
    """The search. scan: the program, never run itself. first: the first difference of each kind; open: what is not
    decided, and why.
    """

    ladder: Ladder
    scan: Scan
    limit: int
    deadline: Deadline
    first: dict[str, Difference] = field(default_factory=dict)
    open: dict[str, str] = field(default_factory=dict)  # kind, or designation -> why

    def __post_init__(self) -> None:
        devices = tuple(self.scan.devices.values())
        self.relays, self.program = TimedPanel(self.ladder, devices), ScanPanel(self.ladder, devices)
        self.tags = tuple(self.scan.outputs)
        self.judge = TimedJudge(self.relays, self.program, self.tags)
        idle = frozenset(step for step, where, _, _ in self.relays.turns if not where & self.relays.looks_at)
        self._walk = Walk([self.relays, self.program], self.limit, self.deadline, idle=idle)
        self._many = Many([self.relays, self.program])
        self._tries: dict[str, int] = {}
        self._split: dict[Node, str] = {}  # nodes to which the relays came by a race -> why
        for seat in self.relays.seats:
            block = seat.block
            if isinstance(block, TimerBlock) and not block.once and block.preset % self.scan.every:
                self.open[block.tag] = (
                    f"{block.tag} flashes with {block.preset / MICRO:g} s, no whole number of scans of "
                    f"{self.scan.every / MICRO:g} s, so the program falls behind with every period"
                )

    def walk(self) -> None:
        """Walk over all states and times. Raises TooMany at the limits."""
        for arrival in self._walk.arrivals():
            self._look(arrival)

    def _look(self, arrival: Arrival) -> None:
        """Note how relays and program differ after one event; go on from where both rest and show the same."""
        words = self._moved(arrival)
        if words[0] & 1:
            frames, rest = self._frames(arrival, words[1]), self._rest(words[0])
            due = () if arrival.event is None else arrival.event.due
            self.judge.due = tuple(self.relays.seats[place].block.tag for side, place in due if side == 0)
            way, moved = _way(arrival), self.relays.unpacked(words[0])
            for one in self.judge.differences(frames, rest, moved, way):
                self._note(arrival, self._named(one, arrival, way, frames), frames)
            if len({node.outcome(0) for node in arrival.nodes}) > 1:
                self._split |= dict.fromkeys(arrival.nodes, self.judge.race(moved, way))
            if arrival.chatter[1] and frames.ends:
                self.open.setdefault("rest", "variables of the program change again and again that no output shows")
        if any(arrival.chatter):
            arrival.nodes.clear()
        arrival.nodes[:] = [node for node in arrival.nodes if self._agree(node)]
        self._many.spread(arrival)

    def _moved(self, arrival: Arrival) -> tuple[int, int]:
        """Both words just after the event, before anything has answered."""
        if arrival.before is None or arrival.event is None:
            return self.relays.packed(self.relays.start), self.program.packed(self.program.start)
        words = list(arrival.before.words)
        for side, panel in enumerate((self.relays, self.program)):
            if not arrival.event.due:
                words[side] ^= next(flip for step, _, _, flip in panel.turns if step == arrival.event.step)
            for _, place in (one for one in arrival.event.due if one[0] == side):
                words[side] = panel.ripe(words[side], panel.seats[place])
        return words[0], words[1]

    def _frames(self, arrival: Arrival, word: int) -> Frames:
        """The scans after an event that leaves the program at `word`."""
        rows, ends = self.program.rows(word)
        before: Row = (False,) * len(self.tags)
        if arrival.before is not None and arrival.before.words[1] & 1:
            before = tuple(self.program.shows(tag, arrival.before.words[1]) for tag in self.tags)
        values = [self.program.shown(row, self.tags) for row in rows]
        if not ends and len(set(values[values.index(values[-1]) :])) == 1:
            ends = True  # what goes on is nothing that shows
        return Frames(before, tuple(values), ends)

    def _rest(self, word: int) -> Rest:
        words, chatter, passed = self.relays.settle(word)
        unpacked = self.relays.unpacked
        return Rest(tuple(map(unpacked, words)), chatter, frozenset(map(unpacked, passed)))

    def _agree(self, node: Node) -> bool:
        relays, program = node.words
        live = bool(relays & 1)
        return not live or all(self.relays.shows(tag, relays) == self.program.shows(tag, program) for tag in self.tags)

    def _named(self, one: Difference, arrival: Arrival, way: tuple[Step, ...], frames: Frames) -> Difference:
        """`one`; if it ends elsewhere, by what came before: a race of the relays, or the supply that was off."""
        if one.kind != "other end":
            return one
        path = [] if arrival.before is None else path_to(arrival.before)
        why = next((self._split[node] for node in path if node in self._split), "")
        place = self.tags.index(one.output)
        on = frames.values[-1][place]
        if why:
            both = [does(one.output, frames.before[place], level) for level in (not on, on)]
            return replace(one, kind="race", relays=f"{both[0]}, or {both[1]}, by a race before", why=why)
        if not way:
            return replace(one, why=NOT_CALLED)
        if any(step.device == SUPPLY for step in way):
            scan, relays = does(one.output, None, on), does(one.output, None, not on)
            return replace(one, kind="supply", scan=scan, relays=relays, why=" ".join(self._cold(one.output)))
        return one

    def _cold(self, output: str) -> list[str]:
        """What each timer and counter that bears on `output` does otherwise while the supply is off."""
        cone = Cones(self.ladder).of([output])
        told = []
        for tag in (seat.block.tag for seat in self.relays.seats if seat.block.tag in cone):
            setting = parse_setting(self.relays.devices[tag])
            if isinstance(setting, CounterSetting):
                told.append(COUNTS.format(tag))
            elif isinstance(setting, TimerSetting) and setting.function == "cumulative on-delay":
                told.append(KEEPS.format(tag))
            elif isinstance(setting, TimerSetting) and setting.function not in ("on-delay", "flash"):
                told.append(RUNS_ON.format(tag))
        return told

    def _note(self, arrival: Arrival, one: Difference, frames: Frames) -> None:
        """Keep the first difference of its kind that the program itself shows at instants of which we are sure."""
        tries = self._tries.get(one.kind, 0)
        if one.kind in self.first or tries >= MOST_TRIES:
            return
        self._tries[one.kind] = tries + 1
        self.deadline.check()
        if not self._many.is_sure(arrival):
            self.open.setdefault(one.kind, f'"{one.kind}" may be there when a counter is far above its preset')
            return
        try:
            steps = schedule(self._walk, arrival)
        except TooMany as met:
            self.open.setdefault(one.kind, str(met))
            return
        if self._shows(steps, frames, arrival.chatter[0]):
            self.first[one.kind] = replace(one, steps=steps)
            self.open.pop(one.kind, None)
        else:
            self.open.setdefault(
                one.kind,
                f'"{one.kind}" is there with scans of no length, and not seen with those of '
                f"{self.scan.every / MICRO:g} s",
            )

    def _shows(self, steps: tuple[Step, ...], frames: Frames, chatter: bool) -> bool:
        """True if the program, run scan by scan, does what `frames` say at the end of `steps`.

        chatter: the relays do, so that nothing is known of how long the program then stays as it is.
        """
        rows = rows_of(Scan(self.ladder, self.scan.every / MICRO, self.scan.wired), steps)
        if rows is None:
            return False
        if not frames.ends:
            place = frames.restless[0]
            return sum(one[place] != other[place] for one, other in pairwise(rows[-ENDLESS:])) >= ENDLESS // 2
        asked = [frames.before]
        for row in frames.values:
            if row != asked[-1]:
                asked.append(row)
        size = len(asked)
        ends = range(size, len(rows) + 1) if chatter else (len(rows),)
        return any(rows[end - size : end] == asked for end in ends)


def _way(arrival: Arrival) -> tuple[Step, ...]:
    """Orders, and ends of periods, up to `arrival`."""
    if arrival.before is None or arrival.event is None:
        return ()
    events = [node.came[1] for node in path_to(arrival.before) if node.came is not None]
    return tuple(event.step for event in (*events, arrival.event))
