"""From a board to a plan: a circuit between numbered nodes, bridges included, drawn between the rails.

Where everything is in series or in parallel it looks as a ladder does. A bridge stands across, its symbol turned,
between the rows that it joins. Where wires of two nodes must cross they cross without a dot; no wire runs through a
symbol. What is wired is drawn, at rest; the state of health of the board is not.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from rungbook.behaviour.board import Board
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Wired
from rungbook.drawing.arrange import Arrangement, arrange
from rungbook.drawing.blocks import BETWEEN, FORK, Block, in_fork, in_row, only_wire, single, stack
from rungbook.drawing.cells import Cell, below, line, reference_lines
from rungbook.drawing.describe_board import references_of
from rungbook.drawing.layout import (
    APART,
    LEAST,
    LEAST_DOWN,
    LEFT,
    MARGIN,
    NO_RUNGS,
    RAIL_NAMES,
    REFERENCE_GAP,
    UNDER,
    Frame,
    finished,
    heading,
    side,
    style_of,
)
from rungbook.drawing.legend import legend
from rungbook.drawing.network import RAILS, Circuit, Edge, circuits
from rungbook.drawing.pen import Pen
from rungbook.drawing.references import Reference
from rungbook.drawing.rows import Style
from rungbook.drawing.sheet import STYLES, Plan, Text, Wire
from rungbook.drawing.table import ContactTable, contact_table
from rungbook.drawing.upright import cell_of
from rungbook.kit import Device

LOOSE = "Empty circle at the end of a wire: nothing else is wired to it."

Make = Callable[[Wired, bool], Cell]


@dataclass(frozen=True)
class Grid:
    """A circuit with its measures. rows: blocks row by row, those of a bridge across the others.

    along: node -> place along; gaps: length of each gap between layers. named, tables: row -> cross-references of the
    coil at its end.
    """

    circuit: Circuit
    places: Arrangement
    rows: tuple[tuple[Block, ...], ...]
    heights: tuple[tuple[float, float], ...]  # ascent, descent
    named: Mapping[int, tuple[Text, ...]]
    tables: Mapping[int, ContactTable]
    along: Mapping[int, float]
    length: float  # to where the loads' column begins

    @property
    def drops(self) -> tuple[float, ...]:
        """How far across from the first row each row stands."""
        return stack(self.heights)


def board_layout(board: Board, symbols: str = "nema", paths: str = "across") -> Plan:
    """Return the plan of `board`; one without anything wired gives two rails and a line of text.

    Circuits that hang together without the rails are numbered as rungs are, in the order of their first items. Raises
    LadderError if there is no such set of symbols or direction, or the set has no symbol for a contact.
    """
    style = style_of(symbols, paths)
    found = circuits(board.items)
    named = references_of(board, found)
    make = _maker(board, named, style)
    loads = [edge for circuit in found for edge in circuit.edges if _ends_it(edge)]
    column = max((make(edge.wired, style.down).half for edge in loads if edge.wired), default=0.0)
    grids = [_grid(circuit, make, named, style) for circuit in found]
    long = max([LEAST_DOWN if style.down else LEAST, *(grid.length + 2 * column for grid in grids)])
    pen = Pen(board.devices, style.down)
    frame = Frame()
    beside = side(text.width for grid in grids for texts in grid.named.values() for text in texts)
    size = STYLES["rail"].size
    across = float(APART)
    middles = []
    for grid in grids:
        middles.append(across + grid.heights[0][0])
        across = ceil(middles[-1] + grid.drops[-1] + grid.heights[-1][1]) + APART
    if not grids:
        across += 12 + APART
    if style.down:
        width = ceil(max(LEFT + across + MARGIN, LEAST))
        start = float(ceil(heading(pen, board.title, width, frame) + STYLES["rung"].size + 10))
        zero = LEFT
    else:
        width = ceil(LEFT + long + MARGIN + beside)
        start, zero = LEFT, float(ceil(heading(pen, board.title, width, frame) + size + 6))
    stop = start + long
    for at, name, node in ((start, RAIL_NAMES[0], LEFT_RAIL), (stop, RAIL_NAMES[1], RIGHT_RAIL)):
        if style.down:
            pen.texts.append(line("rail", LEFT - 6, at + UNDER * size, name, "end"))
        else:
            pen.texts.append(line("rail", at, zero - 6, name))
        pen.wires.append(Wire(0, node, pen.point(at, zero), pen.point(at, zero + across)))
    low = 0.0
    for grid, middle in zip(grids, middles, strict=True):
        low = max(low, _Plotter(pen, grid, make, start, stop, column, zero + middle).place())
    if not grids:
        x, y = pen.point((start + stop) / 2, zero + 12 + APART)
        pen.texts.append(line("note", x, y, NO_RUNGS))
    shown = any(grid.named or grid.tables for grid in grids)
    signs = _signs(board, grids, style, shown, any(dot.loose for dot in pen.dots))
    return finished(pen, signs, frame, width, max(low, stop + 4) if style.down else zero + across, True)


def _signs(board: Board, grids: Sequence[Grid], style: Style, shown: bool, loose: bool) -> tuple[str, ...]:
    shapes = []
    todo = [block for grid in grids for row in grid.rows for block in row]
    while todo:
        block = todo.pop()
        if block.cell and block.wired:
            shapes.append((block.wired, block.cell.shape))
        todo += (*block.row, *block.fork)
    word = "paths" if style.down else "rungs"
    said = legend(shapes, board.devices, style.symbols, down=style.down, references=word if shown else "")
    return (*said, LOOSE) if loose else said


def _maker(board: Board, named: Mapping[str, tuple[Reference, ...]], style: Style) -> Make:
    """What makes the cells: the plate of a device with a coil here stands at the coil, once."""

    def make(wired: Wired, down: bool) -> Cell:
        device: Device = board.devices[wired.item.device]
        if wired.item.kind not in ("coil", "lamp") and device.tag in named:
            device = replace(device, label="")
        return cell_of(wired, device, style.symbols, down)

    return make


def _ends_it(edge: Edge) -> bool:
    """True for a load on the right rail, which stands in the loads' column."""
    return edge.load and RIGHT_RAIL in (edge.left, edge.right)


