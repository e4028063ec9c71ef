"""Voltages and currents against ngspice, circuit by circuit, within 0.1 %.

Source: ngspice, a.c. analysis at 60 Hz of the same circuit with the coils as R and L in series (`tests/spice.py`).
All circuits go into one netlist, each with nodes of its own. Voltages that check-values lists are literal as well.
"""

import cmath
import math
import os
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations

import pytest

import spice
from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.behaviour.network import Branch, Link, Network, Source
from rungbook.behaviour.wired import WiredNetwork, wire_up
from rungbook.circuit import Wired
from rungbook.kit.ratings import SUPPLY, TIMER_COIL, LampRating, SupplyRating

STIFF = SupplyRating(ohms=1e-3)
WEAK = SupplyRating(ohms=60 + 25j)


@dataclass(frozen=True)
class Circuit:
    network: Network
    closed: frozenset[str]
    sealed: frozenset[str] = frozenset()
    ground: int = 2


def wired(items, operated="", sealed="", **ratings):
    """A circuit of wired items with the supply on, these devices operated and these coils sealed."""
    whole = items if isinstance(items, WiredNetwork) else wire_up(items, **ratings)
    away = set(operated.split())
    closed = whole.closed(lambda contact: (contact.device in away) == (contact.kind == "NO"))
    return Circuit(whole.network, closed, frozenset(sealed.split()))


def wash_pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    ladder.rung(NC("Q1"), lamp("P2", "white"))
    ladder.rung(NO("F1"), lamp("P3", "yellow"))
    return ladder


def eight_relays():
    ladder = Ladder("Filling line")
    for n in range(1, 9):
        way = NC("S1") & (NO(f"S{n + 1}") | NO(f"K{n}")) & NC(f"K{n % 8 + 1}") & NC("F1")
        ladder.rung(way, coil(f"K{n}"))
        ladder.rung(NO(f"K{n}"), lamp(f"P{n}"))
    return ladder


def series(*loads):
    """Loads one after the other from rail to rail."""
    nodes = (1, *range(3, 2 + len(loads)), 2)
    return [Wired(load, nodes[k], nodes[k + 1]) for k, load in enumerate(loads)]


BRIDGED = [  # a contact of S3 joins the middles of two rungs
    Wired(NO("S1"), 1, 3),
    Wired(NO("S2"), 1, 4),
    Wired(NO("S3"), 3, 4),
    Wired(NO("S4"), 3, 5),
    Wired(NO("S5"), 4, 6),
    Wired(coil("Q1"), 5, 2),
    Wired(coil("K1"), 6, 2),
]
SNEAK = [  # lamp P1 joins the rungs of the mill and of the elevator before their coils
    Wired(NO("S1"), 1, 3),
    Wired(coil("Q1"), 3, 2),
    Wired(lamp("P1"), 3, 4),
    Wired(NO("S2"), 1, 4),
    Wired(coil("K1"), 4, 2),
]
OPEN_NEUTRAL = [  # the wire 4 that should reach the right rail ends in the air
    Wired(NO("S1"), 1, 3),
    Wired(coil("Q1"), 3, 4),
    Wired(lamp("P1"), 1, 4),
    Wired(lamp("P2"), 4, 5),
    Wired(NO("S2"), 5, 2),
]


def three_phase(loads, links=(), closed=(), volts=120.0, ohms=0.5 + 0.2j):
    """Star source on nodes 11, 12, 13 with its star point 0 grounded."""
    turn = cmath.exp(-2j * math.pi / 3)
    sources = [Source(f"L{k + 1}", 11 + k, 0, volts * turn**k, ohms) for k in range(3)]
    return Circuit(Network(loads, sources, links), frozenset(closed), ground=0)


STAR = (Branch("U", 11, 1, 20 + 15j), Branch("V", 12, 1, 35 + 5j), Branch("W", 13, 1, 12 + 30j))
NEUTRAL = (Link("N", 1, 0),)


def plain(branches, sources, links=(), closed=()):
    return Circuit(Network(branches, sources, links), frozenset(closed), ground=0)


def metered(circuit, a, b):
    meter = Branch("meter", a, b, 10e6)
    network = circuit.network
    return replace(circuit, network=Network((*network.branches, meter), network.sources, network.links))


