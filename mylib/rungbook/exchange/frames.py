"""The scans from one order until the program rests, and which rung reads what a rung below writes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.circuit import Ladder
from rungbook.exchange.scan import Scan


@dataclass(frozen=True)
class Frames:
    """Outputs after each scan: `before` the order, then `values`, scan by scan, each in the order of `Scan.outputs`.

    ends: True if the last scan changed nothing any more (it is not listed); else what follows repeats what is listed.
    """

    before: tuple[bool, ...]
    values: tuple[tuple[bool, ...], ...]
    ends: bool

    @property
    def restless(self) -> list[int]:
        """Places of the outputs that change between the last two scans, or else anywhere."""
        moving = [k for k, on in enumerate(self.values[-1]) if len(self.values) > 1 and on != self.values[-2][k]]
        return moving or [0]

    def settled(self, place: int) -> int:
        """The scan, from 1, from which this output stands as at the end."""
        number = len(self.values)
        while number > 1 and self.values[number - 2][place] == self.values[-1][place]:
            number -= 1
        return number

    def changed(self, number: int) -> set[int]:
        """Places of the outputs that change in this scan, from 1; number 0: none."""
        if number < 1:
            return set()
        rows = (self.before, *self.values)
        return {k for k, on in enumerate(rows[number]) if on != rows[number - 1][k]}

    def changeovers(self, tags: tuple[str, ...]) -> Iterator[tuple[str, str, int]]:
        """Two contactors of which one goes off and the other on in one scan: (off, on, number of the scan)."""
        for number, row in enumerate(self.values, 1):
            moving = [k for k in sorted(self.changed(number)) if tags[k][0] == "Q"]
            for one in moving:
                for other in moving:
                    if not row[one] and row[other]:
                        yield tags[one], tags[other], number


def run_to_rest(scan: Scan) -> Frames:
    """Scan until nothing changes any more, or a state comes back. The scan is left where it rests."""
    tags = tuple(scan.outputs)

    def shown() -> tuple[bool, ...]:
        return tuple(scan.is_on(tag) for tag in tags)

    before = shown()
    values: list[tuple[bool, ...]] = []
    seen: set[tuple[int, ...]] = set()
    last: tuple[int, ...] = ()
    while True:
        scan.scan()
        state = scan.state()
        if state == last:
            return Frames(before, tuple(values), True)
        values.append(shown())
        if state in seen:
            return Frames(before, tuple(values), False)
        seen.add(state)
        last = state


class Network:
    """Which rung writes what, and reads what."""

    def __init__(self, ladder: Ladder) -> None:
        self._rung = {load.device: number for number, rung in enumerate(ladder.rungs, 1) for load in rung.loads}
        self._reads = {
            load.device: rung.all_contacts()
            for rung in ladder.rungs
            for load in rung.loads
            if load.kind in ("coil", "lamp")
        }
        self._kinds: dict[str, set[str]] = {}
        for rung in ladder.rungs:
            for contact in rung.all_contacts():
                self._kinds.setdefault(contact.device, set()).add(contact.kind)

    def has_both(self, tag: str) -> bool:
        """True if contacts of both kinds of this device are used."""
        return len(self._kinds.get(tag, ())) > 1

    def breaks(self, tag: str, other: str) -> bool:
        """True if an NC contact of `tag` stands before `other`."""
        return any(contact.device == tag and contact.kind == "NC" for contact in self._reads[other])

    def below(self, frames: Frames, tags: tuple[str, ...], number: int, output: str = "") -> str:
        """Why something changes only in scan `number`: a rung reads what is written at or below it.

        The rung of `output` if it does, else the topmost one that changes then.
        """
        changed = sorted((tags[k] for k in frames.changed(number)), key=lambda tag: (tag != output, self._rung[tag]))
        earlier = {tags[k] for k in frames.changed(number - 1)}
        for tag in changed:
            for contact in self._reads[tag]:
                if contact.device in earlier and self._rung[contact.device] >= self._rung[tag]:
                    return self._sentence(tag, contact.device)
        return ""

    def turning(self, frames: Frames, tags: tuple[str, ...]) -> str:
        """Why the program never rests."""
        told = self.below(frames, tags, len(frames.values))
        return f"{told} So each scan turns round what the one before has made." if told else ""

    def _sentence(self, tag: str, other: str) -> str:
        mine, theirs = self._rung[tag], self._rung[other]
        if mine == theirs:
            return f"Rung {mine} reads {other}, which it writes itself: it sees the change one scan later."
        return f"Rung {mine} reads {other}, and rung {theirs} writes it: rung {mine} sees the change one scan later."
