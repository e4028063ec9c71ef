"""The wires of a plan in pieces from junction to junction, and what draws current through each.

The wires of one node are a tree, so the current through a piece is the sum of the currents of the items that hang on
one side of it. Pieces, dots and arrows have keys: p1, p2, …, j1, …, a1, …, in the order of the plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Wired
from rungbook.drawing.shapes import Point
from rungbook.drawing.sheet import Line, Plan, Symbol, Wire

Draw = tuple[int, int]  # place of an item, and 1 if its current counts as it flows, -1 if against
Vertex = tuple[int, float, float]  # node, x, y


@dataclass(frozen=True)
class Piece:
    """A straight piece of wire without a junction inside. wire: place in the plan of the wire it is a piece of."""

    key: str
    wire: int
    start: Point
    end: Point
    draws: tuple[Draw, ...]


@dataclass(frozen=True)
class Wiring:
    """What a plan's wires are made of. dots: key of each dot of the plan -> keys of the pieces that meet there.

    arrows: key of each continuation of the plan's lines -> what draws current through it.
    """

    pieces: tuple[Piece, ...]
    dots: Mapping[str, tuple[str, ...]]
    arrows: Mapping[str, tuple[Draw, ...]]


def item_of(symbol: Symbol, places: Mapping[int, Sequence[int]]) -> int:
    """Place among all items of what `symbol` shows. places: rung -> place of each of its items; {} for a board."""
    own = places.get(symbol.rung)
    return symbol.item - 1 if own is None else own[symbol.item - 1]


def wiring(plan: Plan, items: Sequence[Wired], places: Mapping[int, Sequence[int]]) -> Wiring:
    """Return the wires of `plan` in pieces. items, places: as `item_of` says."""
    corners = _Corners()
    hanging: dict[Vertex, list[Draw]] = {}
    for symbol in plan.symbols:
        place = item_of(symbol, places)
        sign = 1 if symbol.wired.left == items[place].left else -1
        ends = ((symbol.wired.left, symbol.terminals[0], sign), (symbol.wired.right, symbol.terminals[1], -sign))
        for node, point, flows in ends:
            hanging.setdefault(corners.add(node, point), []).append((place, flows))
    for dot in plan.dots:
        corners.add(dot.node, (dot.x, dot.y))
    for wire in plan.wires:
        corners.add(wire.node, wire.start)
        corners.add(wire.node, wire.end)
    edges: list[tuple[Vertex, Vertex, str]] = []
    cut: list[tuple[int, Vertex, Vertex]] = []
    for place, wire in enumerate(plan.wires):
        for a, b in corners.along(wire):
            cut.append((place, a, b))
            edges.append((a, b, f"p{len(cut)}"))
    jumps = _jumps(plan.lines, corners)
    edges += [(a, b, f"jump {k}") for k, (a, b, _) in enumerate(jumps)]
    draws = _through(edges, hanging, _roots(plan.wires))
    pieces = tuple(Piece(f"p{k}", place, a[1:], b[1:], draws[f"p{k}"]) for k, (place, a, b) in enumerate(cut, 1))
    beside: dict[Vertex, list[str]] = {}
    for (_, a, b), piece in zip(cut, pieces, strict=True):
        beside.setdefault(a, []).append(piece.key)
        beside.setdefault(b, []).append(piece.key)
    dots = {f"j{k}": tuple(beside.get(corners.add(dot.node, (dot.x, dot.y)), ())) for k, dot in enumerate(plan.dots, 1)}
    arrows = {key: draws[f"jump {k}"] for k, (_, _, keys) in enumerate(jumps) for key in keys}
    return Wiring(pieces, dots, arrows)


class _Corners:
    """Points of each node at which something meets its wires, to a hundredth of a px."""

    def __init__(self) -> None:
        self._known: dict[int, set[Point]] = {}

    def add(self, node: int, point: Point) -> Vertex:
        x, y = round(point[0], 2), round(point[1], 2)
        self._known.setdefault(node, set()).add((x, y))
        return (node, x, y)

    def find(self, point: Point) -> list[Vertex]:
        x, y = round(point[0], 2), round(point[1], 2)
        return [(node, x, y) for node, known in self._known.items() if (x, y) in known]

    def along(self, wire: Wire) -> list[tuple[Vertex, Vertex]]:
        """The pieces of `wire` between the points that lie on it."""
        (x, y), (end, low) = ((round(a, 2), round(b, 2)) for a, b in (wire.start, wire.end))
        here = sorted(p for p in self._known[wire.node] if x <= p[0] <= end and y <= p[1] <= low)
        return [((wire.node, *a), (wire.node, *b)) for a, b in pairwise(here)]


def _jumps(lines: Sequence[Line], corners: _Corners) -> list[tuple[Vertex, Vertex, tuple[str, str]]]:
    """Where a folded path goes on: end, beginning, and keys of the two arrows, which follow each other in the plan."""
    arrows = [line for line in lines if line.role == "continuation"]
    found = []
    for k in range(0, len(arrows) - 1, 2):
        out, into = arrows[k], arrows[k + 1]
        base = ((out.points[0][0] + out.points[2][0]) / 2, (out.points[0][1] + out.points[2][1]) / 2)
        tip = into.points[1]
        pairs = [(a, b) for a in corners.find(base) for b in corners.find(tip) if a[0] == b[0]]
        found += [(a, b, (f"a{k + 1}", f"a{k + 2}")) for a, b in pairs[:1]]
    return found


def _roots(wires: Sequence[Wire]) -> list[Vertex]:
    """Where the supply feeds the rails: at their ends by their names."""
    return [
        (wire.node, round(wire.start[0], 2), round(wire.start[1], 2))
        for wire in wires
        if wire.rung == 0 and wire.node in (LEFT_RAIL, RIGHT_RAIL)
    ]


def _through(
    edges: Sequence[tuple[Vertex, Vertex, str]], hanging: Mapping[Vertex, list[Draw]], roots: Sequence[Vertex]
) -> dict[str, tuple[Draw, ...]]:
    """Edge -> the items on its side away from the root of its tree; roots come first where a tree has one."""
    near: dict[Vertex, list[tuple[Vertex, str]]] = {}
    for a, b, key in edges:
        near.setdefault(a, []).append((b, key))
        near.setdefault(b, []).append((a, key))
    found: dict[str, tuple[Draw, ...]] = {}
    seen: set[Vertex] = set()
    for root in (*roots, *near):
        if root in seen:
            continue
        order: list[tuple[Vertex, Vertex, str]] = []
        todo = [root]
        seen.add(root)
        while todo:
            here = todo.pop()
            for there, key in near.get(here, ()):
                if there not in seen:
                    seen.add(there)
                    order.append((there, here, key))
                    todo.append(there)
        gathered = {vertex: list(hanging.get(vertex, ())) for vertex, _, _ in order}
        for there, here, key in reversed(order):
            found[key] = tuple(gathered[there])
            if here in gathered:
                gathered[here] += gathered[there]
    return {key: found.get(key, ()) for _, _, key in edges}
