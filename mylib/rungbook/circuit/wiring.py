"""`wire`: from a ladder to the list of wires that a person pulls on the kit, terminal to terminal.

A terminal is written "Q1:13": designation, colon, terminal. The control supply ends on "X1" (ungrounded, wire 1) and
"X2" (grounded, wire 2). The wire number is the node's (`wire_numbers`). Not more than two wires on a terminal: the
wires of a node go from terminal to terminal in one chain. Where the kit has too few contacts, rungs share some
(`sharing`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

from rungbook.circuit.allocate import Landed, allocate, plan_on
from rungbook.circuit.ladder import Ladder
from rungbook.circuit.parts import Contact, Load, Parallel, Part, Series
from rungbook.circuit.sharing import Plan
from rungbook.circuit.wires import LEFT_RAIL, RIGHT_RAIL, Wired, shared_contacts
from rungbook.errors import LadderError
from rungbook.kit.inventory import Kit
from rungbook.tables import html_table, listed, text_table

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

    ladder: the same ladder with every contact and load on its terminals; a contact that rungs share stands in each of
    them with the same terminals, contacts in series stand in the order in which they are wired. items: those contacts
    and loads with their nodes, in reading order, a shared one once. wires: the wire list in the order of work, rung by
    rung. moved: where the order is not that of the ladder that was given, a sentence each.
    """

    ladder: Ladder
    kit: Kit
    items: tuple[Wired, ...]
    wires: tuple[Wire, ...]
    moved: tuple[str, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """What belongs below the drawing: which contacts rungs share, and what is wired in another order than given."""
        shared = shared_contacts(self.ladder).items()
        said = (f"{one.device} {one.terminals} in rungs {listed(rungs)} is one contact." for one, rungs in shared)
        return (*said, *self.moved)

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [
            (str(n), w.start, w.end, str(w.number), str(w.rung)) for n, w in enumerate(self.wires, 1)
        ]
        return ("", "from", "to", "wire number", "rung"), rows

    def __str__(self) -> str:
        return "\n".join([text_table(*self._rows()), *self.notes])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        table = html_table(f"Wire list: {self.ladder.title}, {self.kit.name}", *self._rows())
        return table + "".join(f"<p>{escape(note)}</p>" for note in self.notes)


def wire(ladder: Ladder, kit: Kit, *, as_drawn: bool = False) -> Wiring:
    """Return the `Wiring` of `ladder` on `kit`: contacts chosen, wires listed from terminal to terminal.

    If the kit has too few contacts for one in each rung, rungs share those with which they begin alike; contacts in
    series change places for that where need be, unless as_drawn is True. The result's `notes` say so.
    Same ladder and kit, same list. Raises LadderError if an argument is none of these, or the kit cannot carry the
    circuit (`rungbook.circuit.allocate.allocate` says when, and the message what is short and what cures it).
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("wire", "wires a Ladder", ladder, ("Ladder('title')",))
    if not isinstance(kit, Kit):
        raise LadderError("wire", "takes the devices from a Kit", kit, ("TRAINING_KIT", "Kit(name, devices)"))
    plan = plan_on(ladder, kit, not as_drawn)
    landed = allocate(ladder, kit, plan)
    items = tuple(one.wired for one in landed)
    return Wiring(_named(plan, items), kit, items, _chain(landed), _moved(plan, items))


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


def _named(plan: Plan, items: Sequence[Wired]) -> Ladder:
    """The ladder of `plan` in its order, with the contacts and loads of `items` in the places of its own."""
    named = Ladder(plan.ladder.title, plan.ladder.declared)
    for rung, chain, wired in zip(plan.ladder.rungs, plan.chains, plan.rungs, strict=True):
        own = iter([items[place].item for place in wired.places])
        parts = tuple(_copy(part, own) for part in chain)
        contacts = (Series(parts),) if len(parts) > 1 else parts
        named.rung(*contacts, *(load for load in own if isinstance(load, Load)), note=rung.note)
    return named


def _copy(part: Part, items: Iterator[Contact | Load]) -> Part:
    """`part` with the next of `items` in the places of its contacts."""
    if isinstance(part, Contact):
        item = next(items)
        assert isinstance(item, Contact)
        return item
    assert isinstance(part, Series | Parallel)
    return type(part)(tuple(_copy(inner, items) for inner in part.parts))


def _moved(plan: Plan, items: Sequence[Wired]) -> tuple[str, ...]:
    """What is wired in another order than it is drawn, a sentence for each part and rung."""
    said = []
    for number, part, passed in plan.moved:
        rung = plan.rungs[number - 1]
        named = {id(one.item): items[place].item for one, place in zip(rung.items, rung.places, strict=True)}
        mine = listed([f"{one.device} {named[id(one)].terminals}".rstrip() for one in part.contacts()])
        others = listed(dict.fromkeys(one.device for other in passed for one in other.contacts()))
        verb, it = ("is", "it stands") if part.size == 1 else ("are", "they stand")
        said.append(f"Rung {number}: {mine} {verb} wired before {others}; in the circuit as given {it} behind.")
    return tuple(said)
