"""Lab 12: its worked numbers, its predictions, and that the check-out counts the whole kit."""

import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from labs.harness import run_cell
from rungbook import run
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.exchange import Scan, read_statements
from rungbook.kit import TRAINING_KIT
from rungbook.motors.units import read_quantity

LAB = find_lab(Path(__file__).parents[2], "lab12-programmable-controller")


@cache
def solved() -> dict:
    """The names of the solved notebook after its last cell."""
    namespace: dict = {"__name__": "__main__"}
    for cell in instructor_notebook(LAB).cells:
        if cell.cell_type == "code":
            run_cell(cell.source, namespace)
    return namespace


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("shortest press of S1 that is surely seen", 4 + 17),
        ("longest time from the press until the output is written", 4 + 17 + 17),  # two scans: common practice
        ("longest time from the press until Q1 has dropped out", 4 + 17 + 17 + 8 + 15),
        ("way of the bottle in this time", 30.5),  # 0.5 m/s × 61 ms
    ],
)
def test_the_solutions_numbers_are_those_that_pencil_and_paper_give(field, value):
    (number,) = read_quantity(solved()["times"][field], field).numbers
    assert number == value


def test_a_coil_written_below_is_seen_one_scan_later_and_relays_do_not_care():
    """Check values 9.24, from memory of IEC 61131-3: the lamp of part 5 comes two scans after K1, or in the same."""
    late, parts = solved()["late"], solved()["parts"]
    assert [change[:2] for change in Scan(late).run("press S2").changes] == [(1.0, "K1"), (1.01, "K2"), (1.02, "P1")]
    turned = read_statements("K1 := S2;  K2 := K1;  P1 := K2;", parts)
    assert {time for time, _, _ in Scan(turned).run("press S2").changes} == {1.0}
    assert [run(one, "press S2")[-1].positions["P1"] for one in (late, turned)] == ["lit", "lit"]


def test_a_not_before_an_nc_stop_makes_a_pump_that_runs_only_while_stop_is_pressed():
    wrong = read_statements("Q1 := (S2 OR Q1) AND NOT S1 AND F1;", solved()["site_of_pump"], {"S1": "NC", "F1": "NC"})
    assert run(wrong, "press S2")[-1].positions["Q1"] == "out"
    assert run(wrong, "press S1, press S2")[-1].positions["Q1"] == "in"


def test_the_check_out_counts_every_part_of_the_training_kit():
    rows = re.findall(r"^\| ([^|]+) \| ([^|]+) \| (\d+) \|", LAB.bench_source.read_text(encoding="utf-8"), re.MULTILINE)
    counted = {name: int(number) for name, _, number in rows}
    there = Counter(fitted.model.name for fitted in TRAINING_KIT.devices.values())
    for fitted in TRAINING_KIT.devices.values():
        if fitted.model.name == "contactor":
            there.update(extra.name for extra in fitted.accessories)
    there["mechanical interlock"] //= 2  # sits between two contactors
    there["reversing link set"] //= 2
    for model, number in there.items():
        assert [count for name, count in counted.items() if name.split(",")[0] == model] == [number], model
    assert len(counted) == len(there)
