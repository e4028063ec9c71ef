"""Where the edges of a circuit between nodes go on a grid: layers of nodes, rows of edges, bridges between nodes.

Layers count from the left rail. A row is a chain of edges each from a lower to a higher layer; an edge between two
nodes of one layer is a bridge and stands across, between the rows of the one node and those of the other. Rows and
bridges get an order with few crossings: the best of all orders if there are few, else the best found by moving one
at a time. Where a bridge has no place, one of its nodes moves on by a layer. No chance, no clock: the same circuit is
arranged in the same way every time.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import count, permutations

from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL
from rungbook.drawing.network import RAILS, Circuit, Edge

_ALL_ORDERS = 6  # up to so many rows and bridges every order is tried
_TRIALS = 4000  # orders that are tried of larger circuits, in all

Cost = tuple[int, int, bool, int]


@dataclass(frozen=True)
class Arrangement:
    """A circuit on the grid.

    layer: node -> layer, the left rail 0, the right rail the highest. rows: chains of edges from left to right, and
    bridges as a single edge from the upper to the lower node, from top to bottom; bridges: places of the bridges.
    """

    layer: Mapping[int, int]
    rows: tuple[tuple[Edge, ...], ...]
    bridges: frozenset[int]

    @cached_property
    def spans(self) -> dict[int, tuple[int, int]]:
        """Node -> first and last row that it meets, bridges left out."""
        return _spans(self.rows, self.bridges)

    @cached_property
    def columns(self) -> dict[int, int]:
        """Node -> column within its layer, from 0: nodes side by side have columns of their own."""
        groups = {node: {node} for node in self.layer if node not in RAILS}
        for place in self.bridges:
            (edge,) = self.rows[place]
            whole = groups[edge.left] | groups[edge.right]
            for node in whole:
                groups[node] = whole
        found: dict[int, int] = {}
        taken: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for node in sorted(groups, key=lambda node: (self.spans[node], node)):
            if node in found:
                continue
            first = min(self.spans[one][0] for one in groups[node])
            last = max(self.spans[one][1] for one in groups[node])
            column = 0
            while any(first <= b and a <= last for a, b in taken.get((self.layer[node], column), [])):
                column += 1
            taken.setdefault((self.layer[node], column), []).append((first, last))
            found |= dict.fromkeys(groups[node], column)
        return found


def arrange(circuit: Circuit) -> Arrangement:
    """Return the arrangement of `circuit`."""
    layer = _layers(circuit)
    trials = count()
    while True:
        chains, bridges = _chains(circuit, layer)
        wrong = _crowded(bridges)
        if wrong is None:
            done, wrong = _ordered(layer, chains, bridges, trials)
            if wrong is None:
                return done
        moved = max(wrong.left, wrong.right, key=list(layer).index)
        layer[moved] += 1
        layer[RIGHT_RAIL] = max(layer[RIGHT_RAIL], layer[moved] + 1)


def _layers(circuit: Circuit) -> dict[int, int]:
    """Node -> number of edges from the left rail, the right rail not passed; in a fixed order of nodes."""
    beside: dict[int, list[int]] = {}
    for edge in circuit.edges:
        beside.setdefault(edge.left, []).append(edge.right)
        beside.setdefault(edge.right, []).append(edge.left)
    found = {LEFT_RAIL: 0}
    starts = [LEFT_RAIL, *(node for node in beside if node not in RAILS)]
    for start in starts:
        if start in found and start != LEFT_RAIL:
            continue
        if start != LEFT_RAIL and any(node not in RAILS for node in found):
            continue
        found.setdefault(start, 1)
        waiting = deque([start])
        while waiting:
            here = waiting.popleft()
            for there in beside.get(here, []):
                if there not in found and there != RIGHT_RAIL:
                    found[there] = found[here] + 1
                    waiting.append(there)
    return found | {RIGHT_RAIL: max(found.values()) + 1}


def _chains(circuit: Circuit, layer: Mapping[int, int]) -> tuple[list[tuple[Edge, ...]], list[Edge]]:
    """The edges from layer to layer, put end to end, and the bridges."""
    level: list[Edge] = []
    bridges: list[Edge] = []
    for edge in circuit.edges:
        if layer[edge.left] == layer[edge.right]:
            bridges.append(edge)
        else:
            level.append(edge if layer[edge.left] < layer[edge.right] else edge.turned())
    following: dict[int, int] = {}  # place of an edge -> place of the one behind it on its row
    for node in layer:
        if node not in RAILS:
            before = [n for n, edge in enumerate(level) if edge.right == node]
            behind = [n for n, edge in enumerate(level) if edge.left == node]
            following |= dict(zip(before, behind, strict=False))
    led = set(following.values())
    chains = []
    for start in range(len(level)):
        if start not in led:
            chain, here = [level[start]], start
            while here in following:
                here = following[here]
                chain.append(level[here])
            chains.append(tuple(chain))
    return chains, bridges


def _crowded(bridges: Sequence[Edge]) -> Edge | None:
    """A bridge too many: a node has one above and one below at most, and bridges do not go in a ring."""
    count: dict[int, int] = {}
    parent: dict[int, int] = {}

    def root(node: int) -> int:
        while parent.setdefault(node, node) != node:
            node = parent[node]
        return node

    for edge in bridges:
        for node in (edge.left, edge.right):
            count[node] = count.get(node, 0) + 1
        if max(count[edge.left], count[edge.right]) > 2 or root(edge.left) == root(edge.right):
            return edge
        parent[root(edge.left)] = root(edge.right)
    return None


def _ordered(
    layer: Mapping[int, int], chains: list[tuple[Edge, ...]], bridges: list[Edge], trials: Iterator[int]
) -> tuple[Arrangement, Edge | None]:
    """The best order found, and a bridge that has no place in it. trials: counts the orders tried."""
    things: list[tuple[Edge, ...]] = [*chains, *((edge,) for edge in bridges)]
    across = set(range(len(chains), len(things)))
    start = _started(chains, bridges)
    best, least = start, _cost(layer, things, across, start)
    if len(things) <= _ALL_ORDERS:
        for order in permutations(start):
            cost = _cost(layer, things, across, order)
            if cost < least:
                best, least = order, cost
    else:
        better = True
        while better:
            better = False
            for order in _moves(best):
                if next(trials) >= _TRIALS:
                    break
                cost = _cost(layer, things, across, order)
                if cost < least:
                    best, least, better = order, cost, True
    where = {place: row for row, place in enumerate(best)}
    spans = _spans([things[place] for place in best], frozenset(where[place] for place in across))
    rows: list[tuple[Edge, ...]] = []
    wrong = None
    for place in best:
        (edge, *_) = things[place]
        if place in across:
            upper, lower = _ends(edge, spans)
            if not spans[upper][1] < where[place] < spans[lower][0]:
                wrong = wrong or edge
            rows.append((edge if edge.left == upper else edge.turned(),))
        else:
            rows.append(things[place])
    if wrong is None:
        wrong = _threaded(bridges, spans)
    return Arrangement(layer, tuple(rows), frozenset(where[place] for place in across)), wrong


def _started(chains: Sequence[tuple[Edge, ...]], bridges: Sequence[Edge]) -> tuple[int, ...]:
    """The order to begin with: rows as they come, each bridge behind the first row that one of its nodes meets."""
    order = list(range(len(chains)))
    for n, edge in enumerate(bridges, len(chains)):
        ends = {edge.left, edge.right}
        rows = [
            place
            for place, chain in enumerate(chains)
            if ends & {node for one in chain for node in (one.left, one.right)}
        ]
        order.insert(order.index(rows[0]) + 1 if rows else len(order), n)
    return tuple(order)


def _moves(order: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Every order that differs from `order` in the place of one thing."""
    for start in range(len(order)):
        rest = [*order[:start], *order[start + 1 :]]
        for end in range(len(order)):
            if end != start:
                yield (*rest[:end], order[start], *rest[end:])


