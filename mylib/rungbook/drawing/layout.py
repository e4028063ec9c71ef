"""From a ladder to a plan: where each symbol, wire, dot and text stands. Pure geometry, the same plan every time.

Contacts stand from the left rail on, loads in one column beside the right rail. The upper branch of a group lies on
the rung itself, the others below it. A ladder whose paths run down is the same, turned: rails at the top and at the
bottom, the paths from left to right. Lengths [px] as in `sheet`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Ladder, Wired
from rungbook.drawing.blocks import Block
from rungbook.drawing.cells import LEAD, line
from rungbook.drawing.legend import legend
from rungbook.drawing.metrics import ASCENT, DESCENT, LINE, wrap
from rungbook.drawing.numbers import number_wires
from rungbook.drawing.pen import Pen, joined
from rungbook.drawing.rows import Row, Style, measured
from rungbook.drawing.shapes import Shape
from rungbook.drawing.sheet import STYLES, Plan, Wire
from rungbook.drawing.symbol_sets import symbol_set
from rungbook.errors import LadderError

MARGIN = 14.0  # round the sheet
LEFT = 56.0  # x of the left rail; of the rails' left end where paths run down
LEAST = 420.0  # least distance between the rails
LEAST_DOWN = 240.0  # the same where paths run down
APART = 16.0  # between the texts of one rung and those of the next
REFERENCE_GAP = 12.0  # between the right rail and the cross-references
RAIL_NAMES = (f"{LEFT_RAIL} (L)", f"{RIGHT_RAIL} (N)")
NO_RUNGS = "no rungs yet"
NARROWEST = 400  # least width of a sheet that can be asked for [px]
UNDER = 0.36  # of a letter's size: from the middle of a line of text to its baseline


@dataclass(frozen=True)
class Frame:
    """What a sheet has of its own. size: None for one as large as what stands on it.

    foot: room at the bottom [px] for legend and title block; block: width of the title block in it, at the right.
    page: "page 2 of 3", or "". references: what cross-references name.
    """

    size: tuple[float, float] | None = None
    foot: float = 0.0
    block: float = 0.0
    page: str = ""
    references: str = ""


def style_of(symbols: str, paths: str) -> Style:
    """Return the style. Raises LadderError if there is no such set of symbols, or paths run neither across nor down."""
    if paths not in ("across", "down"):
        raise LadderError("draw", "current paths run across or down", paths, ("across", "down"))
    return Style(symbol_set(symbols), paths == "down")


def layout(ladder: Ladder, symbols: str = "nema", paths: str = "across", width: float | None = None) -> Plan:
    """Return the plan of `ladder`, finished or not; a ladder without rungs gives two rails and a line of text.

    symbols: "nema" or "iec". paths: "across" or "down". width: of the whole sheet [px]; where paths run down, its
    height from the top to the lower rail. A rung that is longer is folded; None folds nothing.

    Raises LadderError if an argument is none of these, or the set has no symbol for a contact.
    """
    style = style_of(symbols, paths)
    if width is not None and not (isinstance(width, int | float) and width is not True and width >= NARROWEST):
        raise LadderError("draw", f"the width of a sheet is at least {NARROWEST} px", width, ("None", "700", "1000"))
    rows, column = measured(ladder, style)
    if width is not None:
        rows, column = measured(ladder, style, width - _beside(rows, style))
    return compose(ladder, rows, column, style, Frame())


def _beside(rows: Sequence[Row], style: Style) -> float:
    """What a sheet needs along the path besides the distance of its rails."""
    if style.down:
        return 2 * MARGIN + 60
    return LEFT + MARGIN + _named(rows)


def _named(rows: Sequence[Row]) -> float:
    """Room right of the right rail."""
    return side(text.width for row in rows for load in row.loads for text in load.named)


def side(widths: Iterable[float]) -> float:
    """Room right of the right rail for cross-references of these widths."""
    return max([LEAD, *(REFERENCE_GAP + wide for wide in widths)])


def compose(ladder: Ladder, rows: Sequence[Row], column: float, style: Style, frame: Frame) -> Plan:
    """Return a sheet with the rungs `rows` of `ladder`. column: half length of the loads' cells."""
    pen = Pen(ladder.devices, style.down)
    long = max([LEAST_DOWN if style.down else LEAST, *(row.length(column) for row in rows)])
    make = _down if style.down else _across
    return make(pen, ladder, rows, column, long, style, frame)


