"""Is the board wired as listed? Tests on the dead board, what they must show, and what a deviation points to.

Enters: a `Wiring` (a ladder on the terminals of a kit) and readings that a person has taken with the supply off and
its fuse out [ohm]. Leaves: the list of tests with expected readings, and a report that names the likely mistakes, the
likeliest first. Each is found by making every single mistake of the wire list and asking the network. Also the steps
with voltage that follow the sign-off (`live_tests`). The files that begin with `main` are the same for the power side:
a `PowerWiring`, its main wires, poles and windings.

De-energise, lock out and prove dead before the first dead test. What they show clean may still be wrong
in a way that resistance does not tell; supervision, sign-off and local code stay what they are.
"""

from rungbook.proof.wiring_check.dead_tests import DeadTest, dead_tests
from rungbook.proof.wiring_check.live_tests import LiveTest, live_tests
from rungbook.proof.wiring_check.main_live import MotorStep, motor_steps, overload_shares
from rungbook.proof.wiring_check.main_mistakes import MainMistake, main_mistakes
from rungbook.proof.wiring_check.main_report import check_power_wiring
from rungbook.proof.wiring_check.main_tests import Joined, MainTest, main_tests, must_stay_apart
from rungbook.proof.wiring_check.mistakes import Mistake, mistakes
from rungbook.proof.wiring_check.report import WiringReport, check_wiring

__all__ = [
    "DeadTest",
    "Joined",
    "LiveTest",
    "MainMistake",
    "MainTest",
    "Mistake",
    "MotorStep",
    "WiringReport",
    "check_power_wiring",
    "check_wiring",
    "dead_tests",
    "live_tests",
    "main_mistakes",
    "main_tests",
    "mistakes",
    "motor_steps",
    "must_stay_apart",
    "overload_shares",
]
