"""A test cell is corrected: the list first, then the marks, and nothing else."""

import json
from pathlib import Path

import pytest

from classroom.class_kit import LAB2, SAMPLES, copied, everything, new_class, rungbook, work
from rungbook.classroom.class_folder import ClassFolder

NAME, EXERCISE = LAB2.name, "lab02-holding-marks"
ASKED = ("class", "remark", "lab02", "--exercise", EXERCISE, "--trust-submissions", "--workers", "1")


@pytest.fixture(scope="module", name="made")
def _made(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """alder is right; birch and cedar made the same mistake, and birch was given 20 points by hand. Then 5 points of
    "holds in" were moved to "pulls in", which both have."""
    place = new_class(tmp_path_factory.mktemp("remark") / "class", "02")
    assert rungbook("class", "release", "02", cwd=place.root)[0] == 0
    text = (place.root / "release" / NAME / "lab02.ipynb").read_text()
    for student, sample in (("alder", "alder"), ("birch", "cedar"), ("cedar", "cedar")):
        path = place.root / "submitted" / student / NAME / "lab02.ipynb"
        path.parent.mkdir(parents=True)
        path.write_text(work(SAMPLES[sample], text))
    marked = rungbook("class", "mark", "lab02", "--trust-submissions", "--workers", "1", cwd=place.root)
    assert marked[0] == 0, marked[2]
    with place.api().gradebook as gradebook:
        for grade in gradebook.find_submission_notebook("lab02", NAME, "birch").grades:
            if grade.name == EXERCISE:
                grade.manual_score, grade.needs_manual_grade = 20, False
        gradebook.db.commit()
    source = place.lab("lab02").source
    text = source.read_text()
    for old, new in (
        ('when="press S2"), 4,', 'when="press S2"), 9,'),
        ('after="let S2 go"), 9,', 'after="let S2 go"), 4,'),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    source.write_text(text)
    return place


def points(place: ClassFolder) -> dict[str, dict[str, tuple[float, float | None]]]:
    with place.api().gradebook as gradebook:
        return {
            one.student.id: {grade.name: (grade.auto_score, grade.manual_score) for grade in one.grades}
            for one in gradebook.notebook_submissions("lab02", NAME)
        }


def test_first_says_whose_marks_change_and_writes_nothing(made: ClassFolder) -> None:
    before = everything(made.root)
    status, told, problem = rungbook(*ASKED, cwd=made.root)
    assert status == 0, problem
    assert told.splitlines() == [
        "birch: 22 -> 27; a person gave 20, which stays",
        "cedar: 22 -> 27",
        "nothing is written; --yes writes it",
    ]
    assert everything(made.root) == before


def test_then_writes_the_marks_the_feedback_and_the_source_of_that_exercise_alone(
    made: ClassFolder, tmp_path: Path
) -> None:
    place = copied(made, tmp_path / "class")
    before = points(place)
    status, _, problem = rungbook(*ASKED, "--yes", cwd=place.root)
    assert status == 0, problem
    after = points(place)
    assert after["cedar"][EXERCISE] == (27, None)
    assert after["birch"][EXERCISE] == (27, 20), "what a person gave stays"
    for student, marks in before.items():
        others = {name: mark for name, mark in marks.items() if name != EXERCISE}
        assert others.items() <= after[student].items()
    text = (place.root / "autograded" / "cedar" / NAME / "lab02.ipynb").read_text()
    printed = next(
        "".join(cell["outputs"][0]["text"])
        for cell in json.loads(text)["cells"]
        if cell["metadata"].get("nbgrader", {}).get("grade_id") == EXERCISE
    )
    assert printed.startswith("holding: 27 of 35 points")
    assert 'when=\\"press S2\\"), 9,' in (place.root / "source" / NAME / "lab02.ipynb").read_text()
    again = rungbook(*ASKED, cwd=place.root)[1]
    assert again.splitlines()[0] == "no mark changes"


def test_another_cell_that_differs_is_named_and_nothing_tried(made: ClassFolder, tmp_path: Path) -> None:
    place = copied(made, tmp_path / "class")
    source = place.lab("lab02").source
    source.write_text(source.read_text().replace("must(follows(", "must(  follows(", 2))
    status, _, problem = rungbook(
        "class", "remark", "lab02", "--exercise", "lab02-reading-marks", "--trust-submissions", cwd=place.root
    )
    assert status == 2
    assert "the source differs in other cells than lab02-reading-marks" in problem


def test_an_exercise_that_the_lab_lacks_is_refused(made: ClassFolder) -> None:
    status, _, problem = rungbook("class", "remark", "lab02", "--exercise", "lab02-essay", cwd=made.root)
    assert status == 2
    assert f"no such test cell in {NAME}. Given: 'lab02-essay'. Choices: lab02-" in problem


def test_marks_in_a_database_elsewhere_are_never_touched_by_a_trial(made: ClassFolder, tmp_path: Path) -> None:
    place = copied(made, tmp_path / "class")
    elsewhere = tmp_path / "elsewhere.db"
    (place.root / "gradebook.db").rename(elsewhere)
    (place.root / "gradebook.db").write_bytes(elsewhere.read_bytes())  # one from before they moved
    with (place.root / "nbgrader_config.py").open("a", encoding="utf-8") as settings:
        settings.write(f"\nc.CourseDirectory.db_url = 'sqlite:///{elsewhere}'\n")
    before = elsewhere.read_bytes()
    status, _, problem = rungbook(*ASKED, cwd=place.root)
    assert status == 2
    assert "Gradebook: is no file of the class folder, so it cannot be copied to try" in problem
    assert elsewhere.read_bytes() == before
