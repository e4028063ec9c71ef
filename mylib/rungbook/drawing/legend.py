"""What a drawing's signs mean: only those that are used in it, and that not every reader knows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rungbook.circuit import INPUTS, Contact, Wired
from rungbook.drawing.cells import colour_of
from rungbook.drawing.shapes import Shape
from rungbook.drawing.symbol_sets import SymbolSet
from rungbook.kit import Device

WIRES = "Figure in italics {} a wire: wire number."
COLOUR = "Letters in or under a lamp, or in brackets on a plate: colour. {}."
REFERENCES = "Figures right of the rail: {} with contacts of that coil; underlined: normally closed."
TABLES = "Table below a coil: {} with its contacts, NO normally open, NC normally closed."
TURNS = "Arrow with a letter: the wire goes on at the next arrow with that letter on the same {}."


def legend(
    items: Iterable[tuple[Wired, Shape]],
    devices: Mapping[str, Device],
    symbols: SymbolSet,
    *,
    down: bool = False,
    references: str = "",
    turns: str = "",
) -> tuple[str, ...]:
    """Return the lines of the legend for a drawing of `items`, wired items with their symbols.

    references: what a cross-reference names ("rungs", "page and
    rung"), "" if there are none. turns: what is folded ("rung", "path"), "" if nothing is.
    """
    whole = tuple(items)
    said = [WIRES.format("left of" if down else "above")] if whole else []
    used = {
        colour_of(wired.item, devices[wired.item.device])
        for wired, _ in whole
        if devices[wired.item.device].spec.load != "coil"
    }
    colours = ", ".join(f"{letter} {colour}" for colour, letter in symbols.colours.items() if colour in used)
    if colours:
        said.append(COLOUR.format(colours))
    if references:
        said.append((TABLES if down else REFERENCES).format(references))
    if turns:
        said.append(TURNS.format(turns))
    letters = {word for _, shape in whole for word in shape.mark.split()}
    letters |= {
        shape.letter for wired, shape in whole if not isinstance(wired.item, Contact) if wired.item.kind in INPUTS
    }
    told = [words for word, words in symbols.meanings.items() if word in letters]
    return (*said, *([f"{'; '.join(told)}."] if told else []))
