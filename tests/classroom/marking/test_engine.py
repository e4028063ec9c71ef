"""A whole run over a class folder: what is broken, cut off, changed by hand, and marked again."""

import contextlib
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import nbformat
import pytest

import rungbook
from classroom.once import once
from classroom.small_class import FULL, LARGE, NAME, NONE, PUMP, WORD, Class, notebook, released
from rungbook.classroom.build import notebook_text, replace_file
from rungbook.classroom.folder import open_class
from rungbook.classroom.marking import engine
from rungbook.classroom.marking.command import report
from rungbook.classroom.marking.engine import How
from rungbook.errors import LadderError


@pytest.fixture(scope="module", name="run")
def _run(walls: None, tmp_path_factory: pytest.TempPathFactory) -> tuple[Class, dict[str, dict]]:
    """One run over honest, broken and doctored submissions; the log's line of each student."""
    template, _ = once(tmp_path_factory, "small-class", released)
    place, entries = once(tmp_path_factory, "small-run", lambda root: _many(Class(shutil.copytree(template, root))))
    return Class(place), {entry["student"]: entry for entry in entries}


@pytest.fixture(name="copied")
def _copied(run: tuple[Class, dict[str, dict]], tmp_path: Path) -> tuple[Class, dict[str, dict]]:
    """The same, to be changed."""
    return Class(shutil.copytree(run[0].folder.parent, tmp_path / "place", symlinks=True)), run[1]


def _many(made: Class) -> list[dict]:
    lab = made.lab
    with open_class(made.folder).gradebook as gradebook:
        gradebook.add_student("absent")
    made.hand_in("right", notebook(lab))
    made.hand_in("large", notebook(lab, LARGE))
    made.hand_in("blank", notebook(lab, "", "", "*Write your answer here.*"))
    made.hand_in("late-error", notebook(lab, word="word = 1\n1 / 0"))
    made.hand_in("leaves", notebook(lab, word="import os\nos._exit(0)"))
    made.hand_in("half-pair", notebook(lab, word='word = {"relay": "\\ud800", "\\udfff": "\\x00"}'))
    made.hand_in("no-json", b'{"cells": [')
    made.hand_in("no-utf8", b"\xff\xfe\x00")
    made.hand_in("list", b"[1, 2]")
    made.hand_in("deep", b"[" * 100_000)
    made.hand_in("other-name", notebook(lab), "my lab (2).ipynb")
    made.hand_in("two-names", notebook(lab), "a.ipynb")
    made.hand_in("two-names", notebook(lab), "b.ipynb")
    made.hand_in("no-notebook", b"x", "lab07.txt")
    link = made.hand_in("link", b"", "data.txt").with_name("lab07.ipynb")
    link.symlink_to(made.folder / "gradebook.db")

    edited = notebook(lab)
    for cell in edited.cells:
        if cell["id"].endswith("-marks"):
            cell.source = "99"
            cell.metadata.nbgrader.points = 99
    made.hand_in("edited", edited)
    deleted = notebook(lab)
    deleted.cells = [cell for cell in deleted.cells if not cell["id"].endswith("-marks")]
    made.hand_in("deleted", deleted)
    doubled = notebook(lab)
    doubled.cells += [nbformat.from_dict(json.loads(json.dumps(cell))) for cell in doubled.cells[-4:]]
    made.hand_in("doubled", doubled)
    turned = notebook(lab)
    head, load, pump, pump_marks, word, word_marks, essay = turned.cells
    turned.cells = [essay, load, word, word_marks, pump, pump_marks, head]
    made.hand_in("reordered", turned)
    early = notebook(lab)
    early.cells = [load, pump_marks, pump, word, word_marks, essay]
    made.hand_in("test-before-answer", early)
    typed = notebook(lab)
    for cell in typed.cells:
        if cell["id"].endswith("-marks"):
            cell.cell_type = "markdown"
            del cell["outputs"], cell["execution_count"]
        cell.metadata = nbformat.from_dict({"nbgrader": cell.metadata.get("nbgrader", 7)})
    made.hand_in("types", typed)
    return made.mark().entries


