"""The demonstration, from the command to the files it leaves: nbgrader itself has marked here."""

import csv
import json
import re
import shutil
import subprocess
from pathlib import Path

import nbformat
import pytest

from classroom.conftest import ROOT, SCRIPTS, Demo
from labs.harness import marks
from rungbook.classroom.build import instructor_notebook, notebook_text, released_notebook
from rungbook.classroom.folder import open_class
from rungbook.classroom.labs import find_lab
from rungbook.classroom.samples import hand_in, load_samples

LAB = find_lab(ROOT, "lab02")
SAMPLES = [sample for sample in load_samples(LAB) if sample.demo]


def row(demo: Demo, name: str) -> tuple[str, str]:
    """The student's row of the printed table, blanks made single, and the line below it."""
    lines = demo.printed.splitlines()
    place = next(number for number, line in enumerate(lines) if line.startswith(name))
    return " ".join(lines[place].split()), lines[place + 1].strip()


class TestTable:
    def test_right_circuits_of_different_shapes_get_full_marks(self, demo: Demo) -> None:
        assert row(demo, "Ina Alder") == ("Ina Alder 35 of 35 85 of 85", "Nothing to mend.")
        assert row(demo, "Tom Birch") == ("Tom Birch 35 of 35 85 of 85", "Nothing to mend.")

    def test_no_holding_contact_is_told_in_bench_language(self, demo: Demo) -> None:
        assert row(demo, "Mara Cedar") == (
            "Mara Cedar 22 of 35 72 of 85",
            "Press S2. Let S2 go. Q1 drops out. Expected: Q1 holds in. "
            "There is no closed path around S2 (wires 3–4) after it opens.",
        )

    def test_every_wrong_submission_loses_the_right_marks(self, demo: Demo) -> None:
        assert [row(demo, sample.name)[0] for sample in SAMPLES[3:]] == [
            "Jon Elder 12 of 35 62 of 85",
            "Lea Hazel 12 of 35 62 of 85",
            "Ole Larch 26 of 35 76 of 85",
            "Ida Maple 0 of 35 50 of 85",
            "Kim Rowan 0 of 35 0 of 85",
        ]

    def test_says_where_feedback_and_gradebook_lie(self, demo: Demo) -> None:
        assert f"{demo.folder}/gradebook.db" in demo.printed
        assert f"{demo.folder}/feedback/STUDENT/lab02-holding-circuit/lab02.html" in demo.printed

    def test_shows_a_progress_bar_and_no_warning(self, demo: Demo) -> None:
        bar, rest = [], []
        for piece in re.split(r"[\r\n]", demo.errors):
            (bar if "step" in piece else rest).append(piece.strip())
        assert any("marking Kim Rowan" in piece for piece in bar)
        assert "".join(rest) == ""


class TestMarks:
    @pytest.mark.parametrize("sample", SAMPLES, ids=[sample.student for sample in SAMPLES])
    def test_of_nbgrader_equal_those_of_the_fast_harness_cell_by_cell(self, demo: Demo, sample) -> None:
        with open_class(demo.folder).gradebook as gradebook:
            submission = gradebook.find_submission_notebook("lab02", LAB.name, sample.student)
            graded = {grade.name: grade.score for grade in submission.grades if grade.cell.cell_type == "code"}
        fast = marks(hand_in(LAB, sample), instructor_notebook(LAB))
        assert graded == {cell: result.points for cell, result in fast.items()}

    def test_written_answers_wait_for_a_reader(self, demo: Demo) -> None:
        with open_class(demo.folder).gradebook as gradebook:
            waiting = gradebook.find_submission_notebook("lab02", LAB.name, "alder").needs_manual_grade
            blank = gradebook.find_submission_notebook("lab02", LAB.name, "rowan")
            unread = [grade.name for grade in blank.grades if grade.needs_manual_grade]
        assert waiting
        assert unread == [], "an answer left as it was given is 0 without a reader"

    def test_are_exported_with_the_students_names(self, demo: Demo) -> None:
        with (demo.folder / "marks.csv").open(newline="", encoding="utf-8") as file:
            rows = {line["student_id"]: line for line in csv.DictReader(file)}
        assert len(rows) == 8
        assert (rows["cedar"]["first_name"], rows["cedar"]["last_name"]) == ("Mara", "Cedar")
        assert (rows["cedar"]["score"], rows["cedar"]["max_score"]) == ("72.0", "100.0")


class TestFeedbackPage:
    def page(self, demo: Demo, student: str) -> str:
        return (demo.folder / "feedback" / student / LAB.name / "lab02.html").read_text(encoding="utf-8")

    def test_says_what_to_mend_and_shows_the_students_diagram(self, demo: Demo) -> None:
        page = self.page(demo, "cedar")
        assert "There is no closed path around S2 (wires 3–4) after it opens." in page
        assert "Look at: what closes when Q1 pulls in, and where it stands" in page
        drawn = re.findall(r'<img alt="([^"]*)"', page)
        assert any(
            "Rung 1: from the left rail, wire 1; normally closed contact of push button S1" in alt for alt in drawn
        )

    @pytest.mark.parametrize("student", [sample.student for sample in SAMPLES])
    def test_shows_no_hidden_test_and_no_marking_guide(self, demo: Demo, student: str) -> None:
        page = re.sub(r"<[^>]+>", "", self.page(demo, student))
        assert "BEGIN HIDDEN TESTS" not in page
        assert "same_as(" not in page
        assert "does_not_start" not in page
        assert "Marking guide" not in page


class TestPlainNbgrader:
    def test_release_equals_the_tracked_notebook(self, demo: Demo) -> None:
        made = nbformat.read(demo.folder / "release" / LAB.name / "lab02.ipynb", as_version=4)
        ours = released_notebook(instructor_notebook(LAB))
        assert [cell.source for cell in made.cells] == [cell.source for cell in ours.cells]
        assert [cell.metadata for cell in made.cells] == [cell.metadata for cell in ours.cells]

    def test_a_deleted_test_cell_is_put_back_and_marked(self, demo: Demo, tmp_path: Path) -> None:
        folder = tmp_path / "class"
        shutil.copytree(demo.folder, folder)
        notebook = hand_in(LAB, SAMPLES[0])
        notebook.cells = [cell for cell in notebook.cells if cell["id"] != "lab02-holding-marks"]
        path = folder / "submitted" / "yew" / LAB.name / "lab02.ipynb"
        path.parent.mkdir(parents=True)
        path.write_text(notebook_text(notebook), encoding="utf-8")
        api = open_class(folder)
        assert api.autograde(LAB.name, "yew")["success"]
        with api.gradebook as gradebook:
            assert gradebook.find_submission("lab02-holding-circuit", "yew").score == 85


def test_refuses_a_folder_with_something_in_it(demo: Demo) -> None:
    before = sorted(path.name for path in demo.folder.iterdir())
    done = subprocess.run(
        [SCRIPTS / "rungbook", "demo", demo.folder], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "must be new or empty" in done.stderr
    assert sorted(path.name for path in demo.folder.iterdir()) == before


def test_submissions_are_the_released_notebook_and_nothing_of_the_instructors(demo: Demo) -> None:
    for sample in SAMPLES:
        text = (demo.folder / "submitted" / sample.student / LAB.name / "lab02.ipynb").read_text(encoding="utf-8")
        assert "HIDDEN TESTS" not in text
        assert {cell["cell_type"] for cell in json.loads(text)["cells"]} == {"markdown", "code"}
