"""Tables as pictures, for printing: wire lists, truth tables, contact charts, with a box to tick in every row.

Digits of the fonts used are all of one width, so right-aligned numbers stand below one another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from rungbook.circuit.wiring import Wiring
from rungbook.drawing.contact_charts import CLOSED, OPEN, ContactChart
from rungbook.drawing.figure import MARGIN, Figure, Group, Trail, picture, stacked
from rungbook.drawing.metrics import ASCENT, DESCENT, LINE, text_width, wrap
from rungbook.drawing.paper import MM, PAPER, TITLE_BLOCK
from rungbook.drawing.picture import Picture
from rungbook.drawing.sheet import STYLES, Align, Text
from rungbook.errors import LadderError
from rungbook.proof import TruthTable

MOST_ROWS = 1024
ROW = 22.0  # height of a row
_PAD = 8.0  # beside the words of a cell
_TICK = 12.0  # side of a box to tick
_THIN, _BOLD = 0.8, 1.8
_TITLE_SIZE = STYLES["title"].size

Table = Wiring | TruthTable | ContactChart


@dataclass(frozen=True)
class Grid:
    """A table as words. align: of each column. rules: columns with a bold line at their left. tick: head of the column
    of boxes, "" for none. sentences: each row in words. notes: below the table."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    align: tuple[Align, ...]
    sentences: tuple[str, ...]
    rules: tuple[int, ...] = ()
    tick: str = ""
    notes: tuple[str, ...] = ()


def grid_of(table: Table) -> Grid:
    """Return the grid of a wire list, a truth table or a contact chart.

    Raises LadderError if it is none of these, or has more than 1024 rows.
    """
    if isinstance(table, Wiring):
        return _wire_list(table)
    if isinstance(table, ContactChart):
        middle: Align = "middle"
        aligns: tuple[Align, ...] = ("start", "start", *(middle for _ in table.positions))
        notes = (f"{CLOSED}: closed. {OPEN}: open.", *filter(None, (table.note,)))
        return Grid(f"Contact chart: {table.name}", table.head, table.rows, aligns, table.sentences, (2,), notes=notes)
    if isinstance(table, TruthTable):
        if len(table) > MOST_ROWS:
            raise LadderError("draw", f"a truth table of at most {MOST_ROWS} rows; take one rung at a time", len(table))
        return _truth_table(table)
    choices = ("wire(ladder, kit)", "truth_table(ladder)", "contact_chart(device)")
    raise LadderError("draw_table", "draws a wire list, a truth table or a contact chart", table, choices)


def _wire_list(wiring: Wiring) -> Grid:
    rows = [(str(n), w.start, w.end, str(w.number), str(w.rung)) for n, w in enumerate(wiring.wires, 1)]
    said = [f"Wire {n}: from {a} to {b}, wire number {number}, rung {rung}." for n, a, b, number, rung in rows]
    title = ": ".join(filter(None, ("Wire list", wiring.ladder.title.strip())))
    aligns: tuple[Align, ...] = ("end", "start", "start", "end", "end")
    head = ("wire", "from", "to", "wire number", "rung")
    notes = (f"Terminals of the {wiring.kit.name}. De-energise, lock out, prove dead before work on wires.",)
    return Grid(title, head, tuple(rows), aligns, tuple(said), tick="done", notes=notes)


def _truth_table(table: TruthTable) -> Grid:
    names = (*table.inputs, *table.outputs)
    cut = len(table.inputs)
    rows = tuple((str(n), *row) for n, row in enumerate(table.rows(), 1))
    said = []
    for number, *words in rows:
        given = ", ".join(f"{name} {word}" for name, word in zip(names[:cut], words[:cut], strict=True))
        found = ", ".join(f"{name} {word}" for name, word in zip(names[cut:], words[cut:], strict=True))
        said.append(f"Row {number}: {given or 'always'}: {found}.")
    title = ": ".join(filter(None, ("Truth table", table.title.strip())))
    start: Align = "start"
    aligns: tuple[Align, ...] = ("end", *(start for _ in names))
    return Grid(title, ("row", *names), rows, aligns, tuple(said), (1 + cut,) if cut else (), tick="seen")


def draw_table(table: Table) -> Picture:
    """Return a wire list, a truth table or a contact chart as one picture. Raises LadderError as `grid_of`."""
    grid = grid_of(table)
    figure = layout(grid)
    return picture(figure, grid.title, describe(grid))


def table_pages(table: Table, paper: str = "A4", wide: bool = False) -> tuple[Picture, ...]:
    """Return the same over sheets of paper, at least one, broken between rows, the head on each.

    paper: "A4" or "Letter"; wide: with the longer side at the bottom. The lower right corner is left free for a title
    block. A table wider than the paper is drawn smaller. Raises LadderError as `draw_table`, and if there is no such
    paper.
    """
    grid = grid_of(table)
    if not isinstance(paper, str) or paper not in PAPER:
        raise LadderError("table_pages", "no such paper", paper, tuple(PAPER))
    short, long = sorted(floor(side * MM) for side in PAPER[paper])
    across, high = (long, short) if wide else (short, long)
    unit = min(1.0, across / layout(grid).width)
    size = (across / unit, high / unit)
    each = max(
        1, int((size[1] - TITLE_BLOCK[1] / unit - 2 * MARGIN - _top(grid, size[0]) - _feet(grid, size[0])) / ROW)
    )
    starts = range(0, max(1, len(grid.rows)), each)
    pages = []
    for number, first in enumerate(starts, 1):
        part = Grid(
            grid.title + (f", page {number} of {len(starts)}" if len(starts) > 1 else ""),
            grid.head,
            grid.rows[first : first + each],
            grid.align,
            grid.sentences[first : first + each],
            grid.rules,
            grid.tick,
            grid.notes,
        )
        pages.append(picture(layout(part, size, widths(grid)), part.title, describe(part), unit))
    return tuple(pages)


