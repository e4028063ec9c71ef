"""Every circuit of the contract, and every ladder of every lab's solution, as a checker wants it."""

from __future__ import annotations

from pathlib import Path

import pytest

from contract.circuits import CIRCUITS, build
from labs.harness import run_cell
from rungbook import Ladder
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_labs
from rungbook.drawing.layout import layout
from rungbook.drawing.symbol_sets import _SETS as SETS

from .checker import check_ladder

LABS = find_labs(Path(__file__).parents[2])
WAYS = [(symbols, paths, width) for symbols in SETS for paths in ("across", "down") for width in (None, 500)]


def _ladders(name: str) -> list[Ladder]:
    """The ladders that the solved lab `name` makes outside its test cells, as they stand at its end."""
    (lab,) = (lab for lab in LABS if lab.name == name)
    namespace: dict[str, object] = {"__name__": "__main__"}
    for cell in instructor_notebook(lab).cells:
        if cell.cell_type == "code" and not cell.metadata.get("nbgrader", {}).get("locked"):
            run_cell(cell.source, namespace)
    found = [thing for thing in namespace.values() if isinstance(thing, Ladder)]
    return list({id(ladder): ladder for ladder in found}.values())


@pytest.mark.parametrize("name", [lab.name for lab in LABS])
def test_ladders_of_a_lab_are_drawn_as_a_checker_wants(name: str) -> None:
    found = _ladders(name)
    assert len(found) >= 3
    for ladder in found:
        for way in WAYS:
            check_ladder(layout(ladder, *way), ladder)


@pytest.mark.parametrize("name", CIRCUITS)
def test_circuits_of_the_trade_are_drawn_as_a_checker_wants(name: str) -> None:
    ladder = build(name)
    for way in WAYS:
        check_ladder(layout(ladder, *way), ladder)
