"""The stated set of operations and readings over which faults are told apart.

Operations ("stages"): the sound board is walked through every state in which at most one operated device is away from
rest, each by a shortest sequence of orders; a stage is such a state with one further order that keeps to this (at most
60 of them, the shortest first). Each begins with the board as found. Dead stages: the supply switched off, and then at
most one device moved.

Readings: at a live stage volts of every terminal to X2 (grounded) and to X1, across every contact and load, and along
every wire; at a dead stage ohms across every contact and load, along every wire, and of every terminal to X2.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.behaviour.actions import SUPPLY, Step
from rungbook.behaviour.panel import State
from rungbook.proof.hunt.leads import Leads
from rungbook.proof.hunt.rig import OHMS, VOLTS, Rig

MOST_STAGES = 60  # live ones; four rungs that do not hang together would have some two hundred


@dataclass(frozen=True)
class Stage:
    """Orders to give, beginning with the board as found. live: the supply stays on."""

    steps: tuple[Step, ...]
    live: bool

    @property
    def told(self) -> str:
        """The orders in words: "at rest", "press S2, let S2 go"."""
        return ", ".join(step.order for step in self.steps) or "at rest"


@dataclass(frozen=True)
class Probe:
    """One reading: after the orders of `stage`, a meter set to `quantity` with its leads on `a` and `b`."""

    stage: Stage
    quantity: str
    a: str
    b: str

    def __str__(self) -> str:
        return f"{self.quantity} {self.a} – {self.b} ({self.stage.told})"


def stages(sound: Rig) -> tuple[Stage, ...]:
    """The stages of a sound board: live ones, at most 60, those with fewest orders first; then dead ones."""
    sound.begin()
    found = [Stage((), True)]
    start = sound.state
    way: dict[State, tuple[Step, ...]] = {start: ()}
    waiting = deque([start])
    while waiting:
        state = waiting.popleft()
        for step in sound.steps:
            if len(found) == MOST_STAGES or step.device == SUPPLY or not sound.panel.can(step, state):
                continue
            rest = sound.panel.after(step, state)
            if len(rest.states) != 1 or rest.chatter or sum(map(bool, rest.states[0].positions)) > 1:
                continue
            after = rest.states[0]
            found.append(Stage((*way[state], step), True))
            if after not in way:
                way[after] = (*way[state], step)
                waiting.append(after)
    off = next(step for step in sound.steps if step.device == SUPPLY and step.move.end == "off")
    found.append(Stage((off,), False))
    found += [
        Stage((off, step), False) for step in sound.steps if step.device != SUPPLY and sound.panel.can(step, start)
    ]
    return tuple(found)


def take(rig: Rig, stage: Stage) -> bool:
    """Bring `rig` to `stage`. False if on the way a race or chatter leaves it to chance what then is."""
    rig.begin()
    for step in stage.steps:
        if not rig.steady() or not rig.can(step):
            return False
        rig.do(step)
    return rig.steady()


def pairs(leads: Leads, live: bool) -> Iterator[tuple[str, str]]:
    """The pairs of leads of the readings at a stage, the simple ones first."""
    names = list(leads.names)
    seen: set[frozenset[str]] = set()

    def fresh(a: str, b: str) -> Iterator[tuple[str, str]]:
        if a != b and frozenset((a, b)) not in seen:
            seen.add(frozenset((a, b)))
            yield a, b

    if live:
        yield from fresh("X1", "X2")
        for name in names:
            yield from fresh(name, "X2")
    for a, b in leads.pairs:
        yield from fresh(a, b)
    chains: dict[int, list[str]] = {}
    for name in ("X1", "X2", *names):
        chains.setdefault(leads.wire(name), []).append(name)
    for chain in chains.values():
        for place, a in enumerate(chain):
            for b in chain[place + 1 :] if len(chain) < 5 else chain[place + 1 : place + 2]:
                yield from fresh(a, b)
        for b in chain[2:]:
            yield from fresh(chain[0], b)
    for name in names:
        yield from fresh(name, "X1" if live else "X2")


def probes(leads: Leads, stage: Stage) -> list[Probe]:
    """The readings at `stage`."""
    return [Probe(stage, VOLTS if stage.live else OHMS, a, b) for a, b in pairs(leads, stage.live)]