def _spans(rows: Sequence[tuple[Edge, ...]], bridges: frozenset[int]) -> dict[int, tuple[int, int]]:
    found: dict[int, tuple[int, int]] = {}
    for row, chain in enumerate(rows):
        if row not in bridges:
            for node in [chain[0].left, *(edge.right for edge in chain)]:
                first, last = found.get(node, (row, row))
                found[node] = (min(first, row), max(last, row))
    for row in sorted(bridges):  # a node that only bridges meet has its place beside the first of them
        for node in (rows[row][0].left, rows[row][0].right):
            found.setdefault(node, (row, row))
    return found


def _ends(edge: Edge, spans: Mapping[int, tuple[int, int]]) -> tuple[int, int]:
    """The upper and the lower node of a bridge."""
    one, other = edge.left, edge.right
    return (one, other) if spans[one] <= spans[other] else (other, one)


def _threaded(bridges: Sequence[Edge], spans: Mapping[int, tuple[int, int]]) -> Edge | None:
    """A bridge that lies on the same side of a node as another one."""
    above: set[int] = set()
    below: set[int] = set()
    for edge in bridges:
        upper, lower = _ends(edge, spans)
        if upper in below or lower in above:
            return edge
        below.add(upper)
        above.add(lower)
    return None


def _cost(layer: Mapping[int, int], things: Sequence[tuple[Edge, ...]], across: set[int], order: Sequence[int]) -> Cost:
    """What is bad in an order: bridges without a place, crossings, a first row off the rail, length of wire across."""
    rows = [things[place] for place in order]
    bridges = frozenset(row for row, place in enumerate(order) if place in across)
    spans = _spans(rows, bridges)
    wrong = 0
    length = 0
    reach = dict(spans)
    for row in bridges:
        (edge,) = rows[row]
        upper, lower = _ends(edge, spans)
        wrong += not spans[upper][1] < row < spans[lower][0]
        for node in (upper, lower):
            reach[node] = (min(reach[node][0], row), max(reach[node][1], row))
    crossings = 0
    for row, chain in enumerate(rows):
        if row in bridges:
            continue
        met = {chain[0].left, *(edge.right for edge in chain)}
        first, last = layer[chain[0].left], layer[chain[-1].right]
        for node, (top, bottom) in reach.items():
            if node not in met and node not in RAILS and first <= layer[node] <= last and top <= row <= bottom:
                crossings += 1
    for node, (top, bottom) in reach.items():
        if node not in RAILS:
            length += bottom - top
    return (wrong, crossings, rows[0][0].left != LEFT_RAIL, length)
