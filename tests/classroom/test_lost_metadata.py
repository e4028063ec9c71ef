"""The whole way, from a download to the page handed back, of notebooks that another program saved, and a large one."""

import json
import zipfile
from pathlib import Path

import pytest

from classroom.class_kit import SAMPLES, new_class, rungbook, work
from rungbook.classroom.class_folder import ClassFolder

NAME = "lab02-holding-circuit"
# alder's work, as a program saves it that drops all metadata, or the ids of cells as well
DROPS = {"alder": (), "birch": ("metadata",), "cedar": ("metadata", "id"), "elder": ()}


@pytest.fixture(
    scope="module",
    name="place",
    params=[pytest.param([], id="alike"), pytest.param(["--variants"], id="variants", marks=pytest.mark.long)],
)
def _place(walls: None, request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    place = new_class(tmp_path_factory.mktemp("lost") / "class", "02")
    inside = {"cwd": place.root}
    assert rungbook("class", "release", "lab02", *request.param, **inside)[0] == 0
    given = place.root.parent / "in"
    for student, drops in DROPS.items():
        made = json.loads(_work(place, student, bool(request.param)))
        for cell in made["cells"]:
            if "metadata" in drops:
                cell["metadata"] = {}
            if "id" in drops:
                del cell["id"]
        if student == "elder":
            made["cells"][1]["outputs"] = [{"output_type": "stream", "name": "stdout", "text": ["x\n"] * 6_000_000}]
        if drops:
            made |= {"metadata": {}, "nbformat_minor": 4 if "id" in drops else 5}
        (given / student).mkdir(parents=True)
        (given / student / "lab02.ipynb").write_text(json.dumps(made), encoding="utf-8")
    status, told, problem = rungbook("class", "collect", "lab02", given, **inside)
    assert status == 0, told + problem
    (place.root.parent / "collected.txt").write_text(told, encoding="utf-8")
    status, told, problem = rungbook("class", "mark", "lab02", "--workers", "2", **inside)
    assert status == 0, problem
    (place.root.parent / "marked.txt").write_text(told, encoding="utf-8")
    return place


def _work(place: ClassFolder, student: str, varied: bool) -> str:
    """The same work of each, in the words of the student's own variant."""
    from rungbook.classroom.build import notebook_text
    from rungbook.classroom.samples import hand_in, load_samples

    if not varied:
        return work(SAMPLES["alder"], (place.root / "release" / NAME / "lab02.ipynb").read_text(encoding="utf-8"))
    lab = place.lab("lab02")
    variant = place.variants(lab)[student]
    (sample,) = [one for one in load_samples(lab, variant) if one.student == "alder"]
    return notebook_text(hand_in(lab, sample, variant))


def told(place: ClassFolder, file: str) -> str:
    return (place.root.parent / file).read_text(encoding="utf-8")


def grades(place: ClassFolder, student: str) -> dict[str, tuple]:
    with place.api().gradebook as gradebook:
        found = gradebook.find_submission_notebook("lab02", NAME, student)
        return {grade.name: (grade.auto_score, grade.needs_manual_grade) for grade in found.grades}


def test_they_are_taken_and_it_is_said_how_they_were_known(place: ClassFolder) -> None:
    text = " ".join(told(place, "collected.txt").split())
    assert "without nbgrader's metadata; its exercises are known by their ids" in text
    assert "without nbgrader's metadata; its exercises are known by the cells around them" in text
    assert "MB, taken without its outputs" in text


@pytest.mark.parametrize("student", ["birch", "cedar", "elder"])
def test_the_marks_are_those_of_the_same_work_with_nothing_lost(place: ClassFolder, student: str) -> None:
    asked = grades(place, "alder")
    assert sum(points or 0 for points, _ in asked.values()) == 85
    assert grades(place, student) == asked


def test_the_log_and_the_page_say_so(place: ClassFolder) -> None:
    marked = told(place, "marked.txt")
    assert "birch: 85 of 100. nbgrader's metadata was lost; recognised by their ids: lab02-reading" in marked
    assert "cedar: 85 of 100. nbgrader's metadata was lost; recognised by the unchanged cells" in marked
    assert "alder: " not in marked
    assert rungbook("class", "feedback", "lab02", "--unread", cwd=place.root)[0] == 0
    for student, has in (("alder", False), ("birch", True), ("cedar", True)):
        with zipfile.ZipFile(Path(place.root, "handback", NAME, "students", f"{student}.zip")) as archive:
            page = archive.read(f"{NAME}/lab02.html").decode()
        assert ("Cells of it had lost the names of their exercises" in page) == has
