"""What could not be decided waits for a person: nbgrader itself has marked here."""

import pytest

from rungbook.classroom.build import instructor_notebook, notebook_text, released_notebook
from rungbook.classroom.folder import make_class, open_class
from rungbook.classroom.labs import Lab

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

```python nbgrader={"grade_id": "lab07-pump-marks", "points": 60}
### BEGIN HIDDEN TESTS
from rungbook.grading import mark, must
from rungbook.proof import off_while, pulls_in

mark("pump", globals(), must(pulls_in("Q1", when="press S2"), 20), must(off_while("Q1", "S1", "pressed"), 40, limit=30))
### END HIDDEN TESTS
```

```python nbgrader={"grade_id": "lab07-word"}
word = {"relay": ""}
```

```python nbgrader={"grade_id": "lab07-word-marks", "points": 40}
### BEGIN HIDDEN TESTS
from rungbook.grading import picks

mark("word", globals(), picks({"relay": ("coil",)}, 40, {}))
### END HIDDEN TESTS
```
"""
# a right circuit with branches that never close: more states than the limit, though nothing is wrong with it
LARGE = (
    'pump = Ladder("Pump")\nway = NO("S2") | NO("Q1")\n'
    'for n in range(3, 8):\n    way = way | NO(f"S{n}") & NC(f"S{n}")\n'
    'pump.rung(NC("S1") & way, coil("Q1"))'
)
RIGHT = 'pump = Ladder("Pump")\npump.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))'
WRONG = 'pump = Ladder("Pump")\npump.rung(NO("S2"), coil("Q1"))'


@pytest.fixture(scope="module", name="grades")
def _grades(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, tuple[float, bool]]]:
    """student -> test cell -> (points, waits for a person), after nbgrader has marked."""
    root = tmp_path_factory.mktemp("course")
    lab = Lab(root, "lab07-small")
    lab.source.parent.mkdir(parents=True)
    lab.source.write_text(SOURCE, encoding="utf-8")
    folder = root / "class"
    make_class(folder, [lab])
    api = open_class(folder)
    assert api.generate_assignment(lab.name)["success"]
    found = {}
    for student, answer in {"large": LARGE, "right": RIGHT, "wrong": WRONG}.items():
        notebook = released_notebook(instructor_notebook(lab))
        next(cell for cell in notebook.cells if cell["id"] == "lab07-pump").source = answer
        path = folder / "submitted" / student / lab.name / "lab07.ipynb"
        path.parent.mkdir(parents=True)
        path.write_text(notebook_text(notebook), encoding="utf-8")
        result = api.autograde(lab.name, student)
        assert result["success"], result["log"]
        with api.gradebook as gradebook:
            submission = gradebook.find_submission_notebook("lab07", lab.name, student)
            found[student] = {grade.name: (grade.score, grade.needs_manual_grade) for grade in submission.grades}
    return found


def test_what_was_not_decided_waits_for_a_person_and_the_rest_keeps_its_points(grades) -> None:
    assert grades["large"] == {"lab07-pump-marks": (20, True), "lab07-word-marks": (0, False)}


def test_what_was_decided_waits_for_nobody(grades) -> None:
    assert grades["right"] == {"lab07-pump-marks": (60, False), "lab07-word-marks": (0, False)}
    assert grades["wrong"] == {"lab07-pump-marks": (20, False), "lab07-word-marks": (0, False)}
