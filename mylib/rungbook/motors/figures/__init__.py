"""Curves of the motors room as pictures, each with its words. Enters: records of the room. Leaves: a `Picture` (SVG).

matplotlib is loaded when the first one is drawn. Lines differ in dash and in a label beside them, not in colour alone.
"""

from rungbook.motors.figures.control import control_drop_figure
from rungbook.motors.figures.drives import volts_per_hertz_figure
from rungbook.motors.figures.heating import heating_figure
from rungbook.motors.figures.starting import run_up_figure, starting_figure, torque_speed_figure

__all__ = [
    "control_drop_figure",
    "heating_figure",
    "run_up_figure",
    "starting_figure",
    "torque_speed_figure",
    "volts_per_hertz_figure",
]
