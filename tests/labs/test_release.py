"""What a student opens: up to date, runs without an error, gives nothing away."""

import json
import re
from pathlib import Path

import nbformat
import pytest

from labs.harness import run_notebook
from rungbook.classroom.build import instructor_notebook, released_notebook, stale
from rungbook.classroom.labs import find_lab, find_labs

ROOT = Path(__file__).parents[2]
LABS = [lab.name for lab in find_labs(ROOT)]


def test_tracked_notebooks_are_those_of_a_fresh_build() -> None:
    assert stale(find_labs(ROOT)) == [], "run: rungbook build"


def test_course_holds_a_folder_for_each_lab_and_no_other() -> None:
    folders = sorted(path.name for path in (ROOT / "course").iterdir() if path.is_dir())
    assert [name for name in folders if not name.startswith(".")] == LABS


@pytest.mark.parametrize("name", LABS)
class TestRelease:
    def test_runs_from_top_to_bottom_without_an_error(self, name: str) -> None:
        notebook = nbformat.read(find_lab(ROOT, name).released, as_version=4)
        for cell, _, _, error in run_notebook(notebook):
            assert error is None, f"{cell['id']}: {error}"

    def test_solution_runs_without_an_error_and_ends_in_points(self, name: str) -> None:
        for cell, _, value, error in run_notebook(instructor_notebook(find_lab(ROOT, name))):
            assert error is None, f"{cell['id']}: {error}"
            if cell.metadata.get("nbgrader", {}).get("locked"):
                assert value == cell.metadata.nbgrader.points

    def test_no_line_of_a_solution_or_hidden_test_is_in_it(self, name: str) -> None:
        lab = find_lab(ROOT, name)
        released = lab.released.read_text(encoding="utf-8")
        shown = {
            line.strip() for cell in json.loads(released)["cells"] for line in "".join(cell["source"]).splitlines()
        }
        secret = set()
        for cell in instructor_notebook(lab).cells:
            for region in re.findall(r"### BEGIN (?:SOLUTION|HIDDEN TESTS)\n(.*?)### END", cell.source, re.DOTALL):
                secret |= {line.strip() for line in region.splitlines() if len(line.strip()) > 3}
        assert len(secret) > 50, "the search found no secrets to look for"
        told = {
            line for line in shown & secret if not re.fullmatch(r"\w+ = \{", line)
        }  # the form's first line is given
        assert told == set()
        for word in ("HIDDEN TESTS", "BEGIN SOLUTION", "same_as", "Marking guide"):
            assert word not in released

    def test_has_no_outputs_and_only_the_metadata_nbgrader_needs(self, name: str) -> None:
        for cell in nbformat.read(find_lab(ROOT, name).released, as_version=4).cells:
            assert not cell.get("outputs")
            assert set(cell.metadata) <= {"nbgrader", "deletable", "editable"}

    def test_code_cells_a_student_reads_have_at_most_twenty_lines(self, name: str) -> None:
        for cell in nbformat.read(find_lab(ROOT, name).released, as_version=4).cells:
            if cell.cell_type == "code":
                assert len(cell.source.splitlines()) <= 20, cell.source

    def test_cautions_stand_at_the_top(self, name: str) -> None:
        top = nbformat.read(find_lab(ROOT, name).released, as_version=4).cells[0].source
        for words in ("Lock out", "Prove the circuit dead", "instructor", "electrical code"):
            assert words in top

    def test_is_the_same_whenever_it_is_built(self, name: str) -> None:
        lab = find_lab(ROOT, name)
        assert released_notebook(instructor_notebook(lab)) == released_notebook(instructor_notebook(lab))
