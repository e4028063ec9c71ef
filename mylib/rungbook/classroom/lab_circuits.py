"""The circuits of a lab that are wired on the kit: its answers that are ladders and fit, from the model solution.

A ladder's power circuit is the first one that the model solution names, of those whose contactors and overload relays
are all devices of the ladder.
"""

from __future__ import annotations

import contextlib
import io
import re
from dataclasses import dataclass

from rungbook.circuit import Ladder, PowerCircuit, Wiring, wire
from rungbook.circuit.arrange import arrange
from rungbook.circuit.power_wires import PowerWiring, wire_power
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT, Kit

_MARKED = re.compile(r"\bmark\(\s*[\"'](\w+)[\"']")


def lab_circuits(lab: Lab) -> tuple[dict[str, Ladder], dict[str, PowerCircuit]]:
    """Return answer -> ladder, for each marked answer of the model solution that is a finished ladder, and answer ->
    power circuit for those that have one.

    Runs the instructor's own notebook in this process, its test cells left out. Raises LadderError if a cell fails.
    """
    names, space = _solved(lab)
    answers = {name: space.get(name) for name in names}
    ladders = {name: value for name, value in answers.items() if isinstance(value, Ladder) and value.rungs}
    powers = [value for value in space.values() if isinstance(value, PowerCircuit)]
    found = {name: next((p for p in powers if _switches(ladder, p)), None) for name, ladder in ladders.items()}
    return ladders, {name: power for name, power in found.items() if power is not None}


def _switches(ladder: Ladder, power: PowerCircuit) -> bool:
    """True if the contactors and overload relays of `power` are all devices of `ladder`, and it feeds a motor."""
    needed = [device for device in power.devices if device.kind in ("contactor", "overload relay")]
    kinds = {tag: device.kind for tag, device in ladder.devices.items()}
    return bool(needed and power.motors) and all(kinds.get(device.tag) == device.kind for device in needed)


def _solved(lab: Lab) -> tuple[list[str], dict[str, object]]:
    """The names of the marked answers, and all that the model solution has named when it has run."""
    notebook = instructor_notebook(lab)
    names: dict[str, None] = {}
    space: dict[str, object] = {"__name__": "__main__"}
    for cell in notebook.cells:
        if cell.cell_type != "code":
            continue
        if cell.metadata.get("nbgrader", {}).get("locked"):
            names.update(dict.fromkeys(_MARKED.findall(cell.source)))
            continue
        try:
            with contextlib.redirect_stdout(io.StringIO()):
                exec(compile(cell.source, cell["id"], "exec"), space)
        except Exception as error:
            raise LadderError(f"{lab.name}, cell {cell['id']}", f"fails: {error}") from error
    return list(names), space


@dataclass(frozen=True)
class OnPanel:
    """One circuit with parts of a box. wiring: None if it cannot be wired, as problem says. extra: as `Arrangement`.

    power: the wires of its power side, if it has one.
    """

    name: str
    ladder: Ladder
    wiring: Wiring | None
    taken: dict[str, str]
    extra: tuple[tuple[str, str], ...] = ()
    problem: str = ""
    power: PowerWiring | None = None


def on_panel(name: str, ladder: Ladder, box: Kit = TRAINING_KIT, power: PowerCircuit | None = None) -> OnPanel:
    """Put the parts of `box` on the panel for `ladder` and wire it; what the box lacks is listed and taken as there.

    power: its power circuit, which takes from the box what the panel leaves.
    """
    try:
        found = arrange(ladder, box)
        main = wire_power(power, found.panel, box) if power is not None else None
        return OnPanel(name, ladder, wire(ladder, found.panel), found.taken, found.extra, power=main)
    except LadderError as error:
        return OnPanel(name, ladder, None, {}, problem=str(error))
