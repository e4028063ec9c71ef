"""Marks at the own desk are those of the class, and what a notebook does wrong costs only itself."""

import json
from functools import cache
from pathlib import Path

import pytest

from rungbook.alone import mark_notebook
from rungbook.alone.apart import run_apart
from rungbook.alone.find import find_graders
from rungbook.alone.marks import Marks, mark_ran, score
from rungbook.classroom.build import notebook_text
from rungbook.classroom.labs import find_lab
from rungbook.classroom.samples import hand_in, load_samples
from rungbook.errors import LadderError

ROOT = Path(__file__).parents[2]
CASES = [(lab, sample) for lab in ("lab02", "lab03", "lab06") for sample in load_samples(find_lab(ROOT, lab))]


@cache
def notebook_of(lab: str, student: str) -> str:
    found = find_lab(ROOT, lab)
    return notebook_text(hand_in(found, next(one for one in load_samples(found) if one.student == student)))


def points(marks: Marks) -> dict[str, float | None]:
    return {mark.exercise.grade_id: mark.points for mark in marks.marks if not mark.exercise.written}


def cells_of(lab: str, student: str) -> dict:
    return json.loads(notebook_of(lab, student))


def put(notebook: dict, grade_id: str, source: str) -> dict:
    """The notebook with another text in the cell `grade_id`."""
    next(cell for cell in notebook["cells"] if cell["id"] == grade_id)["source"] = source
    return notebook


@pytest.mark.parametrize(("lab", "sample"), CASES, ids=[f"{lab}-{sample.student}" for lab, sample in CASES])
def test_a_sample_gets_the_marks_and_the_words_that_the_class_gives_it(lab, sample) -> None:
    graders = find_graders(lab, ROOT)
    marks = mark_notebook(cells_of(lab, sample.student), graders)
    full = {one.grade_id: one.points if sample.others == "solution" else 0 for one in graders.exercises if one.test}
    assert points(marks) == full | dict(sample.marks)
    first = {mark.exercise.grade_id: mark.first for mark in marks.marks}
    assert [cell for cell, words in sample.says.items() if words not in first[cell]] == []


class TestApart:
    @pytest.mark.parametrize(
        ("lab", "student"), [("lab02", "cedar"), ("lab03", load_samples(find_lab(ROOT, "lab03"))[3].student)]
    )
    def test_a_process_of_its_own_gives_the_same_marks(self, lab: str, student: str, tmp_path: Path) -> None:
        graders = find_graders(lab, ROOT)
        here = mark_notebook(cells_of(lab, student), graders)
        apart = mark_ran(run_apart(cells_of(lab, student), graders, tmp_path), graders)
        assert apart == here

    def test_a_cell_that_never_ends_costs_itself_and_says_so(self, tmp_path: Path) -> None:
        graders = find_graders("lab02", ROOT)
        notebook = put(cells_of("lab02", "alder"), "lab02-holding", "while True: pass")
        marks = mark_ran(run_apart(notebook, graders, tmp_path, cell=1), graders)
        assert points(marks)["lab02-holding-marks"] == 0
        assert points(marks)["lab02-words-marks"] == 10
        assert any("TimeoutError: the cell took too long" in one for one in marks.stopped), marks.stopped

    def test_a_cell_that_ends_python_leaves_what_came_before(self, tmp_path: Path) -> None:
        graders = find_graders("lab02", ROOT)
        notebook = put(cells_of("lab02", "alder"), "lab02-emergency", "import os\nos._exit(3)")
        marks = mark_ran(run_apart(notebook, graders, tmp_path), graders)
        found = points(marks)
        assert (found["lab02-reading-marks"], found["lab02-holding-marks"]) == (10, 35)
        assert (found["lab02-emergency-marks"], found["lab02-words-marks"]) == (0, 0)
        assert "a cell ended the notebook's process (exit status 3)" in marks.stopped

    def test_a_notebook_that_takes_too_long_is_stopped(self, tmp_path: Path) -> None:
        graders = find_graders("lab02", ROOT)
        source = "import signal, time\nsignal.alarm(0)\ntime.sleep(60)"
        notebook = put(cells_of("lab02", "alder"), "lab02-holding", source)
        marks = mark_ran(run_apart(notebook, graders, tmp_path, wall=4), graders)
        assert "the notebook took longer than 4 s" in marks.stopped
        assert points(marks)["lab02-reading-marks"] == 10