class TestMarks:
    @pytest.mark.parametrize("student", ["right", "edited", "deleted", "doubled", "reordered", "types", "other-name"])
    def test_are_full_for_right_work_whatever_was_done_to_the_test_cells(self, run, student: str) -> None:
        made, _ = run
        assert made.grades(student) == FULL

    @pytest.mark.parametrize("student", ["no-json", "no-utf8", "list", "deep", "two-names", "no-notebook", "link"])
    def test_are_nothing_where_there_is_no_notebook(self, run, student: str) -> None:
        made, _ = run
        assert made.grades(student) == NONE

    def test_are_for_what_the_answer_is_at_the_test_cell_as_in_nbgrader(self, run) -> None:
        made, _ = run
        assert made.grades("test-before-answer") == FULL | {"pump-marks": (0, None, False)}

    def test_are_nothing_for_an_answer_left_as_it_was(self, run) -> None:
        made, _ = run
        assert made.grades("blank") == NONE

    def test_of_what_came_before_the_notebook_ended_itself_are_kept(self, run) -> None:
        made, log = run
        assert made.grades("leaves") == FULL | {"word-marks": (0, None, False)}
        assert log["leaves"]["problem"] == "a cell ended the notebook's process (exit status 0)"

    def test_are_given_to_words_that_no_file_can_hold(self, run) -> None:
        made, log = run
        assert made.grades("half-pair") == FULL | {"word-marks": (0, None, False)}
        assert log["half-pair"]["problem"] == ""

    def test_wait_for_a_person_where_something_was_not_decided(self, run) -> None:
        made, log = run
        assert made.grades("large") == FULL | {"pump-marks": (20, None, True)}
        assert log["large"]["waiting"] == ["lab07-pump-marks"]


class TestReasons:
    @pytest.mark.parametrize(
        ("student", "reason"),
        [
            ("no-json", "Notebook: cannot be read: "),
            ("no-utf8", "Notebook: is not UTF-8 text."),
            ("list", "Notebook: cannot be read: "),
            ("deep", "Notebook: is nested too deep."),
            ("two-names", "No notebook lab07.ipynb was handed in, but a.ipynb, b.ipynb."),
            ("no-notebook", "No notebook lab07.ipynb was handed in."),
            ("link", "No notebook lab07.ipynb was handed in."),
        ],
    )
    def test_are_in_the_log_and_in_the_students_notebook(self, run, student: str, reason: str) -> None:
        made, log = run
        assert log[student]["problem"].startswith(reason)
        assert made.marked(student).cells[0].source.startswith(f"**This submission could not be marked.** {reason}")

    def test_tell_what_was_changed(self, run) -> None:
        _, log = run
        assert log["doubled"]["notes"] == [
            f"cell lab07-{name} stands more than once; the last one counts"
            for name in ("pump-marks", "word", "word-marks", "essay")
        ]
        assert log["deleted"]["notes"] == [
            "cell lab07-pump-marks was missing and is put back",
            "cell lab07-word-marks was missing and is put back",
        ]
        assert log["link"]["notes"] == ["lab07.ipynb is a link or no file; it was passed over"]
        assert log["other-name"]["notes"] == ["my lab (2).ipynb was taken for lab07.ipynb"]

    def test_no_solution_goes_to_a_student_whose_notebook_was_no_notebook(self, run) -> None:
        made, _ = run
        text = notebook_text(made.marked("no-json"))
        assert "A model answer." not in text
        assert 'NC(\\"S1\\") & (NO(\\"S2\\") | NO(\\"Q1\\"))' not in text


