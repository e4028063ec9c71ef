"""The pen: places blocks, wires, dots and texts on a sheet, along and across the current path.

A pen that draws "down" writes the same circuit with its paths from top to bottom: along is then downwards, across to
the right. Nothing else differs, so both directions obey the same rules.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import count

from rungbook.circuit import RIGHT_RAIL, Wired
from rungbook.drawing.blocks import FORK, TURN, Block
from rungbook.drawing.cells import Cell, below, line, lines
from rungbook.drawing.metrics import wrap
from rungbook.drawing.shapes import Point
from rungbook.drawing.sheet import STYLES, Dot, Line, Symbol, Text, Wire
from rungbook.kit import Device

_HEAD = 9.0  # length of an arrow
_SIDE = 3.5  # half its width
_LETTER = 10.0  # half the room of a continuation's letter


class Pen:
    """Collects what is placed. Not to be kept: each layout makes one a call."""

    def __init__(self, devices: Mapping[str, Device], down: bool = False) -> None:
        self.devices = devices
        self.down = down
        self.symbols: list[Symbol] = []
        self.wires: list[Wire] = []
        self.dots: list[Dot] = []
        self.texts: list[Text] = []
        self.lines: list[Line] = []
        self._turns: dict[int, count[int]] = {}  # rung -> how many continuations it has

    def point(self, along: float, across: float) -> Point:
        """The point of the sheet."""
        return (across, along) if self.down else (along, across)

    def wire(self, rung: int, node: int, along: float, end: float, across: float) -> None:
        """A wire along the path; none if it would have no length."""
        if end > along:
            self.wires.append(Wire(rung, node, self.point(along, across), self.point(end, across)))

    def bus(self, rung: int, node: int, along: float, across: Iterable[float], dots: int | None = 0) -> None:
        """A wire across the path through every place of `across`, where wires along it end.

        dots: the first place that has a dot; the last has none, there the wire turns. None: no dots.
        """
        places = sorted(across)
        if places[-1] > places[0]:
            self.wires.append(Wire(rung, node, self.point(along, places[0]), self.point(along, places[-1])))
        for place in [] if dots is None else places[dots:-1]:
            self.dot(rung, node, along, place)

    def dot(self, rung: int, node: int, along: float, across: float, loose: bool = False) -> None:
        """A junction, or a loose end."""
        self.dots.append(Dot(rung, node, *self.point(along, across), loose))

    def symbol(
        self, rung: int, item: int, cell: Cell, wired: Wired, along: float, across: float
    ) -> tuple[float, float]:
        """Place a symbol and its texts; return where its wires end, along."""
        x, y = self.point(along, across)
        placed = Symbol(cell.shape, x, y, rung, item, wired, self.devices[wired.item.device])
        self.symbols.append(placed)
        self.texts += [text.moved(x, y, rung) for text in cell.texts]
        first, second = placed.terminals
        return (first[1], second[1]) if self.down else (first[0], second[0])

    def block(self, block: Block, along: float, across: float, rung: int) -> float:
        """Place `block` with its wire entering at (along, across); return where along the wire leaves it."""
        if block.cell is not None:
            assert block.wired is not None
            middle = along + block.cell.half
            first, second = self.symbol(rung, block.item, block.cell, block.wired, middle, across)
            self.wire(rung, block.left, along, first, across)
            self.wire(rung, block.right, second, along + block.width, across)
        for inner in block.row:
            end = self.block(inner, along, across, rung)
            along, across = along + inner.width, across + inner.exit
            if inner is not block.row[-1]:
                self.wire(rung, inner.right, end, along, across)
        if block.row:
            return end
        if block.fold:
            return self._fold(block, along, across, rung)
        if block.fork:
            self._fork(block, along, across, rung)
        return along + block.width

    def _fork(self, block: Block, along: float, across: float, rung: int) -> None:
        start, end = along + FORK, along + block.width - FORK
        leaves = [across + drop + inner.exit for inner, drop in zip(block.fork, block.drops, strict=True)]
        if block.closed >= 0:
            self.wire(rung, block.left, along, start, across)
        if block.closed <= 0:
            self.wire(rung, block.right, end, along + block.width, leaves[0])
        self.bus(rung, block.left, start, [across + drop for drop in block.drops], 1 if block.closed < 0 else 0)
        self.bus(rung, block.right, end, leaves, 1 if block.closed > 0 else 0)
        for inner, drop, leave in zip(block.fork, block.drops, leaves, strict=True):
            reached = self.block(inner, start, across + drop, rung)
            self.wire(rung, block.right, reached, end, leave)

    def _fold(self, block: Block, along: float, across: float, rung: int) -> float:
        turns = self._turns.setdefault(rung, count())
        stop = along + block.width
        letter = ""
        for n, (inner, drop) in enumerate(zip(block.fold, block.drops, strict=True)):
            place, start = across + drop, along
            if n:
                start += TURN
                self._arrow(rung, inner.left, along + 2 * _LETTER, place, letter, before=True)
                self.wire(rung, inner.left, along + 2 * _LETTER + _HEAD, start, place)
            reached = self.block(inner, start, place, rung)
            if n + 1 < len(block.fold):
                letter = _letters(next(turns))
                end = stop - 2 * _LETTER - _HEAD
                self.wire(rung, inner.right, reached, end, place + inner.exit)
                self._arrow(rung, inner.right, end, place + inner.exit, letter, before=False)
        return reached

    def _arrow(self, rung: int, node: int, along: float, across: float, letter: str, before: bool) -> None:
        """An arrow of a continuation from `along` on, its letter before or behind it."""
        points = ((along, across - _SIDE), (along + _HEAD, across), (along, across + _SIDE))
        corners = tuple(self.point(*point) for point in points)
        self.lines.append(Line("continuation", (*corners, corners[0]), filled=True, rung=rung))
        x, y = self.point(along - _LETTER if before else along + _HEAD + _LETTER, across)
        self.texts.append(line("continuation", x, y + 0.36 * STYLES["continuation"].size, letter, rung=rung))

    def loads(
        self,
        loads: Sequence[tuple[int, Cell, Wired]],
        drops: Sequence[float],
        rung: int,
        start: float,
        across: float,
        column: tuple[float, float],
    ) -> None:
        """Place the loads of a rung, whose wire comes from `start`, between the column's half width and the rail."""
        right, half = column
        node = loads[0][2].left
        middle, bus = right - half, right - 2 * half
        if len(loads) > 1:
            self.wire(rung, node, start, bus, across)
            self.bus(rung, node, bus, [across + drop for drop in drops])
            start = bus
        for (item, cell, wired), drop in zip(loads, drops, strict=True):
            first, second = self.symbol(rung, item, cell, wired, middle, across + drop)
            self.wire(rung, node, start, first, across + drop)
            self.wire(rung, RIGHT_RAIL, second, right, across + drop)
            self.dot(rung, RIGHT_RAIL, right, across + drop)

    def words(
        self, role: str, x: float, top: float, words: str, width: float, rung: int = 0, gap: float = 0, most: int = 12
    ) -> float:
        """Write `words`, `gap` below `top`, in lines of at most `width`; return the y below, `top` if there are none.

        What does not fit `most` lines is cut, and the last line then ends in "…".
        """
        style = STYLES[role]
        placed = lines(role, x, top + gap, wrap(words, style.size, width, most, style.bold), "start")
        self.texts += [text.moved(0, 0, rung) for text in placed]
        return float(-(-below(placed) // 1)) if placed else top


def _letters(place: int) -> str:
    """A, B, … Z, AA, AB, …: the name of continuation number `place`, from 0."""
    name = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        name = chr(65 + rest) + name
    return name


def joined(wires: Iterable[Wire]) -> tuple[Wire, ...]:
    """The wires with pieces that continue one another along a line made one, in order of rung, node and place."""

    def place(wire: Wire) -> tuple[int, int, bool, float, float]:
        upright = wire.start[0] == wire.end[0]
        x, y = wire.start
        return (wire.rung, wire.node, upright, x if upright else y, y if upright else x)

    done: list[Wire] = []
    for wire in sorted(wires, key=place):
        last = done[-1] if done else None
        if last and last.end == wire.start and place(last)[:4] == place(wire)[:4]:
            done[-1] = Wire(last.rung, last.node, last.start, wire.end)
        else:
            done.append(wire)
    return tuple(done)
