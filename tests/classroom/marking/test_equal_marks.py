"""For honest work the marks are those of plain `nbgrader autograde`, cell by cell. All samples of all labs are compared
by the command of `against_nbgrader.py`; here it is some of them."""

import shutil
from pathlib import Path

import pytest

from classroom.conftest import ROOT, Demo
from classroom.marking.against_nbgrader import differences, grades, make
from classroom.once import once
from labs.harness import marks
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.folder import open_class
from rungbook.classroom.labs import find_lab
from rungbook.classroom.marking.engine import How, mark_lab
from rungbook.classroom.samples import hand_in, load_samples

LABS = ("lab01", "lab02", "lab04", "lab06")
PLAIN = "lab04"  # a lab of which some samples are marked by nbgrader itself here, beside the demonstration's lab02
QUIET = How(workers=2, progress=False)


@pytest.fixture(scope="module", name="handed_in")
def _handed_in(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return once(tmp_path_factory, "equal-handed-in", lambda folder: make(folder, [lab_of(name) for name in LABS]))[0]


@pytest.fixture(scope="module", name="marked")
def _marked(walls: None, handed_in: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    def mark(folder: Path) -> None:
        shutil.copytree(handed_in, folder)
        for lab in LABS:
            mark_lab(ClassFolder(folder), ClassFolder(folder).lab(lab), QUIET)

    return once(tmp_path_factory, "equal-marked", mark)[0]


@pytest.mark.parametrize("name", LABS)
def test_points_and_feedback_are_those_of_the_test_cells_run_beside_the_students(marked: Path, name: str) -> None:
    import nbformat

    lab = find_lab(ROOT, name)
    source = instructor_notebook(lab)
    for sample in load_samples(lab):
        expected = marks(hand_in(lab, sample), source)
        path = marked / "autograded" / sample.student / lab.name / f"{lab.short}.ipynb"
        notebook = nbformat.read(path, as_version=4)
        said = {
            cell["id"]: "".join(output.get("text", "") for output in cell.outputs)
            for cell in notebook.cells
            if cell["id"] in expected
        }
        assert said == {cell: result.printed for cell, result in expected.items()}, sample.student
        found = grades(marked, lab.name, sample.student)
        assert {cell: found[cell][0] for cell in expected} == {cell: one.points for cell, one in expected.items()}


def test_the_gradebook_is_what_nbgrader_itself_made_of_lab02(walls: None, demo: Demo, tmp_path: Path) -> None:
    folder = tmp_path / "class"
    shutil.copytree(demo.folder, folder)
    lab = ClassFolder(folder).lab("lab02")
    students = sorted(path.name for path in (folder / "submitted").iterdir())
    before = {student: grades(folder, lab.name, student) for student in students}
    (folder / "gradebook.db").unlink()
    shutil.rmtree(folder / "autograded")
    assert open_class(folder).generate_assignment(lab.name, force=True)["success"]
    marking = mark_lab(ClassFolder(folder), lab, QUIET)
    assert [entry["student"] for entry in sorted(marking.entries, key=lambda one: one["student"])] == students
    assert {student: grades(folder, lab.name, student) for student in students} == before


def test_the_gradebook_is_what_nbgrader_itself_makes_of_another_lab(
    marked: Path, handed_in: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "class"
    shutil.copytree(handed_in, folder)
    lab = ClassFolder(folder).lab(PLAIN)
    api = open_class(folder)
    for sample in load_samples(lab_of(PLAIN))[:3]:
        result = api.autograde(lab.name, sample.student)
        assert result["success"], result["log"]
        cells, apart = differences(marked, folder, lab.name, sample.student)
        assert (cells > 15, apart) == (True, [])


def lab_of(name: str):
    return find_lab(ROOT, name)
