"""What a learner did is kept: whole, by two at once, and after a kill; the report says what to repeat and why."""

import sqlite3
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rungbook.alone.progress import Note, Progress, data_folder
from rungbook.alone.repeat import report, standings
from rungbook.errors import LadderError

MONDAY = datetime(2026, 9, 7, 8, 0, tzinfo=UTC)


def attempt(points: float, digest: str = "a", exercise: str = "lab02-holding", at: datetime = MONDAY) -> Note:
    return Note("attempt", exercise, {"points": points, "most": 35, "first": "", "digest": digest}, at)


class TestFile:
    def test_notes_come_back_with_their_time_in_the_order_in_which_they_were_written(self, tmp_path: Path) -> None:
        progress = Progress(tmp_path, lambda: MONDAY)
        progress.add([attempt(22), Note("hint", "lab02-holding", {"step": 1})])
        progress.add([attempt(35, "b")])
        assert [(note.kind, note.data.get("points"), note.at) for note in progress.notes()] == [
            ("attempt", 22, MONDAY),
            ("hint", None, MONDAY),
            ("attempt", 35, MONDAY),
        ]

    def test_reading_makes_no_file(self, tmp_path: Path) -> None:
        assert Progress(tmp_path / "new").notes() == []
        assert list(tmp_path.iterdir()) == []

    def test_many_at_once_lose_nothing(self, tmp_path: Path) -> None:
        code = f"""
from pathlib import Path
from rungbook.alone.progress import Note, Progress
for number in range(20):
    Progress(Path({str(tmp_path)!r})).add([Note("hint", "lab02-holding", {{"step": n}}) for n in (1, 2)])
"""
        crew = [subprocess.Popen([sys.executable, "-c", code]) for _ in range(4)]
        assert [one.wait(120) for one in crew] == [0] * 4
        steps = [note.data["step"] for note in Progress(tmp_path).notes()]
        assert steps == [1, 2] * 80, "a run's notes stand together"

    def test_a_process_that_is_killed_in_the_middle_leaves_what_was_there(self, tmp_path: Path) -> None:
        progress = Progress(tmp_path)
        progress.add([attempt(22)])
        code = f"""
import os
from collections import UserDict
from pathlib import Path
from rungbook.alone.progress import Note, Progress
class Deadly(UserDict):
    def __iter__(self):
        os.kill(os.getpid(), 9)
Progress(Path({str(tmp_path)!r})).add([Note("hint", "a"), Note("hint", "b", Deadly(step=1))])
"""
        assert subprocess.run([sys.executable, "-c", code], check=False).returncode == -9
        assert [note.kind for note in progress.notes()] == ["attempt"]
        progress.add([attempt(35)])
        assert [note.kind for note in progress.notes()] == ["attempt", "attempt"]

    def test_an_unknown_kind_writes_nothing(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match="Choices: attempt, hint, solution, practice"):
            Progress(tmp_path).add([attempt(22), Note("guess", "lab02-holding")])
        assert Progress(tmp_path).notes() == []

    def test_a_file_of_a_later_edition_is_left_as_it_is(self, tmp_path: Path) -> None:
        progress = Progress(tmp_path)
        progress.add([attempt(22)])
        with sqlite3.connect(progress.path) as base:
            base.execute("PRAGMA user_version = 2")
        for act in (progress.notes, lambda: progress.add([attempt(35)])):
            with pytest.raises(LadderError, match=r"later edition \(version 2; this one reads 1\)"):
                act()

    @pytest.mark.parametrize("foreign", ["text", "table"])
    def test_a_file_that_is_none_of_ours_is_left_as_it_is(self, tmp_path: Path, foreign: str) -> None:
        progress = Progress(tmp_path)
        if foreign == "text":
            progress.path.write_text("a list of apples, and of pears, and more\n" * 40, encoding="utf-8")
        else:
            with sqlite3.connect(progress.path) as base:
                base.execute("CREATE TABLE apples (kind TEXT)")
        before = progress.path.read_bytes()
        for act in (progress.notes, lambda: progress.add([attempt(35)])):
            with pytest.raises(LadderError, match=r"Progress: (cannot be read or written|this file is none)"):
                act()
        assert progress.path.read_bytes() == before

    def test_the_folder_can_be_named_in_the_environment(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("RUNGBOOK_DATA", str(tmp_path))
        assert data_folder() == tmp_path
        monkeypatch.delenv("RUNGBOOK_DATA")
        monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
        if sys.platform == "linux":
            assert data_folder() == tmp_path / "share" / "rungbook"


class TestReport:
    def test_says_points_attempts_and_what_to_repeat_for_which_reason(self) -> None:
        notes = [
            attempt(22),
            attempt(35, "b", at=MONDAY + timedelta(days=1)),
            Note("hint", "lab02-holding", {"step": 1}, MONDAY),
            attempt(12, exercise="lab03-built"),
            Note("solution", "lab03-built", {"asked": True}, MONDAY),
            attempt(35, exercise="lab02-mended", at=MONDAY + timedelta(days=40)),
        ]
        text = report(notes, MONDAY + timedelta(days=41))
        assert [line.rstrip() for line in text.splitlines()] == [
            "lab    points    attempts  hints  last",
            "─────  ────────  ────────  ─────  ──────────",
            "lab02  70 of 70  3         1      2026-10-17",
            "lab03  12 of 35  1         0      2026-09-07",
            "",
            "To repeat:",
            "  lab03-built: 23 of 35 points lost, the solution was opened first, 41 days ago",
            "  lab02-holding: 1 hint taken, 40 days ago",
        ]

    def test_has_nothing_to_repeat_when_all_is_done_lately(self) -> None:
        assert report([attempt(35)], MONDAY + timedelta(days=27)).endswith("Nothing to repeat.")

    def test_tells_how_to_begin(self) -> None:
        assert report([], MONDAY).startswith("Nothing is noted yet.")

    def test_an_attempt_is_honest_with_some_points_or_after_three_different_answers(self) -> None:
        def honest(*notes: Note) -> bool:
            return standings(notes)["lab02-holding"].honest

        assert honest(attempt(1))
        assert not honest(attempt(0), attempt(0), attempt(0))
        assert not honest(attempt(0), attempt(0, "b"))
        assert honest(attempt(0), attempt(0, "b"), attempt(0, "c"))
