"""A wired board as a network of terminals: each wire, contact and load between the two terminals it is screwed to.

Unlike `circuit.wire_list`, which reads a circuit out of wires, this takes wires as they are: a short, a coil with one
side open, three wires on a terminal. There is no source in it: the fuse is out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rungbook.behaviour.meter import OVERLOAD_OHMS
from rungbook.behaviour.network import Branch, Link, Network
from rungbook.circuit.parts import INPUTS, LOAD_TERMINALS
from rungbook.circuit.wiring import SUPPLY, Wire
from rungbook.kit import ALL_KINDS, Kit
from rungbook.kit.ratings import TIMER_COIL

Positions = Mapping[str, str]


class Terminals:
    """The terminals of the devices `tags` of `kit`, without a wire. ends: all of them. contacts: device and contact."""

    def __init__(self, kit: Kit, tags: Iterable[str]) -> None:
        self.kit = kit
        self.tags = tuple(tags)
        self.contacts = tuple((tag, block) for tag in self.tags for block in kit.devices[tag].contacts)
        self._rest = {tag: ALL_KINDS[kit.devices[tag].model.kind].rest for tag in self.tags}
        self._links = [
            Link(f"{tag}:{block.terminals}", f"{tag}:{block.ends[0]}", f"{tag}:{block.ends[1]}")
            for tag, block in self.contacts
        ]
        self._branches = [branch for tag in self.tags for branch in self._loads(tag)]
        items: list[Link | Branch] = [*self._links, *self._branches]
        ends = (*SUPPLY.values(), *(end for item in items for end in (item.a, item.b)))
        self.ends = tuple(dict.fromkeys(str(end) for end in ends))

    def _loads(self, tag: str) -> list[Branch]:
        """Coil or lamp of `tag`, and its further inputs; an ohmmeter sees the real part of their impedance."""
        fitted = self.kit.devices[tag]
        model = fitted.model
        loads: list[tuple[str, Sequence[str], complex]] = []
        if model.coil is not None:
            loads.append(("coil", model.supply, model.coil.ohms(False)))
            inputs = [(kind, LOAD_TERMINALS[kind].split("-")) for kind in INPUTS]
            loads += [
                (kind, pair, TIMER_COIL.ohms(False)) for kind, pair in inputs if set(pair) <= set(fitted.terminals)
            ]
        if model.lamp is not None:
            loads.append(("lamp", model.supply, model.lamp.ohms))
        return [Branch(f"{tag} {name}", f"{tag}:{a}", f"{tag}:{b}", size) for name, (a, b), size in loads]

    def wired(self, wires: Sequence[Wire]) -> Network:
        """The network with `wires` in place, named "wire 1", "wire 2", … in their order."""
        runs = [Link(f"wire {number}", one.start, one.end) for number, one in enumerate(wires, 1)]
        nodes = [Link(f"place {end}", end, end) for end in self.ends]  # so that a terminal without a wire is a node
        return Network(self._branches, (), (*self._links, *runs, *nodes))

    def closed(self, positions: Positions) -> frozenset[str]:
        """Names of the contacts closed in `positions` (devices left out are at rest)."""
        return frozenset(
            f"{tag}:{block.terminals}"
            for tag, block in self.contacts
            if positions.get(tag, self._rest[tag]) in block.closed
        )


def ohms(network: Network, closed: frozenset[str], wires: int, a: str, b: str) -> float | None:
    """What an ohmmeter between `a` and `b` shows with the first `wires` wires in place [ohm]; None is open (OL)."""
    links = closed | {f"wire {number}" for number in range(1, wires + 1)}
    found = network.resistance(links, frozenset(), a, b)
    return None if found is None or found >= OVERLOAD_OHMS else found
