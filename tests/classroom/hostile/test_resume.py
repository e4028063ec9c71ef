"""A run that is killed goes on, and ends as if it had not been; nor do the marks hang on the number of workers."""

import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from classroom.small_class import NAME, PUMP, WORD, Class, notebook
from rungbook.classroom.folder import open_class
from rungbook.classroom.marking.engine import How

STUDENTS = 8
KILLS = 2


def filled(root: Path) -> Class:
    """A class with right, wrong, crashing and damaged work; each notebook takes longer than half a second."""
    place = Class(root)
    for n in range(STUDENTS):
        pump = PUMP.replace("Pump", f"Pump {n}") if n % 3 else PUMP.replace('NC("S1")', 'NO("S1")')
        word = ("", "import os\nos._exit(0)\n", "1 / 0\n", "")[n % 4] + WORD
        place.hand_in(f"s{n:02d}", notebook(place.lab, pump, f"import time\ntime.sleep(.6)\n{word}"))
    place.hand_in("damaged", b"{")
    return place


def outcome(place: Class) -> dict[str, object]:
    """All that a run leaves, without times: grades, comments, penalties, marked notebooks."""
    found: dict[str, object] = {}
    with open_class(place.folder).gradebook as gradebook:
        for one in gradebook.notebook_submissions("lab07", NAME):
            grades = sorted((g.name, g.auto_score, g.manual_score, g.needs_manual_grade) for g in one.grades)
            comments = sorted((c.name, c.auto_comment, c.manual_comment) for c in one.comments)
            found[one.student.id] = (grades, comments, one.score, one.max_score, one.late_submission_penalty)
        found["students"] = sorted(one.id for one in gradebook.students)
    for path in sorted((place.folder / "autograded").rglob("*")):
        if path.is_file():
            found[str(path.relative_to(place.folder))] = path.read_bytes()
    return found


def lines(place: Class) -> int:
    log = place.folder / "marking" / f"{NAME}.jsonl"
    return len(log.read_bytes().splitlines()) if log.exists() else 0


def of_this_class(place: Class) -> list[psutil.Process]:
    """The processes of the runs of this class outside the cage: they have inherited its name in their environment."""
    found = []
    for one in psutil.process_iter():
        try:
            if one.environ().get("RUNGBOOK_TEST_OF") == str(place.folder):
                found.append(one)
        except psutil.Error:
            continue
    return found


@pytest.fixture(scope="module", name="undisturbed")
def _undisturbed(walls: None, tmp_path_factory: pytest.TempPathFactory) -> dict[str, object]:
    place = filled(tmp_path_factory.mktemp("one"))
    place.mark(How(workers=1, progress=False))
    return outcome(place)


def test_four_workers_leave_what_one_leaves(undisturbed: dict[str, object], tmp_path: Path) -> None:
    place = filled(tmp_path)
    place.mark(How(workers=4, progress=False))
    assert outcome(place) == undisturbed


def test_a_run_that_is_killed_at_any_moment_goes_on(undisturbed: dict[str, object], tmp_path: Path) -> None:
    place = filled(tmp_path)
    chance = random.Random(20260917)
    command = [
        sys.executable,
        "-m",
        "rungbook.cli",
        "class",
        "mark",
        NAME,
        "--class",
        str(place.folder),
        "--workers",
        "2",
    ]
    environment = os.environ | {"RUNGBOOK_TEST_OF": str(place.folder)}
    told = []
    for kill in range(KILLS):
        had, end = lines(place), time.monotonic() + 60
        process = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        while kill and lines(place) == had and process.poll() is None and time.monotonic() < end:
            time.sleep(0.02)  # the first is killed while it starts, the others after they wrote something
        time.sleep(chance.uniform(0, 2) if kill == 0 else chance.uniform(0, 0.5))
        process.send_signal(signal.SIGKILL)
        process.wait()
        told.append(lines(place))
    assert 0 < told[1] < STUDENTS + 1, "the second kill came in the middle"
    done = subprocess.run(command, env=environment, capture_output=True, text=True, timeout=200, check=False)
    assert done.returncode == 0, done.stderr
    assert outcome(place) == undisturbed
    written = (place.folder / "marking" / f"{NAME}.jsonl").read_text(encoding="utf-8").splitlines()
    assert {json.loads(line)["student"] for line in written if line} == {
        "damaged",
        *(f"s{n:02d}" for n in range(STUDENTS)),
    }
    assert not list((place.folder / "autograded").rglob(".replacing.*")), "no half-written file is left"
    end = time.monotonic() + 20
    while of_this_class(place) and time.monotonic() < end:
        time.sleep(0.2)
    assert of_this_class(place) == [], "no process is left"