def _across(
    pen: Pen, ladder: Ladder, rows: Sequence[Row], column: float, long: float, style: Style, frame: Frame
) -> Plan:
    beside = _named(rows)
    if frame.size:
        long = max(long, frame.size[0] - LEFT - MARGIN - beside)
    right = LEFT + long
    width = ceil(round(right + MARGIN + beside, 3))
    top = heading(pen, ladder.title, width, frame)
    size = STYLES["rail"].size
    for x, name in ((LEFT, RAIL_NAMES[0]), (right, RAIL_NAMES[1])):
        pen.texts.append(line("rail", x, top + size, name))
    top = ceil(top + size + 6)
    y = top + APART
    for row in rows:
        y += row.ascent
        _row(pen, row, LEFT, right, y, column)
        for place, load in zip(row.drops, row.loads, strict=True):
            pen.texts += [text.moved(right + REFERENCE_GAP, y + row.exit + place, row.number) for text in load.named]
        y += row.descent
        y = pen.words("note", LEFT + 12, y, row.rung.note, right - LEFT - 24, row.number, 8) + APART
    if not rows:
        pen.texts.append(line("note", (LEFT + right) / 2, y + 12, NO_RUNGS))
        y += 12 + APART
    pen.wires += [Wire(0, LEFT_RAIL, (LEFT, top), (LEFT, y)), Wire(0, RIGHT_RAIL, (right, top), (right, y))]
    return finished(pen, _signs(ladder, rows, style, frame), frame, width, y)


def _down(
    pen: Pen, ladder: Ladder, rows: Sequence[Row], column: float, long: float, style: Style, frame: Frame
) -> Plan:
    middles, x = [], LEFT + APART
    for row in rows:
        middles.append(x + row.ascent)
        x += row.ascent + row.descent + APART
    end = max(x, LEFT + LEAST) if not rows else x
    width = ceil(max(end + MARGIN, LEAST, frame.size[0] if frame.size else 0.0))
    y = heading(pen, ladder.title, width, frame)
    top = ceil(y + STYLES["rung"].size + 10)
    bottom = top + long
    for at, name in ((top, RAIL_NAMES[0]), (bottom, RAIL_NAMES[1])):
        size = STYLES["rail"].size
        pen.texts.append(line("rail", LEFT - 6, at + UNDER * size, name, "end"))
        node = LEFT_RAIL if at == top else RIGHT_RAIL
        pen.wires.append(Wire(0, node, (LEFT, at), (end, at)))
    y = bottom
    for row, middle in zip(rows, middles, strict=True):
        _row(pen, row, top, bottom, middle, column)
        for place, load in zip(row.drops, row.loads, strict=True):
            if load.table:
                x, upper = middle + row.exit + place, bottom + REFERENCE_GAP
                pen.texts += [text.moved(x, upper, row.number) for text in load.table.texts]
                pen.lines += [rule.moved(x, upper, row.number) for rule in load.table.lines]
                y = max(y, upper + load.table.height)
    if not rows:
        pen.texts.append(line("note", (LEFT + end) / 2, (top + bottom) / 2, NO_RUNGS))
    y = ceil(y + 4)
    for row in rows:
        if row.rung.note.strip():
            words = f"{row.number}: {row.rung.note}"
            y = pen.words("note", MARGIN, y, words, width - 2 * MARGIN, row.number, 6)
    return finished(pen, _signs(ladder, rows, style, frame), frame, width, y)


def _row(pen: Pen, row: Row, start: float, stop: float, across: float, column: float) -> None:
    """Place a rung with its wire at `across`, from the rail at `start` to the rail at `stop`; its number before it."""
    n, size = row.number, STYLES["rung"].size
    if pen.down:
        pen.texts.append(line("rung", across, start - 8, str(n), "middle", n))
    else:
        pen.texts.append(line("rung", start - 14, across + UNDER * size, str(n), "end", n))
    pen.dot(n, LEFT_RAIL, start, across)
    reached = start if row.contacts is None else pen.block(row.contacts, start, across, n)
    loads = [(load.item, load.cell, load.wired) for load in row.loads]
    pen.loads(loads, row.drops, n, reached, across + row.exit, (stop, column))


