"""The expected readings of the dead tests, held against ngspice.

1 V d.c. between the two leads; the current gives the resistance. A coil is its resistance: for d.c. there is no more.
A closed link has 1 mohm here: ngspice cannot solve 1 microhm beside 10**12 ohm for d.c.
"""

import os
import re
from dataclasses import replace

import pytest

import spice
from rungbook import NC, NO, Device, Ladder, coil, lamp
from rungbook.behaviour.network import Network
from rungbook.circuit import wire
from rungbook.kit import TRAINING_KIT
from rungbook.proof.wiring_check import dead_tests
from rungbook.proof.wiring_check.dead_tests import terminals_of


@pytest.fixture(scope="module")
def program() -> str:
    found = spice.find_ngspice()
    if found is None:
        if os.environ.get("CI"):
            pytest.fail("ngspice is missing")
        pytest.skip("no ngspice")
    return found


def pump() -> Ladder:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def elevator() -> Ladder:
    ladder = Ladder("Apple elevator", [*map(Device, ("S2", "S3", "Q1", "Q2")), Device("S6", "emergency stop")])
    for start, mine, other in (("S2", "Q1", "Q2"), ("S3", "Q2", "Q1")):
        ladder.rung(NC("S6") & (NO(start) | NO(mine)) & NC(other), coil(mine))
    return ladder


def line() -> Ladder:
    ladder = Ladder("Filling line")
    ladder.rung(NC("S1") & (NO("S2") | NO("K1")), coil("K1"))
    ladder.rung(NO("K1") & (NO("S3") | NO("Q1")), coil("Q1"), lamp("P1", "green"))
    ladder.rung(NO("Q1") & NC("B1"), coil("K2"))
    ladder.rung(NO("K2") | NO("F1"), lamp("P2", "red"))
    return ladder


@pytest.mark.parametrize("ladder", [pump(), elevator(), line()], ids=lambda ladder: ladder.title)
def test_every_expected_reading(ladder: Ladder, program: str) -> None:
    wiring = wire(ladder, TRAINING_KIT)
    terminals = terminals_of(wiring)
    wired = terminals.wired(wiring.wires)
    loads = [replace(branch, ohms=complex(branch.ohms).real, sealed_ohms=None) for branch in wired.branches]
    network = Network(loads, (), wired.links)
    wires = {f"wire {number}" for number in range(1, len(wiring.wires) + 1)}
    lines: list[str] = []
    tests = [test for test in dead_tests(wiring).tests if not test.wire]
    for test in tests:  # one circuit a test, side by side in one netlist
        closed = frozenset(terminals.closed(test.positions) | wires)
        name = f"t{test.number}"
        lines += [
            line.replace(":", "_").replace(f" {spice.CLOSED_OHMS}", " 0.001")
            for line in spice.elements(network, closed, frozenset(), test.b, name)
        ]
        lines.append(f"v{name} {name}_{test.a} 0 dc 1")
    out = spice.run_ngspice(program, spice.netlist(lines, ["op", *(f"print i(vt{test.number})" for test in tests)]))
    amps = {int(number): -float(value) for number, value in re.findall(r"i\(vt(\d+)\) = (\S+)", out)}
    assert len(amps) == len(tests) >= 8
    for test in tests:
        if test.expected is None:
            assert amps[test.number] < 1e-9, test
        else:
            assert 1 / amps[test.number] == pytest.approx(test.expected, rel=1e-3), test
