"""Pages to hand back, made by nbgrader in the folder that the demonstration leaves."""

import json
import re
import shutil
import zipfile
from html import escape

import pytest

from classroom.class_kit import LAB2, rungbook
from classroom.conftest import Demo
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.feedback import leak

NAME = LAB2.name
HIDDEN = next(
    line.strip()
    for line in LAB2.source.read_text().partition("### BEGIN HIDDEN TESTS")[2].splitlines()
    if len(line.strip()) > 30 and not line.startswith("from")
)


@pytest.fixture(scope="module", name="place")
def _place(demo: Demo, tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """The essays of cedar and elder are read; a test cell of larch's quoted itself."""
    place = ClassFolder(tmp_path_factory.mktemp("feedback") / "class")
    shutil.copytree(demo.folder, place.root)
    with place.api().gradebook as gradebook:
        for student in ("cedar", "elder", "larch"):
            for grade in gradebook.find_submission_notebook("lab02", NAME, student).grades:
                if grade.cell.cell_type == "markdown":
                    grade.manual_score, grade.needs_manual_grade = 10, False
        gradebook.db.commit()
    path = place.root / "autograded" / "larch" / NAME / "lab02.ipynb"
    path.chmod(0o644)
    path.write_text(path.read_text().replace("holding: 26", json.dumps(HIDDEN)[1:-1] + " 26", 1))
    return place


@pytest.fixture(scope="module", name="told")
def _told(place: ClassFolder) -> str:
    status, told, problem = rungbook("class", "feedback", "lab02", cwd=place.root)
    assert status == 1, problem
    return told


def page(place: ClassFolder, student: str) -> str:
    with zipfile.ZipFile(place.root / "handback" / NAME / "students" / f"{student}.zip") as archive:
        assert archive.namelist() == [f"{NAME}/lab02.html"]
        return archive.read(f"{NAME}/lab02.html").decode()


def test_pages_are_made_for_those_who_are_read(told: str, place: ClassFolder) -> None:
    # rowan handed in nothing but blank cells, which nobody has to read
    assert "3 pages, to hand back: " in told
    assert "wait for a reader, not handed back: alder, birch" in told
    with zipfile.ZipFile(place.root / "handback" / NAME / f"{NAME}.zip") as archive:
        assert {"cedar", "elder"} <= {name.split("/")[0] for name in archive.namelist()}


def test_a_page_shows_the_diagram_the_failed_requirement_the_sequence_and_the_picture_in_time(
    told: str, place: ClassFolder
) -> None:
    text = page(place, "cedar")
    assert "Rung 1: from the left rail, wire 1; normally closed contact of push button S1" in text
    plain = re.sub(r"<[^>]+>", "", text)
    assert "Press S2. Let S2 go. Q1 drops out." in plain
    assert re.search(r"not met +0/9 +Q1 holds in when you let S2 \(start\) go\.", plain)
    assert "Q1 asked" in plain


def test_a_page_fetches_nothing_from_the_web(told: str, place: ClassFolder) -> None:
    assert not re.search(r'(?:src|href)="https?:', page(place, "cedar"))


def test_a_page_that_shows_a_hidden_test_is_withheld_and_said_so(told: str, place: ClassFolder) -> None:
    assert f"withheld: larch, shows a line of a hidden test: {HIDDEN}" in told
    assert not (place.root / "handback" / NAME / "students" / "larch.zip").exists()


def test_unread_answers_are_handed_back_only_if_told_so(told: str, place: ClassFolder) -> None:
    assert not (place.root / "handback" / NAME / "students" / "alder.zip").exists()
    rungbook("class", "feedback", "lab02", "--unread", cwd=place.root)
    assert "Score: 85.0 / 100.0" in page(place, "alder")


def test_solutions_and_short_lines_are_no_leak() -> None:
    cells = instructor_notebook(LAB2).cells
    assert leak("<p>from rungbook.grading import mark, must</p>", cells) == ""
    assert leak(f"<pre>{escape(HIDDEN[:-6])}</pre>", cells) == ""
    assert leak(f"<pre>  <b>{escape(HIDDEN[:9])}</b>{escape(HIDDEN[9:])}\n</pre>", cells) == HIDDEN
    assert leak("<p><em>Marking guide.</em></p>", cells) == "*Marking guide.*"
