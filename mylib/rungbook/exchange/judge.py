"""How the relays and the program differ after one order: each kind of difference with the reason for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rungbook.behaviour import Panel, Rest, State, Step, tell
from rungbook.behaviour.settle import every_order
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.exchange.frames import Frames, Network
from rungbook.proof.tell import does

LASTING = ("race", "endless", "chatter", "supply", "other end")
TRANSIENT = ("late", "pulse", "no pause")
#: why relays may come to rest in several ways: their order
BY_ORDER = (
    "The relays move one after the other, whichever is quicker; the program asks its rungs from top to bottom, the "
    "same way each time."
)


@dataclass(frozen=True)
class Difference:
    """One way of differing: `kind`, the `steps` after which it shows, what the `scan` does, what the `relays`, `why`.

    output: designation of the coil or lamp. scans: the scan, from 1, from which it stands for good; 0 if it never does.
    """

    kind: str
    steps: tuple[Step, ...]
    output: str
    scan: str
    relays: str
    why: str
    scans: int = 1

    @property
    def lasting(self) -> bool:
        """True if the two still differ, or may, when both are at rest; False if it is over after some scans."""
        return self.kind in LASTING

    def __str__(self) -> str:
        done = tell(self.steps) or "Nothing is touched."
        return f"{self.kind}: {done} Program: {self.scan}. Relays: {self.relays}. {self.why}".rstrip()


class Judge:
    """Says how scans and relays differ. panel: the relays; tags: the outputs, in the order of the frames' values."""

    def __init__(self, panel: Panel | TimedPanel, tags: tuple[str, ...]) -> None:
        self.panel, self.tags = panel, tags
        self.network = Network(panel.ladder)

    def shown(self, state: State) -> tuple[bool, ...]:
        """The outputs of the relays in `state`."""
        return tuple(self.panel.is_on(tag, state) for tag in self.tags)

    def differences(self, frames: Frames, rest: Rest, moved: State, way: tuple[Step, ...]) -> Iterator[Difference]:
        """Yield every difference after the last step of `way` (none: the supply is first on), lasting ones first.

        frames: the scans from then until rest. moved, rest: the relays just after the step, and where they come to
        rest.
        """
        ends = list(dict.fromkeys(map(self.shown, rest.states)))
        relays = self._ends(frames, ends, rest.chatter, bool(way))
        if not frames.ends:
            tag = self.tags[frames.restless[0]]
            told = f"{tag} changes again and again, scan by scan"
            yield Difference("endless", way, tag, told, relays, self.network.turning(frames, self.tags), 0)
            return
        last = frames.values[-1]
        if rest.chatter:
            k = next((k for k, on in enumerate(last) if on != frames.before[k]), 0)
            why = "The coils open their own ways, or one another's; the program asks each rung once a scan."
            yield Difference("chatter", way, self.tags[k], self._does(frames, k, last[k], bool(way)), relays, why)
            return
        if last not in ends:
            k = next(k for k, on in enumerate(last) if on != ends[0][k])
            yield Difference("other end", way, self.tags[k], self._does(frames, k, last[k], bool(way)), relays, "")
        elif len(ends) > 1:
            k = next(k for k in range(len(last)) if len({end[k] for end in ends}) > 1)
            told = self._does(frames, k, last[k], bool(way))
            yield Difference("race", way, self.tags[k], told, relays, self.race(moved, way))
        for k in range(len(last)):
            if frames.settled(k) > 1:
                yield self._transient(frames, rest, way, k)
        yield from self._changeovers(frames, way)

    def _does(self, frames: Frames, k: int, on: bool, touched: bool) -> str:
        return does(self.tags[k], frames.before[k] if touched else None, on)

    def _transient(self, frames: Frames, rest: Rest, way: tuple[Step, ...], k: int) -> Difference:
        tag, number = self.tags[k], frames.settled(k)
        before, after = frames.before[k], frames.values[-1][k]
        done, many = does(tag, before, after), "one scan" if number == 2 else f"{number - 1} scans"
        if before != after:
            why = self.network.below(frames, self.tags, number, tag)
            relays = f"{done} as soon as what stands before it has moved"
            return Difference("late", way, tag, f"{done} {many} later, in scan {number}", relays, why, number)
        why = self.network.below(frames, self.tags, number, tag)
        if any(self.panel.is_on(tag, state) != before for state in rest.passed):
            done += ", but perhaps for an instant that hangs on which relay is quicker"
        told = f"{tag} is {'off' if before else 'on'} for {many}, and then as before"
        return Difference("pulse", way, tag, told, done, why, number)

    def _changeovers(self, frames: Frames, way: tuple[Step, ...]) -> Iterator[Difference]:
        for one, other, number in frames.changeovers(self.tags):
            if self.network.breaks(one, other):
                told = f"{one} goes off and {other} on with scan {number}"
                relays = f"{other} gets voltage only when {one} has dropped out and its NC contact has closed"
                why = "The program leaves no pause: wire NC contacts of the contactors before each other's coils too."
                yield Difference("no pause", way, other, told, relays, why, number)

    def _ends(self, frames: Frames, ends: Sequence[tuple[bool, ...]], chatter: bool, touched: bool) -> str:
        """Where the relays may come to rest, told of the first output in which that differs, or that changes."""
        if chatter:
            return "the coils may chatter without end"
        many = [k for k in range(len(self.tags)) if len({end[k] for end in ends}) > 1]
        changed = [k for k in range(len(self.tags)) if ends[0][k] != frames.before[k]]
        k = [*many, *changed, 0][0]
        return ", or ".join(dict.fromkeys(self._does(frames, k, end[k], touched) for end in ends))

    def race(self, moved: State, way: tuple[Step, ...]) -> str:
        """Why relays may end in several ways: their order, or contacts that break before they make."""
        bits = [(1 << k, tag) for k, tag in enumerate(self.panel.coils)]

        def following(pulled: int) -> list[int]:
            state = moved._replace(pulled=pulled)
            return [pulled ^ bit for bit, tag in bits if bool(pulled & bit) != self.panel.has_voltage(tag, state)]

        stable, _, _ = every_order(moved.pulled, following)
        if len({self.shown(moved._replace(pulled=pulled)) for pulled in stable}) > 1:
            return BY_ORDER
        return self.by_travel(way)

    def by_travel(self, way: tuple[Step, ...]) -> str:
        """A race of contacts that break before they make."""
        moving = (way[-1].device if way else "", *self.panel.coils)
        named = next((tag for tag in moving if self.network.has_both(tag)), "A device")
        return (
            f"{named} opens one contact before it closes another, and between the two a way may be open long enough; "
            "in the program both change in the same scan."
        )
