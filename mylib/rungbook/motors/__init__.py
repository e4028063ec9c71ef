"""What the nameplate says: currents, settings, conductors, devices, starting, drives. Numbers with their way.

Enters: numbers in the unit that an argument names, texts with a unit ("10 hp", "4,6 A"), or the answers of other
functions. Leaves: an `Answer` (value, unit, and each step with its clause), or a record that shows itself. Inside:
[A], [V], [kW], [rpm], [N·m], [Hz], [s], [kg·m²], shares without a unit. Imports `kit`, `behaviour` (the overload
relay's bimetal), and for the figures `drawing` (a picture with its words).

From the plate outwards: `full_load`, `locked_rotor` (tables), `overload_setting`, `conductors`, `short_circuit` (code),
`speed`, `power` (arithmetic), `torque_speed`, `starters`, `run_up`, `start_heating`, `compare` (a start in time),
`drives`, `control_drop`; `units` and `answer` read and show; `data/` holds the tables of the code, each row with where
it is known from; `figures/` draws.

All of it works with the standard library alone. Where they are installed, scipy is loaded by `integrate` (a run-up and
what asks for one) and matplotlib by the figures; without them `runge_kutta` and `drawing` take their place.

For learning. Before real work: de-energise, lock out, verify the absence of voltage, work under qualified supervision.
The edition of the code in force, its local amendments and a licensed person decide.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rungbook.motors.answer import CAUTION, EDITION, Answer
from rungbook.motors.compare import Comparison, at_rest, compare_starting
from rungbook.motors.conductors import Conductor, conductor_ampacity, conductor_size, feeder_ampacity
from rungbook.motors.control_drop import ControlDrop, awg_area, control_drop, longest_line
from rungbook.motors.data.t430_52 import DEVICES
from rungbook.motors.drives import drive_voltage, torque_left, volts_per_hertz
from rungbook.motors.full_load import full_load_current, full_load_table, synchronous_full_load_current
from rungbook.motors.load import Load
from rungbook.motors.locked_rotor import (
    code_letter,
    code_letter_of,
    locked_rotor_current,
    locked_rotor_kva,
    locked_rotor_table_current,
)
from rungbook.motors.nameplate import Nameplate
from rungbook.motors.overload_setting import overload_setting
from rungbook.motors.power import balanced_load, efficiency, electric_power, motor_current, shaft_power, torque
from rungbook.motors.run_up import RunUp, run_up
from rungbook.motors.short_circuit import (
    next_standard_rating,
    rating_within,
    short_circuit_device,
    standard_ratings,
)
from rungbook.motors.speed import (
    poles_of,
    rotor_frequency,
    slip,
    slip_of_rotor_frequency,
    speed_at,
    synchronous_speed,
)
from rungbook.motors.start_heating import StartHeating, longest_start, start_heating
from rungbook.motors.starters import Starter, autotransformer, direct, drive, soft_starter, star_delta
from rungbook.motors.torque_speed import Curve, curve_of
from rungbook.motors.units import convert, read_quantity

if TYPE_CHECKING:
    from rungbook.motors.figures import (
        control_drop_figure,
        heating_figure,
        run_up_figure,
        starting_figure,
        torque_speed_figure,
        volts_per_hertz_figure,
    )

_FIGURES = (
    "control_drop_figure",
    "heating_figure",
    "run_up_figure",
    "starting_figure",
    "torque_speed_figure",
    "volts_per_hertz_figure",
)

__all__ = [
    "CAUTION",
    "DEVICES",
    "EDITION",
    "Answer",
    "Comparison",
    "Conductor",
    "ControlDrop",
    "Curve",
    "Load",
    "Nameplate",
    "RunUp",
    "StartHeating",
    "Starter",
    "at_rest",
    "autotransformer",
    "awg_area",
    "balanced_load",
    "code_letter",
    "code_letter_of",
    "compare_starting",
    "conductor_ampacity",
    "conductor_size",
    "control_drop",
    "control_drop_figure",
    "convert",
    "curve_of",
    "direct",
    "drive",
    "drive_voltage",
    "efficiency",
    "electric_power",
    "feeder_ampacity",
    "full_load_current",
    "full_load_table",
    "heating_figure",
    "locked_rotor_current",
    "locked_rotor_kva",
    "locked_rotor_table_current",
    "longest_line",
    "longest_start",
    "motor_current",
    "next_standard_rating",
    "overload_setting",
    "poles_of",
    "rating_within",
    "read_quantity",
    "rotor_frequency",
    "run_up",
    "run_up_figure",
    "shaft_power",
    "short_circuit_device",
    "slip",
    "slip_of_rotor_frequency",
    "soft_starter",
    "speed_at",
    "standard_ratings",
    "star_delta",
    "start_heating",
    "starting_figure",
    "synchronous_full_load_current",
    "synchronous_speed",
    "torque",
    "torque_left",
    "torque_speed_figure",
    "volts_per_hertz",
    "volts_per_hertz_figure",
]


def __getattr__(name: str) -> Any:
    if name in _FIGURES:
        value = getattr(import_module("rungbook.motors.figures"), name)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'rungbook.motors' has no attribute {name!r}")
