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


def directions(plan: Plan, point: Point) -> int:
    """In how many directions wires leave `point`."""
    found = 0
    for wire in plan.wires:
        if touch(box_of(wire), at(point)):
            found += 1 if near(wire.start, point) or near(wire.end, point) else 2
    return found


def connected(plan: Plan) -> list[set[int]]:
    """The wires of `plan` (as places in `plan.wires`) in groups that touch one another."""
    groups: list[set[int]] = [{n} for n in range(len(plan.wires))]
    for one, other in combinations(range(len(plan.wires)), 2):
        if touch(box_of(plan.wires[one]), box_of(plan.wires[other])):
            first = next(group for group in groups if one in group)
            second = next(group for group in groups if other in group)
            if first is not second:
                first |= second
                groups.remove(second)
    return groups


def rails(plan: Plan) -> tuple[Wire, Wire]:
    left, right = sorted((wire for wire in plan.wires if wire.rung == 0), key=lambda wire: wire.node)
    assert (left.node, right.node) == (LEFT_RAIL, RIGHT_RAIL)
    return left, right
