"""A class with one small lab, for tests that mark it: a circuit, a form with one word, a written answer."""

import json
from pathlib import Path

import nbformat

from rungbook.classroom.build import instructor_notebook, released_notebook
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.folder import make_class, open_class
from rungbook.classroom.labs import Lab
from rungbook.classroom.marking import engine
from rungbook.classroom.marking.engine import How, mark_lab

NAME = "lab07-small"
SOURCE = """# Lab 07 · Small

```python
from rungbook import NC, NO, Ladder, coil, lamp
```

```python nbgrader={"grade_id": "lab07-pump"}
pump = Ladder("Pump")
### BEGIN SOLUTION
pump.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
### END SOLUTION
```

```python nbgrader={"grade_id": "lab07-pump-marks", "points": 50}
### BEGIN HIDDEN TESTS
from rungbook.grading import mark, must
from rungbook.proof import off_while, pulls_in

mark("pump", globals(), must(pulls_in("Q1", when="press S2"), 20), must(off_while("Q1", "S1", "pressed"), 30, limit=30))
### END HIDDEN TESTS
```

```python nbgrader={"grade_id": "lab07-word"}
word = {"relay": ""}
### BEGIN SOLUTION
word = {"relay": "coil"}
### END SOLUTION
```

```python nbgrader={"grade_id": "lab07-word-marks", "points": 30}
### BEGIN HIDDEN TESTS
from rungbook.grading import mark, picks

mark("word", globals(), picks({"relay": ("coil",)}, 30, {}))
### END HIDDEN TESTS
```

<!-- #region nbgrader={"grade_id": "lab07-essay", "points": 20} -->
### BEGIN SOLUTION
A model answer.
### END SOLUTION
<!-- #endregion -->
"""
PUMP = 'pump = Ladder("Pump")\npump.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))'
# a right circuit with more states than the limit of its test
LARGE = (
    'pump = Ladder("Pump")\nway = NO("S2") | NO("Q1")\n'
    'for n in range(3, 8):\n    way = way | NO(f"S{n}") & NC(f"S{n}")\n'
    'pump.rung(NC("S1") & way, coil("Q1"))'
)
WORD = 'word = {"relay": "coil"}'
QUIET = How(workers=2, progress=False)


def notebook(lab: Lab, pump: str = PUMP, word: str = WORD, essay: str = "Because.") -> nbformat.NotebookNode:
    made = released_notebook(instructor_notebook(lab))
    for cell in made.cells:
        cell.source = {"lab07-pump": pump, "lab07-word": word, "lab07-essay": essay}.get(cell["id"], cell.source)
    return made


def released(root: Path) -> None:
    """Make a course and a class in which the small lab is released."""
    lab = Lab(root / "course", NAME)
    lab.source.parent.mkdir(parents=True)
    lab.source.write_text(SOURCE, encoding="utf-8")
    make_class(root / "class", [lab])
    assert open_class(root / "class").generate_assignment(NAME)["success"]


class Class:
    """The class with the small lab released under `root`; made there if there is none."""

    def __init__(self, root: Path) -> None:
        self.lab = Lab(root / "course", NAME)
        self.folder = root / "class"
        if not self.folder.exists():
            released(root)

    def hand_in(self, student: str, content: str | bytes | nbformat.NotebookNode, name: str = "lab07.ipynb") -> Path:
        path = self.folder / "submitted" / student / NAME / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if isinstance(content, nbformat.NotebookNode):
            content = json.dumps(content)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    def mark(self, how: How = QUIET) -> engine.Marking:
        folder = ClassFolder(self.folder)
        return mark_lab(folder, folder.lab(NAME), how)

    def grades(self, student: str) -> dict[str, tuple]:
        with open_class(self.folder).gradebook as gradebook:
            found = gradebook.find_submission_notebook("lab07", NAME, student)
            return {g.name[6:]: (g.auto_score, g.manual_score, g.needs_manual_grade) for g in found.grades}

    def marked(self, student: str) -> nbformat.NotebookNode:
        return nbformat.read(self.folder / "autograded" / student / NAME / "lab07.ipynb", as_version=4)


FULL = {"pump-marks": (50, None, False), "word-marks": (30, None, False), "essay": (None, None, True)}
NONE = {"pump-marks": (0, None, False), "word-marks": (0, None, False), "essay": (0, None, False)}
