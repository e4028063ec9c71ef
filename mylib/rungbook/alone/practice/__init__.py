"""Exercises without end, made from a seed: read, complete, build, find the fault, calculate.

Enters: a kind, a level 1 to 5, a seed. Leaves: a `Task` with its text, what is given, and a judge with the requirements
and the feedback of the labs. The same seed gives the same exercise on any machine and in any year.

| file | what it does |
|---|---|
| `draws.py` | whole numbers from a seed |
| `plans.py` | what a control has: starts, stops, guards, lamps, a second machine |
| `circuits.py` | a plan as ladder, as sentences and as rules |
| `measure.py` | how hard a circuit is; its canonical form |
| `calculations/` | questions with a number for an answer |
| `kinds.py` | the exercises of each kind, each proved to have a solution |
| `task.py` | one exercise as the learner has it |
"""

from rungbook.alone.practice.kinds import KINDS, LEVELS, practice, tasks
from rungbook.alone.practice.measure import Measure, canonical, measure
from rungbook.alone.practice.task import Task

__all__ = ["KINDS", "LEVELS", "Measure", "Task", "canonical", "measure", "practice", "tasks"]
