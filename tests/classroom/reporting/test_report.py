"""Pages made from what nbgrader left of the demonstration."""

import csv
import json
import re
import shutil
from html import unescape
from pathlib import Path

import pytest

from classroom.class_kit import LAB2, rungbook
from classroom.conftest import Demo
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.reporting.page import table


@pytest.fixture(scope="module", name="place")
def _place(demo: Demo, tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    place = ClassFolder(tmp_path_factory.mktemp("report") / "class")
    shutil.copytree(demo.folder, place.root)
    shutil.copytree(LAB2.source.parent, place.root / "solutions" / LAB2.name)
    (place.root / "marking").mkdir()
    lines = [{"student": "maple", "problem": "a cell was stopped after 60 s", "notes": []}, {"student": "alder"}]
    text = "".join(json.dumps(line) + "\n" for line in lines) + '{"stud'
    (place.root / "marking" / f"{LAB2.name}.jsonl").write_text(text)
    status, told, problem = rungbook("class", "report", "--all", cwd=place.root)
    assert status == 0, problem
    assert told.count("written: ") == 4
    return place


def words(place: ClassFolder, name: str) -> str:
    text = (place.root / "reports" / name).read_text(encoding="utf-8")
    assert not re.search(r'(?:src|href)="https?:', text)
    return " ".join(unescape(re.sub(r"(?s)<style.*?</style>|<[^>]+>", " ", text)).split())


def test_the_page_of_a_lab_tells_the_class_the_mistakes_and_the_exercises(place: ClassFolder) -> None:
    text = words(place, f"{LAB2.name}.html")
    assert "7 waits for a reader, 1 marked" in text
    assert (
        "1 student: Press S2. Let S2 go. Q1 drops out. Expected: Q1 holds in. There is no closed path around S2" in text
    )
    # 2 of 8 have all 35 points; the mean is (35 + 35 + 22 + 12 + 12 + 26 + 0 + 0) / 8 of 35
    assert "lab02-holding-marks 35 8 2 50.71" in text
    assert "Cedar, Mara 10 22 7 8 7 8 10 72 waits for a reader" in text
    assert "maple a cell was stopped after 60 s" in text


def test_the_same_words_in_an_essay_stand_once_with_all_who_wrote_them(place: ClassFolder) -> None:
    text = words(place, f"{LAB2.name}.html")
    assert "alder, birch, cedar, elder, hazel, larch, maple: lab02-essay: the same words" in text


def test_the_page_of_the_term_tells_every_student(place: ClassFolder) -> None:
    text = words(place, "term.html")
    assert "lab02 Lab 02 · The holding circuit 8 61.5" in text
    assert "Rowan, Kim 0 0 0 0" in text


def test_the_pages_and_the_tables_tell_the_outcome_of_each_aim(place: ClassFolder) -> None:
    text = words(place, f"{LAB2.name}.html")
    # of reading 10, holding 35 and the mistake 7: 52, 52, 39, 29, 29, 43, 17 and 0 of 52; 60 % are 31.2
    assert (
        "1 draw and wire a three-wire control with a holding contact and explain each contact in it "
        "reading, holding, mended 8 4 50 0 0" in text
    )
    # the essay of 7 waits; who handed in nothing but blank cells has 0
    assert "restart, essay 1 0 0 7 0" in text
    assert "lab02 1 draw and wire" in words(place, "term.html")
    with (place.root / "reports" / "aims.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["lab"], row["aim"]) for row in rows] == [("lab02", str(n)) for n in range(1, 6)]
    numbers = ("points", "threshold [%]", "students", "reached", "share [%]", "wait for a reader", "without marks")
    assert [rows[0][name] for name in numbers] == ["52", "60", "8", "4", "50", "0", "0"]
    assert rows[0]["shown by"] == "lab02-reading-marks, lab02-holding-marks, lab02-mended-marks"
    assert (place.root / "reports" / f"{LAB2.name}-aims.csv").read_bytes() == (
        place.root / "reports" / "aims.csv"
    ).read_bytes()


def test_another_threshold_is_stated_and_kept(place: ClassFolder, tmp_path: Path) -> None:
    other = ClassFolder(shutil.copytree(place.root, tmp_path / "class"))
    assert rungbook("class", "report", "lab02", "--threshold", "90", cwd=other.root)[0] == 0
    text = words(other, f"{LAB2.name}.html")
    assert "at least 90 % of the points" in text
    assert "reading, holding, mended 8 2 25 0 0" in text
    status, _, problem = rungbook("class", "report", "lab02", "--threshold", "0", cwd=other.root)
    assert (status, "--threshold: is percent of an aim's points" in problem) == (2, True)


def test_figures_say_in_words_what_they_show(place: ClassFolder) -> None:
    text = (place.root / "reports" / f"{LAB2.name}.html").read_text(encoding="utf-8")
    labels = re.findall(r'<svg role="img" aria-label="([^"]*)"', text)
    assert (
        labels[0]
        == "Students by points: 1 from 0 to 10, 1 from 50 to 60, 2 from 60 to 70, 2 from 70 to 80, 2 from 80 to 90"
    )
    assert labels[1].startswith("Share of the students who reached each aim: aim 1 50 % of 8; ")
    assert "lab02-holding-marks 51 %" in labels[2]


def test_a_second_time_the_pages_are_the_same(place: ClassFolder) -> None:
    pages = sorted((place.root / "reports").iterdir())
    before = [path.read_bytes() for path in pages]
    rungbook("class", "report", "--all", cwd=place.root)
    assert [path.read_bytes() for path in pages] == before


def test_what_is_written_is_shown_and_not_run() -> None:
    assert "&lt;script&gt;" in table("", ["a"], [["<script>"]])


def test_a_report_is_about_a_lab_or_all(place: ClassFolder) -> None:
    assert rungbook("class", "report", cwd=place.root)[0] == 2
    assert rungbook("class", "report", "lab02", "--all", cwd=place.root)[0] == 2
