"""The sheets of a lab for all its groups, and of a kit for its check, as one file to print."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rungbook.classroom.lab_circuits import lab_circuits, on_panel
from rungbook.classroom.labs import Lab
from rungbook.drawing.forms import Form
from rungbook.drawing.function_sheet import function_sheet
from rungbook.drawing.wiring_sheet import wiring_sheet
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT, Kit


def lab_sheets(
    lab: Lab,
    groups: Sequence[str] = ("",),
    *,
    circuits: Iterable[str] = (),
    box: Kit = TRAINING_KIT,
    symbols: str = "nema",
    kits: Mapping[str, str] | None = None,
    control_only: bool = False,
) -> list[Form]:
    """Return the wiring sheets of `lab`, group by group, for those circuits of its model solution that can be wired.

    groups: their names, "" leaves the field empty. circuits: names of answers, left out all. kits: group -> number of
    its kit. control_only: without the power side of the circuits that have one in the lab. Raises LadderError if the
    lab has no such circuit, none can be wired, or as `lab_circuits`.
    """
    found, powers = lab_circuits(lab)
    wanted = tuple(circuits) or tuple(found)
    for name in wanted:
        if name not in found:
            raise LadderError(f"{lab.name}, sheets", "no such circuit in the lab", name, tuple(found))
    placed = [on_panel(name, found[name], box) for name in wanted]
    wirings = {one.name: one.wiring for one in placed if one.wiring is not None}
    if not wirings:
        why = "; ".join(one.problem for one in placed) or "the lab has none"
        raise LadderError(f"{lab.name}, sheets", f"no circuit can be wired: {why}")
    forms = []
    for group in groups:
        filled = {"Group": group, "Kit": (kits or {}).get(group, "")}
        for name, wiring in wirings.items():
            power = None if control_only else powers.get(name)
            forms.append(wiring_sheet(wiring, filled, symbols, power, box))
    return forms


def test_sheets(kits: Mapping[str, tuple[Kit, str]]) -> list[Form]:
    """Return the inspection and function-test sheets: number of a kit -> what it holds, and the group that has it."""
    return [function_sheet(kit, filled={"Kit": number, "Group": group}) for number, (kit, group) in kits.items()]
