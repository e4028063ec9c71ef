"""`wire`: from a ladder to the list of wires that a person pulls on the kit, terminal to terminal.

A terminal is written "Q1:13": designation, colon, terminal. The control supply ends on "X1" (ungrounded, wire 1) and
"X2" (grounded, wire 2). The wire number is the node's (`wire_numbers`). Not more than two wires on a terminal: the
wires of a node go from terminal to terminal in one chain.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rungbook.circuit.allocate import Landed, allocate
from rungbook.circuit.ladder import Ladder
from rungbook.circuit.parts import Contact, Parallel, Part, Series
from rungbook.circuit.wires import LEFT_RAIL, RIGHT_RAIL, Wired
from rungbook.errors import LadderError
from rungbook.kit.inventory import Kit
from rungbook.tables import html_table, text_table

SUPPLY = {LEFT_RAIL: "X1", RIGHT_RAIL: "X2"}
MAX_ON_TERMINAL = 2


@dataclass(frozen=True)
class Wire:
    """One wire: `start` and `end` terminals, `number` its wire number, `rung` the rung it is for (0: unknown)."""

    start: str
    end: str
    number: int = 0
    rung: int = 0


@dataclass(frozen=True)
class Wiring:
    """A ladder on the terminals of a kit. Shows itself as a table, one wire a row.

    ladder: the same ladder with every contact and load on its terminals. items: those contacts and loads with their
    nodes, in reading order. wires: the wire list in the order of work, rung by rung.
    """

    ladder: Ladder
    kit: Kit
    items: tuple[Wired, ...]
    wires: tuple[Wire, ...]

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [
            (str(n), w.start, w.end, str(w.number), str(w.rung)) for n, w in enumerate(self.wires, 1)
        ]
        return ("", "from", "to", "wire number", "rung"), rows

    def __str__(self) -> str:
        return text_table(*self._rows())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(f"Wire list: {self.ladder.title}, {self.kit.name}", *self._rows())


def wire(ladder: Ladder, kit: Kit) -> Wiring:
    """Return the `Wiring` of `ladder` on `kit`: contacts chosen, wires listed from terminal to terminal.

    Same ladder and kit, same list. Raises LadderError if an argument is none of these, or the kit cannot carry the
    circuit (`rungbook.circuit.allocate.allocate` says when, and the message what is short and what cures it).
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("wire", "wires a Ladder", ladder, ("Ladder('title')",))
    if not isinstance(kit, Kit):
        raise LadderError("wire", "takes the devices from a Kit", kit, ("TRAINING_KIT", "Kit(name, devices)"))
    landed = allocate(ladder, kit)
    return Wiring(_named(ladder, landed), kit, tuple(one.wired for one in landed), _chain(landed))


def _chain(landed: Iterable[Landed]) -> tuple[Wire, ...]:
    last = dict(SUPPLY)  # node -> the terminal at the end of its chain
    reached = set(last.values())
    wires = []
    for one in landed:
        for end, node in ((one.left, one.wired.left), (one.right, one.wired.right)):
            terminal = f"{one.wired.item.device}:{end}"
            if terminal in reached:  # the common terminal of a changeover, there already
                continue
            if node in last:
                wires.append(Wire(last[node], terminal, node, one.rung))
            last[node] = terminal
            reached.add(terminal)
    return tuple(wires)


def _named(ladder: Ladder, landed: Iterable[Landed]) -> Ladder:
    """A copy of `ladder` with the contacts and loads of `landed` in the places of its own."""
    items = iter([one.wired.item for one in landed])

    def copy(part: Part) -> Part:
        if isinstance(part, Contact):
            item = next(items)
            assert isinstance(item, Contact)
            return item
        assert isinstance(part, Series | Parallel)
        return type(part)(tuple(copy(inner) for inner in part.parts))

    named = Ladder(ladder.title, ladder.declared)
    for rung in ladder.rungs:
        contacts = () if rung.contacts is None else (copy(rung.contacts),)
        named.rung(*contacts, *(next(items) for _ in rung.loads), note=rung.note)
    return named