def describe(grid: Grid) -> str:
    """The table in words, row by row."""
    columns = ", ".join(grid.head)
    said = [f"{grid.title}. Table of {len(grid.rows)} row{'s' * (len(grid.rows) != 1)}; columns: {columns}."]
    return "\n".join([*said, *grid.sentences, *grid.notes])


def widths(grid: Grid) -> tuple[float, ...]:
    """Width of each column [px], that of the boxes last if there is one."""
    head, cell = STYLES["head"].size, STYLES["cell"].size
    found = [
        max([text_width(name, head, True), *(text_width(row[k], cell) for row in grid.rows)])
        for k, name in enumerate(grid.head)
    ]
    found += [max(_TICK, text_width(grid.tick, head, True))] if grid.tick else []
    return tuple(ceil(width + 2 * _PAD) for width in found)


def _top(grid: Grid, width: float) -> float:
    """Where the table begins, below its title."""
    return MARGIN + ceil(LINE * _TITLE_SIZE * len(_title(grid, width))) + 10


def _title(grid: Grid, width: float) -> tuple[str, ...]:
    return wrap(grid.title, _TITLE_SIZE, width - 2 * MARGIN, 99, bold=True)


def _note_lines(grid: Grid, width: float) -> list[str]:
    return [line for note in grid.notes for line in wrap(note, STYLES["note"].size, width - 2 * MARGIN, 99)]


def _feet(grid: Grid, width: float) -> float:
    """Room for the head and what stands below the table."""
    return ROW + 8 + ceil(LINE * STYLES["note"].size * len(_note_lines(grid, width)))


def layout(grid: Grid, size: tuple[float, float] | None = None, columns: Sequence[float] | None = None) -> Figure:
    """Return the figure of `grid`; on a sheet of `size` if given, with `columns` as wide as told [px]."""
    wide = widths(grid) if columns is None else columns
    least = min(text_width(grid.title, _TITLE_SIZE, True), 460) + 2 * MARGIN
    width = max(sum(wide) + 2 * MARGIN, least, 300) if size is None else size[0]
    top = _top(grid, width)
    edges = [MARGIN]
    for each in wide:
        edges.append(edges[-1] + each)
    bottom = top + ROW * (1 + len(grid.rows))
    groups = [
        Group((("class", "title"),), (), stacked("title", MARGIN, MARGIN, _title(grid, width))),
        Group((("class", "grid"),), _rules(grid, edges, top, bottom)),
        _row(grid, edges, top, 0, [*grid.head, *([grid.tick] if grid.tick else [])]),
    ]
    for number, row in enumerate(grid.rows, 1):
        groups.append(_row(grid, edges, top + ROW * number, number, row))
    notes = _note_lines(grid, width)
    end = bottom
    if notes:
        groups.append(Group((("class", "notes"),), (), stacked("note", MARGIN, bottom + 8, notes)))
        end += 8 + ceil(LINE * STYLES["note"].size * len(notes))
    return Figure(ceil(width), ceil(end + MARGIN) if size is None else size[1], tuple(groups))


def _rules(grid: Grid, edges: Sequence[float], top: float, bottom: float) -> tuple[Trail, ...]:
    trails = []
    for k, x in enumerate(edges):
        bold = k in (0, len(edges) - 1) or k in grid.rules
        trails.append(Trail(((x, top), (x, bottom)), _BOLD if bold else _THIN))
    for n in range(len(grid.rows) + 2):
        y = top + n * ROW
        bold = n in (0, 1, len(grid.rows) + 1)
        trails.append(Trail(((edges[0], y), (edges[-1], y)), _BOLD if bold else _THIN))
    return tuple(trails)


def _row(grid: Grid, edges: Sequence[float], top: float, number: int, cells: Sequence[str]) -> Group:
    """Row `number` of the table, 0 for its head."""
    role = "cell" if number else "head"
    size = STYLES[role].size
    base = round(top + (ROW - (ASCENT + DESCENT) * size) / 2 + ASCENT * size, 2)
    texts = []
    for k, words in enumerate(cells):
        align = grid.align[k] if k < len(grid.align) else "middle"
        left, right = edges[k] + _PAD, edges[k + 1] - _PAD
        x = {"start": left, "middle": (left + right) / 2, "end": right}[align]
        if words:
            texts.append(Text("mark" if number and words == CLOSED else role, x, base, ((words, False),), align))
    trails: tuple[Trail, ...] = ()
    if number and grid.tick:
        x, y = (edges[-2] + edges[-1] - _TICK) / 2, top + (ROW - _TICK) / 2
        corners = ((x, y), (x + _TICK, y), (x + _TICK, y + _TICK), (x, y + _TICK), (x, y))
        trails = (Trail(corners, 1.0),)
    about = (("class", "row"), ("data-row", str(number))) if number else (("class", "head"),)
    return Group(about, trails, tuple(texts))
