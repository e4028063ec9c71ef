"""Network solution: kept and new states of eight relays (43 nodes), and the same circuits in ngspice.

Its operating point (op) is direct current; its a.c. analysis of one point is what ours computes. Start included: a new
process each. Start excluded: the analysis time that ngspice itself reports, over `MANY` analyses in one process;
commands included: what one more analysis adds to the process. In ngspice's favour, open contacts are left out of its
netlist and the circuit stays the same from analysis to analysis, while ours sees a new one each time.
"""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
from collections.abc import Callable
from time import perf_counter

from tests import spice
from tests.benchmarks import MissingPeerError, Run, measure

from rungbook.behaviour.wired import WiredNetwork, wire_up
from rungbook.circuit import NC, NO, Ladder, coil, lamp, to_json

MANY = 2000
_REPORTED = re.compile(r"^Total analysis time \(seconds\) = (\S+)", re.MULTILINE)


def wash_pump() -> Ladder:
    """Holding circuit with a lamp: 2 rungs."""
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def eight_relays() -> Ladder:
    """Eight holding circuits, each locked out by its neighbour, each with a lamp: 16 rungs."""
    ladder = Ladder("Filling line")
    for n in range(1, 9):
        way = NC("S1") & (NO(f"S{n + 1}") | NO(f"K{n}")) & NC(f"K{n % 8 + 1}") & NC("F1")
        ladder.rung(way, coil(f"K{n}"))
        ladder.rung(NO(f"K{n}"), lamp(f"P{n}"))
    return ladder


def _states(wired: WiredNetwork, count: int) -> list[tuple[frozenset[str], frozenset[str]]]:
    """`count` different states of buttons and coils, always the same ones."""
    chance = random.Random(1)
    devices = sorted({item.item.device for item in wired.items if item.item.device[0] in "SKQF"})
    coils = {tag for tag in wired.loads if tag[0] in "KQ"}
    found: dict[tuple[frozenset[str], frozenset[str]], None] = {}
    while len(found) < count:
        away = {tag for tag in devices if chance.random() < (0.1 if tag in ("S1", "F1") else 0.5)}
        closed = wired.closed(lambda contact, away=away: (contact.device in away) == (contact.kind == "NO"))
        found[closed, frozenset(coils & away)] = None
    return list(found)


@measure("network: cached state, 8 relays", "µs", at_most=5)
def cached_state() -> Run:
    """Ask for 200 states that are kept already, with sets made anew, whose hash nothing knows yet."""
    wired = wire_up(eight_relays())
    states = _states(wired, 200)
    for state in states:
        wired.network.solve(*state)

    def run() -> float:
        again = [(frozenset(list(closed)), frozenset(list(sealed))) for closed, sealed in states]
        start = perf_counter()
        for closed, sealed in again:
            wired.network.solve(closed, sealed)
        return (perf_counter() - start) / len(again) * 1e6

    return run


def _new_states(make: Callable[[], Ladder], count: int) -> Run:
    """Seconds for one state that the network has never seen; a new network in each run."""
    states = _states(wire_up(make()), count)

    def run() -> float:
        network = wire_up(make()).network
        start = perf_counter()
        for closed, sealed in states:
            network.solve(closed, sealed)
        return (perf_counter() - start) / len(states)

    return run


@measure("network: new state, 8 relays", "ms", at_most=2)
def new_state() -> Run:
    """Solve 500 states never seen before."""
    run = _new_states(eight_relays, 500)
    return lambda: run() * 1e3


def _one_state(make: Callable[[], Ladder]) -> tuple[WiredNetwork, frozenset[str], frozenset[str]]:
    """The circuit with the first start pressed: its coil, still out, gets its voltage."""
    wired = wire_up(make())
    closed = wired.closed(lambda contact: (contact.device == "S2") == (contact.kind == "NO"))
    return wired, closed, frozenset()


def _ngspice(make: Callable[[], Ladder], analysis: str, count: int) -> Callable[[], tuple[float, float]]:
    """Seconds of a process that makes `count` analyses, and seconds that it says they took."""
    wired, closed, sealed = _one_state(make)
    lines = spice.elements(wired.network, closed, sealed, 2, "c")
    text = spice.netlist(lines, [f"repeat {count}", analysis, "destroy all", "end", "rusage all"])

    def run() -> tuple[float, float]:
        program = spice.find_ngspice()
        if program is None:
            raise MissingPeerError("ngspice")
        start = perf_counter()
        said = spice.run_ngspice(program, text)
        seconds = perf_counter() - start
        found = _REPORTED.search(said)
        if found is None:
            raise RuntimeError(f"ngspice reports no analysis time:\n{said[-2000:]}")
        return seconds, float(found[1])

    return run


def _reported(make: Callable[[], Ladder], analysis: str) -> tuple[Run, Run]:
    """Against the time that ngspice reports for its analyses."""
    ours, many = _new_states(make, STATES[make]), _ngspice(make, analysis, MANY)
    return lambda: ours() * 1e3, lambda: many()[1] / MANY * 1e3


def _commands(make: Callable[[], Ladder], analysis: str) -> tuple[Run, Run]:
    """Against one command of ngspice: a process with many less a process with one."""
    ours = _new_states(make, STATES[make])
    one, many = _ngspice(make, analysis, 1), _ngspice(make, analysis, 1 + MANY)

    def peer() -> float:
        first = one()[0]
        return (many()[0] - first) / MANY * 1e3

    return lambda: ours() * 1e3, peer


_FRESH = """
import sys
from rungbook import from_json
from rungbook.behaviour.wired import wire_up
wired = wire_up(from_json(sys.argv[1]))
closed = wired.closed(lambda contact: (contact.device == "S2") == (contact.kind == "NO"))
print(abs(wired.network.solve(closed).across(1, 2)))
"""


def _with_start(make: Callable[[], Ladder], analysis: str) -> tuple[Run, Run]:
    """A new interpreter, from the ladder's JSON to a voltage, against a new ngspice, from netlist to analysis."""
    text = to_json(make())
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}

    def ours() -> float:
        start = perf_counter()
        subprocess.run([sys.executable, "-c", _FRESH, text], capture_output=True, check=True, env=environment)
        return (perf_counter() - start) * 1e3

    peer = _ngspice(make, analysis, 1)
    return ours, lambda: peer()[0] * 1e3


STATES = {eight_relays: 500, wash_pump: 12}
POINTS = {"op": "op", "a.c.": f"ac lin 1 {spice.HERTZ:g} {spice.HERTZ:g}"}
WAYS = {"start included": _with_start, "start excluded": _reported, "start excluded, commands included": _commands}


def _register() -> None:
    for circuit, make, point in (
        ("8 relays", eight_relays, "op"),
        ("8 relays", eight_relays, "a.c."),
        ("wash pump", wash_pump, "op"),
    ):
        for words, way in WAYS.items():
            measure(f"network: new state against ngspice {point}, {circuit}, {words}", "ms")(
                lambda make=make, way=way, analysis=POINTS[point]: way(make, analysis)
            )


_register()
