"""A student's work is marked by the test cells in the words of the student's own variant."""

import subprocess
import sys
from pathlib import Path

from classroom.conftest import ROOT
from rungbook.classroom.build import notebook_text, replace_file
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.folder import open_class
from rungbook.classroom.labs import find_lab
from rungbook.classroom.marking.engine import How, mark_lab
from rungbook.classroom.samples import hand_in, load_samples


def test_of_three_students_earn_what_the_same_work_earns_in_the_common_words(walls: None, tmp_path: Path) -> None:
    roster = tmp_path / "students.csv"
    roster.write_text("id,first_name,last_name,email\na,A,A,\nb,B,B,\nc,C,C,\n", encoding="utf-8")
    folder = tmp_path / "class"
    command = [sys.executable, "-m", "rungbook.cli", "class"]
    for rest in (
        ["new", str(folder), "--roster", str(roster), "--labs", "02", "--term", "2026-09-07"],
        ["release", "lab02", "--variants", "--class", str(folder)],
    ):
        done = subprocess.run([*command, *rest], cwd=ROOT, capture_output=True, text=True, timeout=200, check=False)
        assert done.returncode == 0, done.stderr
    place = ClassFolder(folder)
    lab = find_lab(ROOT, "lab02")
    variants = place.variants(place.lab("lab02"))
    for student, variant in variants.items():
        sample = next(one for one in load_samples(lab, variant) if one.student == "cedar")
        path = folder / "submitted" / student / lab.name / "lab02.ipynb"
        replace_file(path, notebook_text(hand_in(lab, sample, variant)))
    # what was given to one student is wrong work for another
    stranger = next(variant for student, variant in variants.items() if student != "a")
    assert stranger.becomes != variants["a"].becomes
    marking = mark_lab(place, place.lab("lab02"), How(workers=2, progress=False))
    assert {entry["student"]: entry["points"] for entry in marking.entries} == {"a": 72, "b": 72, "c": 72}
    right = next(one for one in load_samples(lab, stranger) if one.student == "alder")
    replace_file(folder / "submitted" / "a" / lab.name / "lab02.ipynb", notebook_text(hand_in(lab, right, stranger)))
    (entry,) = mark_lab(place, place.lab("lab02"), How(workers=2, progress=False)).entries
    assert (entry["student"], entry["points"] < 72) == ("a", True)
    with open_class(folder).gradebook as gradebook:
        assert gradebook.find_submission(lab.name, "b").score == 72