def heading(pen: Pen, title: str, width: float, frame: Frame) -> float:
    """Place the title and the page; return the y below them."""
    room = width - 2 * MARGIN
    if frame.page:
        page = line("page", width - MARGIN, MARGIN + STYLES["title"].size, frame.page, "end")
        pen.texts.append(page)
        room -= page.width + MARGIN
    y = pen.words("title", MARGIN, MARGIN, title, room)
    if frame.page and not title.strip():
        y = ceil(pen.texts[-1].box[3])
    return y + (10 if title.strip() or frame.page else 0)


def _signs(ladder: Ladder, rows: Sequence[Row], style: Style, frame: Frame) -> tuple[str, ...]:
    """The lines of the legend of a sheet with `rows`."""
    items: list[tuple[Wired, Shape]] = [(load.wired, load.cell.shape) for row in rows for load in row.loads]
    turns = False
    todo: list[Block] = [row.contacts for row in rows if row.contacts]
    while todo:
        block = todo.pop()
        if block.cell is not None and block.wired is not None:
            items.append((block.wired, block.cell.shape))
        turns = turns or bool(block.fold)
        todo += (*block.row, *block.fork, *block.fold)
    word = "path" if style.down else "rung"
    shown = any(load.named or load.table for row in rows for load in row.loads)
    return legend(
        items,
        ladder.devices,
        style.symbols,
        down=style.down,
        references=(frame.references or f"{word}s") if shown else "",
        turns=word if turns else "",
    )


def finished(pen: Pen, signs: Sequence[str], frame: Frame, width: float, y: float, crowded: bool = False) -> Plan:
    """Add wire numbers, and the legend `signs` below y; return the plan. crowded: wires may come close to wires."""
    wires = joined(pen.wires)
    pen.texts += number_wires(wires, pen.symbols, pen.dots, pen.down, pen.texts if crowded else None)
    height = 0.0
    room = width - 2 * MARGIN
    if frame.size:
        height = frame.size[1]
        y = height - frame.foot - MARGIN
        room -= frame.block + MARGIN if frame.block else 0.0
    else:
        y += MARGIN
    for n, words in enumerate(signs):
        y = pen.words("legend", MARGIN, y + (2 if n else 0), words, room)
    height = height or ceil(y + MARGIN)
    return Plan(width, height, tuple(pen.symbols), wires, tuple(pen.dots), tuple(pen.texts), tuple(pen.lines))


def legend_height(ladder: Ladder, rows: Sequence[Row], style: Style, frame: Frame, room: float) -> float:
    """Height of the legend of a sheet with `rows`, in lines no wider than `room` [px]."""
    return sum(_tall("legend", words, room, 12) + 3 for words in _signs(ladder, rows, style, frame))


def needed(ladder: Ladder, rows: Sequence[Row], column: float, style: Style, frame: Frame) -> tuple[float, float]:
    """Return the width and height that a sheet with `rows` needs, without its legend.

    frame: its size is that of the sheet the rows are to stand on, which titles and notes are folded to.
    """
    assert frame.size is not None
    width = frame.size[0]
    long = max([LEAST_DOWN if style.down else LEAST, *(row.length(column) for row in rows)])
    y = heading(Pen({}), ladder.title, width, frame)
    across = APART + sum(row.ascent + row.descent + APART for row in rows)
    if not style.down:
        beside = _named(rows)
        notes = sum(8 + _tall("note", row.rung.note, width - LEFT - MARGIN - beside - 24, 12) for row in rows)
        return LEFT + long + MARGIN + beside, y + STYLES["rail"].size + 7 + across + notes + MARGIN
    tables = max((load.table.height for row in rows for load in row.loads if load.table), default=0.0)
    notes = sum(_tall("note", f"{row.number}: {row.rung.note}", width - 2 * MARGIN, 6) + 1 for row in rows)
    high = y + STYLES["rung"].size + 11 + long + (REFERENCE_GAP + tables if tables else 0.0) + 5
    return LEFT + across + MARGIN, high + notes + MARGIN


def _tall(role: str, words: str, room: float, most: int) -> float:
    """Height of `words` in lines no wider than `room` [px], of which there are at most `most`; 0 if there are none."""
    style = STYLES[role]
    count = len(wrap(words, style.size, room, most, style.bold))
    return ((count - 1) * LINE + ASCENT + DESCENT) * style.size + 1 if count else 0.0
