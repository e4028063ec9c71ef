"""A cell whose wire runs down the sheet: the same symbol turned, and its texts, upright, beside it.

Left of a symbol stands its designation, and the wire numbers stand left of the wire; right of the wire its terminals,
right of the symbol its plate. Letters inside a symbol stay where they are.
"""

from __future__ import annotations

from math import ceil

from rungbook.circuit import Contact, Wired
from rungbook.drawing.cells import SPACE, Cell, contact_cell, ends_of, line, lines, load_cell
from rungbook.drawing.metrics import ASCENT, DESCENT, LINE, text_width
from rungbook.drawing.sheet import STYLES, Text
from rungbook.drawing.symbol_sets import SymbolSet
from rungbook.drawing.turned import turned
from rungbook.kit import Device

LEAD = 26.0  # wire before and behind a symbol, long enough for a terminal or a wire number beside it
HALF = 40.0  # least half length of a cell, so that most symbols stand in rows
_BESIDE = 4.0  # from the wire to what stands beside it


def cell_of(wired: Wired, device: Device, symbols: SymbolSet, down: bool = False) -> Cell:
    """The cell of a contact or load with the symbol of set `symbols`, on a wire that runs to the right or down."""
    make = contact_cell if isinstance(wired.item, Contact) else load_cell
    flat = make(wired, device, symbols)
    return _turned(flat, wired, device.tag, symbols.mirrored) if down else flat


def _turned(flat: Cell, wired: Wired, tag: str, mirrored: bool) -> Cell:
    shape = turned(flat.shape, mirrored)
    left, top, right, bottom = shape.box
    texts: list[Text] = []
    for text in flat.texts:
        if text.role == "designation":
            y = 0.36 * STYLES["designation"].size
            texts.append(line("designation", left - 2 * SPACE, y, text.words, "end", device=tag))
        elif text.role.startswith("inside"):
            texts.append(text)
    beside = right
    if wired.item.terminals:
        size = STYLES["terminal"].size
        ends = zip(ends_of(wired), (top - SPACE - DESCENT * size, bottom + SPACE + 0.76 * size), strict=True)
        own = [line("terminal", _BESIDE, y, words, "start", device=tag) for words, y in ends]
        beside = max(beside, *(text.box[2] for text in own))
        texts += own
    words = tuple(text.words for text in flat.texts if text.role == "plate")
    tall = STYLES["plate"].size * (LINE * (len(words) - 1) + ASCENT + DESCENT)
    texts += lines("plate", beside + 2 * SPACE, -tall / 2, words, "start", tag)
    number = max(text_width(str(node), STYLES["wire"].size) for node in (wired.left, wired.right))
    ends_at = [edge for text in texts for edge in (-text.box[1], text.box[3])]
    half = max(HALF, -top + LEAD, bottom + LEAD, *(edge + SPACE for edge in ends_at))
    ascent = max(-left, number + _BESIDE + SPACE, *(-text.box[0] for text in texts))
    descent = max(right, *(text.box[2] for text in texts))
    return Cell(shape, tuple(texts), ceil(half), ceil(ascent), ceil(descent))