CIRCUITS = {
    "a lamp between the rails": wired([Wired(lamp("P1"), 1, 2)]),
    "a contactor coil, magnet open": wired([Wired(coil("Q1"), 1, 2)]),
    "a contactor coil, sealed": wired([Wired(coil("Q1"), 1, 2)], sealed="Q1"),
    "a relay coil beside a lamp": wired([Wired(coil("K1"), 1, 2), Wired(lamp("P1"), 1, 2)]),
    "wash pump at rest": wired(wash_pump()),
    "wash pump, start pressed, coil still out": wired(wash_pump(), "S2"),
    "wash pump, held": wired(wash_pump(), "Q1", "Q1"),
    "wash pump, held and start still pressed": wired(wash_pump(), "S2 Q1", "Q1"),
    "wash pump, overload tripped": wired(wash_pump(), "F1 S2"),
    "wash pump on a weak supply": wired(wash_pump(), "S2", supply=WEAK),
    "two equal coils in series": wired(series(coil("Q1"), coil("Q2"))),
    "two equal coils in series, both sealed": wired(series(coil("Q1"), coil("Q2")), sealed="Q1 Q2"),
    "two coils in series, one sealed": wired(series(coil("Q1"), coil("Q2")), sealed="Q1"),
    "contactor and relay coil in series": wired(series(coil("Q1"), coil("K1"))),
    "three coils in series on a weak supply": wired(series(coil("Q1"), coil("K1"), coil("Q2")), supply=WEAK),
    "two lamps in series": wired(series(lamp("P1"), lamp("P2"))),
    "three unequal lamps in series": wired(
        series(lamp("P1"), lamp("P2"), lamp("P3")), ratings={"P2": LampRating(120, 5), "P3": LampRating(24, 1.2)}
    ),
    "a coil through a lamp": wired(series(lamp("P1"), coil("Q1"))),
    "a sealed coil through a lamp": wired(series(lamp("P1"), coil("K1")), sealed="K1"),
    "a coil through a lamp with a coil beside it": wired(
        [Wired(lamp("P1"), 1, 3), Wired(coil("Q1"), 1, 3), Wired(coil("K1"), 3, 2)]
    ),
    "sneak path through a lamp, first rung fed": wired(SNEAK, "S1"),
    "sneak path through a lamp, second rung fed": wired(SNEAK, "S2", "K1"),
    "sneak path with both rungs fed": wired(SNEAK, "S1 S2"),
    "bridged rungs, both fed from the left": wired(BRIDGED, "S1 S3 S4 S5"),
    "bridged rungs, the bridge carries backwards": wired(BRIDGED, "S2 S3 S4"),
    "bridged rungs, bridge open": wired(BRIDGED, "S2 S4 S5", "K1"),
    "bridged rungs, all closed": wired(BRIDGED, "S1 S2 S3 S4 S5", "Q1 K1"),
    "a lamp with both ends on the left rail": wired([Wired(lamp("P1"), 1, 1), Wired(coil("Q1"), 1, 2)]),
    "a lamp from the coil back to the left rail, contact open": wired(
        [Wired(NO("S1"), 1, 3), Wired(coil("Q1"), 3, 2), Wired(lamp("P1"), 3, 1)]
    ),
    "a lamp from the coil back to the left rail, contact closed": wired(
        [Wired(NO("S1"), 1, 3), Wired(coil("Q1"), 3, 2), Wired(lamp("P1"), 3, 1)], "S1"
    ),
    "open neutral, coil and lamp joined behind it": wired(OPEN_NEUTRAL),
    "open neutral, coil fed": wired(OPEN_NEUTRAL, "S1"),
    "open neutral, with a way back through a lamp": wired(OPEN_NEUTRAL, "S1 S2"),
    "open neutral, only a lamp's way back": wired(OPEN_NEUTRAL, "S2"),
    "open neutral with a meter across it": metered(wired([Wired(lamp("P1"), 1, 3)]), 3, 2),
    "a contact shorts the supply": wired([Wired(NO("S1"), 1, 2), Wired(coil("Q1"), 1, 2)], "S1"),
    "a short behind a lamp": wired([Wired(lamp("P1"), 1, 3), Wired(NO("S1"), 3, 2), Wired(coil("Q1"), 3, 2)], "S1"),
    "three contactors at once on a weak supply": wired(
        [Wired(coil(tag), 1, 2) for tag in ("Q1", "Q2", "Q3")], sealed="Q3", supply=WEAK
    ),
    "a timer beside a relay": wired([Wired(coil("K1"), 1, 2), Wired(coil("K2"), 1, 2)], ratings={"K1": TIMER_COIL}),
    "eight relays, four starts pressed": wired(eight_relays(), "S2 S4 S6 S8"),
    "eight relays, four of them in": wired(eight_relays(), "K1 K3 K5 K7", "K1 K3 K5 K7"),
    "a coil with a suppressor of R and C": plain(
        [Branch("Q1", 1, 0, 168 + 171j, 540 + 1717j), Branch("RC", 1, 0, 220 - 5640j)],
        [Source("E", 1, 0, 120, SUPPLY.ohms)],
    ),
    "series resonance": plain(
        [Branch("L", 1, 2, 50 + 900j), Branch("C", 2, 0, 5 - 880j)], [Source("E", 1, 0, 120, 1.5)]
    ),
    "a bridge out of balance": plain(
        [
            Branch(n, a, b, z)
            for n, a, b, z in (
                ("A", 1, 3, 100),
                ("B", 3, 0, 220 + 40j),
                ("C", 1, 4, 330),
                ("D", 4, 0, 150),
                ("M", 3, 4, 75 + 75j),
            )
        ],
        [Source("E", 1, 0, 24, 2)],
    ),
    "two sources help each other": plain(
        [Branch("R", 1, 0, 30)], [Source("E", 1, 0, 120, 2 + 1j), Source("F", 1, 0, 116, 1.5)]
    ),
    "two sources against each other": plain(
        [Branch("R", 1, 2, 30), Branch("S", 2, 0, 60)], [Source("E", 1, 0, 120, 2), Source("F", 2, 0, -120, 3 + 4j)]
    ),
    "two sources on two islands": plain(
        [Branch("R", 1, 0, 30), Branch("S", 11, 10, 60 + 9j)], [Source("E", 1, 0, 120, 2), Source("F", 11, 10, 24, 3)]
    ),
    "three phases, unbalanced star without neutral": three_phase(STAR, NEUTRAL),
    "three phases, unbalanced star with neutral": three_phase(STAR, NEUTRAL, ("N",)),
    "three phases, one line open": three_phase(STAR[:2]),
    "three phases, delta": three_phase(
        [Branch("U", 11, 12, 40 + 25j), Branch("V", 12, 13, 40 + 25j), Branch("W", 13, 11, 55)]
    ),
    "three phases, line to line short": three_phase(STAR, (Link("K", 11, 12),), ("K",)),
}