class TestAgain:
    def test_nothing_is_done_twice_and_a_manual_score_stays(self, copied) -> None:
        made, log = copied
        with open_class(made.folder).gradebook as gradebook:
            grade = gradebook.find_grade("lab07-word-marks", "lab07", NAME, "right")
            grade.manual_score = 7
            comment = gradebook.find_comment("lab07-essay", "lab07", NAME, "right")
            comment.manual_comment = "Well said."
            gradebook.db.commit()
        second = made.mark()
        assert (len(second.entries), second.kept) == (0, len(log))
        assert second.missing == ["absent"]
        third = made.mark(How(workers=1, again=True, progress=False))
        assert len(third.entries) == len(log)
        assert made.grades("right") == FULL | {"word-marks": (30, 7, True)}
        with open_class(made.folder).gradebook as gradebook:
            assert gradebook.find_comment("lab07-essay", "lab07", NAME, "right").manual_comment == "Well said."
        same = ("points", "problem", "notes", "waiting", "fingerprint")
        for entry in third.entries:
            if entry["student"] != "right":
                assert {key: entry[key] for key in same} == {key: log[entry["student"]][key] for key in same}

    def test_only_what_changed_is_marked_again(self, copied) -> None:
        made, _ = copied
        made.hand_in("late-error", notebook(made.lab))
        assert [entry["student"] for entry in made.mark().entries] == ["late-error"]

    def test_feedback_pages_are_made_by_nbgrader_as_ever(self, copied) -> None:
        made, _ = copied
        api = open_class(made.folder)
        for student in ("large", "no-json", "doubled"):
            result = api.generate_feedback(NAME, student)
            assert result["success"], result["log"]
            page = (made.folder / "feedback" / student / NAME / "lab07.html").read_text(encoding="utf-8")
            assert "BEGIN HIDDEN TESTS" not in page


def _left_behind(folder: Path) -> list[str]:
    """Warm processes of a killed run that are still there after ten seconds, known by their environment."""
    for _ in range(20):
        time.sleep(0.5)
        found = []
        for entry in Path("/proc").iterdir():
            with contextlib.suppress(OSError):
                if str(folder) in (entry / "environ").read_text(encoding="utf-8", errors="replace"):
                    found.append(entry.name)
        if not found:
            break
    return found


def _something(folder: Path) -> bool:
    return folder.exists() and any(one.is_file() and one.stat().st_size for one in folder.rglob("*"))


