"""What a drawing-office checker looks for, asked of a plan alone: no canvas is made here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import combinations

from rungbook import Ladder
from rungbook.circuit import Wired, wire_numbers
from rungbook.drawing.shapes import Box
from rungbook.drawing.sheet import Plan, Symbol

from .geometry import at, box_of, connected, directions, links, near, overlap, touch

RAILS = (1, 2)
HEADS = ("designation", "inside", "inside small")


def check_ladder(plan: Plan, ladder: Ladder, rungs: Sequence[int] | None = None) -> None:
    """All that must hold of every plan of `ladder`, or of a page with `rungs` of it."""
    shown = range(1, len(ladder.rungs) + 1) if rungs is None else rungs
    wired = wire_numbers(ladder)
    items = [(n, item) for n in shown for item in wired[n - 1].items]
    check_plan(plan, items)
    assert [(symbol.rung, symbol.wired) for symbol in plan.symbols] == items
    assert [text.words for text in plan.texts if text.role == "rung"] == [str(n) for n in shown]


def check_plan(plan: Plan, items: Sequence[tuple[int, Wired]]) -> None:
    """All that must hold of every plan with `items`, each on its rung."""
    texts_are_apart(plan)
    texts_are_clear_of_lines(plan)
    everything_is_on_the_sheet(plan)
    every_end_of_a_wire_meets_something(plan)
    junctions_are_where_three_wires_meet(plan)
    no_wire_runs_through_a_symbol(plan)
    symbols_are_apart(plan)
    the_circuit_read_back_is_the_circuit(plan, items)
    every_device_and_wire_number_is_written(plan, items)


def texts_are_apart(plan: Plan) -> None:
    for one, other in combinations(plan.texts, 2):
        assert not overlap(one.box, other.box), (one, other)


def texts_are_clear_of_lines(plan: Plan) -> None:
    boxes = [(wire, box_of(wire)) for wire in plan.wires] + [(line, line.box) for line in plan.lines]
    for text in plan.texts:
        for thing, (left, top, right, bottom) in boxes:
            assert not overlap(text.box, (left - 1, top - 1, right + 1, bottom + 1)), (text, thing)
        for symbol in plan.symbols:
            own = (symbol.rung, symbol.device.tag) == (text.rung, text.device)
            inside = own and text.role.startswith("inside")
            assert inside or not overlap(text.box, symbol.box), (text, symbol)


def everything_is_on_the_sheet(plan: Plan) -> None:
    boxes = [text.box for text in plan.texts] + [symbol.box for symbol in plan.symbols]
    boxes += [box_of(wire) for wire in plan.wires] + [line.box for line in plan.lines]
    for left, top, right, bottom in boxes:
        assert left >= 0
        assert top >= 0
        assert right <= plan.width
        assert bottom <= plan.height


def every_end_of_a_wire_meets_something(plan: Plan) -> None:
    meets = [point for symbol in plan.symbols for point in symbol.terminals]
    meets += [(dot.x, dot.y) for dot in plan.dots] + [point for ends in links(plan).values() for point in ends]
    for wire in plan.wires:
        if wire.rung == 0:
            continue
        corners = [point for other in plan.wires if other is not wire for point in (other.start, other.end)]
        for end in (wire.start, wire.end):
            assert any(near(end, point) for point in (*meets, *corners)), (wire, end)


def junctions_are_where_three_wires_meet(plan: Plan) -> None:
    dots = {(dot.x, dot.y) for dot in plan.dots}
    assert len(dots) == len(plan.dots)
    for dot in plan.dots:
        found = directions(plan, (dot.x, dot.y), dot.node)
        assert found == 1 if dot.loose else found >= 3, dot
    for wire in plan.wires:
        for end in (wire.start, wire.end):
            if directions(plan, end, wire.node) >= 3:
                assert end in dots, end


def _between_its_terminals(symbol: Symbol) -> Box:
    """The part of a symbol's box that lies between its terminals."""
    left, top, right, bottom = symbol.box
    (x, y), (end, low) = symbol.terminals
    return (x, top, end, bottom) if y == low else (left, y, right, low)


def no_wire_runs_through_a_symbol(plan: Plan) -> None:
    for symbol in plan.symbols:
        inner = _between_its_terminals(symbol)
        level = symbol.terminals[0][1] == symbol.terminals[1][1]
        for wire in plan.wires:
            x, y, end, low = box_of(wire)
            wide = (x, y - 1, end, low + 1) if level else (x - 1, y, end + 1, low)
            assert not overlap(wide, inner), (symbol, wire)


def symbols_are_apart(plan: Plan) -> None:
    for one, other in combinations(plan.symbols, 2):
        assert not overlap(one.box, other.box), (one, other)


def _lying(rung: int, wired: Wired) -> tuple[object, ...]:
    """A wired item, whichever of its ends is called its left one: which terminal lies on which node."""
    first, second = (wired.right, wired.left) if wired.turned else (wired.left, wired.right)
    return (rung, repr(wired.item), first, second)


def _behind_shared(items: Sequence[tuple[int, Wired]]) -> dict[int, set[int]]:
    """Node behind a contact that is drawn in several rungs -> those rungs: there it is drawn once in each."""
    found: dict[tuple[str, str, int], set[int]] = {}
    for rung, wired in items:
        found.setdefault((wired.item.device, wired.item.terminals, wired.right), set()).add(rung)
    drawn: dict[int, set[int]] = {}
    for (_, terminals, node), rungs in found.items():
        if terminals and len(rungs) > 1 and node not in RAILS:
            drawn.setdefault(node, set()).update(rungs)
    return drawn


def the_circuit_read_back_is_the_circuit(plan: Plan, items: Sequence[tuple[int, Wired]]) -> None:
    groups = connected(plan)
    node_of = [{plan.wires[n].node for n in group} for group in groups]
    assert all(len(nodes) == 1 for nodes in node_of), "two wire numbers on one piece of copper"
    named = Counter(node for nodes in node_of for node in nodes)
    once = {node: len(rungs) for node, rungs in _behind_shared(items).items()}
    assert {node: n for node, n in named.items() if n != once.get(node, 1)} == {}, (
        "a wire number on two pieces of copper"
    )
    assert sorted(_lying(s.rung, s.wired) for s in plan.symbols) == sorted(_lying(n, wired) for n, wired in items)
    for symbol in plan.symbols:
        for point, node in zip(symbol.terminals, (symbol.wired.left, symbol.wired.right), strict=True):
            found = {wire.node for wire in plan.wires if touch(box_of(wire), at(point))}
            assert found == {node}, (symbol, point)


def every_device_and_wire_number_is_written(plan: Plan, items: Sequence[tuple[int, Wired]]) -> None:
    written = sorted((t.rung, t.words) for t in plan.texts if t.role in HEADS and t.words == t.device)
    assert written == sorted((rung, wired.item.device) for rung, wired in items)
    numbers = {t.words for t in plan.texts if t.role == "wire"}
    assert numbers == {str(node) for _, wired in items for node in (wired.left, wired.right)}
