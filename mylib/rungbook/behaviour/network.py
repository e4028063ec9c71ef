"""Network solution: voltages and currents of loads and sources joined by ideal contacts, as phasors.

Knows nothing of devices. Closed links merge nodes exactly; what remains is nodal analysis over the nodes that loads
and sources touch. All phasors are effective values at one frequency.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from rungbook.behaviour.elements import Branch, Link, Node, Source, check_element
from rungbook.behaviour.nodal import Joints
from rungbook.errors import LadderError

__all__ = ["Branch", "Link", "Network", "Node", "Solution", "Source"]

MOST_KEPT = 20_000  # solutions kept by one network; the oldest goes first


class Solution:
    """What a network does with one set of links closed. Made by `Network.solve`."""

    __slots__ = ("_island", "_network", "_root", "_sealed", "_volts")

    def __init__(
        self, network: Network, sealed: frozenset[str], root: list[int], found: tuple[list[int], list[complex]]
    ):
        self._network = network
        self._sealed = sealed
        self._root = root
        self._island, self._volts = found

    def across(self, a: Node, b: Node) -> complex | None:
        """Voltage of `a` against `b` [V, phasor]; None if no conductive path joins them (floating).

        Raises LadderError if the network has no such node.
        """
        ra, rb = self._root[self._network.index(a)], self._root[self._network.index(b)]
        if ra == rb:
            return 0j
        return self._volts[ra] - self._volts[rb] if self._island[ra] == self._island[rb] else None

    def amps(self, name: str) -> complex:
        """Current [A, phasor]: through a branch from its `a` to its `b`; of a source, delivered out of its `a`.

        Raises LadderError if no branch or source has this name.
        """
        element = self._network.element(name)
        drop = self.across(element.a, element.b)
        assert drop is not None  # its own ends are joined by the element itself
        if isinstance(element, Source):
            return (element.volts - drop) / element.ohms
        return drop / _ohms(element, self._sealed)

    def same(self, a: Node, b: Node) -> bool:
        """True if closed links merge `a` and `b` into one node. Raises LadderError if there is no such node."""
        return self._root[self._network.index(a)] == self._root[self._network.index(b)]

    def joined(self, a: Node, b: Node) -> bool:
        """True if links, loads or sources join `a` and `b`. Raises LadderError if there is no such node."""
        return self.across(a, b) is not None


class Network:
    """Loads, sources and links between nodes.

    Raises LadderError if a name stands twice or `elements.check_element` refuses a number. As every branch and source
    has a positive resistance, no network has a singular matrix, resonance included.
    """

    def __init__(self, branches: Iterable[Branch], sources: Iterable[Source], links: Iterable[Link]) -> None:
        self.branches = tuple(branches)
        self.sources = tuple(sources)
        self.links = tuple(links)
        self._elements: dict[str, Branch | Source] = {}
        self._nodes: dict[Node, int] = {}
        names: set[str] = set()
        items: tuple[Branch | Source | Link, ...] = (*self.branches, *self.sources, *self.links)
        for item in map(check_element, items):
            if item.name in names:
                thing = f"{type(item).__name__} {item.name}"
                raise LadderError(thing, "the name stands twice in this network", item.name)
            names.add(item.name)
            if not isinstance(item, Link):
                self._elements[item.name] = item
            for node in (item.a, item.b):
                self._nodes.setdefault(node, len(self._nodes))
        self.names = frozenset(names)
        self._sealable = frozenset(branch.name for branch in self.branches if branch.sealed_ohms is not None)
        self._ends = {item.name: (self._nodes[item.a], self._nodes[item.b]) for item in self.links}
        self._flow = [(self._nodes[b.a], self._nodes[b.b], b) for b in self.branches]
        self._feeds = [(self._nodes[s.a], self._nodes[s.b], s) for s in self.sources]
        self._kept: dict[tuple[frozenset[str], frozenset[str]], Solution] = {}

    @property
    def nodes(self) -> tuple[Node, ...]:
        """All nodes, in the order in which branches, sources and links name them."""
        return tuple(self._nodes)

    def index(self, node: Node) -> int:
        """Place of `node` among `nodes`. Raises LadderError if there is no such node."""
        place = self._nodes.get(node)
        if place is None:
            raise LadderError("Network", f"no node {node!r}", node, tuple(str(known) for known in self._nodes))
        return place

    def element(self, name: str) -> Branch | Source:
        """The branch or source `name`. Raises LadderError if there is none."""
        found = self._elements.get(name)
        if found is None:
            raise LadderError("Network", f"no branch or source {name!r}", name, tuple(self._elements))
        return found

    def solve(self, closed: frozenset[str], sealed: frozenset[str] = frozenset()) -> Solution:
        """Return the solution with the links `closed` closed and the branches `sealed` at their sealed impedance.

        Kept by (closed, sealed). Raises LadderError if they are no frozensets, a name is unknown, or a branch has no
        sealed impedance.
        """
        key = (closed, sealed)
        try:
            found = self._kept.get(key)
        except TypeError:
            rule = "names of closed links and of sealed branches are frozensets, as solutions are kept by them"
            raise LadderError("Network", rule, key, ("frozenset({'supply'})",)) from None
        if found is None:
            root = self._merge(closed)
            self._check_sealed(sealed)
            joints = Joints(len(self._nodes))
            for a, b, branch in self._flow:
                joints.join(root[a], root[b], 1 / _ohms(branch, sealed))
            for a, b, source in self._feeds:
                joints.join(root[a], root[b], 1 / source.ohms, source.volts)
            found = Solution(self, sealed, root, joints.potentials())
            if len(self._kept) >= MOST_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[key] = found
        return found

    def path(self, closed: frozenset[str], a: Node, b: Node) -> tuple[str, ...]:
        """Return the closed links on a shortest path from `a` to `b`; empty if links do not join them, or a is b.

        Of several shortest paths, the one whose links the network lists first. Raises LadderError if a link or a
        node is unknown.
        """
        self._check_closed(closed)
        start, end = self.index(a), self.index(b)
        beside: dict[int, list[tuple[str, int]]] = {}
        for name, (one, other) in self._ends.items():
            if name in closed:
                beside.setdefault(one, []).append((name, other))
                beside.setdefault(other, []).append((name, one))
        came: dict[int, tuple[str, int]] = {}
        todo = deque([start])
        while todo and end not in came:
            here = todo.popleft()
            for name, there in beside.get(here, ()):
                if there != start and there not in came:
                    came[there] = (name, here)
                    todo.append(there)
        way = []
        while end != start and end in came:
            name, end = came[end]
            way.append(name)
        return tuple(reversed(way))

    def resistance(
        self, closed: frozenset[str], sealed: frozenset[str], a: Node, b: Node, *, isolated: bool = False
    ) -> float | None:
        """Resistance between `a` and `b` [ohm] with all e.m.f. removed, as an ohmmeter sees it; None if open.

        An ohmmeter works with d.c., so each impedance counts with its real part. isolated: sources are taken out;
        else their own resistance stays in the circuit. Raises LadderError as `solve`, and if a node is unknown.
        """
        root = self._merge(closed)
        self._check_sealed(sealed)
        one, other = root[self.index(a)], root[self.index(b)]
        if one == other:
            return 0.0
        joints = Joints(len(self._nodes))
        for left, right, branch in self._flow:
            joints.join(root[left], root[right], complex(1 / _ohms(branch, sealed).real))
        for left, right, source in () if isolated else self._feeds:
            joints.join(root[left], root[right], complex(1 / complex(source.ohms).real))
        siemens = joints.between(one, other)
        return None if siemens is None else 1 / siemens.real

    def _check_closed(self, closed: frozenset[str]) -> None:
        if unknown := closed - self._ends.keys():
            raise LadderError("Network", "no such link to close", min(unknown, key=str), tuple(self._ends))

    def _check_sealed(self, sealed: frozenset[str]) -> None:
        if unknown := sealed - self._sealable:
            rule = "no such branch with a sealed impedance"
            raise LadderError("Network", rule, min(unknown, key=str), tuple(sorted(self._sealable)))

    def _merge(self, closed: frozenset[str]) -> list[int]:
        """Node -> the first node that closed links merge it with. The order of `closed` plays no part."""
        self._check_closed(closed)
        root = list(range(len(self._nodes)))
        for name, (a, b) in self._ends.items():
            if name in closed:
                while root[a] != a:
                    root[a] = a = root[root[a]]
                while root[b] != b:
                    root[b] = b = root[root[b]]
                root[max(a, b)] = min(a, b)
        for node, above in enumerate(root):  # a root is never behind its node, so one pass is enough
            root[node] = root[above]
        return root


def _ohms(branch: Branch, sealed: frozenset[str]) -> complex:
    if branch.sealed_ohms is not None and branch.name in sealed:
        return complex(branch.sealed_ohms)
    return complex(branch.ohms)
