"""From a ladder to a plan: where each symbol, wire, dot and text stands. Pure geometry, the same plan every time.

Contacts stand from the left rail on, loads in one column beside the right rail. The upper branch of a group lies on
the rung itself, the others below it. Lengths [px] as in `sheet`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil

from rungbook.circuit import INPUTS, LEFT_RAIL, RIGHT_RAIL, Contact, Ladder, Load, Rung, WiredRung, wire_numbers
from rungbook.drawing.blocks import FORK, Block, measure, stack
from rungbook.drawing.cells import LEAD, Cell, below, colour_of, line, lines, load_cell, reference_lines
from rungbook.drawing.metrics import wrap
from rungbook.drawing.nema import NEMA
from rungbook.drawing.numbers import number_wires
from rungbook.drawing.references import Reference, references
from rungbook.drawing.sheet import STYLES, Dot, Plan, Symbol, Text, Wire
from rungbook.drawing.symbol_sets import SymbolSet
from rungbook.kit import COLOURS, Device

MARGIN = 14.0  # round the sheet
LEFT = 56.0  # x of the left rail
LEAST = 420.0  # least distance between the rails
APART = 16.0  # between the texts of one rung and those of the next
REFERENCE_GAP = 12.0  # between the right rail and the cross-references
RAIL_NAMES = (f"{LEFT_RAIL} (L)", f"{RIGHT_RAIL} (N)")
NO_RUNGS = "no rungs yet"
LEGEND_WIRES = "Figure in italics above a wire: wire number."
LEGEND_COLOURS = "Letter in a lamp, or in brackets on a plate: colour. {}."
LEGEND_REFERENCES = "Figures right of the rail: rungs with contacts of that coil; underlined: normally closed."


@dataclass(frozen=True)
class _Row:
    """A rung with its measures."""

    number: int
    rung: Rung
    wired: WiredRung
    contacts: Block | None
    loads: tuple[Cell, ...]
    references: tuple[tuple[Text, ...], ...]  # one tuple a load
    drops: tuple[float, ...]  # of the loads

    @property
    def ascent(self) -> float:
        return max(self.loads[0].ascent, self.contacts.ascent if self.contacts else 0.0)

    @property
    def descent(self) -> float:
        loads = self.drops[-1] + max(self.loads[-1].descent, below(self.references[-1]))
        return ceil(max(loads, self.contacts.descent if self.contacts else 0.0))

    @property
    def width(self) -> float:
        """From the left rail to where the loads' cells begin."""
        return (self.contacts.width if self.contacts else 0.0) + (FORK if len(self.loads) > 1 else 0.0)


def _row(
    n: int,
    rung: Rung,
    wired: WiredRung,
    devices: Mapping[str, Device],
    bare: Mapping[str, Device],
    found: Mapping[str, tuple[Reference, ...]],
    symbols: SymbolSet,
) -> _Row:
    """Measure rung `n`. bare: the devices as their contacts show them; found: the cross-references."""
    items = enumerate(wired.contacts, 1)
    contacts = None if rung.contacts is None else measure(rung.contacts, items, bare, symbols)
    loads = tuple(
        load_cell(load, (bare if of.kind in INPUTS else devices)[of.device], symbols)
        for load, of in zip(wired.loads, rung.loads, strict=True)
    )
    named = tuple(
        reference_lines(found.get(load.device, ()) if load.kind == "coil" else (), load.device) for load in rung.loads
    )
    drops = stack(
        tuple((cell.ascent, max(cell.descent, ceil(below(texts)))) for cell, texts in zip(loads, named, strict=True))
    )
    return _Row(n, rung, wired, contacts, loads, named, drops)


def _colours(ladder: Ladder) -> str:
    """The colour letters that are written in a drawing of `ladder` with their meaning: "R red, G green"."""
    devices = ladder.devices
    items: list[Contact | Load] = []
    for rung in ladder.rungs:
        items += [*rung.all_contacts(), *rung.loads]
    used = {colour_of(item, devices[item.device]) for item in items if devices[item.device].spec.load != "coil"}
    return ", ".join(f"{letter} {colour}" for colour, letter in COLOURS.items() if colour in used)


