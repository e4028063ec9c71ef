"""What a meter shows between two nodes: a.c. volts, ohms, continuity.

The meter is part of the circuit: on volts it is a load of 10 Mohm, which is why a lead behind an open neutral still
shows full voltage through the lamp. Resistance is measured on a dead circuit only; on a live one the result is a
warning and no number.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.behaviour.elements import Branch, Node
from rungbook.behaviour.network import Network

INPUT_OHMS = 10e6  # [ohm], usual for a digital meter
LIVE_VOLTS = 1.0  # [V], from here upwards a lead counts as live
BEEP_OHMS = 30.0  # [ohm], the meter beeps below it
OVERLOAD_OHMS = 40e6  # [ohm], from here upwards the display shows OL

LIVE = "The circuit is live: switch the supply off and prove it dead before measuring resistance."


@dataclass(frozen=True)
class Reading:
    """What a meter says. value: volts [V] or ohms [ohm]; None if it is open (OL) or the measurement is refused.

    beeps: True if a continuity tester sounds. warning: why there is no number, or "".
    """

    quantity: str
    value: float | None
    unit: str
    beeps: bool = False
    warning: str = ""

    @property
    def shown(self) -> str:
        """The display as text: "119.3 V", "7200 ohm", "OL" (open), or "---" if the measurement is refused."""
        if self.value is None:
            return "---" if self.warning else "OL"
        return f"{self.value:.{1 if self.value < 1000 else 0}f} {self.unit}"

    def __str__(self) -> str:
        sound = ", beeps" if self.beeps else ""
        return f"{self.quantity}: {self.shown}{sound}" + (f". {self.warning}" if self.warning else "")


def measure_volts(
    network: Network, a: Node, b: Node, closed: frozenset[str], sealed: frozenset[str] = frozenset()
) -> Reading:
    """Return the a.c. voltage that a meter of 10 Mohm shows with its leads on `a` and `b` [V].

    Both leads on one node show 0; so does a lead on a node that nothing joins to the other. Raises LadderError if a
    node, a link or a sealed branch is unknown.
    """
    network.index(a), network.index(b)
    name = "meter"
    while name in network.names:
        name += "'"
    meter = Branch(name, a, b, INPUT_OHMS)
    drop = Network((*network.branches, meter), network.sources, network.links).solve(closed, sealed).across(a, b)
    assert drop is not None  # joined by the meter
    return Reading("voltage", abs(drop), "V")


def measure_ohms(
    network: Network, a: Node, b: Node, closed: frozenset[str], sealed: frozenset[str] = frozenset()
) -> Reading:
    """Return the resistance between `a` and `b` [ohm]; None, shown as OL, from 40 Mohm upwards.

    On a live circuit (1 V or more between the leads, or between a lead and terminal b, the grounded one, of a source)
    the value is None and `warning` says why. Parallel paths count, as on the bench. Raises LadderError as
    `measure_volts`.
    """
    if _live(network, a, b, closed, sealed):
        return Reading("resistance", None, "ohm", warning=LIVE)
    ohms = network.resistance(closed, sealed, a, b)
    return Reading("resistance", None if ohms is None or ohms >= OVERLOAD_OHMS else ohms, "ohm")


def measure_continuity(
    network: Network, a: Node, b: Node, closed: frozenset[str], sealed: frozenset[str] = frozenset()
) -> Reading:
    """Return the resistance as `measure_ohms`, and whether the meter beeps: below 30 ohm. Errors, warning: as there."""
    found = measure_ohms(network, a, b, closed, sealed)
    beeps = found.value is not None and found.value < BEEP_OHMS
    return Reading("continuity", found.value, found.unit, beeps, found.warning)


def _live(network: Network, a: Node, b: Node, closed: frozenset[str], sealed: frozenset[str]) -> bool:
    solution = network.solve(closed, sealed)
    pairs = [(a, b), *((lead, source.b) for source in network.sources if source.volts for lead in (a, b))]
    return any(abs(solution.across(*pair) or 0) >= LIVE_VOLTS for pair in pairs)
