"""Readings on the power side against the expected ones, and the likely mistakes in order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial

from rungbook.circuit.power_wires import PowerWiring
from rungbook.errors import LadderError
from rungbook.proof.wiring_check.dead_tests import DeadTest
from rungbook.proof.wiring_check.main_mistakes import MainMistake, main_mistakes
from rungbook.proof.wiring_check.main_terminals import MainBoard, MainTerminals
from rungbook.proof.wiring_check.main_tests import ALONE, CONNECTED, MainTest, main_tests
from rungbook.proof.wiring_check.report import Reader, WiringReport, agree, likeliest, taken_from

SYMMETRY = 0.05  # by which a winding may differ from the mean of its motor (usual, from memory) [unitless]
METER_OHMS = 0.3  # and what leads and the last digit may add [ohm]


def check_power_wiring(wiring: PowerWiring, readings: Mapping[int, object]) -> WiringReport:
    """Compare `readings` with what the network of the power side predicts, and name the likely mistakes.

    readings: number of a test (`main_tests`) -> ohms as a number, or text such as "17 ohm", "OL", "beeps". What is
    expected through a motor's windings follows from the readings on the motor by itself: their mean is its R, and each
    must be within 5 % of it. Other readings agree as in `check_wiring`; a motor of less than 5 ohm therefore
    looks like a joint, and only its direction shows whether two of its wires are exchanged.

    Raises LadderError if there is no such test, a reading is none of these, or there are readings through the windings
    of a motor but none of the motor by itself.
    """
    tests = main_tests(wiring).tests
    taken = taken_from("check_power_wiring", readings, len(tests), "{1: 0, 31: 'OL'}")
    asked = [test for test in tests if test.number in taken]
    found = _resistances(tests, asked, taken)
    right = partial(_read, MainTerminals(wiring, found).wired(wiring.wires))
    rows = tuple((t, taken[t.number], _agrees(t, taken[t.number], right(t))) for t in asked)
    wiring_tests = [test for test in asked if not (test.stage == ALONE and test.of)]  # no wire is in those readings
    wrong = sum(not good for test, _, good in rows if test in wiring_tests)
    likely = likeliest(_tried(wiring, found), wiring_tests, taken, wrong) if wrong else ()
    return WiringReport(f"power side, {wiring.circuit.title}", rows, likely, len(tests) - len(asked))


def _resistances(
    tests: tuple[MainTest, ...], asked: list[MainTest], taken: Mapping[int, float | None]
) -> dict[str, float]:
    """R of each motor, the mean of the readings of its windings [ohm]."""
    found = {}
    for motor in dict.fromkeys(tag for test in asked for tag in test.of):
        mine = [test.number for test in tests if test.stage == ALONE and test.of == (motor,)]
        values = [value for number in mine if (value := taken.get(number)) is not None]
        if values and sum(values) > 0:
            found[motor] = sum(values) / len(values)
        elif any(test.stage == CONNECTED and motor in test.of for test in asked):
            rule = (
                f"what {motor} shows on the board follows from its windings: read tests {mine[0]} to {mine[-1]} first"
            )
            raise LadderError("check_power_wiring", rule)
    return found


def _agrees(test: MainTest, reading: float | None, expected: float | None) -> bool:
    if test.stage == ALONE and test.of:
        return reading is not None and expected is not None and _near(reading, expected)
    return agree(reading, expected)


def _near(reading: float, mean: float) -> bool:
    return reading > 0 and abs(reading - mean) <= SYMMETRY * mean + METER_OHMS


def _read(board: MainBoard, test: DeadTest) -> float | None:
    assert isinstance(test, MainTest)
    return board.ohms(test.positions, test.stage == CONNECTED, test.a, test.b)


def _tried(wiring: PowerWiring, resistances: Mapping[str, float]) -> Iterator[tuple[MainMistake, Reader]]:
    terminals = MainTerminals(wiring, resistances)
    for mistake in main_mistakes(wiring):
        yield mistake, partial(_read, terminals.wired(mistake.wires))
