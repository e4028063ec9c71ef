"""For honest work the marks are those of plain `nbgrader autograde`, cell by cell."""

import shutil
from pathlib import Path

import pytest

from classroom.conftest import ROOT, Demo
from classroom.once import once
from labs.harness import marks
from rungbook.classroom.build import instructor_notebook, notebook_text, replace_file
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.folder import make_class, open_class
from rungbook.classroom.labs import find_lab
from rungbook.classroom.marking.engine import How, mark_lab
from rungbook.classroom.samples import hand_in, load_samples

LABS = ("lab01", "lab02", "lab04", "lab06")
PLAIN = "lab04"  # a lab of which some samples are marked by nbgrader itself here, beside the demonstration's lab02
QUIET = How(workers=2, progress=False)


def grades(folder: Path, lab: str, student: str) -> dict[str, tuple]:
    """Cell -> all that the gradebook says of it."""
    with open_class(folder).gradebook as gradebook:
        notebook = gradebook.find_submission_notebook(lab[:5], lab, student)
        found = {g.name: (g.auto_score, g.manual_score, g.max_score, g.needs_manual_grade) for g in notebook.grades}
        return found | {f"{c.name} comment": (c.auto_comment, c.manual_comment) for c in notebook.comments}


def make(folder: Path, *labs: str) -> None:
    """A class in which the samples of the labs are handed in."""
    chosen = [find_lab(ROOT, lab) for lab in labs]
    make_class(folder, chosen)
    api = open_class(folder)
    for lab in chosen:
        assert api.generate_assignment(lab.name)["success"]
        for sample in load_samples(lab):
            path = folder / "submitted" / sample.student / lab.name / f"{lab.short}.ipynb"
            replace_file(path, notebook_text(hand_in(lab, sample)))


@pytest.fixture(scope="module", name="handed_in")
def _handed_in(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return once(tmp_path_factory, "equal-handed-in", lambda folder: make(folder, *LABS))[0]


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
        assert grades(marked, lab.name, sample.student) == grades(folder, lab.name, sample.student)


def lab_of(name: str):
    return find_lab(ROOT, name)
