"""Contacts joined at points, as a ladder body has them, read as series and parallel.

A node is a set of points that always feed together. What lies between rail and coil is reduced: contacts between the
same two nodes are parallel, contacts with nothing else between them are in series. What cannot be reduced to one is a
bridge, which the ladders of this course do not have.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.exchange.tree import Expr, Literal, Op, wrong


@dataclass(frozen=True)
class Edge:
    """A contact: the points that feed it, the point at its right, and what it reads."""

    sources: frozenset[str]
    point: str
    value: Expr


@dataclass
class _Way:
    """Something between two nodes: `value`, and the place of its first contact, for the order of branches."""

    left: frozenset[str]
    right: frozenset[str]
    place: int
    sign: str
    parts: list[_Way]
    value: Expr | None = None

    def expression(self) -> Expr:
        if self.value is not None:
            return self.value
        parts = sorted(self.parts, key=lambda part: part.place) if self.sign == "OR" else self.parts
        return Op(self.sign, tuple(part.expression() for part in parts))


def way_between(rail: str, edges: list[Edge], end: frozenset[str], line: int) -> Expr:
    """Return what `edges` make between the point `rail` and the points `end` of the coils.

    Raises LadderError if a point has no source, feeds in two companies, or the way is no series and parallel.
    """
    if not edges and end == {rail}:
        return Literal(True, "BOOL")
    points = [rail, *(edge.point for edge in edges)]
    node_of: dict[str, frozenset[str]] = {}
    for node in (*(edge.sources for edge in edges), end):
        for point in node:
            if point not in points:
                raise wrong(line, "a connection comes from a point of this rung", point, *points)
            if node_of.setdefault(point, node) != node:
                raise wrong(line, "no series and parallel: a point feeds in two companies", point)
    if len(set(points)) != len(points) or set(node_of) != set(points) or node_of[rail] != {rail}:
        raise wrong(line, "every contact lies between the rail and the coil", ", ".join(points))
    ways = [_Way(edge.sources, node_of[edge.point], place, "", [], edge.value) for place, edge in enumerate(edges)]
    while len(ways) > 1 and (_join_parallel(ways) or _join_series(ways, node_of[rail], end)):
        pass
    if len(ways) != 1 or (ways[0].left, ways[0].right) != (node_of[rail], end):
        raise wrong(line, "a way from rail to coil is made of series and parallel", f"{len(ways)} parts are left")
    return ways[0].expression()


def _members(way: _Way, sign: str) -> list[_Way]:
    return way.parts if way.sign == sign else [way]


def _join(sign: str, one: _Way, other: _Way) -> _Way:
    parts = [*_members(one, sign), *_members(other, sign)]
    return _Way(one.left, other.right, min(one.place, other.place), sign, parts)


def _join_parallel(ways: list[_Way]) -> bool:
    first: dict[tuple[frozenset[str], frozenset[str]], int] = {}
    for place, way in enumerate(ways):
        key = way.left, way.right
        if key in first:
            ways[first[key]] = _join("OR", ways[first[key]], way)
            del ways[place]
            return True
        first[key] = place
    return False


def _join_series(ways: list[_Way], *outer: frozenset[str]) -> bool:
    for way in ways:
        if way.right in outer:
            continue
        entering = [one for one in ways if one.right == way.right]
        leaving = [one for one in ways if one.left == way.right]
        if len(entering) == 1 and len(leaving) == 1 and leaving[0] is not way:
            ways[ways.index(way)] = _join("AND", way, leaving[0])
            ways.remove(leaving[0])
            return True
    return False