@cache
def values(program):
    """Vector -> phasor for all circuits, from one run of one netlist."""
    lines = [
        line
        for number, c in enumerate(CIRCUITS.values())
        for line in spice.elements(c.network, c.closed, c.sealed, c.ground, f"c{number}")
    ]
    text = spice.netlist(lines, [f"ac lin 1 {spice.HERTZ:g} {spice.HERTZ:g}", "print all"])
    return spice.ac_values(spice.run_ngspice(program, text))


@pytest.fixture(scope="module")
def measured():
    program = spice.find_ngspice()
    if program is None:
        told = f"no ngspice at {os.environ.get('NGSPICE', 'any usual place')}; install it, or set NGSPICE to its path"
        if os.environ.get("CI"):
            pytest.fail(told)
        pytest.skip(told)
    return values(program)


def known_nodes(number, circuit, measured):
    """Node -> its potential in ngspice [V]; a node on open contacts alone is not in the netlist."""
    found = {node: measured.get(f"c{number}_{node}") for node in circuit.network.nodes}
    found[circuit.ground] = 0j
    return {node: volts for node, volts in found.items() if volts is not None}


@pytest.mark.parametrize("name", CIRCUITS)
class TestAgainstNgspice:
    def test_every_voltage_is_within_a_thousandth(self, name, measured):
        number, circuit = list(CIRCUITS).index(name), CIRCUITS[name]
        found = circuit.network.solve(circuit.closed, circuit.sealed)
        known = known_nodes(number, circuit, measured)
        compared = 0
        for a, b in combinations(known, 2):
            ours, theirs = found.across(a, b), known[a] - known[b]
            if ours is not None:
                compared += 1
                assert abs(ours - theirs) <= 1e-3 * abs(theirs) + 1e-3, (a, b, ours, theirs)
        assert compared >= 1

    def test_every_current_of_a_source_is_within_a_thousandth(self, name, measured):
        number, circuit = list(CIRCUITS).index(name), CIRCUITS[name]
        found = circuit.network.solve(circuit.closed, circuit.sealed)
        for k, source in enumerate(circuit.network.sources):
            ours, theirs = found.amps(source.name), -measured[f"vsrcc{number}_e{k}#branch"]
            assert abs(ours - theirs) <= 1e-3 * abs(theirs) + 1e-7, (source.name, ours, theirs)


class TestPublished:
    def test_two_equal_coils_in_series_get_half_each(self, measured):  # check-values 6.1: 60 V each of 120 V
        name = "two equal coils in series"
        number = list(CIRCUITS).index(name)
        whole = wire_up(series(coil("Q1"), coil("Q2")), supply=STIFF)
        found = whole.network.solve(frozenset({"supply"}))
        assert whole.volts(found, "Q1") == pytest.approx(60, abs=0.01)
        assert whole.volts(found, "Q2") == pytest.approx(60, abs=0.01)
        upper = abs(measured[f"c{number}_1"] - measured[f"c{number}_3"])
        assert upper == pytest.approx(abs(measured[f"c{number}_3"]), rel=1e-6)

    def test_there_are_circuits_enough(self):
        assert len(CIRCUITS) >= 30
