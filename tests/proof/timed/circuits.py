"""Circuits of the cider mill with timers and counters."""

from rungbook import NC, NO, Device, Ladder, coil, lamp, reset
from rungbook.circuit import Part


def timer(tag: str, setting: str) -> Device:
    return Device(tag, "timer relay", setting=setting)


def run_circuit(tag: str) -> Part:
    """Stop S1, start S2, held by `tag`."""
    return NC("S1") & (NO("S2") | NO(tag))


def staggered(setting: str = "on-delay 5 s") -> Ladder:
    """The mill Q1, and the press pump Q2 five seconds later."""
    buttons = [Device("S1", label="stop"), Device("S2", label="start")]
    ladder = Ladder("Staggered start", [*buttons, Device("Q1"), Device("Q2"), timer("K1", setting)])
    ladder.rung(run_circuit("Q1"), coil("Q1"), coil("K1"))
    ladder.rung(NO("K1"), coil("Q2"))
    return ladder


def run_on() -> Ladder:
    """The cellar fan Q2 runs on ten seconds after the mill Q1."""
    devices = [Device("S1"), Device("S2"), Device("Q1"), Device("Q2"), timer("K1", "off-delay 10 s")]
    ladder = Ladder("Fan run-on", devices)
    ladder.rung(run_circuit("Q1"), coil("Q1"), coil("K1"))
    ladder.rung(NO("K1"), coil("Q2"))
    return ladder


def one(setting: str) -> Ladder:
    """A timer behind button S1, its timed contact before lamp P1."""
    ladder = Ladder(setting, [Device("S1"), timer("K1", setting), Device("P1")])
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    return ladder


def batch(count: str = "up 3") -> Ladder:
    """The filling line Q1 stops when B1 has seen three crates; S1 resets."""
    devices = [Device("S1"), Device("B1"), Device("K5", "counter", setting=count), Device("Q1")]
    ladder = Ladder("Batch of three", devices)
    ladder.rung(NO("B1"), coil("K5"))
    ladder.rung(NO("S1"), reset("K5"))
    ladder.rung(NC("K5"), coil("Q1"))
    return ladder


def star_delta(interlock: bool = True) -> Ladder:
    """Main Q1, star Q2, delta Q3; timer K1 changes over after four seconds."""
    tags = ("S1", "S2", "Q1", "Q2", "Q3")
    ladder = Ladder("Star-delta starter", [*map(Device, tags), timer("K1", "on-delay 4 s")])
    ladder.rung(run_circuit("Q1"), coil("Q1"), coil("K1"))
    ladder.rung(NO("Q1") & NC("K1") & NC("Q3") if interlock else NO("Q1") & NC("K1"), coil("Q2"))
    ladder.rung(NO("Q1") & NO("K1") & NC("Q2") if interlock else NO("Q1") & NO("K1"), coil("Q3"))
    return ladder
