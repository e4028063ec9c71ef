"""A student's work is marked by the test cells in the words of the student's own variant."""

import os
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

from classroom.conftest import ROOT
from rungbook.classroom.build import notebook_text, replace_file
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.folder import open_class
from rungbook.classroom.labs import find_lab
from rungbook.classroom.marking.engine import How, mark_lab
from rungbook.classroom.samples import hand_in, load_samples

LAB = find_lab(ROOT, "lab02")


@pytest.fixture(scope="module", name="place")
def _place(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """Three students, each with a variant, have handed in the same work in their own words."""
    tmp_path = tmp_path_factory.mktemp("variants")
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
    for student, variant in place.variants(place.lab("lab02")).items():
        sample = next(one for one in load_samples(LAB, variant) if one.student == "cedar")
        path = folder / "submitted" / student / LAB.name / "lab02.ipynb"
        replace_file(path, notebook_text(hand_in(LAB, sample, variant)))
    return place


@pytest.fixture(name="again")
def _again(place: ClassFolder, tmp_path: Path) -> ClassFolder:
    return ClassFolder(shutil.copytree(place.root, tmp_path / "class"))


def scores(place: ClassFolder) -> dict[str, list[object]]:
    with open_class(place.root).gradebook as gradebook:
        found = gradebook.notebook_submissions("lab02", LAB.name)
        return {one.student.id: [grade.auto_score for grade in one.grades] for one in found}


def test_three_students_earn_what_the_same_work_earns_in_the_common_words(walls: None, again: ClassFolder) -> None:
    place, folder = again, again.root
    variants = place.variants(place.lab("lab02"))
    # what was given to one student is wrong work for another
    stranger = next(variant for student, variant in variants.items() if student != "a")
    assert stranger.becomes != variants["a"].becomes
    marking = mark_lab(place, place.lab("lab02"), How(workers=2, progress=False))
    assert {entry["student"]: entry["points"] for entry in marking.entries} == {"a": 72, "b": 72, "c": 72}
    right = next(one for one in load_samples(LAB, stranger) if one.student == "alder")
    replace_file(folder / "submitted" / "a" / LAB.name / "lab02.ipynb", notebook_text(hand_in(LAB, right, stranger)))
    (entry,) = mark_lab(place, place.lab("lab02"), How(workers=2, progress=False)).entries
    assert (entry["student"], entry["points"] < 72) == ("a", True)
    with open_class(folder).gradebook as gradebook:
        assert gradebook.find_submission(LAB.name, "b").score == 72


class TestPlainNbgrader:
    def test_is_refused_before_anything_is_run_with_words_that_name_the_command(self, again: ClassFolder) -> None:
        path = again.root / "submitted" / "a" / LAB.name / "lab02.ipynb"
        ran = again.root.parent / "ran"
        code = f"open({str(ran)!r}, 'w').close()"
        path.write_text(path.read_text().replace("from rungbook import", f"{code}\\nfrom rungbook import", 1))
        scripts = sysconfig.get_path("scripts")
        done = subprocess.run(
            [Path(scripts) / "nbgrader", "autograde", LAB.name, "--student", "a"],
            cwd=again.root,
            env=os.environ | {"PATH": f"{scripts}:{os.environ['PATH']}"},
            capture_output=True,
            text=True,
            timeout=200,
            check=False,
        )
        assert done.returncode != 0
        assert "was released in variants" in done.stderr
        assert f"No mark was changed. Run: rungbook class mark {LAB.name}" in done.stderr
        assert not ran.exists()
        assert all(score is None for found in scores(again).values() for score in found)
        assert not list(again.root.glob("autograded/*/*/*.ipynb"))

    @pytest.mark.long
    def test_is_refused_in_the_form_grader_too_and_the_marks_stay(self, walls: None, again: ClassFolder) -> None:
        how = How(workers=2, progress=False)
        mark_lab(again, again.lab("lab02"), how)
        before = scores(again)
        told = again.api().autograde(LAB.name, "b", force=True)
        assert not told["success"]
        assert "rungbook class mark" in told["log"]
        assert scores(again) == before
        # the marked copy, which nbgrader throws away as it begins, is made again
        assert [entry["student"] for entry in mark_lab(again, again.lab("lab02"), how).entries] == ["b"]
        assert scores(again) == before
