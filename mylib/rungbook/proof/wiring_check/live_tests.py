"""The steps with voltage, after the sign-off: one walk through what the circuit does, each step with what must be seen.

The walk keeps at most one device away from rest, as a careful hand does, and does every order in each situation that
coils, lamps and that device tell apart: not only "press start", also "let it go", and start while it runs; at
the end the supply fails and comes back. Voltages are those that the network predicts across each coil and lamp.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.behaviour import Board
from rungbook.behaviour.actions import SUPPLY, Step
from rungbook.behaviour.panel import State
from rungbook.circuit import Load
from rungbook.circuit.wiring import Wiring
from rungbook.errors import LadderError
from rungbook.proof.hunt.leads import Leads
from rungbook.proof.hunt.rig import VOLTS, Rig
from rungbook.proof.wiring_check.timed_walk import timed_walk
from rungbook.tables import html_table, text_table

MOST_STATES = 400
MOST_STEPS = 40


@dataclass(frozen=True)
class LiveTest:
    """One step. orders: what to do. seen: coils and lamps after it. volts: (lead, lead, V) across each load."""

    number: int
    orders: str
    seen: str
    volts: tuple[tuple[str, str, float], ...]

    @property
    def shown(self) -> str:
        """What the meter must show across each load: "Q1:A1 – Q1:A2 119 V"."""
        return ", ".join(f"{a} – {b} {value:.0f} V" for a, b, value in self.volts)


@dataclass(frozen=True)
class LiveTests:
    """The walk. whole: False if it was cut at 40 steps. told: why there is none, or "". Shows itself as a table."""

    title: str
    tests: tuple[LiveTest, ...]
    whole: bool = True
    told: str = ""

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [(str(t.number), t.orders, t.seen, t.shown) for t in self.tests]
        return ("", "do", "must be seen", "must be read"), rows

    def __str__(self) -> str:
        return "\n".join(filter(None, [self.told, text_table(*self._rows())]))

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(f"Live tests: {self.title}", *self._rows())


def live_tests(wiring: Wiring) -> LiveTests:
    """Return the steps with voltage for `wiring`.

    A circuit that works in time is run on the timeline, without voltages; none if a time is longer than two minutes or
    a timer flashes: `told` says so.
    Raises LadderError if `wiring` is no `Wiring`.
    """
    if not isinstance(wiring, Wiring):
        raise LadderError("live_tests", "tests what `wire` lists", wiring, ("wire(ladder, TRAINING_KIT)",))
    ladder = wiring.ladder
    board = Board.of(ladder)  # what is declared but not wired has no steps
    if any(device.spec.timed for device in board.devices.values()):
        walk_in_time = enumerate(timed_walk(ladder, MOST_STEPS), 1)
        timed = tuple(LiveTest(number, orders, seen, ()) for number, (orders, seen) in walk_in_time)
        told = (
            ""
            if timed
            else "Its times are too long for a walk: take the steps with voltage from the lab's bench sheet."
        )
        return LiveTests(ladder.title, timed, len(timed) < MOST_STEPS, told)
    rig = Rig(board, Leads(board))
    walk, whole = _walk(rig)
    found = [_test(rig, 1, "switch the supply on, touch nothing")]
    for orders in walk:
        for step in orders:
            rig.do(step)
        found.append(_test(rig, len(found) + 1, ", ".join(step.order for step in orders)))
    return LiveTests(ladder.title, tuple(found), whole)


def _test(rig: Rig, number: int, orders: str) -> LiveTest:
    volts = []
    for wired, (a, b) in zip(rig.board.items, rig.leads.pairs, strict=True):
        if isinstance(wired.item, Load):
            value = rig.read(VOLTS, a, b).value
            volts.append((a, b, 0.0 if value is None else value))
    return LiveTest(number, orders, rig.seen(), tuple(volts))


def _walk(rig: Rig) -> tuple[list[tuple[Step, ...]], bool]:
    """Sequences of orders, one a test, from the board as found; False if there would be more than `MOST_STEPS`."""
    steps = [step for step in rig.steps if step.device != SUPPLY]
    ways = _ways(rig, steps)
    seen = {state: _seen(rig, state) for state in ways}
    wanted = {(step, seen[state], seen[after]) for state in ways for step, after in ways[state].items()}
    rig.begin()
    here = rig.state
    walk: list[tuple[Step, ...]] = []
    while wanted and len(walk) < MOST_STEPS:
        found = next(_nearest(ways, seen, here, wanted), None)
        if found is None:  # from here no order leads to what is left
            break
        walk.append(found)
        for step in found:
            after = ways[here][step]
            wanted.discard((step, seen[here], seen[after]))
            here = after
    walk += _power_failure(rig, ways, here)
    rig.begin()
    return walk, not wanted


def _power_failure(rig: Rig, ways: dict[State, dict[Step, State]], here: State) -> list[tuple[Step, ...]]:
    """Orders that bring something on with no hand on the board, and take the supply away and back."""
    off, on = (next(s for s in rig.steps if s.device == SUPPLY and s.move.end == end) for end in ("off", "on"))
    for state, orders in _reached(ways, here):
        if state.pulled and not any(state.positions):
            return [(*orders, off), (on,)]
    return []


def _ways(rig: Rig, steps: list[Step]) -> dict[State, dict[Step, State]]:
    """State -> step -> the state that follows, for the first states that orders lead to; races and chatter left out."""
    rig.begin()
    waiting = deque([rig.state])
    ways: dict[State, dict[Step, State]] = {rig.state: {}}
    while waiting:
        state = waiting.popleft()
        for step in steps:
            if not rig.panel.can(step, state):
                continue
            rest = rig.panel.after(step, state)
            if len(rest.states) != 1 or rest.chatter or sum(map(bool, rest.states[0].positions)) > 1:
                continue
            after = rest.states[0]
            if after not in ways:
                if len(ways) == MOST_STATES:
                    continue
                ways[after] = {}
                waiting.append(after)
            ways[state][step] = after
    return ways


def _seen(rig: Rig, state: State) -> str:
    rig.state, rig.flaw = state, ""
    return rig.seen()


def _nearest(
    ways: dict[State, dict[Step, State]],
    seen: dict[State, str],
    here: State,
    wanted: set[tuple[Step, str, str]],
) -> Iterator[tuple[Step, ...]]:
    """The shortest orders from `here` that end with something wanted."""
    for state, orders in _reached(ways, here):
        for step, after in ways[state].items():
            if (step, seen[state], seen[after]) in wanted:
                yield (*orders, step)


def _reached(ways: dict[State, dict[Step, State]], here: State) -> Iterator[tuple[State, tuple[Step, ...]]]:
    """States with the shortest orders that lead to them from `here`, the nearest first."""
    before: dict[State, tuple[Step, ...]] = {here: ()}
    waiting = deque([here])
    while waiting:
        state = waiting.popleft()
        yield state, before[state]
        for step, after in ways[state].items():
            if after not in before:
                before[after] = (*before[state], step)
                waiting.append(after)