def _told(symbols: list[Symbol], meanings: Mapping[str, str]) -> str:
    """What the letters in and under these symbols mean that not every reader knows; "" if there are none."""
    used = {word for symbol in symbols for word in symbol.shape.mark.split()}
    used |= {symbol.shape.letter for symbol in symbols if symbol.wired.item.kind in INPUTS}
    found = [words for letters, words in meanings.items() if letters in used]
    return f"{'; '.join(found)}." if found else ""


def _without_plates(devices: Mapping[str, Device], coils: tuple[str, ...]) -> dict[str, Device]:
    """The devices with the plate of one that has a coil here left off: it stands at the coil, once."""
    return {tag: replace(device, label="") if tag in coils else device for tag, device in devices.items()}


class _Pen:
    """Collects what is placed. Not to be kept: `layout` makes one a call."""

    def __init__(self, devices: Mapping[str, Device]) -> None:
        self.devices = devices
        self.symbols: list[Symbol] = []
        self.wires: list[Wire] = []
        self.dots: list[Dot] = []
        self.texts: list[Text] = []

    def across(self, rung: int, node: int, x: float, end: float, y: float) -> None:
        if end > x:
            self.wires.append(Wire(rung, node, (x, y), (end, y)))

    def down(self, rung: int, node: int, x: float, y: float, drops: tuple[float, ...]) -> None:
        """A vertical wire from y down, with a dot at every branch but the last, where it turns."""
        self.wires.append(Wire(rung, node, (x, y), (x, y + drops[-1])))
        self.dots += [Dot(rung, node, x, y + drop) for drop in drops[:-1]]

    def symbol(self, rung: int, item: int, cell: Cell, x: float, y: float, row: WiredRung) -> Symbol:
        wired = row.items[item - 1]
        placed = Symbol(cell.shape, x, y, rung, item, wired, self.devices[wired.item.device])
        self.symbols.append(placed)
        self.texts += [text.moved(x, y, rung) for text in cell.texts]
        return placed

    def block(self, block: Block, x: float, y: float, rung: int, row: WiredRung) -> None:
        """Place `block` with its wire entering at (x, y)."""
        if block.cell is not None:
            middle = x + block.cell.half
            (left, _), (right, _) = self.symbol(rung, block.item, block.cell, middle, y, row).terminals
            self.across(rung, block.left, x, left, y)
            self.across(rung, block.right, right, x + block.width, y)
        for inner in block.row:
            self.block(inner, x, y, rung, row)
            x += inner.width
        if block.fork:
            start, end = x + FORK, x + block.width - FORK
            self.across(rung, block.left, x, start, y)
            self.across(rung, block.right, end, x + block.width, y)
            self.down(rung, block.left, start, y, block.drops)
            self.down(rung, block.right, end, y, block.drops)
            for inner, drop in zip(block.fork, block.drops, strict=True):
                self.block(inner, start, y + drop, rung, row)
                self.across(rung, block.right, start + inner.width, end, y + drop)

    def row(self, row: _Row, y: float, right: float, column: float) -> None:
        """Place a rung with its wire at y. right: x of the right rail; column: half width of the loads' column."""
        n, wired = row.number, row.wired
        self.texts.append(line("rung", LEFT - 14, y + 0.36 * STYLES["rung"].size, str(n), "end", n))
        self.dots.append(Dot(n, LEFT_RAIL, LEFT, y))
        x = LEFT
        if row.contacts is not None:
            self.block(row.contacts, LEFT, y, n, wired)
            x += row.contacts.width
        middle, bus = right - column, right - 2 * column
        if len(row.loads) > 1:
            self.across(n, wired.before_load, x, bus, y)
            self.down(n, wired.before_load, bus, y, row.drops)
            x = bus
        first = len(wired.contacts) + 1
        for place, (cell, drop) in enumerate(zip(row.loads, row.drops, strict=True)):
            (left, _), (end, _) = self.symbol(n, first + place, cell, middle, y + drop, wired).terminals
            self.across(n, wired.before_load, x, left, y + drop)
            self.across(n, RIGHT_RAIL, end, right, y + drop)
            self.dots.append(Dot(n, RIGHT_RAIL, right, y + drop))
            self.texts += [text.moved(right + REFERENCE_GAP, y + drop, n) for text in row.references[place]]


