"""Geometry the tests need and the package does not: overlaps, touching, and the circuit read back from a plan."""

from __future__ import annotations

from itertools import combinations

from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL
from rungbook.drawing.shapes import Box, Point
from rungbook.drawing.sheet import Plan, Wire

TINY = 1e-6


def overlap(one: Box, other: Box, depth: float = TINY) -> bool:
    """True if the boxes share more than an edge."""
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > depth and min(one[3], other[3]) - max(one[1], other[1]) > depth
    )


def box_of(wire: Wire) -> Box:
    return (*wire.start, *wire.end)


def touch(one: Box, other: Box) -> bool:
    """True if two upright or level lines (as boxes) have a point in common."""
    return (
        max(one[0], other[0]) <= min(one[2], other[2]) + TINY and max(one[1], other[1]) <= min(one[3], other[3]) + TINY
    )


def at(point: Point) -> Box:
    return (*point, *point)


def near(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) <= TINY and abs(one[1] - other[1]) <= TINY


def directions(plan: Plan, point: Point, node: int) -> int:
    """In how many directions wires of `node` leave `point`."""
    found = 0
    for wire in plan.wires:
        if wire.node == node and touch(box_of(wire), at(point)):
            found += 1 if near(wire.start, point) or near(wire.end, point) else 2
    return found


def links(plan: Plan) -> dict[tuple[int, str], list[Point]]:
    """Rung and letter of each continuation -> where its wires end: at the foot of one arrow, the tip of the other.

    A letter belongs to the arrow nearest to it; which of an arrow's ends is the wire's is read from the wires.
    """
    ends = [point for wire in plan.wires for point in (wire.start, wire.end)]
    found: dict[tuple[int, str], list[Point]] = {}
    arrows = [line for line in plan.lines if line.role == "continuation"]
    letters = [text for text in plan.texts if text.role == "continuation"]
    assert len(arrows) == len(letters)
    for text in letters:
        x, y = (text.box[0] + text.box[2]) / 2, (text.box[1] + text.box[3]) / 2
        arrow = min(arrows, key=lambda line: (line.points[1][0] - x) ** 2 + (line.points[1][1] - y) ** 2)
        (a, b), tip, (c, d), _ = arrow.points
        own = [point for point in (((a + c) / 2, (b + d) / 2), tip) if any(near(point, end) for end in ends)]
        assert len(own) == 1, arrow
        found.setdefault((text.rung, text.words), []).append(own[0])
    assert all(len(points) == 2 for points in found.values()), found
    return found


def _joined(plan: Plan, one: Wire, other: Wire) -> bool:
    """True if two wires make one piece of copper: an end of one lies on the other, or they cross at a dot."""
    first, second = box_of(one), box_of(other)
    if not touch(first, second):
        return False
    if any(touch(at(end), second) for end in (one.start, one.end)) or any(
        touch(at(end), first) for end in (other.start, other.end)
    ):
        return True
    return any(touch(at((dot.x, dot.y)), first) and touch(at((dot.x, dot.y)), second) for dot in plan.dots)


def connected(plan: Plan) -> list[set[int]]:
    """The wires of `plan` (as places in `plan.wires`) in groups that touch, or go on in, one another."""
    group = list(range(len(plan.wires)))
    for one, other in combinations(range(len(plan.wires)), 2):
        if group[one] != group[other] and _joined(plan, plan.wires[one], plan.wires[other]):
            old, new = group[other], group[one]
            group = [new if name == old else name for name in group]
    for points in links(plan).values():
        first, second = (
            next(n for n, wire in enumerate(plan.wires) if touch(box_of(wire), at(point))) for point in points
        )
        old, new = group[second], group[first]
        group = [new if name == old else name for name in group]
    return [{n for n, own in enumerate(group) if own == name} for name in sorted(set(group))]


def rails(plan: Plan) -> tuple[Wire, Wire]:
    left, right = sorted((wire for wire in plan.wires if wire.rung == 0), key=lambda wire: wire.node)
    assert (left.node, right.node) == (LEFT_RAIL, RIGHT_RAIL)
    return left, right
