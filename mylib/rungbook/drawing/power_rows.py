"""Which row each element of a power circuit stands in, and at which x: the grid, before anything is drawn.

Row 0 is the supply. A device stands one row below the nearest node that feeds it, motors stand in the last row. A
node whose wires must pass a row gets a *lane* there, an upright piece of wire between the elements. Channels are the
strips between rows: channel c lies below row c. All that is wired in a channel are pins that reach into it: the lower
ends of row c, the upper ends of row c + 1.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations, product
from math import ceil

from rungbook.circuit.power import LINES, PowerCircuit, PowerDevice, PowerMotor
from rungbook.drawing.power_routes import CLEAR, crossing_count
from rungbook.drawing.power_shapes import PowerShape

LANE = 8.0  # half the space that a lane takes [px]
_GAP = 18.0  # between two elements [px]
_MOST_UNTANGLED = 8  # nodes whose lanes are tried in every pair
_STEP = 4.0  # by which an element moves aside [px]

Targets = dict[str, list[tuple[int, float]]]


@dataclass
class Item:
    """Something in a row: an element, or the lane of a node (shape None).

    uppers, lowers: (x from the item's own origin, node) of its pins. left, right: the space it takes about its origin.
    """

    device: str
    shape: PowerShape | None
    uppers: tuple[tuple[float, str], ...]
    lowers: tuple[tuple[float, str], ...]
    left: float
    right: float
    row: int
    x: float = 0.0

    @property
    def nodes(self) -> tuple[str, ...]:
        """The nodes of its pins."""
        return tuple(node for _, node in (*self.uppers, *self.lowers))


@dataclass
class Grid:
    """The items by row, left to right."""

    rows: list[list[Item]] = field(default_factory=list)

    def channel(self, c: int) -> tuple[list[tuple[float, str]], list[tuple[float, str]]]:
        """Pins that reach into channel `c` from above and from below, as (x, node)."""
        above = [(item.x + x, node) for item in self.rows[c] for x, node in item.lowers]
        next_row = self.rows[c + 1] if c + 1 < len(self.rows) else []
        return above, [(item.x + x, node) for item in next_row for x, node in item.uppers]


def row_numbers(circuit: PowerCircuit) -> dict[str, int]:
    """Designation -> row, from 1. Motors are in the last row; rows follow one another without a gap."""
    far = _distances(circuit)
    rows = {device.tag: 1 + max(min(far[pole.a], far[pole.b]) for pole in device.poles) for device in circuit.devices}
    used = {row: n for n, row in enumerate(sorted(set(rows.values())), 1)}
    found = {tag: used[row] for tag, row in rows.items()}
    return found | {motor.tag: len(used) + 1 for motor in circuit.motors}


def _distances(circuit: PowerCircuit) -> dict[str, int]:
    """Node -> number of poles between it and the supply; a part without supply counts from its first device."""
    ways: dict[str, list[str]] = {}
    for pole in circuit.poles:
        ways.setdefault(pole.a, []).append(pole.b)
        ways.setdefault(pole.b, []).append(pole.a)
    far = dict.fromkeys(LINES, 0)
    _spread(far, ways, list(LINES))
    for device in circuit.devices:
        if not any(pole.a in far or pole.b in far for pole in device.poles):
            seeds = list(dict.fromkeys(pole.a for pole in device.poles))
            far |= dict.fromkeys(seeds, 0)
            _spread(far, ways, seeds)
    for pole in circuit.poles:
        if pole.a not in far:
            far[pole.a] = 0
            _spread(far, ways, [pole.a])
    return far


def _spread(far: dict[str, int], ways: Mapping[str, Sequence[str]], seeds: list[str]) -> None:
    """Breadth first from `seeds`."""
    for node in seeds:
        for other in ways.get(node, ()):
            if other not in far:
                far[other] = far[node] + 1
                seeds.append(other)


def arrange(items: Iterable[Item]) -> Grid:
    """Return the items with lanes added, in their rows, each with its x; the leftmost space begins at x = 0."""
    rows: list[list[Item]] = []
    for item in items:
        while len(rows) <= item.row:
            rows.append([])
        rows[item.row].append(item)
    elements = [list(row) for row in rows]
    lanes = _lanes(rows)
    gap = _GAP + (2 * LANE + _STEP) * min(6, max((len(row) for row in lanes), default=0))
    grid = Grid([[*row, *more] for row, more in zip(elements, lanes, strict=True)])
    towards: Targets = {}
    for _ in range(2):  # the second time it is known where the lanes lead to
        for r, row in enumerate(grid.rows):
            _place_row(grid, r, elements[r], lanes[r], gap, towards)
            row.sort(key=lambda item: item.x)
        towards = _targets(elements)
    _untangle(grid, lanes)
    least = min((item.x - item.left for row in grid.rows for item in row), default=0.0)
    for row in grid.rows:
        for item in row:
            item.x -= least
    return grid


def _untangle(grid: Grid, lanes: Sequence[Sequence[Item]]) -> None:
    """Let two nodes whose lanes pass the same rows change places where that makes fewer crossings."""
    runs: dict[str, list[Item]] = {}
    for row in lanes:
        for lane in row:
            runs.setdefault(lane.uppers[0][1], []).append(lane)
    groups: dict[tuple[int, ...], list[list[Item]]] = {}
    for run in runs.values():
        groups.setdefault(tuple(lane.row for lane in run), []).append(run)
    for rows, members in groups.items():
        channels = range(rows[0] - 1, rows[-1] + 1)
        for one, other in combinations(members[:_MOST_UNTANGLED], 2):
            before = sum(crossing_count(*grid.channel(c)) for c in channels)
            _exchange(one, other)
            if not _clear(grid, channels) or sum(crossing_count(*grid.channel(c)) for c in channels) >= before:
                _exchange(one, other)
    for row_items in grid.rows:
        row_items.sort(key=lambda item: item.x)


def _exchange(one: Sequence[Item], other: Sequence[Item]) -> None:
    for here, there in zip(one, other, strict=True):
        here.x, there.x = there.x, here.x


def _clear(grid: Grid, channels: Iterable[int]) -> bool:
    """True if no pin faces another node's pin, and none is beside one, in these channels."""
    for c in channels:
        above, below = grid.channel(c)
        for (x, node), (there, other) in product(above, below):
            if abs(x - there) < CLEAR and not (x == there and node == other):
                return False
    return True


def _lanes(rows: Sequence[Sequence[Item]]) -> list[list[Item]]:
    """For each row, a lane for every node that is wired both above and below it."""
    span: dict[str, tuple[int, int]] = {}
    for r, row in enumerate(rows):
        for item in row:
            for c, pins in ((r - 1, item.uppers), (r, item.lowers)):
                for _, node in pins:
                    first, last = span.get(node, (c, c))
                    span[node] = (min(first, c), max(last, c))
    lanes: list[list[Item]] = [[] for _ in rows]
    for node, (first, last) in span.items():
        for r in range(first + 1, last + 1):
            lanes[r].append(Item("", None, ((0.0, node),), ((0.0, node),), LANE, LANE, r))
    return lanes


def _targets(elements: Sequence[Sequence[Item]]) -> Targets:
    """Node -> all its pins on elements: the channel they reach into, and their x."""
    found: dict[str, list[tuple[int, float]]] = {}
    for r, row in enumerate(elements):
        for item in row:
            for c, pins in ((r - 1, item.uppers), (r, item.lowers)):
                for x, node in pins:
                    found.setdefault(node, []).append((c, item.x + x))
    return found


def _place_row(
    grid: Grid, r: int, elements: Sequence[Item], lanes: Sequence[Item], gap: float, towards: Targets
) -> None:
    """Give the items of row `r` their x: elements below what feeds them, lanes in between."""
    above = [(item.x + x, node) for item in grid.rows[r - 1] for x, node in item.lowers] if r else []
    at: dict[str, list[float]] = {}
    for x, node in above:
        at.setdefault(node, []).append(x)
    placed: list[Item] = []
    wishes = {item.device: _wish(item, at) for item in elements}
    for item in sorted(elements, key=lambda item: wishes[item.device]):  # a stable sort: else as in the circuit
        _slide(item, wishes[item.device], 1, placed, above, gap)
        placed.append(item)
    for lane in sorted(lanes, key=lambda lane: _aim(lane, at, towards)):
        aim = _aim(lane, at, towards)
        for there in sorted(at.get(lane.uppers[0][1], ()), key=lambda x: abs(x - aim)):
            lane.x = there
            if not _pushed(lane, 1, placed, above, 0.0):
                break
        else:
            ends = [_slide(lane, aim, way, placed, above, 0.0) for way in (1, -1)]
            lane.x = min(ends, key=lambda x: abs(x - aim))
        placed.append(lane)


def _slide(
    item: Item, start: float, way: int, placed: Sequence[Item], above: Sequence[tuple[float, str]], gap: float
) -> float:
    """Move the item from `start` to the right (way 1) or to the left (-1) until it fits; return its x."""
    item.x = start
    while push := _pushed(item, way, placed, above, gap):
        item.x += way * push
    return item.x


def _wish(item: Item, at: Mapping[str, Sequence[float]]) -> float:
    """The x at which most of the item's upper pins stand below a pin of their node; the leftmost of several."""
    votes: dict[float, int] = {}
    for x, node in item.uppers:
        for there in at.get(node, ()):
            votes[there - x] = votes.get(there - x, 0) + 1
    return min(votes, key=lambda place: (-votes[place], place), default=0.0)


def _aim(lane: Item, at: Mapping[str, Sequence[float]], towards: Targets) -> float:
    """Where a lane had best be: halfway between where its wire comes from and where it is needed."""
    node = lane.uppers[0][1]
    come, go = at.get(node, ()), [x for c, x in towards.get(node, ()) if c >= lane.row]
    ends = [sum(some) / len(some) for some in (come, go) if some]
    return round(sum(ends) / len(ends) / _STEP) * _STEP if ends else 0.0


def _pushed(item: Item, way: int, placed: Sequence[Item], above: Sequence[tuple[float, str]], gap: float) -> float:
    """By how much the item must at least move the given way [px]; 0 if it fits.

    It fits if it overlaps nothing in its row, and each upper pin is in line with its own node or clear of all above.
    """
    for other in placed:
        room = gap if other.shape is not None and item.shape is not None else 0.0
        rightwards = other.x + other.right + room - (item.x - item.left)
        leftwards = item.x + item.right + room - (other.x - other.left)
        if rightwards > 0 and leftwards > 0:
            return max(1, ceil((rightwards if way > 0 else leftwards) / _STEP)) * _STEP
    for x, node in item.uppers:
        for there, other_node in above:
            apart = abs(item.x + x - there)
            if apart < CLEAR and not (apart == 0 and node == other_node):
                return _STEP
    return 0.0


def make_item(tag: str, shape: PowerShape, nodes: Mapping[str, str], row: int, left: float, right: float) -> Item:
    """The item of an element in `row`, with `nodes` on the terminals of its `shape`; left, right: as in `Item`."""
    uppers = tuple((pin.at[0], nodes[pin.terminal]) for pin in shape.pins if pin.up)
    lowers = tuple((pin.at[0], nodes[pin.terminal]) for pin in shape.pins if not pin.up)
    return Item(tag, shape, uppers, lowers, left, right, row)


def terminal_nodes(element: PowerDevice | PowerMotor) -> dict[str, str]:
    """Terminal -> node of a device or a motor."""
    if isinstance(element, PowerMotor):
        return dict(element.terminals)
    found: dict[str, str] = {}
    for pole in element.poles:
        upper, lower = pole.pole.split("-")
        found |= {upper: pole.a, lower: pole.b}
    return found