def _block(edge: Edge, circuit: Circuit, make: Make, down: bool) -> Block:
    """The block of an edge, its nodes by their wire numbers."""
    if edge.series:
        return in_row([_block(inner, circuit, make, down) for inner in edge.series])
    if edge.parallel:
        block = in_fork([_block(inner, circuit, make, down) for inner in edge.parallel])
        far = dict(circuit.loops)
        closed = 1 if edge.right in far else -1 if edge.left in far else 0
        return replace(block, left=circuit.name(edge.left), right=circuit.name(edge.right), closed=closed)
    if edge.wired is None:
        return only_wire(circuit.name(edge.left))
    return single(edge.wired, make(edge.wired, down), edge.item)


def _grid(circuit: Circuit, make: Make, named: Mapping[str, tuple[Reference, ...]], style: Style) -> Grid:
    places = arrange(circuit)
    rows: list[tuple[Block, ...]] = []
    heights: list[tuple[float, float]] = []
    texts: dict[int, tuple[Text, ...]] = {}
    tables: dict[int, ContactTable] = {}
    for row, chain in enumerate(places.rows):
        if row in places.bridges:
            block = _block(chain[0], circuit, make, not style.down)
            rows.append((block,))
            heights.append((block.width / 2, block.width / 2))
            continue
        blocks = tuple(_block(edge, circuit, make, style.down) for edge in chain)
        ascent = max(block.ascent for block in blocks)
        descent = max(block.descent for block in blocks)
        last = chain[-1]
        if _ends_it(last) and last.wired and last.wired.item.kind == "coil":
            tag = last.wired.item.device
            table = contact_table(named[tag], tag) if style.down else None
            if table:
                tables[row] = table
                ascent, descent = max(ascent, table.half), max(descent, table.half)
            elif not style.down:
                texts[row] = reference_lines(named[tag], tag)
                descent = max(descent, below(texts[row]))
        rows.append(blocks)
        heights.append((ascent, ceil(descent)))
    along, length = _along(places, rows)
    texts = {row: lines for row, lines in texts.items() if lines}
    return Grid(circuit, places, tuple(rows), tuple(heights), texts, tables, along, length)


def _along(places: Arrangement, rows: Sequence[Sequence[Block]]) -> tuple[dict[int, float], float]:
    """Place along of every node, and of the end of what stands before the loads' column."""
    layer, last = places.layer, places.layer[RIGHT_RAIL]
    before, behind = [0.0] * (last + 1), [0.0] * (last + 1)  # room that the bridges of a layer take
    gaps = [0.0] * last
    columns = [1] * (last + 1)
    for node, column in places.columns.items():
        columns[layer[node]] = max(columns[layer[node]], column + 1)
    for row, (chain, blocks) in enumerate(zip(places.rows, rows, strict=True)):
        for edge, block in zip(chain, blocks, strict=True):
            here = layer[edge.left]
            if row in places.bridges:
                before[here], behind[here] = max(before[here], block.ascent), max(behind[here], block.descent)
            elif not _ends_it(edge):
                gaps[here] = max(gaps[here], block.width)
    at = 0.0
    starts = []
    steps = []
    for here in range(last + 1):
        step = max(FORK, before[here] + behind[here] + BETWEEN)
        starts.append(at)
        steps.append(step)
        if here < last:
            room = max(gaps[here] + 2 * FORK if here else gaps[here] + FORK, behind[here] + before[here + 1] + BETWEEN)
            at += (columns[here] - 1) * step + room
    along = {node: starts[layer[node]] + column * steps[layer[node]] for node, column in places.columns.items()}
    return along | {LEFT_RAIL: 0.0, RIGHT_RAIL: at}, at


