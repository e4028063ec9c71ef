"""The tests of a board before it is energised, in the order of work, each with what the network says it must show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from rungbook.circuit.wiring import Wiring
from rungbook.errors import LadderError
from rungbook.kit import ALL_KINDS
from rungbook.proof.wiring_check.terminals import Terminals, ohms
from rungbook.tables import html_table, text_table

_HAND = {"in": "push the armature of {tag} in by hand"}  # how a coil's device is worked without voltage


@dataclass(frozen=True)
class DeadTest:
    """One test. number: from 1. order: what to do first ("press S2"), or "". a, b: the terminals to measure between.

    wire: number of the wire in the list that it tests, or 0. expected: [ohm]; None if the meter must show OL (open).
    positions: where each device stands that is not at rest.
    """

    number: int
    order: str
    a: str
    b: str
    expected: float | None
    wire: int = 0
    positions: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}), hash=False)

    @property
    def shown(self) -> str:
        """What the meter must show: "beeps, 0 ohm", "168 ohm", "OL"."""
        if self.expected is None:
            return "OL"
        return "beeps, 0 ohm" if self.expected == 0 else f"{self.expected:.0f} ohm"


@dataclass(frozen=True)
class DeadTests:
    """All tests of one board; shows itself as a table to work through."""

    title: str
    tests: tuple[DeadTest, ...]

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [
            (str(t.number), t.order or "at rest", f"{t.a} – {t.b}", t.shown, "") for t in self.tests
        ]
        return ("", "do", "measure ohms", "must show", "reading"), rows

    def __str__(self) -> str:
        return text_table(*self._rows())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(f"Dead tests: {self.title}", *self._rows())


def dead_tests(wiring: Wiring) -> DeadTests:
    """Return the dead tests of `wiring` with their expected readings [ohm]. Supply off, locked out, its fuse out.

    First every wire end to end; then X1 – X2 with nothing touched, and with one device after the other moved by hand to
    each position it has (buttons pressed, selectors turned, armatures pushed in); then, where that changes the reading,
    with each second device moved that changes it too: does stop open what start has closed, are two paths apart?
    Readings are those of the kit's coils and lamps as an ohmmeter sees them. Raises LadderError if `wiring` is none.
    """
    if not isinstance(wiring, Wiring):
        raise LadderError("dead_tests", "tests what `wire` lists", wiring, ("wire(ladder, TRAINING_KIT)",))
    terminals = terminals_of(wiring)
    network = terminals.wired(wiring.wires)
    count = len(wiring.wires)
    found: list[DeadTest] = []

    def expect(positions: Mapping[str, str], a: str = "X1", b: str = "X2") -> float | None:
        return ohms(network, terminals.closed(positions), count, a, b)

    def add(order: str, a: str, b: str, positions: Mapping[str, str], wire: int = 0) -> None:
        kept = MappingProxyType(dict(positions))
        found.append(DeadTest(len(found) + 1, order, a, b, expect(positions, a, b), wire, kept))

    for number, one in enumerate(wiring.wires, 1):
        add("", one.start, one.end, {}, number)
    add("", "X1", "X2", {})
    hands = [(tag, position, order) for tag in terminals.tags for position, order in _hands(wiring, tag)]
    for tag, position, order in hands:
        add(order, "X1", "X2", {tag: position})
    alone = {(tag, position): expect({tag: position}) for tag, position, _ in hands}
    making = {hand for hand, value in alone.items() if value != expect({})}
    seen: set[frozenset[tuple[str, str]]] = set()
    for tag, position, order in hands:
        for other, there, then in hands:
            first, second = (tag, position), (other, there)
            both = frozenset((first, second))
            if first not in making or other == tag or both in seen:
                continue
            if second in making or expect({tag: position, other: there}) != alone[first]:
                seen.add(both)
                add(f"{order}; then, still so, {then}", "X1", "X2", {tag: position, other: there})
    return DeadTests(wiring.ladder.title, tuple(found))


def terminals_of(wiring: Wiring) -> Terminals:
    """The terminals of the devices that `wiring` uses, in the order in which the circuit names them."""
    return Terminals(wiring.kit, dict.fromkeys(item.item.device for item in wiring.items))


def _hands(wiring: Wiring, tag: str) -> list[tuple[str, str]]:
    """(position, order) of each position away from rest into which `tag` can be brought without voltage."""
    kind = ALL_KINDS[wiring.kit.devices[tag].model.kind]
    if kind.load == "coil":
        return [
            (place, _HAND[place].format(tag=tag)) for place in kind.positions[1:] if place in _HAND and not kind.timed
        ]
    found: dict[str, str] = {}
    for move in kind.moves:
        if move.end != kind.rest:
            found.setdefault(move.end, move.order.format(tag=tag))
    return list(found.items())
