"""What somebody uses who learns without a class: marks at the own desk, progress, hints, solutions, practice.

Enters: a notebook as JSON, or the names of a kernel, and the lab's graders. Leaves: marks and feedback as the class
gets them, and entries in a file of the learner's own. Times in seconds [s]. Imports every room before it, and of
`classroom` the judge; whatever builds the graders from the labs' sources (jupytext, nbgrader) is loaded on use, so the
core works with the standard library alone.

| file | what it does |
|---|---|
| `graders.py` | the graders of a lab as plain data: test cells, the answers they ask for, solutions |
| `find.py` | finds and makes them from the sources in the learner's copy of the course |
| `pack.py` | the same as one sealed file, for an edition without sources |
| `cells.py` | runs a notebook's cells and takes the answers where a test cell stands |
| `child.py`, `apart.py` | the same in a process of its own, with limits |
| `marks.py` | answers and graders to marks |
| `progress.py`, `repeat.py` | what was done, kept in one file; what to do again and why |
| `hints.py` | hints in three steps; the solution after an honest attempt |
| `in_notebook.py` | `check(…)` of notebooks |
| `practice/` | exercises without end, from a seed |
| `commands.py` | `rungbook check`, `progress`, `hint`, `solution`, `practice` |
"""

from rungbook.alone.graders import Exercise, Graders, Part
from rungbook.alone.hints import Hint, hint
from rungbook.alone.in_notebook import check
from rungbook.alone.marks import Mark, Marks, mark_answers, mark_notebook

__all__ = ["Exercise", "Graders", "Hint", "Mark", "Marks", "Part", "check", "hint", "mark_answers", "mark_notebook"]
