"""Proofs with timers and counters: rules over all sequences and all instants, and comparison with a circuit like it.

Each run makes its panels anew. No peer: what the project can use answers reachability of one kind of model, not rules.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from tests.benchmarks import Run, measure

from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.circuit import NC, NO, Ladder, coil, lamp, reset
from rungbook.kit import Device
from rungbook.proof import Rule, comes_within, compare, follows, goes_off_within, off_while, prove, stays_off_for
from rungbook.proof.timed.walk import Walk


def _timer(tag: str, setting: str) -> Device:
    return Device(tag, "timer relay", setting=setting)


def four_motors() -> Ladder:
    """Each motor some seconds after the one before; one stop, one overload relay."""
    tags = ("S1", "S2", "F1", "Q1", "Q2", "Q3", "Q4")
    ladder = Ladder("Four motors", [*map(Device, tags), *(_timer(f"K{k}", f"on-delay {k + 2} s") for k in (1, 2, 3))])
    ladder.rung(NC("S1") & NC("F1") & (NO("S2") | NO("Q1")), coil("Q1"), coil("K1"))
    ladder.rung(NO("K1"), coil("Q2"), coil("K2"))
    ladder.rung(NO("K2"), coil("Q3"), coil("K3"))
    ladder.rung(NO("K3"), coil("Q4"))
    return ladder


def star_delta_reversing() -> Ladder:
    """Two directions, star and delta; an on-delay changes over, an off-delay keeps the other direction out."""
    tags = ("S1", "S2", "S3", "F1", "Q1", "Q2", "Q3", "Q4")
    timers = (_timer("K1", "on-delay 4 s"), _timer("K2", "off-delay 2 s"))
    ladder = Ladder("Star-delta reversing", [*map(Device, tags), *timers])
    stop, runs = NC("S1") & NC("F1"), NO("Q1") | NO("Q2")
    ladder.rung(stop & (NO("S2") | NO("Q1")) & NC("S3") & NC("Q2") & (NC("K2") | NO("Q1")), coil("Q1"))
    ladder.rung(stop & (NO("S3") | NO("Q2")) & NC("S2") & NC("Q1") & (NC("K2") | NO("Q2")), coil("Q2"))
    ladder.rung(runs, coil("K1"), coil("K2"))
    ladder.rung(runs & NC("K1") & NC("Q4"), coil("Q3"))
    ladder.rung(runs & NO("K1") & NC("Q3"), coil("Q4"))
    return ladder


def independent(timers: int) -> Ladder:
    """Buttons with a timer and a lamp each: their states multiply, and every order of their ends is one more."""
    numbers = range(1, timers + 1)
    devices = [Device(f"{letter}{k}") for letter in "SP" for k in numbers]
    ladder = Ladder("Independent", [*devices, *(_timer(f"K{k}", f"on-and-off delay {2 * k + 1} s") for k in numbers)])
    for k in numbers:
        ladder.rung(NO(f"S{k}"), coil(f"K{k}"))
        ladder.rung(NO(f"K{k}"), lamp(f"P{k}"))
    return ladder


def batch() -> Ladder:
    """A line that stops after 24 bottles, and a reset."""
    devices = (*map(Device, ("S1", "B1", "Q1")), Device("K5", "counter", setting="up 24"))
    ladder = Ladder("Filling line", devices)
    ladder.rung(NO("B1"), coil("K5"))
    ladder.rung(NO("S1"), reset("K5"))
    ladder.rung(NC("K5"), coil("Q1"))
    return ladder


def _decided(make: Callable[[], Ladder], rules: list[Rule]) -> Run:
    def run() -> float:
        mine, asked = make(), make()
        start = perf_counter()
        assert compare(mine, asked).outcome == "same"
        assert prove(mine, *rules)
        return (perf_counter() - start) * 1e3

    return run


def _states(make: Callable[[], Ladder]) -> Run:
    def run() -> float:
        walk = Walk([TimedPanel(make())])
        for _ in walk.arrivals():
            pass
        return walk.count

    return run


FOUR = [comes_within("Q4", 12, after="press S2"), stays_off_for("Q4", 12, after="press S2")]
REVERSING = [off_while("Q3", "Q4", "in"), off_while("Q4", "Q3", "in"), off_while("Q1", "Q2", "in")]


@measure("timed proof: staggered start of 4 motors, 3 timers, comparison and 2 rules", "ms", at_most=1000)
def staggered() -> Run:
    """Twelve seconds to the last motor, neither more nor less."""
    return _decided(four_motors, FOUR)


@measure("timed proof: star-delta reversing, 2 timers, comparison and 3 rules", "ms", at_most=1000)
def reversing() -> Run:
    """Interlocks of star and delta, and of the directions."""
    return _decided(star_delta_reversing, REVERSING)


@measure("timed proof: 3 independent timers, comparison and 2 rules", "ms", at_most=10_000)
def three() -> Run:
    """On-and-off delays, so that every clock runs after every order."""
    return _decided(lambda: independent(3), [follows("P3", "K3", "in"), goes_off_within("P3", 7, after="let S3 go")])


@measure("timed proof: 4 independent timers, comparison", "ms", at_most=1000)
def four_apart() -> Run:
    """Each lamp is compared on what bears on it alone; on the whole it is not decided in twenty seconds."""
    return _decided(lambda: independent(4), [])


@measure("timed proof: batch of 24, comparison and 1 rule", "ms", at_most=1000)
def counted() -> Run:
    """A counter."""
    return _decided(batch, [follows("Q1", "K5", "out")])


@measure("timed proof: states with their times of 3 independent timers", "states", at_most=50_000)
def states_of_three() -> Run:
    """What the limit of states counts."""
    return _states(lambda: independent(3))


@measure("timed proof: states with their times of star-delta reversing", "states", at_most=50_000)
def states_of_reversing() -> Run:
    """What the limit of states counts."""
    return _states(star_delta_reversing)
