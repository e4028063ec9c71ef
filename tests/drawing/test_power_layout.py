"""What a drawing-office checker looks for on the sheet of a power circuit: no canvas is made here."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings

from rungbook.circuit.power import PowerCircuit, direct, reversing, star_delta
from rungbook.drawing.power_layout import layout
from rungbook.drawing.power_links import Pairs
from rungbook.drawing.power_shapes import Ink, PowerSymbols
from rungbook.drawing.power_sheet import SUPPLY, PlacedDevice, PowerPlan
from rungbook.drawing.power_symbols import power_symbols
from rungbook.drawing.shapes import Box, Point

from .geometry import overlap
from .power_geometry import NAMED, TINY, Line, interlocked, joined_ends, on, same, wanted_ends

IEC, NEMA = power_symbols("iec"), power_symbols("nema")
CASES = [(name, symbols) for name in NAMED for symbols in (IEC, NEMA)]
each = pytest.mark.parametrize(("name", "symbols"), CASES, ids=lambda case: getattr(case, "name", case))


def lines(plan: PowerPlan) -> list[Line]:
    return [(wire.start, wire.end) for wire in plan.wires]


def strokes(ink: Ink, x: float = 0.0, y: float = 0.0) -> list[Box]:
    """What each straight piece of `ink` and each circle covers, circles by their box."""
    found = []
    for stroke in ink.moved(x, y).strokes:
        for (a, b), (c, d) in zip(stroke.points, stroke.points[1:], strict=False):
            pieces = 12 if a != c and b != d else 1  # the box of a slope says too much
            for n in range(pieces):
                (p, q), (r, t) = [(a + (c - a) * k / pieces, b + (d - b) * k / pieces) for k in (n, n + 1)]
                found.append((min(p, r), min(q, t), max(p, r), max(q, t)))
    for ring in ink.moved(x, y).rings:
        (a, b), r = ring.centre, ring.radius
        found.append((a - r, b - r, a + r, b + r))
    return found


def parts(device: PlacedDevice) -> list[Ink]:
    return [ink.moved(device.x, device.y) for ink in (*device.shape.poles, device.shape.common)]


def wide(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def check_plan(circuit: PowerCircuit, symbols: PowerSymbols, pairs: Pairs) -> None:
    """All that must hold of every sheet."""
    plan = layout(circuit, symbols, pairs)
    _the_network_read_back_is_the_circuit(plan, circuit)
    _wires_meet_only_where_they_are_joined(plan)
    _every_end_of_a_wire_meets_a_terminal_or_a_wire(plan)
    _no_wire_runs_through_a_symbol(plan)
    _symbols_are_apart(plan)
    _texts_are_apart(plan)
    _texts_are_clear_of_lines(plan)
    _everything_is_on_the_sheet(plan)
    _everything_is_there(plan, circuit, symbols, pairs)


def _the_network_read_back_is_the_circuit(plan: PowerPlan, circuit: PowerCircuit) -> None:
    places = {(end.device, end.terminal): end.at for end in plan.terminals}
    assert len(places) == len(plan.terminals)
    assert joined_ends(lines(plan), [dot.at for dot in plan.dots], places) == wanted_ends(circuit)


def _wires_meet_only_where_they_are_joined(plan: PowerPlan) -> None:
    """Wires of two nodes cross at right angles, away from their ends and from dots; a dot joins three or four ways."""
    for one, other in combinations(plan.wires, 2):
        meets = overlap(wide((*one.start, *one.end), 0.5), wide((*other.start, *other.end), 0.5))
        if one.node == other.node or not meets:
            continue
        level = [wire.start[1] == wire.end[1] for wire in (one, other)]
        assert level[0] != level[1], ("wires of two nodes lie on each other", one, other)
        for wire, crossed in ((one, other), (other, one)):
            for end in (wire.start, wire.end):
                assert not on(end, (crossed.start, crossed.end)), ("a wire ends on another node's", wire, crossed)
    for dot in plan.dots:
        ways = 0
        for wire in plan.wires:
            if on(dot.at, (wire.start, wire.end)):
                assert wire.node == dot.node, ("a dot on two nodes", dot, wire)
                ways += 1 if same(dot.at, wire.start) or same(dot.at, wire.end) else 2
        assert ways in (3, 4), (dot, ways)


def _every_end_of_a_wire_meets_a_terminal_or_a_wire(plan: PowerPlan) -> None:
    places = [end.at for end in plan.terminals] + [dot.at for dot in plan.dots]
    for n, wire in enumerate(plan.wires):
        assert wire.start[0] == wire.end[0] or wire.start[1] == wire.end[1], wire
        for end in (wire.start, wire.end):
            others = [p for m, other in enumerate(plan.wires) if m != n for p in (other.start, other.end)]
            assert any(same(end, place) for place in (*places, *others)), ("a loose end", wire, end)


def _no_wire_runs_through_a_symbol(plan: PowerPlan) -> None:
    for device in plan.devices:
        pieces = [wide(piece, 0.4) for ink in parts(device) for piece in strokes(ink)]
        for wire in plan.wires:
            box = wide((*wire.start, *wire.end), 0.4)
            own = [end.at for end in device.terminals if on(end.at, (wire.start, wire.end))]
            if overlap(box, wide(device.box, 0.4)) and not own:
                assert not any(overlap(box, piece) for piece in pieces), ("a wire through a symbol", device, wire)
            if wire.start[0] == wire.end[0]:
                left, top, right, bottom = device.box
                inside = left < wire.start[0] < right and wire.start[1] < bottom - TINY and wire.end[1] > top + TINY
                own_x = {end.at[0] for end in device.terminals}
                assert not inside or wire.start[0] in own_x, ("a wire between the poles of a device", device, wire)


def _symbols_are_apart(plan: PowerPlan) -> None:
    for one, other in combinations(plan.devices, 2):
        assert not overlap(wide(one.box, 2), wide(other.box, 2)), (one.device, other.device)


def _texts_are_apart(plan: PowerPlan) -> None:
    for (one, box), (other, next_box) in combinations([(text, text.box) for text in plan.texts], 2):
        assert not overlap(box, next_box), (one, other)


def _texts_are_clear_of_lines(plan: PowerPlan) -> None:
    inks = [(device.device, piece) for device in plan.devices for ink in parts(device) for piece in strokes(ink)]
    inks += [("", piece) for link in plan.links for piece in strokes(link.ink)]
    pieces = [(tag, wide(piece, 0.5)) for tag, piece in inks]
    wires = [wide((*wire.start, *wire.end), 1) for wire in plan.wires]
    for text in plan.texts:
        box = text.box
        for wire in wires:
            assert not overlap(box, wire), ("a wire through a text", text, wire)
        for tag, piece in pieces:
            if overlap(box, piece):
                framed = text.role.startswith("inside") and text.device == tag and _within(box, piece)
                assert framed, ("a stroke through a text", text, tag)


def _within(inner: Box, outer: Box) -> bool:
    return inner[0] > outer[0] and inner[1] > outer[1] and inner[2] < outer[2] and inner[3] < outer[3]


def _everything_is_on_the_sheet(plan: PowerPlan) -> None:
    boxes: list[Box] = [text.box for text in plan.texts] + [device.box for device in plan.devices]
    boxes += [(*wire.start, *wire.end) for wire in plan.wires]
    boxes += [box for link in plan.links for box in strokes(link.ink)]
    for left, top, right, bottom in boxes:
        assert left >= 4, (left, plan.width)
        assert top >= 4
        assert right <= plan.width - 4
        assert bottom <= plan.height - 4


def _everything_is_there(plan: PowerPlan, circuit: PowerCircuit, symbols: PowerSymbols, pairs: Pairs) -> None:
    assert sorted(d.device for d in plan.devices) == sorted([SUPPLY, *(element.tag for element in circuit.elements)])
    ends = {(end.device, end.terminal): end.node for end in plan.terminals}
    for pole in circuit.poles:
        upper, lower = pole.pole.split("-")
        assert (ends[pole.device, upper], ends[pole.device, lower]) == (pole.a, pole.b)
    for motor in circuit.motors:
        assert {terminal: ends[motor.tag, terminal] for terminal in motor.terminals} == dict(motor.terminals)
    assert sum(len(device.shape.poles) for device in plan.devices) == len(circuit.poles) + 3
    written = {(text.device, text.words) for text in plan.texts}
    for element in circuit.elements:
        assert (element.tag, element.tag) in written
    for device in plan.devices:
        for pin in device.shape.pins:
            assert (device.device, pin.label) in written
    nodes = {end.node for end in plan.terminals if sum(other.node == end.node for other in plan.terminals) > 1}
    names = {text.words for text in plan.texts if text.role in ("wire", "rail")}
    assert nodes <= names, nodes - names
    drawn = {frozenset(link.devices) for link in plan.links}
    for one, other in pairs:
        told = [(one, f"interlock {other}") in written, (other, f"interlock {one}") in written]
        assert told == [frozenset((one, other)) not in drawn] * 2, (one, other)


@each
def test_a_checker_finds_nothing_in_the_named_circuits(name: str, symbols: PowerSymbols) -> None:
    circuit, pairs = NAMED[name]
    check_plan(circuit, symbols, pairs)


@settings(max_examples=60)
@given(interlocked())
def test_a_checker_finds_nothing_in_circuits_wired_without_sense(case: tuple[PowerCircuit, Pairs]) -> None:
    for symbols in (IEC, NEMA):
        check_plan(case[0], symbols, case[1])


def _x(plan: PowerPlan, tag: str) -> float:
    return next(device.x for device in plan.devices if device.device == tag)


def _y(plan: PowerPlan, tag: str) -> float:
    return next(device.y for device in plan.devices if device.device == tag)


def test_a_direct_starter_stands_in_one_straight_line_without_a_junction() -> None:
    plan = layout(direct("Wash pump"), IEC)
    assert len({_x(plan, tag) for tag in (SUPPLY, "Q9", "F9", "Q1", "F1", "M1")}) == 1
    heights = [_y(plan, tag) for tag in (SUPPLY, "Q9", "F9", "Q1", "F1", "M1")]
    assert heights == sorted(set(heights))
    assert plan.dots == ()
    assert len(plan.wires) == 15
    assert all(wire.start[0] == wire.end[0] for wire in plan.wires)


def test_the_two_contactors_of_a_reversing_starter_stand_side_by_side_with_a_link_and_six_junctions() -> None:
    plan = layout(reversing("Apple elevator"), IEC, (("Q1", "Q2"),))
    assert _y(plan, "Q1") == _y(plan, "Q2")
    assert _x(plan, "Q1") == _x(plan, "F9") == _x(plan, "F1") < _x(plan, "Q2")
    assert len(plan.dots) == 6
    (link,) = plan.links
    assert link.ink.strokes[0].dashed
    assert {y for _, y in link.ink.strokes[0].points} == {_y(plan, "Q1") + 36}


def _crossings(plan: PowerPlan) -> int:
    """How often a level wire crosses an upright one of another node."""
    level = [wire for wire in plan.wires if wire.start[1] == wire.end[1]]
    upright = [wire for wire in plan.wires if wire.start[0] == wire.end[0]]
    return sum(
        one.start[0] < other.start[0] < one.end[0] and other.start[1] < one.start[1] < other.end[1]
        for one in level
        for other in upright
        if one.node != other.node
    )


@pytest.mark.parametrize(("circuit", "count"), [(direct(), 0), (reversing(), 6), (star_delta(), 6)])
def test_wires_cross_as_seldom_as_they_can(circuit: PowerCircuit, count: int) -> None:
    """Counted by hand: three where the second contactor is fed, three where its swapped output or delta joins."""
    assert _crossings(layout(circuit, IEC)) == count


def test_star_and_delta_contactor_stand_one_below_the_other_with_an_upright_link() -> None:
    plan = layout(star_delta("Mill"), NEMA, (("Q3", "Q2"),))
    assert _x(plan, "Q3") == _x(plan, "Q2")
    assert _y(plan, "Q1") == _y(plan, "Q3") < _y(plan, "Q2")
    ((_, corner, other, _),) = (link.ink.strokes[0].points for link in plan.links)
    assert corner[0] == other[0] < _x(plan, "Q3")


def test_the_wires_to_the_far_ends_of_the_windings_pass_between_motor_and_star_contactor() -> None:
    plan = layout(star_delta("Mill"), IEC)
    low = _y(plan, "M1")
    for node in ("U2", "V2", "W2"):
        passing = [w.start[0] for w in plan.wires if w.node == node and w.start[1] < low < w.end[1]]
        assert len(passing) == 1
        assert _x(plan, "M1") + 80 < passing[0] < _x(plan, "Q2")


def test_all_motors_stand_in_the_last_row() -> None:
    circuit = PowerCircuit("Two motors")
    circuit.device("Q1", "contactor", ("L1", "L2", "L3"), ("a", "b", "c"))
    circuit.motor("M1", ("a", "b", "c"))
    circuit.device("F2", "overload relay", ("a", "b", "c"), ("d", "e", "f"))
    circuit.motor("M2", ("d", "e", "f"))
    plan = layout(circuit, IEC)
    assert _y(plan, "M1") == _y(plan, "M2") > _y(plan, "F2")


def test_equal_circuits_give_equal_sheets() -> None:
    assert layout(star_delta("Mill"), IEC) == layout(star_delta("Mill"), IEC)


POINTS: dict[tuple[str, str], Point] = {
    ("a", "1"): (0, 0),
    ("b", "1"): (20, 0),
    ("c", "1"): (10, 5),
    ("d", "1"): (10, 9),
}


def test_the_reader_of_these_tests_joins_a_crossing_only_by_its_dot() -> None:
    cross: list[Line] = [((0, 0), (20, 0)), ((10, -5), (10, 5))]
    a, b, c, d = POINTS
    assert joined_ends(cross, [], POINTS) == {frozenset({a, b}), frozenset({c}), frozenset({d})}
    assert joined_ends(cross, [(10, 0)], POINTS) == {frozenset({a, b, c}), frozenset({d})}