def layout(ladder: Ladder, symbols: SymbolSet = NEMA) -> Plan:
    """Return the plan of `ladder`, finished or not; a ladder without rungs gives two rails and a line of text.

    Raises LadderError if `symbols` has none for a contact, because a device of that kind has no contacts.
    """
    devices, found = ladder.devices, references(ladder)
    bare = _without_plates(devices, ladder.coils())
    rows = [
        _row(n, rung, wired, devices, bare, found, symbols)
        for n, (rung, wired) in enumerate(zip(ladder.rungs, wire_numbers(ladder), strict=True), 1)
    ]
    column = max((cell.half for row in rows for cell in row.loads), default=0.0)
    right = LEFT + max([LEAST, *(row.width + 2 * column for row in rows)])
    named = [text.width for row in rows for texts in row.references for text in texts]
    width = ceil(right + MARGIN + max([LEAD, *(REFERENCE_GAP + wide for wide in named)]))
    pen = _Pen(devices)
    top = _heading(pen, ladder.title, width, right)
    y = top + APART
    for row in rows:
        y += row.ascent
        pen.row(row, y, right, column)
        y += row.descent
        y = _lines(pen, "note", LEFT + 12, y, row.rung.note, right - LEFT - 24, row.number, 8) + APART
    if not rows:
        pen.texts.append(line("note", (LEFT + right) / 2, y + 12, NO_RUNGS))
        y += 12 + APART
    pen.wires += [Wire(0, LEFT_RAIL, (LEFT, top), (LEFT, y)), Wire(0, RIGHT_RAIL, (right, top), (right, y))]
    wires = _joined(pen.wires)
    pen.texts += number_wires(wires, pen.symbols, pen.dots)
    y += MARGIN
    if rows:
        y = _lines(pen, "legend", MARGIN, y, LEGEND_WIRES, width - 2 * MARGIN)
    colours = _colours(ladder)
    if colours:
        y = _lines(pen, "legend", MARGIN, y + 2, LEGEND_COLOURS.format(colours), width - 2 * MARGIN)
    if named:
        y = _lines(pen, "legend", MARGIN, y + 2, LEGEND_REFERENCES, width - 2 * MARGIN)
    told = _told(pen.symbols, symbols.meanings)
    if told:
        y = _lines(pen, "legend", MARGIN, y + 2, told, width - 2 * MARGIN)
    return Plan(width, ceil(y + MARGIN), tuple(pen.symbols), wires, tuple(pen.dots), tuple(pen.texts))


def _heading(pen: _Pen, title: str, width: float, right: float) -> float:
    """Place the title and the names of the rails; return the y at which the rails begin."""
    y = _lines(pen, "title", MARGIN, MARGIN, title, width - 2 * MARGIN)
    y += 10 if title.strip() else 0
    size = STYLES["rail"].size
    for x, name in ((LEFT, RAIL_NAMES[0]), (right, RAIL_NAMES[1])):
        pen.texts.append(line("rail", x, y + size, name))
    return ceil(y + size + 6)


def _lines(
    pen: _Pen, role: str, x: float, top: float, words: str, width: float, rung: int = 0, gap: float = 0
) -> float:
    """Place `words`, `gap` below `top`, in lines of at most `width`; return the y below, `top` if there are none."""
    style = STYLES[role]
    placed = lines(role, x, top + gap, wrap(words, style.size, width, 12, style.bold), "start")
    pen.texts += [text.moved(0, 0, rung) for text in placed]
    return ceil(below(placed)) if placed else top


def _joined(wires: list[Wire]) -> tuple[Wire, ...]:
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
