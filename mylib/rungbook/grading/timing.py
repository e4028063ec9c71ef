"""A timing diagram in plain text: rows of states, one column an order, for feedback pages and terminals.

    order     at rest     press S2   let S2 go
    S2        _ released _/ pressed =\\ released _
    Q1        _ out ______/ in ======\\ out ______
    Q1 asked                         = in =======

Low and high are shapes (`_` at rest, `=` away from rest; a line at the top of its row would run into the row above),
and each change is a word as well; the last column is always in words. Nothing here knows a circuit.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

WIDTH = 92  # columns of a feedback page before a line has to be scrolled
LINES = 10
CHATTERS = "chatters"
_LOW, _HIGH, _RESTLESS = "_", "=", "/\\"
_HEAD = 12  # characters of an order before it is folded


@dataclass(frozen=True)
class Row:
    """One line: `label`, and for each column its word and whether it is drawn high.

    words: "" where nothing is said of this column (it stays blank); "chatters" is drawn as a zigzag. highs: as many.
    """

    label: str
    words: tuple[str, ...]
    highs: tuple[bool, ...]


def timing_picture(
    orders: Sequence[str],
    above: Sequence[Row],
    below: Sequence[Row],
    *,
    also: Sequence[Row] = (),
    times: Sequence[str] = (),
) -> str:
    """Return the diagram: a head with `orders`, a line with `times` if there are any, then a line a row.

    orders, times: one a column. above, below: the first and the last lines. also: lines between them, of which those
    that would make more than ten lines are left out and named at the end. Columns are left out after the first, and
    counted in words, where the picture would be wider than 92 characters.
    """
    columns = len(orders)
    rows = (*above, *below)
    labels = ["order", *(["time"] if times else []), *(row.label for row in (*rows, *also))]
    margin = max(map(len, labels)) + 2
    heads = [textwrap.wrap(order, _HEAD) or [""] for order in orders]
    everything = (*rows, *also)
    texts = [[*heads[k], *(f"{row.words[k]}   " for row in everything), *times[k : k + 1]] for k in range(columns)]
    wide = [max(map(len, column)) + (5 if f"{CHATTERS}   " in column else 1) for column in texts]
    left_out = _left_out(wide, WIDTH - margin)
    gap = f"{left_out} order{'s' * (left_out != 1)}"
    shown = [0, *range(1 + left_out, columns)]
    tall = max([2 if left_out else 1, *(len(heads[k]) for k in shown)])
    room = max(LINES - tall - bool(times) - len(rows), 0)
    kept = also if len(also) <= room else also[: max(room - 1, 0)]
    lines = []
    for number in range(tall):
        cells = [(heads[k][number] if number < len(heads[k]) else "").ljust(wide[k]) for k in shown]
        between = [(gap, "left out")[number] if number < 2 else ""] if left_out else []
        lines.append(_line("order" if number == 0 else "", margin, cells, between))
    if times:
        lines.append(_line("time", margin, [times[k].ljust(wide[k]) for k in shown], [""] if left_out else []))
    for row in (*above, *kept, *below):
        cells = [
            _cell(row, k, wide[k], first=place < 2 and k != 1, last=k == columns - 1) for place, k in enumerate(shown)
        ]
        lines.append(_line(row.label, margin, cells, ["…"] if left_out else []))
    if len(kept) < len(also):
        lines.append(f"not shown: {', '.join(row.label for row in also[len(kept) :])}")
    return "\n".join(lines)


_GAP = 11  # "12 orders" and two blanks


def _left_out(wide: Sequence[int], room: int) -> int:
    """How many columns after the first are left out so that the rest has room; the last one always stays."""
    if sum(wide) <= room:
        return 0
    most = len(wide) - 2
    return next((n for n in range(1, most) if wide[0] + _GAP + sum(wide[1 + n :]) <= room), most)


def _line(label: str, margin: int, cells: Sequence[str], between: Sequence[str]) -> str:
    middle = "".join(f" {text}".ljust(_GAP) for text in between)
    return (label.ljust(margin) + cells[0] + middle + "".join(cells[1:])).rstrip()


def _cell(row: Row, k: int, wide: int, *, first: bool, last: bool) -> str:
    """Column `k` of a row. first: the column before it is not shown, so the word is said though it may be the same."""
    word = row.words[k]
    if not word:
        return " " * wide
    before = row.words[k - 1] if k and not first else ""
    level = _HIGH if row.highs[k] else _LOW
    edge = level
    if before and before != word:
        was = row.highs[k - 1]
        edge = "X" if was == row.highs[k] else "/" if row.highs[k] else "\\"
    text = edge if before == word and not last else f"{edge} {word} "
    if word == CHATTERS:
        return text + (_RESTLESS * wide)[: wide - len(text)]
    return text.ljust(wide, level)
