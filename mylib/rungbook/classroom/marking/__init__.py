"""Marking in two kinds of process: what students wrote runs in a cage, what instructors wrote judges outside it.

Enters: submitted notebooks and the lab's source in a class folder. Leaves: autograded notebooks, marks and comments in
nbgrader's gradebook, a log of the marking.

A submission passes through these files in this order:

| file | what it does | where it runs |
|---|---|---|
| `paper.py` | the lab's cells as the instructor wrote them, and which answer each test cell asks for | main process |
| `recognise.py` | which cell is which exercise, where a notebook lost its metadata | worker |
| `sheet.py` | puts a submission's cells and the instructor's together | worker |
| `cage.py` | starts the cage and hands a notebook in | worker |
| `warm.py`, `keeper.py` | forks a process a notebook from a warm one, watches its time and memory | in the cage |
| `branch.py` | runs what all notebooks of a lab begin with, once, and has them forked from there | in the cage |
| `rehearsal.py` | what the warm process does beforehand, so that its forks find it done | in the cage |
| `walls.py` | what a notebook's process may see and use | in the cage |
| `session.py` | runs the cells, hands answers and outputs out | in the cage, beside the student's code |
| `sanitise.py` | lets static outputs through only | worker |
| `judge.py` | runs the test cells on the answers | a process forked from the worker |
| `written.py` | the marked notebook as text | worker |
| `record.py` | writes notebooks, marks and comments | main process |
| `journal.py` | what was marked, so that an interrupted run goes on | main process |

What runs in the cage imports nothing of nbgrader. `frames.py` is the one way across the wall.
"""
