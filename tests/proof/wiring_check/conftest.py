"""Circuits on the kit."""

import pytest

from rungbook import NC, NO, Device, Ladder, coil, lamp
from rungbook.circuit import Wiring, wire
from rungbook.kit import TRAINING_KIT


@pytest.fixture
def pump() -> Wiring:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return wire(ladder, TRAINING_KIT)


@pytest.fixture
def elevator() -> Wiring:
    ladder = Ladder("Apple elevator", [*map(Device, ("S2", "S3", "Q1", "Q2")), Device("S6", "emergency stop")])
    for start, mine, other in (("S2", "Q1", "Q2"), ("S3", "Q2", "Q1")):
        ladder.rung(NC("S6") & (NO(start) | NO(mine)) & NC(other), coil(mine))
    return wire(ladder, TRAINING_KIT)


@pytest.fixture
def shared() -> Wiring:
    """Stop and overload contact stand in both rungs, and once on the kit."""
    ladder = Ladder("Apple elevator")
    for start, mine, other in (("S2", "Q1", "Q2"), ("S3", "Q2", "Q1")):
        ladder.rung(NC("S1") & NC("F1") & (NO(start) | NO(mine)) & NC(other), coil(mine))
    return wire(ladder, TRAINING_KIT)