class TestNotebook:
    graders = find_graders("lab02", ROOT)

    def test_what_a_learner_writes_into_a_test_cell_counts_for_nothing(self) -> None:
        notebook = put(cells_of("lab02", "cedar"), "lab02-holding-marks", "35")
        assert points(mark_notebook(notebook, self.graders))["lab02-holding-marks"] == 22

    def test_a_test_cell_that_is_gone_counts_in_its_place(self) -> None:
        notebook = cells_of("lab02", "alder")
        cut = [cell for cell in notebook["cells"] if cell["id"] != "lab02-holding-marks"]
        cut.append({"cell_type": "code", "source": "holding = None", "metadata": {}, "outputs": []})
        assert points(mark_notebook(notebook | {"cells": cut}, self.graders))["lab02-holding-marks"] == 35

    def test_of_a_cell_that_stands_twice_the_last_counts(self) -> None:
        notebook = cells_of("lab02", "alder")
        cell = next(cell for cell in notebook["cells"] if cell["id"] == "lab02-holding-marks")
        for source in ("holding = Ladder('x')", "del holding"):
            more = {"cell_type": "code", "source": source, "metadata": {}, "outputs": []}
            marks = mark_notebook(notebook | {"cells": [*notebook["cells"], more, cell]}, self.graders)
            assert points(marks)["lab02-holding-marks"] == 0

    def test_lines_for_the_front_end_are_left_out(self) -> None:
        notebook = put(cells_of("lab02", "alder"), "lab02-words", "%matplotlib inline\nwords = {}")
        assert mark_notebook(notebook, self.graders).stopped == ()

    def test_what_was_not_begun_is_told_apart_from_what_is_wrong(self) -> None:
        released = json.loads((ROOT / "course/lab02-holding-circuit/lab02.ipynb").read_text(encoding="utf-8"))
        marks = mark_notebook(released, self.graders)
        assert not any(mark.begun for mark in marks.marks)
        assert "lab02-holding · not begun (0 of 35 points)" in str(marks)
        assert str(marks).endswith("lab02-holding-circuit: 0 of 85 points; 15 more for a reader")

    def test_a_students_own_variant_is_refused_by_name(self) -> None:
        notebook = cells_of("lab02", "alder")
        notebook["metadata"]["rungbook"] = {"lab": "lab02-holding-circuit", "variant": "0123456789ab"}
        with pytest.raises(LadderError, match="own variant of the lab; the class that handed it out marks it"):
            mark_notebook(notebook, self.graders)

    @pytest.mark.parametrize("data", [None, [], {"nbformat": 3}, {"nbformat": 4}, {"nbformat": 4, "cells": [{}]}])
    def test_what_is_no_notebook_is_refused(self, data: object) -> None:
        with pytest.raises(LadderError, match="Notebook"):
            mark_notebook(data, self.graders)


class TestGraders:
    def test_without_sources_the_word_is_clear(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("rungbook.classroom.labs.__file__", str(tmp_path / "labs.py"))
        with pytest.raises(LadderError, match="the graders are not in this copy of the course: they lie in solutions/"):
            find_graders("lab02", tmp_path)

    def test_an_exercise_goes_by_its_name_its_short_name_and_its_answer(self) -> None:
        graders = find_graders("lab06", ROOT)
        found = [graders.exercise(name).grade_id for name in ("lab06-faults", "faults", "lab06-faults-marks", "welds")]
        assert found == ["lab06-faults-marks"] * 4
        with pytest.raises(LadderError, match="lab06-interlock"):
            graders.exercise("fault")

    def test_a_solution_has_no_lines_of_the_builders(self) -> None:
        (part,) = find_graders("lab02", ROOT).exercise("words").parts
        assert part.released.endswith("# YOUR WORK HERE")
        assert '"colour of an emergency stop": "red",' in part.solution
        assert "###" not in part.solution


class TestScore:
    def test_is_read_as_nbgrader_reads_it(self) -> None:
        shown = {"output_type": "execute_result", "data": {"text/plain": "7"}}
        assert score([shown], 10) == 7
        assert score([{"output_type": "stream", "name": "stdout", "text": "3"}, shown], 10) == 7
        assert score([{"output_type": "stream", "name": "stderr", "text": "x"}, shown], 10) == 0
        assert score([{"output_type": "error"}], 10) == 0
        assert score([], 10) == 10
        assert score([{"output_type": "execute_result", "data": {"text/plain": "None"}}], 10) == 10
