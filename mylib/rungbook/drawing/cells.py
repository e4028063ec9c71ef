"""A cell: one symbol with its texts, and the space they take round the symbol's middle.

Above a symbol stands its designation, below the wire at either side its terminals, below all that its plate. A
coil's designation and a lamp's colour letter stand inside the circle.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

from rungbook.circuit import Contact, Load, Wired
from rungbook.drawing.metrics import ASCENT, DESCENT, LINE, wrap
from rungbook.drawing.references import Reference
from rungbook.drawing.shapes import Shape
from rungbook.drawing.sheet import STYLES, Align, Text
from rungbook.drawing.symbol_sets import SymbolSet
from rungbook.kit import Device

LEAD = 28.0  # wire beside a symbol, long enough for a wire number of five figures
HALF = 48.0  # least half width of a cell, so that most symbols stand in columns
SPACE = 3.0  # least distance between a text and what is next to it
PLATES = ((84.0, 2), (120.0, 3))  # widths of a plate's lines to try, with the lines each may have
REFERENCES = 110.0  # width of the column of cross-references


@dataclass(frozen=True)
class Cell:
    """A symbol and its texts; texts relative to the symbol's middle. half, ascent, descent: space needed [px]."""

    shape: Shape
    texts: tuple[Text, ...]
    half: float
    ascent: float
    descent: float


def line(role: str, x: float, y: float, words: str, align: Align = "middle", rung: int = 0, device: str = "") -> Text:
    """A text of one run."""
    return Text(role, x, y, ((words, False),), align, rung, device)


def lines(role: str, x: float, top: float, texts: tuple[str, ...], align: Align, device: str = "") -> tuple[Text, ...]:
    """Lines of text below one another, the first one's box beginning at `top`."""
    size = STYLES[role].size
    return tuple(
        line(role, x, top + ASCENT * size + n * LINE * size, words, align, 0, device) for n, words in enumerate(texts)
    )


def colour_of(item: Contact | Load, device: Device) -> str:
    """Colour of a button or lens, as the rung or the panel says; "" if neither does."""
    return (item.colour if isinstance(item, Load) else "") or device.colour


def contact_cell(wired: Wired, device: Device, symbols: SymbolSet) -> Cell:
    """The cell of a contact, with the symbol of set `symbols`."""
    item = wired.item
    assert isinstance(item, Contact)
    shape = symbols.contact(device, item)
    letter = "" if device.spec.load else symbols.colours.get(device.colour, "")
    plate = " ".join(filter(None, (device.label, f"({letter})" if letter else "")))
    head = line("designation", 0, shape.box[1] - 6, device.tag, device=device.tag)
    return _cell(shape, ends_of(wired), (head,), shape.mark, plate, device.tag)


def load_cell(wired: Wired, device: Device, symbols: SymbolSet) -> Cell:
    """The cell of a coil, lamp or further input, with the symbol of set `symbols`."""
    item = wired.item
    assert isinstance(item, Load)
    shape = symbols.load(device, item)
    name, small = device.tag, len(device.tag) > 3
    middle = 0.36 * STYLES["inside"].size
    head: tuple[Text, ...]
    if not shape.inside:
        head = (line("designation", 0, shape.box[1] - 6, name, device=name),)
        if shape.letter:
            head += (line("inside", 0, middle, shape.letter, device=name),)
    elif shape.letter:
        role, up, down = ("inside small", 0.0, 11.2) if small else ("inside", -2.5, 9.5)
        head = (line(role, 0, up, name, device=name), line("inside small", 0, down, shape.letter, device=name))
    else:
        role = "inside small" if small else "inside"
        head = (line(role, 0, 0.36 * STYLES[role].size, name, device=name),)
    return _cell(shape, ends_of(wired), head, shape.mark, device.label, name)


def ends_of(wired: Wired) -> tuple[str, ...]:
    """The terminals of an item, first the one on its left node; none if it has no names for them."""
    ends = tuple(filter(None, wired.item.terminals.split("-")))
    return ends[::-1] if wired.turned else ends


def _cell(shape: Shape, terminals: tuple[str, ...], head: tuple[Text, ...], mark: str, plate: str, tag: str) -> Cell:
    left, top, right, bottom = shape.box
    texts = list(head)
    if terminals:
        first, second = terminals
        texts.append(line("terminal", left - SPACE, 13, first, "end", device=tag))
        texts.append(line("terminal", right + SPACE, 13, second, "start", device=tag))
    under = max([bottom, *(text.box[3] for text in texts)]) + SPACE
    texts += lines("plate", 0, under, ((mark,) if mark else ()) + _plate(plate), "middle", tag)
    half = max([HALF, -left + LEAD, right + LEAD, *(abs(x) + SPACE for text in texts for x in text.box[::2])])
    ascent = max([-top, *(-text.box[1] for text in texts)])
    descent = max([bottom, *(text.box[3] for text in texts)])
    return Cell(shape, tuple(texts), ceil(half), ceil(ascent), ceil(descent))


def _plate(text: str) -> tuple[str, ...]:
    size = STYLES["plate"].size
    for width, most in PLATES:
        done = wrap(text, size, width, most)
        if not done or not done[-1].endswith("…"):
            return done
    return done


def reference_lines(entries: tuple[Reference, ...], tag: str, name: Callable[[int], str] = str) -> tuple[Text, ...]:
    """The cross-references of a coil, those to normally closed contacts underlined. name: how a rung is named.

    x = 0 is the left end of the lines, y = 0 the coil's wire, which the first line stands level with.
    """
    size = STYLES["reference"].size
    rows: list[list[tuple[str, bool]]] = [[]]
    for place, (rung, kind) in enumerate(entries):
        runs = [(name(rung), kind == "NC")] + ([(", ", False)] if place + 1 < len(entries) else [])
        trial = Text("reference", 0, 0, tuple(rows[-1] + runs), "start")
        if rows[-1] and trial.width > REFERENCES:
            rows.append([])
        rows[-1] += runs
    rows = [row for row in rows if row]
    return tuple(
        Text("reference", 0, 0.36 * size + n * LINE * size, tuple(row), "start", 0, tag) for n, row in enumerate(rows)
    )


def below(texts: tuple[Text, ...]) -> float:
    """Bottom of the lowest text, 0 if there is none."""
    return max((text.y + DESCENT * text.style.size for text in texts), default=0.0)
