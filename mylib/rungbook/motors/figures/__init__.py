"""Curves of the motors room as pictures, each with its words. Enters: records of the room. Leaves: a `Picture` (SVG).

Each file makes a `Plot` (data) of the records; `sheet` has it drawn, by matplotlib, if it is there, which is loaded
with the first one. Lines differ in dash and in a name in the legend, not in colour alone.
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
