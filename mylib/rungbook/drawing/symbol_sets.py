"""The two sets of symbols, behind one interface: `symbol_set("nema")`, `symbol_set("iec")`.

| name | standard | loads |
|---|---|---|
| nema | NEMA ICS 19, IEEE 315 (ANSI Y32.2) | circles, the designation inside |
| iec | IEC 60617 (database, part 7 of the old edition) | rectangles, the designation above |

A set gives shapes, pure data; what is written beside them is a matter of `cells`. A caller never looks into `nema` or
`iec`: a third set is one more record here.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Protocol

from rungbook.circuit import Contact, Load
from rungbook.drawing.iec import IEC
from rungbook.drawing.nema import NEMA
from rungbook.drawing.shapes import Shape
from rungbook.errors import LadderError
from rungbook.kit import Device


class SymbolSet(Protocol):
    """A set of symbols.

    name: as in `symbol_set(name)`. standard: for a title. colours: colour -> letters that a drawing writes for it in or
    under a lamp, and on a plate. meanings: a letter or mark that the set writes in or under a symbol, and that not
    every reader knows -> what a legend says of it. mirrored: True if on a wire that runs down a symbol is mirrored in
    the diagonal, so that what stands above it comes to the left; False if it is turned clockwise, and what stands
    below it comes to the left.
    """

    name: str
    standard: str
    colours: Mapping[str, str]
    meanings: Mapping[str, str]
    mirrored: bool

    def contact(self, device: Device, contact: Contact) -> Shape:
        """The symbol of `contact`, one of `device`; its kind, setting and the contact's terminals decide.

        Raises LadderError if a device of this kind has no contacts.
        """

    def load(self, device: Device, load: Load) -> Shape:
        """The symbol of `load` (coil, lamp, further input), one of `device`."""

    def device(self, kind: str) -> Shape:
        """The symbol of a whole device that stands beside the rungs, such as a "control transformer".

        Raises LadderError if this set draws a device of `kind` by its contacts and coil only.
        """


def symbol_set(name: str) -> SymbolSet:
    """Return the set `name`. Raises LadderError if there is no such set."""
    if not isinstance(name, str) or name not in _SETS:
        raise LadderError("symbols", "no such set of symbols", name, tuple(_SETS))
    return _SETS[name]


_SETS: Mapping[str, SymbolSet] = MappingProxyType({NEMA.name: NEMA, IEC.name: IEC})
