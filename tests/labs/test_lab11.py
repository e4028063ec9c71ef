"""Lab 11: its worked numbers, and that its solution is what the emergency stop of category 1 asks."""

from functools import cache
from pathlib import Path

import pytest

from labs.harness import run_cell
from rungbook import run
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.motors.units import read_quantity


@cache
def solved() -> dict:
    """The names of the solved notebook after its last cell."""
    namespace: dict = {"__name__": "__main__"}
    for cell in instructor_notebook(find_lab(Path(__file__).parents[2], "lab11-soft-starter-drive")).cells:
        if cell.cell_type == "code":
            run_cell(cell.source, namespace)
    return namespace


def written(form: str, field: str) -> float:
    (number,) = read_quantity(solved()[form][field], field).numbers
    return number


def test_half_the_voltage_gives_half_the_current_and_a_quarter_of_the_torque_as_the_text_says():
    """Check-values 5.22: motor and line current 50 %, torque 25 % (computed, torque with the square of the voltage)."""
    there = solved()
    full, half = (
        there["at_rest"](there["pump"], there[way](*u)) for way, u in (("direct", ()), ("soft_starter", (0.5,)))
    )
    assert (half.line / full.line, half.motor / full.motor, half.torque / full.torque) == (0.5, 0.5, 0.25)


@pytest.mark.parametrize(
    ("form", "field", "value", "margin"),
    [
        ("start", "current at first", 43.2, 0.001),  # 96 A × 0.45
        ("start", "torque at first, share of the direct start", 20.25, 0.001),  # 0.45²
        ("start", "torque at first, share of rated", 35.4375, 0.01),  # 1.75 × 0.45²
        ("start", "start voltage for 63 % of the rated torque", 60.0, 0.001),  # (0.63 / 1.75)½
        ("hertz", "volts per hertz", 3.46667, 0.001),  # 208 / 60; check-values 5.23 is the same with 460 V
        ("hertz", "voltage at 24 Hz", 83.2, 0.001),
        ("hertz", "field speed at 24 Hz", 720.0, 0.001),  # check-values 5.2: 120 f / p
        ("hertz", "torque left at 80 Hz", 75.0, 0.001),  # 60 / 80, constant power: common practice
    ],
)
def test_the_solutions_numbers_are_those_that_pencil_and_paper_give(form, field, value, margin):
    assert abs(written(form, field) - value) < margin


def test_the_motor_of_the_text_has_7_667_volts_per_hertz_and_230_volts_at_30_hertz():
    """Check-values 5.23, computed: 460 V at 60 Hz."""
    there = solved()
    assert abs(there["volts_per_hertz"](460, 60).value - 7.667) < 0.001
    assert abs(there["drive_voltage"](460, 60, at=30).value - 230) < 0.1


def test_after_the_emergency_stop_the_run_command_goes_first_and_the_power_5_s_later():
    """Stop category 1, IEC 60204-1 and NFPA 79, 9.2.2 (check-values 8.16): a controlled stop, then power off."""
    trace = run(solved()["mended"], "at 1 s press S2, at 2 s let S2 go, at 5 s strike S6, wait 8 s")
    drops = {tag: time for time, tag, word in trace.changes if word == "out" and tag in ("K1", "Q1") and time > 5}
    assert drops["K1"] - 5 < 0.1
    assert 4.9 < drops["Q1"] - drops["K1"] < 5.2
