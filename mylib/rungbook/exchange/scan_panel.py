"""The program of a ladder as a panel: scans of no length, so that the walk over times (`proof.timed`) takes it in.

A word is that of `TimedPanel`, and so is what an order does to it; what follows is not "one at a time, in every order"
but the program: all inputs stand as their devices do, then the rungs from top to bottom, each timer and counter called
after the last rung that feeds it (`plan`), and again until nothing changes. A period that is up ends with the call,
before the call's own inputs are looked at (`composed`, `blocks`). No supply, no scan: all is off, and begins cold but
for the counters, which keep their count and the inputs that they saw last.

That this is what the written text does is tried against `Scan` (`tests/exchange/test_scan_panel.py`). Not covered: the
length of a scan. Periods that end together here may end some scans apart in the program: where that matters, `AtRest`
has more than one word.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice, permutations

from rungbook.behaviour.blocks import COIL, DOWN, RESET, Clock, TimerBlock
from rungbook.behaviour.panel import State
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.behaviour.timed_settle import AtRest, Seat
from rungbook.circuit import Ladder
from rungbook.kit import Device

_LEVEL = {"coil": COIL, "down": DOWN, "reset": RESET}
MOST_ORDERS = 120  # in which periods that end at one instant are tried: all those of five


@dataclass(frozen=True)
class _Line:
    """One rung: what it makes of a word; the bits that take it, lamps, inputs of blocks; blocks called after it."""

    conducts: Callable[[int], bool]
    bits: int
    lamps: tuple[str, ...]
    inputs: tuple[tuple[str, int], ...]
    calls: tuple[Seat, ...]


@dataclass(frozen=True)
class ScanRow:
    """What one scan leaves: the `word`, and which lamps it has lit."""

    word: int
    lit: frozenset[str]


class ScanPanel(TimedPanel):
    """The program of a valid ladder. Raises LadderError as `TimedPanel`."""

    def __init__(self, ladder: Ladder, devices: Iterable[Device] = ()) -> None:
        super().__init__(ladder, devices)
        last = {load.device: number for number, rung in enumerate(ladder.rungs) for load in rung.loads}
        self._lines = [
            _Line(
                self._look(rung.contacts),
                sum(self._own_bit(load.device) for load in rung.loads if load.kind == "coil"),
                tuple(load.device for load in rung.loads if load.kind == "lamp"),
                tuple((load.device, _LEVEL[load.kind]) for load in rung.loads if load.device in self._timed),
                tuple(seat for seat in self.seats if last[seat.block.tag] == number),
            )
            for number, rung in enumerate(ladder.rungs)
        ]
        self._positions = (1 << self._first_coil) - 1
        self._rests: dict[int, AtRest] = {}

    @property
    def start(self) -> State:
        """Supply on, every device at rest, the outputs of all blocks FALSE until they are first called."""
        word = self.packed(super().start)
        for seat in self.seats:
            word &= ~seat.bit
        return self.unpacked(word)

    def _own_bit(self, tag: str) -> int:
        """The bit of a relay, or of a block's variable that its instantaneous contacts read; 0 if none does."""
        return self._armature.get(tag, 0) if tag in self._timed else self._bit[tag]

    def arrived(self, word: int) -> int:
        """`word` with every contact that a hand moves where its device is."""
        for mover in self._followers:
            word = word | mover.bit if mover.look.holds(word) else word & ~mover.bit
        return word

    def _dead(self, word: int) -> int:
        """`word` without supply: cold, but for the counters."""
        bare = self.arrived(word & self._positions)
        for seat in self.seats:
            bare = seat.put(bare, seat.block.start if isinstance(seat.block, TimerBlock) else seat.code(word))
        return bare

    def scanned(self, word: int) -> ScanRow:
        """One scan from `word`, the supply on, contacts where their devices are."""
        lit: list[str] = []
        levels: dict[str, int] = dict.fromkeys(self._timed, 0)
        for line in self._lines:
            on = line.conducts(word)
            word = word | line.bits if on else word & ~line.bits
            if on:
                lit += line.lamps
                for tag, level in line.inputs:
                    levels[tag] |= level
            for seat in line.calls:
                word = self._called(word, seat, levels[seat.block.tag])
        return ScanRow(word, frozenset(lit))

    @staticmethod
    def _called(word: int, seat: Seat, levels: int) -> int:
        code = seat.code(word)
        if seat.block.due(code):
            code = seat.block.expired(code)
        if seat.block.levels(code) != levels:
            code = seat.block.answer(code, levels)
        return seat.put(word, code)

    def shown(self, row: ScanRow, tags: Iterable[str]) -> tuple[bool, ...]:
        """Which of these coils and lamps are on after a scan; none without supply."""
        live = bool(row.word & 1)
        return tuple(live and (tag in row.lit or bool(row.word & self._bit.get(tag, 0))) for tag in tags)

    def rows(self, word: int) -> tuple[list[ScanRow], bool]:
        """The scans from `word` until nothing changes any more (True), or what was comes back (False)."""
        word = self.arrived(word)
        if not word & 1:
            return [ScanRow(self._dead(word), frozenset())], True
        found: list[ScanRow] = []
        while True:
            row = self.scanned(found[-1].word if found else word)
            if found and row == found[-1]:
                return found, True
            if row in found:
                return [*found, row], False
            found.append(row)

    def settle(self, word: int) -> AtRest:
        """Where the program rests: one word, or several if the length of a scan decides; chatter: it never does."""
        if word not in self._rests:
            ends, passed, chatter = [], set(), False
            for begun in self._orders(word):
                rows, rests = self.rows(begun)
                ends.append(rows[-1].word)
                passed |= {row.word for row in rows}
                chatter |= not rests
            self._rests[word] = AtRest(tuple(dict.fromkeys(ends)), chatter, frozenset(passed))
        return self._rests[word]

    def _orders(self, word: int) -> Iterator[int]:
        """`word`; and if several periods end at this instant, what comes of them one after another, but for the last.

        Only the last end of each is left to be scanned.
        """
        yield word
        due = [seat for seat in self.seats if seat.block.due(seat.code(word))]
        if len(due) < 2 or not word & 1:
            return
        for order in islice(permutations(due), MOST_ORDERS):
            now = word
            for seat in order:
                now = seat.put(now, _timer(seat).running(seat.code(now)))
            for place, seat in enumerate(order):
                clock = _timer(seat).clock(seat.code(now))
                if clock is Clock.RUNS:
                    now = self.ripe(now, seat)
                elif clock in (Clock.PAUSED, Clock.RESUMED):
                    break  # a time that is kept is up with the last scan before the pause, as with relays
                if place < len(order) - 1:
                    now = self.rows(now)[0][-1].word
            else:
                yield now


def _timer(seat: Seat) -> TimerBlock:
    assert isinstance(seat.block, TimerBlock)  # a counter is never due
    return seat.block
