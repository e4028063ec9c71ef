"""Lab 08: the drawn lines of its timers, its answers to predictions, the dose as it is built at the bench."""

import re
from functools import cache
from pathlib import Path

from labs.harness import run_cell
from rungbook import NC, NO, Device, Ladder, coil, lamp, prove, run
from rungbook.behaviour import timers
from rungbook.behaviour.timers import Timer, TimerState
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.grading import on_kit
from rungbook.motors.units import read_quantity
from rungbook.proof import does_not_start, goes_off_within, holds_in, no_races, off_while, pulls_in

SECOND = 1_000_000


@cache
def lab():
    return find_lab(Path(__file__).parents[2], "lab08-timers-counters")


@cache
def solved() -> dict:
    """The names of the solved notebook after its last cell."""
    namespace: dict = {"__name__": "__main__"}
    for cell in instructor_notebook(lab()).cells:
        if cell.cell_type == "code":
            run_cell(cell.source, namespace)
    return namespace


def drawn(timer: Timer, line: str) -> str:
    """What a lamp on the timed contact does while the input follows `line`, a sign a second."""
    state, seen = TimerState(timer), ""
    for second, sign in enumerate(line):
        state = timers.step(state, second * SECOND, sign == "=")
        seen += "=" if timers.output(state) else "_"
    return seen


def test_the_lines_of_part_4_are_those_of_the_timers_in_its_solution():
    text = lab().source.read_text(encoding="utf-8")
    lines = dict(re.findall(r"^(input|lamp [A-D]) +([_=]+)$", text, re.MULTILINE))
    which = solved()["which"]
    assert len(lines) == 5
    for name in "ABCD":
        (time,) = read_quantity(which[f"{name} time"], name).numbers
        timer = Timer(which[f"{name} function"], time)
        assert lines[f"lamp {name}"] == drawn(timer, lines["input"]), name


def test_a_one_shot_swallows_every_second_edge_of_the_prediction_in_part_1():
    site = [Device("S5", "two-position selector"), Device("P3")]
    pulse = Ladder("One-shot", [*site, Device("K4", "timer relay", setting="one-shot on rising edge 4 s")])
    pulse.rung(NO("S5"), coil("K4"))
    pulse.rung(NO("K4"), lamp("P3", "white"))
    trace = run(pulse, ", ".join(["turn S5 on, wait 1.5 s, turn S5 off, wait 1.5 s"] * 4) + ", wait 5 s")
    assert [round(time) for time, tag, word in trace.changes if (tag, word) == ("S5", "on")] == [1, 4, 7, 10]
    assert [round(time) for time, tag, word in trace.changes if (tag, word) == ("P3", "lit")] == [1, 7]


def test_the_dose_of_the_bench_sheet_can_be_wired_and_does_as_asked():
    site = [Device("S1", colour="red"), Device("S4", colour="white"), Device("K1"), Device("Q2")]
    dose = Ladder("One dose", [*site, Device("K4", "timer relay", setting="one-shot on rising edge 4 s")])
    dose.rung(NO("S4"), coil("K4"), coil("K1"))
    dose.rung(NC("S1") & (NO("K1") | NO("Q2")) & NO("K4", "15-18"), coil("Q2"))
    found = prove(
        dose,
        pulls_in("Q2", when="press S4"),
        holds_in("Q2", after="let S4 go"),
        goes_off_within("Q2", 4, after="let S4 go"),
        off_while("Q2", "S1", "pressed"),
        does_not_start("Q2", by="let S1 go"),
        does_not_start("Q2", by="switch the supply on"),
        no_races(),
    )
    assert found, found
    assert on_kit(dose), on_kit(dose)


def test_the_crate_of_part_8_holds_four_and_keeps_its_count_over_night():
    bottle, start = "reach B1, leave B1, ", "press S2, let S2 go, "
    night = "switch the supply off, wait 8 h, switch the supply on, "
    trace = run(solved()["batch"], start + 2 * bottle + night + start + 2 * bottle)
    assert [word for _, tag, word in trace.changes if tag == "Q1"] == ["in", "out", "in", "out"]
    assert trace[-1].positions["P1"] == "lit"