@dataclass(frozen=True)
class _Plotter:
    """Places one circuit, its first row at `across`, from the rail at `start` to the rail at `stop`."""

    pen: Pen
    grid: Grid
    make: Make
    start: float
    stop: float
    column: float
    across: float

    def place(self) -> float:
        """Place everything; return the lowest y that a contact table reaches, 0 if there is none."""
        grid, pen, number = self.grid, self.pen, self.grid.circuit.number
        drops = [self.across + drop for drop in grid.drops]
        ours = [n for n, chain in enumerate(grid.places.rows) if chain[0].left == LEFT_RAIL]
        self._number(drops[ours[0] if ours else 0])
        low = 0.0
        ways: dict[int, dict[float, int]] = {node: {} for node in grid.places.layer}  # node -> across -> directions
        for row, (chain, blocks, place) in enumerate(zip(grid.places.rows, grid.rows, drops, strict=True)):
            if row in grid.places.bridges:
                self._bridge(chain[0], blocks[0], place, ways)
                continue
            for edge, block in zip(chain, blocks, strict=True):
                self._edge(edge, block, place)
                for node in (edge.left, edge.right):
                    ways[node][place] = ways[node].get(place, 0) + 1
            if row in grid.named:
                pen.texts += [text.moved(self.stop + REFERENCE_GAP, place, number) for text in grid.named[row]]
            if row in grid.tables:
                table, y = grid.tables[row], self.stop + REFERENCE_GAP
                pen.texts += [text.moved(place, y, number) for text in table.texts]
                pen.lines += [rule.moved(place, y, number) for rule in table.lines]
                low = max(low, y + table.height + 4)
        for node, met in ways.items():
            self._node(node, met)
        return low

    def _number(self, across: float) -> None:
        number = self.grid.circuit.number
        if self.pen.down:
            self.pen.texts.append(line("rung", across, self.start - 8, str(number), "middle", number))
        else:
            y = across + UNDER * STYLES["rung"].size
            self.pen.texts.append(line("rung", self.start - 14, y, str(number), "end", number))

    def _edge(self, edge: Edge, block: Block, across: float) -> None:
        """Place an edge on its row, with the wires up to its nodes."""
        number, name = self.grid.circuit.number, self.grid.circuit.name
        first, last = self._at(edge.left), self._at(edge.right)
        if _ends_it(edge):
            begin = self.stop - self.column - block.width / 2
        else:
            begin = first + (FORK if edge.left not in RAILS else 0.0)
        if block.closed >= 0:
            self.pen.wire(number, name(edge.left), first, begin, across)
        reached = self.pen.block(block, begin, across, number)
        if block.closed <= 0:
            self.pen.wire(number, name(edge.right), reached, last, across)

    def _at(self, node: int) -> float:
        return self.stop if node == RIGHT_RAIL else self.start + self.grid.along[node]

    def _bridge(self, edge: Edge, block: Block, middle: float, ways: dict[int, dict[float, int]]) -> None:
        """Place a bridge across: for a pen turned by a quarter it lies along."""
        top = middle - block.width / 2
        self.pen.down = not self.pen.down
        try:
            self.pen.block(block, top, self._at(edge.left), self.grid.circuit.number)
        finally:
            self.pen.down = not self.pen.down
        ways[edge.left].setdefault(top, 0)
        ways[edge.right].setdefault(top + block.width, 0)

    def _node(self, node: int, met: Mapping[float, int]) -> None:
        """The wire across at a node, and its dots: `met` has the number of edges at each place that it meets."""
        pen, number, name = self.pen, self.grid.circuit.number, self.grid.circuit.name(node)
        along, places = self._at(node), sorted(met)
        if node != name:
            return
        if node in RAILS:
            for place in places:
                pen.dot(number, node, along, place)
            return
        pen.bus(number, name, along, places, dots=None)
        for place in places:
            up, down = place > places[0], place < places[-1]
            if met[place] + up + down > 2:
                pen.dot(number, name, along, place)
            elif met[place] + up + down == 1 and met[place]:
                pen.dot(number, name, along, place, loose=True)
