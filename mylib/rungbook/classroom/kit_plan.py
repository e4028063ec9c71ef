"""Planning for the instructor: which labs a kit can carry, what must be added, what a class costs, what is shared."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from rungbook.classroom.lab_circuits import OnPanel, lab_circuits, on_panel
from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT, Kit
from rungbook.kit.ledger import pieces
from rungbook.kit.ledger.lists import Listing

MOST_GROUPS = 200


@dataclass(frozen=True)
class LabPlan:
    """One lab on one kit: its circuits, as `on_panel` found them."""

    lab: str
    circuits: tuple[OnPanel, ...]

    @property
    def added(self) -> Counter[str]:
        """Models that a kit needs beside its own for this lab: the most that any one of its circuits needs."""
        found: Counter[str] = Counter()
        for circuit in self.circuits:
            found |= Counter(model for _, model in _lacking(circuit))
        return found

    @property
    def models(self) -> Counter[str]:
        """Models of the parts that this lab uses at once, at most, accessories included."""
        found: Counter[str] = Counter()
        for circuit in self.circuits:
            if circuit.wiring is not None:
                found |= Counter(piece.model for piece in pieces(circuit.wiring.kit)) + _main_models(circuit)
        return found


def _main_models(circuit: OnPanel) -> Counter[str]:
    """Models of the parts that the power side of a circuit has beside those of its control circuit."""
    if circuit.wiring is None or circuit.power is None:
        return Counter()
    there = circuit.wiring.kit.devices
    return Counter(part.model for part in circuit.power.parts if part.tag not in there and part.model)


def _lacking(circuit: OnPanel) -> list[tuple[str, str]]:
    """(designation, model) of what the box lacks and the catalogue has, of the control and of the power side."""
    parts = circuit.power.parts if circuit.power is not None else ()
    return [*circuit.extra, *((part.tag, part.model) for part in parts if part.extra and part.model)]


def _unknown(circuit: OnPanel) -> list[str]:
    """What the catalogue does not have for the power side: "no motor with 6 leads for M1"."""
    parts = circuit.power.parts if circuit.power is not None else ()
    return [f"no {part.kind} with {len(part.ends)} leads for {part.tag}" for part in parts if not part.model]


def plan(labs: Iterable[Lab], box: Kit = TRAINING_KIT) -> tuple[LabPlan, ...]:
    """Return what each lab needs of `box`. Runs the model solutions. Raises LadderError as `lab_circuits`."""
    found = []
    for lab in labs:
        ladders, powers = lab_circuits(lab)
        circuits = tuple(on_panel(name, ladder, box, powers.get(name)) for name, ladder in ladders.items())
        found.append(LabPlan(lab.short, circuits))
    return tuple(found)


def what_carries(plans: Iterable[LabPlan]) -> Listing:
    """Lab by lab and circuit by circuit: can the kit carry it, and what must be added."""
    rows = []
    for one in plans:
        for circuit in one.circuits:
            if circuit.wiring is None:
                told = f"no: {circuit.problem}"
            else:
                more = _lacking(circuit)
                told = f"with more: {', '.join(f'{model} for {tag}' for tag, model in more)}" if more else "yes"
                told += "".join(f"; {one}: free terminals in its place" for one in _unknown(circuit))
            rows.append((one.lab, circuit.name, circuit.ladder.title, told))
    return Listing("What the kit carries", ("lab", "circuit", "title", "on the kit"), tuple(rows))


def costs(
    plans: Iterable[LabPlan],
    groups: int,
    prices: Mapping[str, Decimal],
    currency: str = "",
    box: Kit = TRAINING_KIT,
) -> Listing:
    """What kits for `groups` groups cost: each model of the box and each to be added, and which labs use it.

    A model that one lab alone uses can be shared, if the groups take turns in that lab; it is marked so. Raises
    LadderError if `groups` is no whole number from 1 to 200.
    """
    if isinstance(groups, bool) or not isinstance(groups, int) or not 1 <= groups <= MOST_GROUPS:
        raise LadderError("Plan", f"a class has 1 to {MOST_GROUPS} groups", groups)
    listed = tuple(plans)
    have = Counter(piece.model for piece in pieces(box))
    added: Counter[str] = Counter()
    for one in listed:
        added |= one.added
    rows, total, unknown = [], Decimal(), []
    for model in (*have, *(name for name in added if name not in have)):
        count = have[model] + added[model]
        each = prices.get(model)
        users = [one.lab for one in listed if one.models[model]]
        told = ", ".join(users) or "by none of these circuits"
        if len(users) == 1:
            told += "; can be shared in turns"
        cost = "no price" if each is None else f"{each * count * groups:.2f} {currency}".strip()
        if each is None:
            unknown.append(model)
        else:
            total += each * count * groups
        rows.append((model, str(count), str(added[model] or ""), cost, told))
    tail = f"without {len(unknown)} models that have no price" if unknown else ""
    rows.append(("sum", "", "", f"{total:.2f} {currency}".strip(), tail))
    head = ("model", "in a kit", "of these to add", f"cost for {groups} groups", "used in")
    return Listing(f"Kits for {groups} groups", head, tuple(rows))
