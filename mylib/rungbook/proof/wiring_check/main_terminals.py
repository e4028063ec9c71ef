"""The power side as a network of terminals: each main wire, main pole and winding between its two terminals.

Wires are taken as they are, right or wrong. There is no source in it: the supply is off and locked out. Of a motor with
three leads one can only measure between two of them; what one reads there is its R, whatever is joined inside. Of a
motor with six leads R is one winding.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rungbook.behaviour.meter import OVERLOAD_OHMS
from rungbook.behaviour.network import Branch, Link, Network
from rungbook.circuit.power import LINES, MOTOR
from rungbook.circuit.power_wires import PE, MainPart, MainWire, PowerWiring

#: positions away from rest: of a switch that a hand turns, of an armature that a hand pushes, of fuses taken out
ON, IN, OUT = "on", "in", "out"


class MainTerminals:
    """The terminals of the parts of `wiring`, without a wire. resistances: motor -> its R [ohm]; left out, 1 each."""

    def __init__(self, wiring: PowerWiring, resistances: Mapping[str, float] | None = None) -> None:
        given = resistances or {}
        poles = [
            (part.tag, pole, pair) for part in wiring.parts if part.kind != MOTOR for pole, pair in part.ends.items()
        ]
        self._links = [Link(f"{tag} {pole}", *pair) for tag, pole, pair in poles]
        self._poles = [(tag, f"{tag} {pole}") for tag, pole, _ in poles]
        self._branches = [
            branch
            for part in wiring.parts
            if part.kind == MOTOR
            for branch in _windings(part, given.get(part.tag, 1.0))
        ]
        self.ends = (*LINES, PE, *(end for part in wiring.parts for end in part.terminals))

    def wired(self, wires: Sequence[MainWire]) -> MainBoard:
        """The network with `wires` in place."""
        runs = [Link(f"wire {number}", one.start, one.end) for number, one in enumerate(wires, 1)]
        nodes = [Link(f"place {end}", end, end) for end in self.ends]  # so that a terminal without a wire is a node
        network = Network(self._branches, (), (*self._links, *runs, *nodes))
        return MainBoard(network, [one.motor for one in wires], self._poles)


class MainBoard:
    """What an ohmmeter shows on the wired power side."""

    def __init__(self, network: Network, to_motor: Sequence[bool], poles: Sequence[tuple[str, str]]) -> None:
        self._network = network
        self._to_motor = to_motor
        self._poles = poles

    def ohms(self, positions: Mapping[str, str], motors: bool, a: str, b: str) -> float | None:
        """The reading between `a` and `b` [ohm]; None is open (OL).

        positions: the switches, contactors and fuses that are not at rest. motors: False while no wire to a motor is in
        place. An overload relay always lets current pass.
        """
        closed = {name for tag, name in self._poles if (tag[0] == "F") != (tag in positions)}
        closed |= {f"wire {number}" for number, away in enumerate(self._to_motor, 1) if motors or not away}
        kept = self._network.solve(frozenset(closed))  # kept by the network: most tests come in threes
        if kept.same(a, b):
            return 0.0
        if not kept.joined(a, b):
            return None
        found = self._network.resistance(frozenset(closed), frozenset(), a, b)
        return None if found is None or found >= OVERLOAD_OHMS else found


def _windings(part: MainPart, ohms: float) -> list[Branch]:
    ends = [end for (end,) in part.ends.values()]
    if len(ends) == 3:
        return [Branch(f"{part.tag} {n}", end, f"{part.tag} inside", ohms / 2) for n, end in enumerate(ends)]
    return [Branch(f"{part.tag} {n}", *pair, ohms) for n, pair in enumerate(zip(ends[:3], ends[3:], strict=True))]
