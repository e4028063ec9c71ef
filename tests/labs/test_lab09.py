"""Lab 09: what its wire list really makes, and its worked numbers."""

import math
from functools import cache
from pathlib import Path

import pytest

from labs.harness import run_cell
from rungbook.behaviour import Board, energise
from rungbook.behaviour.script import read_timed
from rungbook.behaviour.timeline import Timeline
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.kit import TRAINING_KIT
from rungbook.motors import full_load_current, synchronous_speed
from rungbook.motors.units import convert, read_quantity


@cache
def solved() -> dict:
    """The names of the solved notebook after its last cell."""
    namespace: dict = {"__name__": "__main__"}
    for cell in instructor_notebook(find_lab(Path(__file__).parents[2], "lab09-star-delta")).cells:
        if cell.cell_type == "code":
            run_cell(cell.source, namespace)
    return namespace


def written(form: str, field: str, unit: str) -> float:
    read = read_quantity(solved()[form][field], field)
    return convert(read.numbers[0], read.unit, unit)


def test_the_rated_current_is_the_table_value_for_15_hp_at_208_volts():
    """NEC table 430.250 (check values, section 1)."""
    assert full_load_current("15 hp", 208).value == 46.2


def test_line_current_and_torque_in_star_are_a_third_and_the_winding_carries_the_line_current():
    """Check value 5.19: line current 1/3, torque 1/3, exact. Here of 277 A and 108 N·m."""
    assert written("numbers", "line current in star", "A") == pytest.approx(277 / 3, abs=0.1)
    assert written("numbers", "winding current in star", "A") == pytest.approx(277 / 3, abs=0.1)
    assert written("numbers", "torque in star", "N·m") == 36


def test_the_power_circuit_of_the_lab_gives_the_same_thirds():
    """Check value 5.19, from the network of the lab's own circuit."""
    star, delta = (energise(solved()["large_mill"](["W2", "U2", "V2"]), {"Q9", "Q3", q})["M1"] for q in ("Q1", "Q2"))
    assert star.line_shares[0] / delta.line_shares[0] == pytest.approx(1 / 3, abs=1e-9)
    assert star.torque / delta.torque == pytest.approx(1 / 3, abs=1e-9)


def test_the_dial_inside_the_delta_is_0577_of_the_rated_current():
    """Check value 5.25, computed, to 0.001 of the rated current."""
    assert written("numbers", "overload setting", "A") / 46.2 == pytest.approx(1 / math.sqrt(3), abs=1e-3)


def test_the_field_speeds_are_those_of_four_and_eight_poles():
    """Check value 5.2: 120 f / p, computed."""
    assert written("speeds", "4 poles", "rpm") == synchronous_speed(60, 4).value == 1800
    assert written("speeds", "8 poles", "rpm") == synchronous_speed(60, 8).value == 900


def positions(script: str) -> list[str]:
    """Q3, Q1 and Q2 on the board of the lab's wire list, after each order of `script`."""
    panel = {device.tag: device for device in solved()["auto"].declared}
    timeline = Timeline(Board.from_wires("Star-delta", solved()["wires"], TRAINING_KIT, tuple(panel.values())))
    orders, end = read_timed(script, {tag: one for tag, one in timeline.devices.items() if one.spec.operated})
    orders = [one for one in orders if one.step]
    seen = []
    for one, until in zip(orders, [*(later.time for later in orders[1:]), end], strict=True):
        timeline.advance(one.time)
        timeline.do(one.step)
        timeline.advance(until)
        seen.append(" ".join(timeline.position(tag) for tag in ("Q3", "Q1", "Q2")))
    return seen


def test_the_wire_list_makes_the_star_delta_control():
    assert positions("press S2, let S2 go, wait 4 s, press S1") == ["in in out", "in in out", "out out out"]
    assert positions("press S2, let S2 go, wait 7 s, trip F1") == ["in in out", "in out in", "out out out"]
