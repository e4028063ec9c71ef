"""Marks of a class in which nbgrader has marked, in the shapes that other gradebooks want."""

import csv
from pathlib import Path

import pytest

from classroom.class_kit import LAB2, ROSTER, SAMPLES, copied, new_class, rungbook, work
from rungbook.classroom.class_folder import ClassFolder

NAME = LAB2.name
ODD = 'formula,=cmd(),"O\'Elm, ""von""",\n'


@pytest.fixture(scope="module", name="place")
def _place(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """alder marked and read, cedar marked and waiting, birch handed in, the others not."""
    place = new_class(tmp_path_factory.mktemp("export") / "class", "01-02", ROSTER + ODD)
    assert rungbook("class", "release", "02", cwd=place.root)[0] == 0
    text = (place.root / "release" / NAME / "lab02.ipynb").read_text()
    for student in ("alder", "birch", "cedar"):
        path = place.root / "submitted" / student / NAME / "lab02.ipynb"
        path.parent.mkdir(parents=True)
        path.write_text(work(SAMPLES[student], text))
        (path.parent / "timestamp.txt").write_text("2026-09-19 11:59:00 UTC\n")
    api = place.api()
    for student in ("alder", "cedar"):
        assert api.autograde(NAME, student)["success"]
    with api.gradebook as gradebook:
        for grade in gradebook.find_submission_notebook("lab02", NAME, "alder").grades:
            if grade.cell.cell_type == "markdown":
                grade.manual_score, grade.needs_manual_grade = 12.5, False
        gradebook.db.commit()
    return place


def table(place: ClassFolder, to: Path, *more: str) -> dict[str, list[str]]:
    """First cell of a row -> the others; the head is under its own first cell."""
    status, _, problem = rungbook("class", "export", "--to", to, *more, cwd=place.root)
    assert status == 0, problem
    with to.open(newline="", encoding="utf-8") as file:
        return {row[0]: row[1:] for row in csv.reader(file)}


class TestWide:
    def test_has_a_row_for_each_student_and_says_what_is_missing(self, place: ClassFolder, tmp_path: Path) -> None:
        rows = table(place, tmp_path / "m.csv")
        none = "not handed in"
        assert rows["id"] == ["last_name", "first_name", "email", "lab01", "lab02", "total", "max"]
        assert rows["alder"] == ["Alder", "Ina", "ina@cider.example", none, "97.5", "97.5", "200"]
        assert rows["birch"] == ["Birch", "Tom", "", none, "not marked yet", "0", "200"]
        assert rows["cedar"] == ["Cedar", "Mara", "mara@cider.example", none, "72", "72", "200"]
        assert rows["elder"][3:5] == [none, none]
        assert len(rows) == 8

    def test_names_that_a_spreadsheet_would_run_are_harmless(self, place: ClassFolder, tmp_path: Path) -> None:
        assert table(place, tmp_path / "m.csv")["formula"][:2] == ['O\'Elm, "von"', "'=cmd()"]

    def test_says_how_many_marks_are_not_final(self, place: ClassFolder, tmp_path: Path) -> None:
        told = rungbook("class", "export", "--to", tmp_path / "m.csv", "--labs", "02", cwd=place.root)[1]
        assert "7 rows, 7 columns" in told
        assert "4 not handed in, 1 not marked yet, 1 not final" in told


class TestColumns:
    def test_are_chosen_and_named(self, place: ClassFolder, tmp_path: Path) -> None:
        asked = "Key=id,Week 2=lab02:percent,lab02:status,lab02:late,lab02:max,lab02-holding-marks,percent"
        rows = table(place, tmp_path / "m.csv", "--labs", "02", "--columns", asked, "--missing", "-")
        assert rows["Key"] == ["Week 2", *asked.split(",")[2:]]
        assert rows["alder"] == ["97.5", "marked", "12", "100", "35", "97.5"]
        assert rows["cedar"] == ["72", "waits for a reader", "12", "100", "22", "72"]
        assert rows["elder"] == ["'-", "not handed in", "0", "100", "'-", "0"]

    def test_of_each_exercise_stand_in_the_labs_order(self, place: ClassFolder, tmp_path: Path) -> None:
        rows = table(place, tmp_path / "m.csv", "--labs", "02", "--profile", "exercises")
        assert rows["id"][2:] == [
            "lab02-reading-marks",
            "lab02-holding-marks",
            "lab02-restart-marks",
            "lab02-emergency-marks",
            "lab02-mended-marks",
            "lab02-coil-marks",
            "lab02-words-marks",
            "lab02-essay",
            "total",
            "max",
        ]
        assert sum(float(cell) for cell in rows["alder"][2:-2]) == 97.5

    def test_unknown_ones_are_refused_and_nothing_is_written(self, place: ClassFolder, tmp_path: Path) -> None:
        status, _, problem = rungbook(
            "class", "export", "--to", tmp_path / "m.csv", "--columns", "id,mark", cwd=place.root
        )
        assert status == 2
        assert "no such column. Given: 'mark'. Choices: id, first_name" in problem
        assert list(tmp_path.iterdir()) == []


def test_the_long_profile_has_a_row_for_each_student_and_lab(place: ClassFolder, tmp_path: Path) -> None:
    status, told, _ = rungbook("class", "export", "--to", tmp_path / "m.csv", "--profile", "long", cwd=place.root)
    assert (status, told.splitlines()[0]) == (0, f"written: {tmp_path}/m.csv, 14 rows, 10 columns")
    with (tmp_path / "m.csv").open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.reader(file) if row[0] == "cedar"]
    assert rows[0][4:] == ["lab01", "not handed in", "100", "not handed in", "not handed in", "0"]
    assert rows[1][4:] == ["lab02", "72", "100", "72", "waits for a reader", "12"]


def test_what_was_handed_in_again_since_says_so(place: ClassFolder, tmp_path: Path) -> None:
    again = copied(place, tmp_path / "class")
    stamp = again.root / "submitted" / "alder" / NAME / "timestamp.txt"
    stamp.write_text("2026-09-20 11:59:00 UTC\n")
    rows = table(again, tmp_path / "m.csv", "--columns", "id,lab02,lab02:status")
    assert rows["alder"] == ["97.5", "handed in again since"]


class TestTheFile:
    def test_is_not_written_over_unless_told(self, place: ClassFolder, tmp_path: Path) -> None:
        (tmp_path / "m.csv").write_text("mine")
        status, _, problem = rungbook("class", "export", "--to", tmp_path / "m.csv", cwd=place.root)
        assert (status, (tmp_path / "m.csv").read_text()) == (2, "mine")
        assert "holds something else already; --replace writes over it" in problem
        assert "alder" in table(place, tmp_path / "m.csv", "--replace")
        assert "alder" in table(place, tmp_path / "m.csv"), "the same marks once more are no other"

    def test_is_a_csv_file_in_a_folder_that_is_there(self, place: ClassFolder, tmp_path: Path) -> None:
        for to in (tmp_path / "m.txt", tmp_path / "none" / "m.csv"):
            status, _, problem = rungbook("class", "export", "--to", to, cwd=place.root)
            assert status == 2
            assert "a .csv file in a folder that exists" in problem

    def test_of_an_unknown_profile_is_refused(self, place: ClassFolder, tmp_path: Path) -> None:
        problem = rungbook("class", "export", "--to", tmp_path / "m.csv", "--profile", "x", cwd=place.root)[2]
        assert "Choices: wide, percent, exercises, long" in problem
