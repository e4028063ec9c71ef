"""Where relays and the scan of the same ladder differ: the shortest sequence of orders for each way of differing.

Both get the same orders, one at a time, and come to rest before the next: the relays in every order in which they can
move (`behaviour.Panel`, contacts break before they make), the program in as many scans as it needs, inputs unchanged.
Breadth first over all states that both can reach, so the sequence is the shortest.

| kind | lasting | what |
|---|---|---|
| late | no | an output changes, but not in the first scan |
| pulse | no | an output changes for some scans, and back |
| no pause | no | one contactor goes off and another on in the same scan; relays would wait for the first to drop out |
| race | yes | the relays may come to rest elsewhere; the program always ends alike |
| endless | yes | the program never comes to rest |
| chatter | yes | the relays may never come to rest; the program does |
| supply | yes | the supply was off: a timer or counter went on, or forgot, otherwise than the program's |
| other end | yes | the program ends where no order of the relays leads |

Without contacts that break before they make, a scan is one of the orders in which relays can move: top to bottom. So
"other end" should not be found; it is asked all the same. With timers or counters the sequences have waits, and the
instants of the orders count: `timed_differences` says how. Not covered: orders that come quicker than relays and
program come to rest, or two in one scan.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from html import escape

from rungbook.behaviour import MICRO, Panel, State, Step, tell
from rungbook.behaviour.timed_panel import works_in_time
from rungbook.circuit import Ladder
from rungbook.exchange.frames import run_to_rest
from rungbook.exchange.judge import Difference, Judge
from rungbook.exchange.scan import SCAN_TIME, Scan
from rungbook.exchange.timed_differences import TimedSearch
from rungbook.proof import MAX_SECONDS, MAX_STATES, Deadline, TooMany
from rungbook.tables import html_table, text_table


@dataclass(frozen=True)
class ScanReport:
    """What `scan_differences` found. True if relays and scan do the same in every scan of every sequence.

    outcome: "same", "different" or "not decided" (`why`: which limit was met; what was found before stands).
    differences: the first of each kind, those after fewer orders first, lasting ones first among equals. scan_time: of
    a ladder with timers or counters, the length of the scans [s]; else 0.
    """

    title: str
    outcome: str
    differences: tuple[Difference, ...] = ()
    why: str = ""
    scan_time: float = 0.0

    def __bool__(self) -> bool:
        return self.outcome == "same"

    @property
    def first(self) -> Difference | None:
        """The difference that shows after the fewest orders; None if there is none."""
        return self.differences[0] if self.differences else None

    def lasting(self) -> tuple[Difference, ...]:
        """Those that are there when both are at rest."""
        return tuple(one for one in self.differences if one.lasting)

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [
            (
                one.kind,
                "yes" if one.lasting else "no",
                tell(one.steps) or "Nothing is touched.",
                one.scan,
                one.relays,
                one.why,
            )
            for one in self.differences
        ]
        return ("kind", "lasting", "orders", "program", "relays", "why"), rows

    def __str__(self) -> str:
        parts = [self._told] if self._told else []
        return "\n".join([*parts, text_table(*self._rows())] if self.differences else parts)

    @property
    def _told(self) -> str:
        """The sentence above the table; "" if the table says all."""
        if self.outcome == "not decided":
            return f"Not decided: {self.why}"
        if self.outcome != "same":
            return ""
        late = f" Each time is up with a scan: at most {self.scan_time:g} s late." if self.scan_time else ""
        return f"Relays and program do the same.{late}"

    __repr__ = __str__

    def _repr_html_(self) -> str:
        caption = f"Relays and scan: {self.title}" if self.title else "Relays and scan"
        table = html_table(caption, *self._rows()) if self.differences else ""
        return table + (f"<p>{escape(self._told)}</p>" if self._told else "")


def scan_differences(
    ladder: Ladder,
    wired: Mapping[str, str] | None = None,
    limit: int = MAX_STATES,
    seconds: float = MAX_SECONDS,
    scan_time: float = SCAN_TIME,
) -> ScanReport:
    """Return where the relays of `ladder` and its program differ, over all sequences of orders and, with timers, waits.

    wired: as in `structured_text`; it changes nothing here. limit: states at rest; seconds: of work [s]; beyond either
    the rest is not decided. scan_time: of the scans on which a sequence with waits is tried [s]. Raises LadderError as
    `Scan`, `Panel` and `TimedPanel`.
    """
    scan = Scan(ladder, scan_time, wired)
    in_time = works_in_time(ladder, scan.devices.values())
    deadline = Deadline(seconds)
    found = TimedSearch(ladder, scan, limit, deadline) if in_time else _Search(ladder, scan, limit, deadline)
    why = ""
    try:
        found.walk()
    except TooMany as met:
        why = str(met)
    why = "; ".join([*([why] if why else []), *getattr(found, "open", {}).values()])
    told = sorted(found.first.values(), key=lambda one: (len(one.steps), not one.lasting))
    outcome = "not decided" if why else "different" if told else "same"
    return ScanReport(ladder.title, outcome, tuple(told), why, scan.every / MICRO if in_time else 0.0)


@dataclass(frozen=True)
class _Place:
    """Where both stand at rest: the relays, and what the program remembers."""

    relays: State
    program: tuple[int, ...]


@dataclass
class _Search:
    ladder: Ladder
    scan: Scan
    limit: int
    deadline: Deadline
    first: dict[str, Difference] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.panel = Panel(self.ladder, self.scan.devices.values())
        self.judge = Judge(self.panel, tuple(self.scan.outputs))
        self._came: dict[_Place, tuple[_Place, Step] | None] = {}

    def walk(self) -> None:
        level = self._arrive(None, None)
        while level:
            following: list[_Place] = []
            for place in level:
                self.deadline.check()
                for step in self.panel.steps:
                    if self.panel.can(step, place.relays):
                        following += self._arrive(place, step)
                if len(self._came) > self.limit:
                    raise TooMany(f"more than {self.limit} states can be reached")
            level = following

    def _arrive(self, before: _Place | None, step: Step | None) -> list[_Place]:
        """Let both come to rest after `step`; note how they differ; return where both stand now, if that is new."""
        if before is None or step is None:
            moved = self.panel.start
            rest = self.panel.rest(moved)
        else:
            moved = self.panel.moved(step, before.relays)
            rest = self.panel.after(step, before.relays)
            positions = {device.tag: self.panel.position(device.tag, before.relays) for device in self.panel.inputs}
            self.scan.put(before.program, positions, before.relays.supply)
            self.scan.move(step)
        frames = run_to_rest(self.scan)
        way = () if before is None or step is None else self._way(before, step)
        for one in self.judge.differences(frames, rest, moved, way):
            self.first.setdefault(one.kind, one)
        if not frames.ends or rest.chatter:
            return []
        last = frames.values[-1]
        for state in rest.states:
            place = _Place(state, self.scan.state())
            if self.judge.shown(state) == last and place not in self._came:
                self._came[place] = None if before is None or step is None else (before, step)
                return [place]
        return []

    def _way(self, before: _Place, step: Step) -> tuple[Step, ...]:
        steps = [step]
        link = self._came[before]
        while link is not None:
            steps.append(link[1])
            link = self._came[link[0]]
        return tuple(reversed(steps))
