"""Calculations without end: numbers from a plate, the tables of the code, a coil's line, a timer's dial.

Enters: draws and a level. Leaves: a `Sheet`, text and one or more `Question`s, each with a worked `Answer` and the
usual mistakes reckoned with the same numbers. Units as in `motors`.

| file | what it does |
|---|---|
| `question.py` | one question, its requirement, proved when it is made; how hard a sheet is |
| `plate.py` | a motor's plate, drawn; what of the tables is printed beside it |
| `by_code.py` | table current, overload, conductors, short-circuit device, locked rotor |
| `by_plate.py` | speeds, slip, torque, power, current |
| `at_start.py` | current and torque of a start, a motor on a drive |
| `in_control.py` | coils, transformer, voltage lost on the line, timers and counters |
| `sheet.py` | questions put together for a level |
"""

from rungbook.alone.practice.calculations.question import Question, Solved, Way
from rungbook.alone.practice.calculations.sheet import Sheet, draw_sheet

__all__ = ["Question", "Sheet", "Solved", "Way", "draw_sheet"]
