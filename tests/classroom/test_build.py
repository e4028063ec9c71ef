from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.classroom.build import build, instructor_notebook, released_notebook, replace_file, stale
from rungbook.classroom.labs import Lab

SOURCE = """# Lab 07 · Small

```python
x = 1
```

```python nbgrader={"grade_id": "lab07-answer"}
answer = {"word": ""}
### BEGIN SOLUTION
answer = {"word": "coil"}
### END SOLUTION
```

```python nbgrader={"grade_id": "lab07-answer-marks", "points": 60}
# Marked overnight.
### BEGIN HIDDEN TESTS
60 if answer["word"] == "coil" else 0
### END HIDDEN TESTS
```

<!-- #region nbgrader={"grade_id": "lab07-words", "points": 40} -->
### BEGIN SOLUTION
Model answer.
### END SOLUTION
<!-- #endregion -->
"""


@pytest.fixture
def lab(tmp_path: Path) -> Lab:
    lab = Lab(tmp_path, "lab07-small")
    lab.source.parent.mkdir(parents=True)
    lab.source.write_text(SOURCE, encoding="utf-8")
    return lab


class TestInstructorNotebook:
    def test_completes_the_metadata_of_answer_test_and_written_cells(self, lab: Lab) -> None:
        meta = {c["id"]: dict(c.metadata.nbgrader) for c in instructor_notebook(lab).cells if "nbgrader" in c.metadata}
        common = {"schema_version": 3, "task": False}
        assert meta == {
            "lab07-answer": {"grade_id": "lab07-answer", "grade": False, "locked": False, "solution": True, **common},
            "lab07-answer-marks": {
                **{"grade_id": "lab07-answer-marks", "grade": True, "locked": True, "solution": False, "points": 60},
                **common,
            },
            "lab07-words": {
                **{"grade_id": "lab07-words", "grade": True, "locked": False, "solution": True, "points": 40},
                **common,
            },
        }

    @pytest.mark.parametrize(
        ("old", "new", "rule"),
        [
            ('"points": 40', '"points": 30', "add up to 100"),
            ("lab07-words", "lab07-answer", "one grade_id, one cell"),
            (' nbgrader={"grade_id": "lab07-answer"}', "", "needs a grade_id"),
            (', "points": 40', "", "a written answer needs points"),
            (
                '"grade_id": "lab07-answer"}',
                '"grade_id": "lab07-answer", "marks": 3}',
                "a grade_id and, if marked, points",
            ),
            ("HIDDEN TESTS", "TESTS", "a test cell needs hidden tests"),
        ],
    )
    def test_refuses_incomplete_sources(self, lab: Lab, old: str, new: str, rule: str) -> None:
        assert old in SOURCE
        lab.source.write_text(SOURCE.replace(old, new), encoding="utf-8")
        with pytest.raises(LadderError, match=rule):
            instructor_notebook(lab)


class TestReleasedNotebook:
    def test_cuts_solutions_and_hidden_tests(self, lab: Lab) -> None:
        sources = {cell["id"]: cell.source for cell in released_notebook(instructor_notebook(lab)).cells}
        assert sources["lab07-answer"] == 'answer = {"word": ""}\n# YOUR WORK HERE'
        assert sources["lab07-answer-marks"] == "# Marked overnight."
        assert sources["lab07-words"] == "*Write your answer here.*"

    def test_locks_the_test_cell_and_leaves_the_answer_open(self, lab: Lab) -> None:
        cells = {cell["id"]: cell.metadata for cell in released_notebook(instructor_notebook(lab)).cells}
        assert cells["lab07-answer-marks"]["editable"] is False
        assert "editable" not in cells["lab07-answer"]

    def test_leaves_the_instructors_notebook_as_it_was(self, lab: Lab) -> None:
        notebook = instructor_notebook(lab)
        released_notebook(notebook)
        assert notebook == instructor_notebook(lab)


class TestBuild:
    def test_writes_both_notebooks_once(self, lab: Lab) -> None:
        assert build([lab]) == [lab.instructor, lab.released]
        assert build([lab]) == []
        assert stale([lab]) == []

    def test_finds_a_released_notebook_that_was_edited(self, lab: Lab) -> None:
        build([lab])
        text = lab.released.read_text(encoding="utf-8")
        lab.released.write_text(text.replace("Marked overnight", "marked"), encoding="utf-8")
        assert stale([lab]) == [lab.released]

    def test_keeps_the_old_file_when_writing_fails(self, lab: Lab, monkeypatch: pytest.MonkeyPatch) -> None:
        build([lab])
        before = lab.released.read_bytes()

        def full_disk(*_: object) -> None:
            raise OSError("no space left")

        monkeypatch.setattr("os.replace", full_disk)
        with pytest.raises(OSError, match="no space left"):
            replace_file(lab.released, "half")
        assert lab.released.read_bytes() == before
        assert [path.name for path in lab.released.parent.iterdir()] == [lab.released.name]
