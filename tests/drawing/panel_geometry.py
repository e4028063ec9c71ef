"""What a checker asks of a plan of the panel: the network read back from its lines, and everything apart."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise

from rungbook.drawing.panel_sheet import PanelPlan, Pin, Route
from rungbook.drawing.shapes import Box, Point

from .geometry import overlap

TINY = 1e-6


def swollen(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def box_of(piece: tuple[Point, Point]) -> Box:
    (x, y), (end, low) = piece
    return (min(x, end), min(y, low), max(x, end), max(y, low))


def pins(plan: PanelPlan) -> list[Pin]:
    return [pin for body in plan.bodies for pin in body.pins]


def joined(plan: PanelPlan, routes: tuple[Route, ...] | None = None) -> list[frozenset[str]]:
    """Pairs of terminals, read from the lines alone: where the ends of each route come to lie."""
    found = []
    for route in plan.routes if routes is None else routes:
        ends = [
            [pin.terminal for pin in pins(plan) for hole in pin.holes if abs(hole[0] - x) + abs(hole[1] - y) < TINY]
            for x, y in (route.points[0], route.points[-1])
        ]
        assert [len(end) for end in ends] == [1, 1], (route.place, ends)
        found.append(frozenset(end[0] for end in ends))
    return found


def every_corner_is_right(plan: PanelPlan) -> None:
    for route in plan.routes:
        level = [a[1] == b[1] for a, b in route.pieces]
        for (a, b), flat in zip(route.pieces, level, strict=True):
            assert (a[0] == b[0]) != flat, (route.place, a, b)
        assert all(one != other for one, other in pairwise(level)), (route.place, "no turn")


def no_two_routes_lie_on_one_another(plan: PanelPlan, apart: float = 7.0) -> None:
    """Parallel pieces side by side are at least `apart`; ends in one hole, or on a foreign line, there are none."""
    pieces = [(route.place, piece, box_of(piece)) for route in plan.routes for piece in route.pieces]
    for (one, piece, box), (other, second, box2) in combinations(pieces, 2):
        if one == other:
            continue
        flat, flat2 = box[1] == box[3], box2[1] == box2[3]
        if flat == flat2:
            grown = swollen(box, apart - TINY)
            beside = (box[0], grown[1], box[2], grown[3]) if flat else (grown[0], box[1], grown[2], box[3])
            meets = beside[0] <= box2[2] and box2[0] <= beside[2] and beside[1] <= box2[3] and box2[1] <= beside[3]
            assert not meets, f"wires {one} and {other} lie beside each other: {piece}, {second}"
        else:
            for point in (*piece, *second):
                on = all(b[0] - 2 <= point[0] <= b[2] + 2 and b[1] - 2 <= point[1] <= b[3] + 2 for b in (box, box2))
                assert not on, f"wires {one} and {other} look joined at {point}"


def no_route_runs_through_a_device_or_a_word(plan: PanelPlan) -> None:
    texts = [text for body in plan.bodies for text in body.texts] + list(plan.texts)
    outlines = [(body.device, box) for body in plan.bodies for box in (body.box, *body.blocks)]
    for route in plan.routes:
        for piece in route.pieces:
            box = swollen(box_of(piece), 1.5)
            inside = swollen(box_of(piece), -TINY)
            for name, outline in outlines:
                ends = piece[0] == route.points[0] or piece[1] == route.points[-1]
                probe = (inside[0] - 1.5, inside[1], inside[2] + 1.5, inside[3]) if ends else box
                assert not overlap(probe, outline), f"wire {route.place} runs through {name}: {piece}"
            for text in texts:
                assert not overlap(box, text.box), f"wire {route.place} runs through {text.words!r}"


def sleeves_are_clear(plan: PanelPlan) -> None:
    """A sleeve is on its own wire, near its end; apart from all other sleeves, wires, devices and words."""
    sleeves = [(route.place, sleeve) for route in plan.routes for sleeve in route.sleeves]
    for (one, sleeve), (other, second) in combinations(sleeves, 2):
        assert not overlap(sleeve.box, second.box), (one, other)
    for place, sleeve in sleeves:
        for text in sleeve.texts:
            left, top, right, bottom = sleeve.box
            assert left <= text.box[0], text
            assert text.box[2] <= right, text
            assert top <= text.box[1], text
            assert text.box[3] <= bottom, text
        for body in plan.bodies:
            for box in (body.box, *body.blocks, *(text.box for text in body.texts)):
                assert not overlap(sleeve.box, box), (place, body.device)
            for pin in body.pins:
                assert not overlap(sleeve.box, pin.box), (place, pin)
        for text in plan.texts:
            assert not overlap(sleeve.box, text.box), (place, text)
        for route in plan.routes:
            on = [piece for piece in route.pieces if overlap(swollen(box_of(piece), 1.0), sleeve.box)]
            assert bool(on) == (route.place == place), f"sleeve of wire {place} lies on wire {route.place}"


def words_are_apart(plan: PanelPlan) -> None:
    texts = [text for body in plan.bodies for text in body.texts] + list(plan.texts)
    for one, other in combinations(texts, 2):
        assert not overlap(one.box, other.box), (one.words, other.words)
    for body in plan.bodies:
        for text in body.texts:
            left, top, right, bottom = body.box
            assert left <= text.box[0], (body.device, text)
            assert text.box[2] <= right, (body.device, text)
            assert top - 6 <= text.box[1], (body.device, text)
            assert text.box[3] <= bottom + 6, (body.device, text)
            for pin in body.pins:
                assert not overlap(text.box, pin.box), (pin.terminal, text.words)
            for (x, y), radius in body.rings:
                ring = (x - radius, y - radius, x + radius, y + radius)
                assert text.role == "inside small" or not overlap(text.box, ring), (body.device, text)


def devices_are_apart(plan: PanelPlan) -> None:
    for one, other in combinations(plan.bodies, 2):
        assert not overlap(swollen(one.box, 4), other.box), (one.device, other.device)
    tabs = pins(plan)
    assert max(Counter(pin.terminal for pin in tabs).values()) == 1
    for one, other in combinations(tabs, 2):
        assert not overlap(one.box, other.box), (one.terminal, other.terminal)


def everything_is_on_the_sheet(plan: PanelPlan) -> None:
    boxes = [box_of(piece) for route in plan.routes for piece in route.pieces]
    boxes += [box for body in plan.bodies for box in (body.box, *body.blocks)]
    boxes += [text.box for text in plan.texts]
    for left, top, right, bottom in boxes:
        assert min(left, top) >= 8
        assert right <= plan.width - 8
        assert bottom <= plan.height - 8


def check(plan: PanelPlan) -> None:
    """All that must hold of every plan."""
    everything_is_on_the_sheet(plan)
    devices_are_apart(plan)
    words_are_apart(plan)
    every_corner_is_right(plan)
    no_two_routes_lie_on_one_another(plan)
    no_route_runs_through_a_device_or_a_word(plan)
    sleeves_are_clear(plan)
