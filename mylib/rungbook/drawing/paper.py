"""`pages`: a ladder over sheets of paper, as many rungs on each as there is room for.

Rungs keep their numbers, every sheet has its own rails and its own legend, and a cross-reference says page and rung:
2.7 is rung 7, on page 2. The corner at the lower right is left free for a title block.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from types import MappingProxyType

from rungbook.circuit import Ladder
from rungbook.drawing.describe import describe
from rungbook.drawing.layout import LEAST, LEAST_DOWN, MARGIN, Frame, compose, legend_height, needed, style_of
from rungbook.drawing.picture import Picture
from rungbook.drawing.rows import Name, Row, Style, measured
from rungbook.drawing.shapes import Box
from rungbook.drawing.sheet import Plan
from rungbook.drawing.svg import svg
from rungbook.errors import LadderError

MM = 96 / 25.4  # px a millimetre, as CSS has it
#: name -> width and height upright [mm]: ISO 216, and ANSI size A.
PAPER: Mapping[str, tuple[float, float]] = MappingProxyType({"A4": (210.0, 297.0), "Letter": (215.9, 279.4)})
TITLE_BLOCK = (340.0, 84.0)  # room kept for a title block [px of the plan]
_STEP = 1.03  # a sheet that is too small for a rung is drawn smaller by at least this much a time


@dataclass(frozen=True, repr=False)
class Page(Picture):
    """A sheet of a ladder: a picture, and what a title block says of it.

    plan: what stands on it. title: of the ladder. number: of the page, from 1; count: of the pages. rungs: numbers of
    the rungs on it. block: the corner left free for a title block, in units of the plan. scale: px of the paper for
    one unit of the plan, 1 unless a rung is too large for the paper.
    """

    plan: Plan
    title: str
    number: int
    count: int
    rungs: tuple[int, ...]
    block: Box
    scale: float = 1.0


@dataclass(frozen=True)
class _Stack:
    """Rows sorted onto sheets of one size, in units of the plan.

    foot: height of legend and title block. room: from rail to rail.
    """

    sheet: tuple[float, float]
    foot: float
    room: float
    groups: tuple[tuple[Row, ...], ...]


def lay_out(
    ladder: Ladder, paper: str = "A4", symbols: str = "nema", paths: str = "across", wide: bool = False
) -> tuple[Page, ...]:
    """Return the sheets of `ladder`, at least one; a ladder that is not finished is drawn as far as it goes.

    paper: "A4" or "Letter"; wide: with the longer side at the bottom. symbols, paths: as `rungbook.draw`. A rung longer
    than the sheet is folded. If one rung alone is larger than a sheet, all sheets are drawn at a smaller scale.

    Raises LadderError if `ladder` is no Ladder, or there is no such paper, set of symbols or direction.
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("pages", "draws a Ladder", ladder, ("Ladder('title')",))
    if not isinstance(paper, str) or paper not in PAPER:
        raise LadderError("pages", "no such paper", paper, tuple(PAPER))
    style = style_of(symbols, paths)
    short, long = sorted(floor(side * MM) for side in PAPER[paper])
    size = (long, short) if wide else (short, long)
    figures = 0  # of the page number in a cross-reference
    stack = _sorted(ladder, style, size, figures)
    while len(stack.groups) > (1 if figures == 0 else 10**figures - 1):
        figures += 1
        stack = _sorted(ladder, style, size, figures)
    place = {row.number: page for page, rows in enumerate(stack.groups, 1) for row in rows}

    def name(rung: int) -> str:
        return f"{place[rung]}.{rung}" if figures else str(rung)

    done, column = measured(ladder, style, stack.room, name)
    count = len(stack.groups)
    made = []
    for number, group in enumerate(stack.groups, 1):
        frame = _frame(style, stack.sheet, stack.foot, number, count)
        plan = compose(ladder, [done[row.number - 1] for row in group], column, style, frame)
        made.append(_page(ladder, plan, number, count, tuple(row.number for row in group), size, paths, name))
    return tuple(made)


def _page(
    ladder: Ladder,
    plan: Plan,
    number: int,
    count: int,
    rungs: tuple[int, ...],
    size: tuple[float, float],
    paths: str,
    name: Name,
) -> Page:
    scale = size[0] / plan.width
    right, low = plan.width - MARGIN, plan.height - MARGIN
    block = (right - TITLE_BLOCK[0], low - TITLE_BLOCK[1], right, low)
    words = describe(ladder, paths, rungs, name)
    if count > 1:
        words = f"Page {number} of {count}. {words}"
    title = ladder.title.strip() or "Ladder diagram"
    picture = svg(plan, f"{title}, page {number} of {count}" if count > 1 else title, words, scale)
    return Page(picture, words, plan, ladder.title, number, count, rungs, block, scale)


def _frame(style: Style, sheet: tuple[float, float], foot: float, number: int, count: int) -> Frame:
    word = "path" if style.down else "rung"
    many = count > 1
    return Frame(
        sheet,
        foot,
        TITLE_BLOCK[0],
        f"page {number} of {count}" if many else "",
        f"page and {word}, such as 2.7," if many else "",
    )


def _placeholder(figures: int) -> Name:
    """Names as wide as the widest that a page number of so many figures can give."""
    return lambda rung: f"{'0' * figures}.{rung}" if figures else str(rung)


def _room(
    ladder: Ladder,
    rows: Sequence[Row],
    column: float,
    style: Style,
    sheet: tuple[float, float],
    foot: float,
    figures: int,
) -> float:
    """From rail to rail on a sheet, that all of `rows`, not folded, leave free beside their names and notes."""
    frame = _frame(style, sheet, foot, 1, 2 if figures else 1)
    if not style.down:
        width, _ = needed(ladder, rows, column, style, frame)
        return sheet[0] - width + max([LEAST, *(row.length(column) for row in rows)])
    beside = [needed(ladder, [row], column, style, frame)[1] - max(LEAST_DOWN, row.length(column)) for row in rows]
    return sheet[1] - foot - MARGIN - max(beside, default=0.0)


def _sorted(ladder: Ladder, style: Style, size: tuple[float, float], figures: int) -> _Stack:
    """Sort the rungs onto sheets of `size` [px], drawn as large as the largest rung allows."""
    name = _placeholder(figures)
    whole, column = measured(ladder, style, None, name)
    scale = 1.0
    while True:
        sheet = (size[0] * scale, size[1] * scale)
        frame = _frame(style, sheet, 0.0, 1, 2 if figures else 1)
        signs = legend_height(ladder, whole, style, frame, sheet[0] - 3 * MARGIN - TITLE_BLOCK[0])
        foot = max(TITLE_BLOCK[1], signs) + 16
        room = _room(ladder, whole, column, style, sheet, foot, figures)
        rows, column = measured(ladder, style, room, name)
        limit = (sheet[0], sheet[1] - foot - MARGIN)
        groups: list[list[Row]] = [[]]
        over = 1.0
        for row in rows:
            if _over(needed(ladder, [*groups[-1], row], column, style, frame), limit) > 1 and groups[-1]:
                groups.append([])
            groups[-1].append(row)
            if len(groups[-1]) == 1:
                over = max(over, _over(needed(ladder, [row], column, style, frame), limit))
        if over <= 1:
            return _Stack(sheet, foot, room, tuple(map(tuple, groups)))
        scale *= max(_STEP, over**0.5)


def _over(size: Sequence[float], limit: Sequence[float]) -> float:
    """How many times `size` is as large as `limit`, in width or height."""
    return max(size[0] / limit[0], size[1] / limit[1])
