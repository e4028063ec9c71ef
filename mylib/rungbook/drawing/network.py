"""A circuit between numbered nodes, made ready to be drawn: what is in series or in parallel becomes one edge.

What no series or parallel can say, a bridge, stays as edges between nodes. Nothing here knows a length.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Load, Wired

RAILS = (LEFT_RAIL, RIGHT_RAIL)


@dataclass(frozen=True)
class Edge:
    """A way from node `left` to node `right`: one item, or edges in series or in parallel.

    item: place of the wired item in the circuit, from 1. An edge with none of these is a plain wire.
    """

    left: int
    right: int
    wired: Wired | None = None
    item: int = 0
    series: tuple[Edge, ...] = ()
    parallel: tuple[Edge, ...] = ()

    @property
    def load(self) -> bool:
        """True for a single coil, lamp or further input."""
        return self.wired is not None and isinstance(self.wired.item, Load)

    def turned(self) -> Edge:
        """The same way from its other end."""
        wired = self.wired and replace(
            self.wired, left=self.wired.right, right=self.wired.left, turned=not self.wired.turned
        )
        series = tuple(edge.turned() for edge in reversed(self.series))
        return Edge(self.right, self.left, wired, self.item, series, tuple(edge.turned() for edge in self.parallel))

    def items(self) -> Iterator[Edge]:
        """Its single items, in reading order."""
        if self.wired:
            yield self
        for edge in (*self.series, *self.parallel):
            yield from edge.items()


@dataclass(frozen=True)
class Circuit:
    """Edges that hang together without the rails; `number` from 1, in the order of their first items.

    loops: nodes that stand for the far end of a contact with both ends on one node -> that node.
    """

    number: int
    edges: tuple[Edge, ...]
    loops: tuple[tuple[int, int], ...] = ()

    def name(self, node: int) -> int:
        """The wire number of `node`."""
        return dict(self.loops).get(node, node)

    def items(self) -> tuple[Edge, ...]:
        """Its items, in the order in which they were given."""
        return tuple(sorted((one for edge in self.edges for one in edge.items()), key=lambda one: one.item))


def circuits(items: Sequence[Wired]) -> tuple[Circuit, ...]:
    """Return the circuits of `items`, each reduced. Same items, same circuits."""
    edges = [Edge(wired.left, wired.right, wired, n) for n, wired in enumerate(items, 1)]
    parent: dict[int, int] = {}

    def root(node: int) -> int:
        while parent.setdefault(node, node) != node:
            node = parent[node]
        return node

    for edge in edges:
        if edge.left not in RAILS and edge.right not in RAILS:
            parent[root(edge.left)] = root(edge.right)
    groups: dict[object, list[Edge]] = {}
    for edge in edges:
        inner = [node for node in (edge.left, edge.right) if node not in RAILS]
        groups.setdefault(root(inner[0]) if inner else ("rails", edge.item), []).append(edge)
    fresh = max([*RAILS, *(node for edge in edges for node in (edge.left, edge.right))]) + 1
    found = []
    for number, group in enumerate(groups.values(), 1):
        loops = tuple((fresh + edge.item, edge.left) for edge in group if edge.left == edge.right)
        found.append(Circuit(number, _reduced((_opened(edge, fresh + edge.item) for edge in group), fresh), loops))
    return tuple(found)


def _opened(edge: Edge, far: int) -> Edge:
    """A contact with both ends on one node gets a plain wire beside it and a far end of its own."""
    if edge.left != edge.right:
        return edge
    node = edge.left
    return Edge(node, far, parallel=(Edge(node, node), Edge(node, node, edge.wired, edge.item)))


def _reduced(edges: Iterable[Edge], fresh: int) -> tuple[Edge, ...]:
    """Put contacts in parallel and in series together until none are left to put; loads, and far ends, stay single.

    fresh: far ends have numbers above it.
    """
    now = list(edges)
    while True:
        after = _without_series(_without_parallels(now), fresh)
        if len(after) == len(now):
            return tuple(after)
        now = after


def _first(edge: Edge) -> int:
    return min((one.item for one in edge.items()), default=0)


def _without_parallels(edges: Sequence[Edge]) -> list[Edge]:
    found: dict[tuple[object, ...], list[Edge]] = {}
    for edge in edges:
        key = ("load", _first(edge)) if edge.load else (min(edge.left, edge.right), max(edge.left, edge.right))
        found.setdefault(key, []).append(edge)
    return [_parallel(group) for group in found.values()]


def _parallel(group: Sequence[Edge]) -> Edge:
    first = group[0]
    if len(group) == 1:
        return first
    same = [edge if edge.left == first.left else edge.turned() for edge in group]
    branches = [inner for edge in same for inner in (edge.parallel or (edge,))]
    return Edge(first.left, first.right, parallel=tuple(sorted(branches, key=_first)))


def _without_series(edges: Sequence[Edge], fresh: int) -> list[Edge]:
    now = list(edges)
    for node in dict.fromkeys(node for edge in edges for node in (edge.left, edge.right)):
        here = [edge for edge in now if node in (edge.left, edge.right)]
        if node in RAILS or len(here) != 2 or any(edge.load or max(edge.left, edge.right) > fresh for edge in here):
            continue
        if {here[0].left, here[0].right} == {here[1].left, here[1].right}:
            continue
        one, other = here
        before = one if one.right == node else one.turned()
        behind = other if other.left == node else other.turned()
        if before.left == RIGHT_RAIL or behind.right == LEFT_RAIL:
            before, behind = behind.turned(), before.turned()
        parts = tuple(inner for edge in (before, behind) for inner in (edge.series or (edge,)))
        now[now.index(one)] = Edge(before.left, behind.right, series=parts)
        now.remove(other)
    return now


def degree(circuit: Circuit) -> dict[int, int]:
    """Node -> how many edges end on it."""
    found: dict[int, int] = {}
    for edge in circuit.edges:
        for node in (edge.left, edge.right):
            found[node] = found.get(node, 0) + 1
    return found
