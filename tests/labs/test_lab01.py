"""Lab 01: the check-in on its bench sheet is the box, its worked numbers and its faulty parts are those of the kit."""

import re
from collections import Counter
from functools import cache
from pathlib import Path

from labs.harness import run_cell
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.drawing import contact_chart
from rungbook.kit import TRAINING_KIT
from rungbook.kit.function_tests import function_tests, judge_part
from rungbook.kit.ledger.pieces import pieces
from rungbook.motors.units import read_quantity

LAB = find_lab(Path(__file__).parents[2], "lab01-one-contactor")
LINES = {  # part of the exercise -> (designation, contact, readings at rest and operated)
    "button S1, 11-12": ("S1", "11-12", ("beeps", "beeps")),
    "selector S7, 23-24": ("S7", "23-24", ("OL", "beeps")),
    "contactor Q1, 53-54": ("Q1", "53-54", ("OL", "OL")),
    "contactor Q2, 43-44": ("Q2", "43-44", ("beeps", "OL")),
    "coil of Q1": ("Q1", "A1-A2", (168,)),
    "coil of Q3": ("Q3", "A1-A2", ("OL",)),
}
SAID = {"stays closed": "stayed closed", "stays open": "stayed open", "wrong way round": "works the wrong way round"}
SAID |= {"shorted": "turns are shorted", "broken": "is open: winding"}


@cache
def solved() -> dict:
    """The names of the solved notebook after its last cell."""
    namespace: dict = {"__name__": "__main__"}
    for cell in instructor_notebook(LAB).cells:
        if cell.cell_type == "code":
            run_cell(cell.source, namespace)
    return namespace


def test_the_check_in_lists_every_piece_of_the_box_once() -> None:
    table = LAB.bench_source.read_text(encoding="utf-8").partition("## Function test")[0]
    rows = re.findall(r"^\| [^|]+ \| ([^|]+) \| [^|]+ \| (\d+) \|", table, re.MULTILINE)
    assert {part: int(number) for part, number in rows} == Counter(piece.model for piece in pieces(TRAINING_KIT))


def test_the_plates_on_the_check_in_are_those_of_the_catalogue() -> None:
    table = LAB.bench_source.read_text(encoding="utf-8").partition("## Function test")[0]
    rows = dict(re.findall(r"^\| [^|]+ \| ([^|]+) \| ([^|]+) \|", table, re.MULTILINE))
    for piece in pieces(TRAINING_KIT):
        named = set(re.findall(r"\d\d–\d\d", rows[piece.model]))
        fitted = TRAINING_KIT.devices.get(piece.name)
        if named and fitted is not None:
            assert named == {block.terminals.replace("-", "–") for block in fitted.model.contacts}, piece


def test_each_judgement_of_a_part_is_that_of_the_function_test() -> None:
    tested = solved()["tested"]
    assert tested.keys() == LINES.keys()
    for line, (tag, measure, readings) in LINES.items():
        part = TRAINING_KIT.devices[tag]
        numbers = [test.number for test in function_tests(part) if test.measure == measure]
        entries = dict(zip(numbers, readings, strict=True))
        _, told = judge_part(tag, part, entries)
        if tested[line] == "sound":
            assert told == ()
        else:
            assert SAID[tested[line]] in told[0]


def test_the_chart_that_is_made_is_that_of_the_kit() -> None:
    made = {key: word for key, word in solved()["chart"].items() if re.match(r"[A-Z]\d ", key)}
    assert len(made) == 6
    for key, word in made.items():
        tag, terminals = key.split()
        rows = {row[0]: row[2:] for row in contact_chart(TRAINING_KIT.devices[tag]).rows}
        assert " ".join(rows[terminals]).replace("–", "-") == word


def test_the_worked_numbers_follow_from_the_plates_of_the_kit() -> None:
    load = {key: read_quantity(value, key).numbers[0] for key, value in solved()["load"].items()}
    power = next(r.value for r in TRAINING_KIT.devices["T1"].model.ratings if r.unit == "VA")
    coil, lamp = TRAINING_KIT.devices["Q1"].model.coil, TRAINING_KIT.devices["P1"].model.lamp
    assert load["transformer, current at 120 V"] == power / coil.volts == 1.25
    assert abs(load["one lamp, current"] / 1000 - lamp.watts / lamp.volts) < 1e-4
    assert load["the fan runs, apparent power"] == coil.sealed_va + lamp.watts
    assert load["lamps while one contactor pulls in"] == (power - coil.inrush_va) / lamp.watts
