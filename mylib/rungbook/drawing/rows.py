"""The rungs of a ladder with their measures, before they have a place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import ceil

from rungbook.circuit import INPUTS, Ladder, Load, Rung, Wired, wire_numbers
from rungbook.drawing.blocks import FORK, Block, measure, stack
from rungbook.drawing.cells import Cell, below, reference_lines
from rungbook.drawing.fold import folded
from rungbook.drawing.references import Reference, references
from rungbook.drawing.sheet import Text
from rungbook.drawing.symbol_sets import SymbolSet
from rungbook.drawing.table import ContactTable, contact_table
from rungbook.drawing.upright import cell_of
from rungbook.kit import Device

Name = Callable[[int], str]  # number of a rung -> how a cross-reference names it


@dataclass(frozen=True)
class Style:
    """How a ladder is drawn: the set of symbols, and whether its current paths run down instead of across."""

    symbols: SymbolSet
    down: bool = False


@dataclass(frozen=True)
class Branch:
    """A load with its measures: place in the rung's reading order, cell, nodes, cross-references.

    The cross-references are lines of text beside the rail or a table below it, as the paths run across or down.
    """

    item: int
    cell: Cell
    wired: Wired
    named: tuple[Text, ...] = ()
    table: ContactTable | None = None

    @property
    def room(self) -> tuple[float, float]:
        """Room across before and behind its wire."""
        half = self.table.half if self.table else 0.0
        return max(self.cell.ascent, half), max(self.cell.descent, ceil(below(self.named)), half)


@dataclass(frozen=True)
class Row:
    """A rung with its measures. drops: how far across from where the contacts end each load stands."""

    number: int
    rung: Rung
    contacts: Block | None
    loads: tuple[Branch, ...]
    drops: tuple[float, ...]

    @property
    def exit(self) -> float:
        """How far across from where the rung begins its loads begin."""
        return self.contacts.exit if self.contacts else 0.0

    @property
    def ascent(self) -> float:
        """Room across before the rung's wire."""
        return max(self.loads[0].room[0] - self.exit, self.contacts.ascent if self.contacts else 0.0)

    @property
    def descent(self) -> float:
        """Room across behind the rung's wire."""
        loads = self.exit + self.drops[-1] + self.loads[-1].room[1]
        return ceil(max(loads, self.contacts.descent if self.contacts else 0.0))

    def length(self, column: float) -> float:
        """From rail to rail, with loads in cells of half length `column`."""
        tail = _tail(len(self.loads), column)
        return tail if self.contacts is None else max(self.contacts.width, self.contacts.end + tail)


def _tail(loads: int, column: float) -> float:
    return 2 * column + (FORK if loads > 1 else 0.0)


def measured(
    ladder: Ladder, style: Style, room: float | None = None, name: Name = str
) -> tuple[tuple[Row, ...], float]:
    """Return the rungs of `ladder` with their measures, and half the length of the loads' cells.

    room: from rail to rail [px]; a longer rung is folded. name: how a cross-reference names a rung. Raises LadderError
    if the set has no symbol for a contact.
    """
    devices, found = ladder.devices, references(ladder)
    make = _maker(devices, ladder.coils(), style)
    rungs = tuple(zip(ladder.rungs, wire_numbers(ladder), strict=True))
    loads = [
        tuple(
            _branch(item, make(wired), wired, found, style, name)
            for item, wired in enumerate(row.loads, len(row.contacts) + 1)
        )
        for _, row in rungs
    ]
    column = max((load.cell.half for own in loads for load in own), default=0.0)
    rows = []
    for n, ((rung, row), own) in enumerate(zip(rungs, loads, strict=True), 1):
        contacts = None if rung.contacts is None else measure(rung.contacts, enumerate(row.contacts, 1), make)
        if contacts is not None and room is not None:
            contacts = folded(contacts, room, _tail(len(own), column), own[0].room[0])
        rows.append(Row(n, rung, contacts, own, stack([load.room for load in own])))
    return tuple(rows), column


def _maker(devices: Mapping[str, Device], coils: tuple[str, ...], style: Style) -> Callable[[Wired], Cell]:
    """What makes the cells: the plate of a device with a coil here stands at the coil, once."""
    bare = {tag: replace(device, label="") if tag in coils else device for tag, device in devices.items()}

    def make(wired: Wired) -> Cell:
        own = isinstance(wired.item, Load) and wired.item.kind not in INPUTS
        return cell_of(wired, (devices if own else bare)[wired.item.device], style.symbols, style.down)

    return make


def _branch(
    item: int, cell: Cell, wired: Wired, found: Mapping[str, tuple[Reference, ...]], style: Style, name: Name
) -> Branch:
    tag = wired.item.device
    entries = found.get(tag, ()) if wired.item.kind == "coil" else ()
    if style.down:
        return Branch(item, cell, wired, (), contact_table(entries, tag, name))
    return Branch(item, cell, wired, reference_lines(entries, tag, name))
