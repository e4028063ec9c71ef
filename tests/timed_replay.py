"""A ladder with timers at given instants: every state in which its relays may leave it, one instant after another.

Uses what `TimedPanel` does in no time, but no zones: clocks are plain numbers of microseconds.
"""

from __future__ import annotations

from rungbook.behaviour import Step
from rungbook.behaviour.blocks import Clock, TimerBlock
from rungbook.behaviour.timed_panel import TimedPanel

Times = tuple[tuple[int, int], ...]  # (place of the block, time gathered), of those that run, or are paused
Here = tuple[int, Times, Times]  # word, clocks that run, times kept


class Replay:
    """All states in which `panel` may be at `now` [us]; `chatter` once it may never rest."""

    def __init__(self, panel: TimedPanel) -> None:
        self.panel = panel
        self.now = 0
        self.chatter = False
        self.states: set[Here] = self._land(panel.packed(panel.start), {}, {})

    def _land(self, word: int, running: dict[int, int], kept: dict[int, int]) -> set[Here]:
        rest = self.panel.settle(word)
        self.chatter |= rest.chatter
        found = set()
        for end in rest.words:
            now, then = {}, {}
            for place, seat in enumerate(self.panel.seats):
                if not isinstance(seat.block, TimerBlock):
                    continue
                clock = seat.block.clock(seat.code(end))
                if clock is Clock.ZERO:
                    now[place] = 0
                elif clock in (Clock.RUNS, Clock.RESUMED):
                    now[place] = running[place] if place in running else kept[place]
                elif clock is Clock.PAUSED:
                    then[place] = running[place] if place in running else kept[place]
            found.add((self.panel.settling.settled(end), tuple(sorted(now.items())), tuple(sorted(then.items()))))
        return found

    def ends(self) -> set[int]:
        """The instants at which a period ends next, in each state [us]."""
        found = set()
        for _, running, _ in self.states:
            for place, gathered in running:
                found.add(self.now + self._preset(place) - gathered)
        return found

    def _preset(self, place: int) -> int:
        block = self.panel.seats[place].block
        assert isinstance(block, TimerBlock)
        return block.preset

    def advance(self, until: int) -> None:
        """Let time pass up to `until` [us]."""
        while (ends := self.ends()) and min(ends) <= until:
            self._pass(min(ends))
            following: set[Here] = set()
            for word, running, kept in self.states:
                due = [place for place, gathered in running if gathered == self._preset(place)]
                for place in due:
                    word = self.panel.ripe(word, self.panel.seats[place])
                following |= self._land(word, dict(running), dict(kept)) if due else {(word, running, kept)}
            self.states = following
        self._pass(until)

    def _pass(self, until: int) -> None:
        gone, self.now = until - self.now, until
        self.states = {
            (word, tuple((place, gathered + gone) for place, gathered in running), kept)
            for word, running, kept in self.states
        }

    def do(self, step: Step) -> None:
        """Do `step` now."""
        flip = next(flip for other, _, _, flip in self.panel.turns if other == step)
        self.states = set().union(*(self._land(w ^ flip, dict(r), dict(k)) for w, r, k in self.states))