def test_a_run_that_is_killed_goes_on_and_ends_as_if_it_had_not_been(walls: None, new: Class) -> None:
    word = f"{WORD}\nimport time\ntime.sleep(.2)"
    for n in range(12):
        new.hand_in(f"s{n:02d}", notebook(new.lab, PUMP.replace("Pump", f"Pump {n}"), word))
    command = [sys.executable, "-m", "rungbook.cli", "class", "mark", NAME, "--class", str(new.folder)]
    command += ["--workers", "2"]
    started = time.monotonic()
    moments = (
        lambda: time.monotonic() > started + 1,  # while it starts
        lambda: _something(new.folder / "autograded"),  # a notebook is written, its marks perhaps not yet
        lambda: _something(new.folder / "marking"),  # some are marked, others are not
    )
    for moment in moments:
        told = os.environ | {"MARKED_CLASS": str(new.folder)}
        process = subprocess.Popen(command, env=told, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        while not moment() and process.poll() is None:
            time.sleep(0.01)
        assert process.poll() is None, "it ended before it was killed"
        process.send_signal(signal.SIGKILL)
        process.wait()
    assert _left_behind(new.folder) == []
    done = subprocess.run(command, capture_output=True, text=True, timeout=200, check=False)
    assert done.returncode == 0, done.stderr
    for n in range(12):
        assert new.grades(f"s{n:02d}") == FULL
    text = (new.folder / "marking" / f"{NAME}.jsonl").read_text(encoding="utf-8")
    assert len({json.loads(line)["student"] for line in text.splitlines() if line}) == 12


def test_an_interrupt_from_the_keyboard_ends_the_run_at_once_and_says_how_to_go_on(walls: None, new: Class) -> None:
    new.hand_in("loops", notebook(new.lab, word="while True: pass"))
    command = [sys.executable, "-m", "rungbook.cli", "class", "mark", NAME, "--class", str(new.folder)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stderr is not None
    seen = b""
    while b"marking" not in seen:
        one = process.stderr.read(1)
        assert one, seen
        seen += one
    time.sleep(3)
    process.send_signal(signal.SIGINT)
    said, _ = process.communicate(timeout=20)  # the cell itself may take a minute
    assert process.returncode == 130
    assert b"run the same command again to go on" in said


def test_without_isolation_the_command_refuses_and_names_the_words(new: Class) -> None:
    new.hand_in("right", notebook(new.lab))
    command = [sys.executable, "-m", "rungbook.cli", "class", "mark", NAME, "--class", str(new.folder)]
    environment = os.environ | {"PATH": "/nowhere"}
    done = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=100, check=False)
    assert done.returncode == 2
    assert "bubblewrap is not installed" in done.stderr
    assert "--trust-submissions" in done.stderr
    assert not (new.folder / "autograded").exists()
    trusted = subprocess.run(
        [*command, "--trust-submissions"], env=environment, capture_output=True, text=True, timeout=100, check=False
    )
    assert trusted.returncode == 0, trusted.stderr
    assert "not protected: no network" in trusted.stderr
    assert new.grades("right") == FULL


@pytest.mark.parametrize(
    ("script", "reason"),
    [
        ("echo 'bwrap: No permissions to create new namespace' >&2; exit 1", "No permissions to create new namespace"),
        ("kill -9 $$", "no reason given"),
        ('while [ "$1" != --chdir ]; do shift; done; shift 2; PYTHONPATH=$PACKAGE exec "$@"', ""),
    ],
    ids=["namespaces refused", "bubblewrap dies", "walls refused inside it"],
)
def test_where_namespaces_are_refused_the_reason_is_told_and_nothing_is_run(
    new: Class, tmp_path: Path, script: str, reason: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    new.hand_in("right", notebook(new.lab))
    (tmp_path / "bin").mkdir()
    program = tmp_path / "bin" / "bwrap"
    program.write_text(f"#!/bin/sh\n{script}\n")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{program.parent}:{os.environ['PATH']}")
    monkeypatch.setenv("PACKAGE", str(Path(rungbook.__file__).parents[1]))
    with pytest.raises(LadderError) as problem:
        new.mark(How(workers=1, progress=False))
    assert "bubblewrap, or a namespace in it, is not allowed here: " in str(problem.value)
    assert reason in str(problem.value)
    assert "say --trust-submissions" in str(problem.value)
    assert not (new.folder / "autograded").exists()


class TestRefusals:
    def test_nothing_handed_in(self, new: Class) -> None:
        with pytest.raises(LadderError, match="nothing was handed in"):
            new.mark(How(trusted=True, progress=False))

    def test_a_lab_that_is_not_released(self, new: Class) -> None:
        new.hand_in("right", notebook(new.lab))
        (new.folder / "gradebook.db").unlink()
        with pytest.raises(LadderError, match="release it first: rungbook class release lab07"):
            new.mark(How(workers=1, trusted=True, progress=False))

    def test_points_that_differ_from_those_released(self, new: Class) -> None:
        new.hand_in("right", notebook(new.lab))
        path = new.folder / "source" / NAME / "lab07.ipynb"
        replace_file(path, path.read_text(encoding="utf-8").replace('"points": 50', '"points": 49'))
        with pytest.raises(LadderError, match="other test cells or points than the source"):
            new.mark(How(workers=1, trusted=True, progress=False))


def test_the_report_names_each_submission_that_needs_an_eye() -> None:
    entry = {"student": "a", "points": 20.0, "most": 100.0, "problem": "It broke", "notes": ["n"], "waiting": ["x"]}
    fine = entry | {"student": "b", "problem": "", "notes": [], "waiting": []}
    marking = engine.Marking([entry, fine], kept=3, missing=["c"], log=Path("log.jsonl"), seconds=7.4)
    assert report(marking) == (
        "2 marked, 3 unchanged, 1 not handed in; 7 s\n"
        "a: 20 of 100. It broke; n; x waits for a person\n"
        "not handed in: c\n"
        "log: log.jsonl"
    )
