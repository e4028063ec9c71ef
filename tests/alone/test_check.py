"""`check` in a notebook and `rungbook check` on its file, with what they note."""

import json
import shutil
from pathlib import Path

import pytest

import rungbook
from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.alone.progress import Progress
from rungbook.classroom.build import notebook_text
from rungbook.classroom.labs import find_lab
from rungbook.classroom.samples import hand_in, load_samples
from rungbook.cli import main

ROOT = Path(__file__).parents[2]
NAMES = {"rungbook": rungbook}


@pytest.fixture(autouse=True)
def _own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RUNGBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    monkeypatch.chdir(ROOT / "course" / "lab02-holding-circuit")


def noted() -> list[tuple[str, str, float]]:
    return [(note.kind, note.exercise, note.data.get("points", 0)) for note in Progress().notes()]


def in_notebook(code: str, **names: object):
    """What the expression gives in a notebook with these names."""
    return eval(code, {"check": rungbook.check} | names)


def pump(holding: bool) -> Ladder:
    ladder = Ladder("Wash pump")
    start = NO("S2") | NO("Q1") if holding else NO("S2")
    ladder.rung(NC("S1") & start & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


class TestInANotebook:
    def test_a_ladder_and_orders_are_the_check_without_marks(self) -> None:
        checked = in_notebook('check(pump, ("press S2, let S2 go", {"Q1": "in"}))', pump=pump(False))
        assert checked.rows == (("press S2, let S2 go", "Q1", "in", "out"),)
        assert noted() == []

    def test_an_exercise_is_marked_on_the_answers_as_they_stand(self) -> None:
        marks = in_notebook('check("lab02-holding")', holding=pump(False))
        assert (marks.points, marks.most) == (22, 35)
        assert "There is no closed path around S2 (wires 3–4) after it opens." in str(marks)
        assert in_notebook('check("holding")', holding=pump(True))
        assert noted() == [("attempt", "lab02-holding", 22), ("attempt", "lab02-holding", 35)]

    def test_nothing_named_marks_the_lab_in_whose_folder_the_notebook_lies(self) -> None:
        marks = in_notebook("check()", holding=pump(True), words={"colour of an emergency stop": ""})
        assert (marks.points, marks.most) == (35, 85)
        assert noted() == [("attempt", "lab02-holding", 35)], "what is blank is no attempt"

    def test_elsewhere_it_asks_which_lab(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.chdir(ROOT)
        with pytest.raises(LadderError, match="say which lab, or which exercise"):
            in_notebook("check()")

    def test_while_the_notebook_is_marked_it_is_not_at_hand(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
        with pytest.raises(LadderError, match="not at hand while the notebook is being marked"):
            in_notebook('check("lab02-holding")', holding=pump(True))
        assert noted() == []

    def test_an_answer_in_words_is_not_the_kernels(self) -> None:
        with pytest.raises(LadderError, match="lab02-essay: is written in words"):
            in_notebook('check("lab02-essay")')

    def test_what_is_neither_a_ladder_nor_a_name_is_refused_as_before(self) -> None:
        with pytest.raises(LadderError, match="works on a Ladder"):
            in_notebook("check(7)")


class TestCommand:
    def notebook(self, tmp_path: Path, student: str) -> Path:
        lab = find_lab(ROOT, "lab02")
        path = tmp_path / "mine.ipynb"
        sample = next(one for one in load_samples(lab) if one.student == student)
        path.write_text(notebook_text(hand_in(lab, sample)), encoding="utf-8")
        return path

    def test_marks_the_file_and_notes_what_was_begun(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["check", "lab02", str(self.notebook(tmp_path, "cedar"))]) == 0
        printed = capsys.readouterr().out
        assert "holding: 22 of 35 points\nFirst to mend: Press S2. Let S2 go. Q1 drops out." in printed
        assert printed.endswith("lab02-holding-circuit: 72 of 85 points; 15 more for a reader\n")
        assert ("attempt", "lab02-holding", 22) in noted()
        assert len(noted()) == 8
        assert main(["progress"]) == 0
        assert "lab02-holding: 13 of 35 points lost" in capsys.readouterr().out

    def test_marks_one_exercise_alone(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["check", "lab02-words", str(self.notebook(tmp_path, "alder"))]) == 0
        assert capsys.readouterr().out.endswith("lab02-holding-circuit: 10 of 10 points\n")
        assert noted() == [("attempt", "lab02-words", 10)]

    def test_takes_the_notebook_under_course_if_none_is_named(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["check", "lab02-holding-circuit"]) == 0
        assert "0 of 85 points" in capsys.readouterr().out
        assert noted() == []

    @pytest.mark.parametrize(
        ("arguments", "says"),
        [
            (["lab99"], "no such lab"),
            (["lab02-moon"], "none of this name"),
            (["lab02", "absent.ipynb"], "cannot be read: No such file"),
        ],
    )
    def test_bad_input_is_one_line(self, arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["check", *arguments]) == 2
        error = capsys.readouterr().err
        assert says in error
        assert error.count("\n") == 1

    def test_marks_stand_when_they_cannot_be_noted(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        (tmp_path / "file").write_text("", encoding="utf-8")
        monkeypatch.setenv("RUNGBOOK_DATA", str(tmp_path / "file" / "data"))
        assert main(["check", "lab02", str(self.notebook(tmp_path, "alder"))]) == 0
        told = capsys.readouterr()
        assert "85 of 85 points" in told.out
        assert "This run is not noted. Progress: cannot be written" in told.err

    def test_works_in_a_copy_of_the_course(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        for part in ("course/lab02-holding-circuit", "solutions/lab02-holding-circuit"):
            shutil.copytree(ROOT / part, tmp_path / "copy" / part)
        path = tmp_path / "copy" / "course" / "lab02-holding-circuit" / "lab02.ipynb"
        notebook = json.loads(path.read_text(encoding="utf-8"))
        next(c for c in notebook["cells"] if c["id"] == "lab02-words")["source"] = [
            "words = {'colour of an emergency stop': 'red'}"
        ]
        path.write_text(json.dumps(notebook), encoding="utf-8")
        monkeypatch.chdir(tmp_path / "copy")
        assert main(["check", "lab02"]) == 0
        assert noted() == [("attempt", "lab02-words", 1)]
