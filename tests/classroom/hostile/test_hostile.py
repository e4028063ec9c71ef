"""One class in which everything broken or hostile that we thought of is handed in, between honest work."""

import contextlib
import fcntl
import os
import pickle
import socket
import sqlite3
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import nbformat
import psutil
import pytest

from classroom.hostile.cases import AMOUNT, ENDS, READS, TIME, Case
from classroom.hostile.files import FILES
from classroom.hostile.forgeries import ANSWERS, CHANGES, OUTPUTS
from classroom.small_class import NAME, Class, notebook
from rungbook.classroom.folder import open_class
from rungbook.classroom.marking import engine
from rungbook.classroom.marking.cage import Limits
from rungbook.classroom.marking.engine import How

ROOT = Path(__file__).parents[3]
CODE = (*TIME, *AMOUNT, *ENDS, *READS, *CHANGES, *ANSWERS, *OUTPUTS)
EVERY = (*CODE, *FILES)
HONEST = ("a-honest", "honest", "k-honest", "n-honest", "s-honest", "zz-honest")  # among the others, by the alphabet
LOW = Limits(cell=2, wall=9, seconds=9, memory=600_000_000, processes=32, file=16_000_000, scratch=24_000_000)


@dataclass
class Run:
    """What a run over all cases left. reached: addresses of the test's own listeners that somebody connected to."""

    place: Class
    outside: Path
    log: dict[str, dict] = field(default_factory=dict)
    points: dict[str, tuple] = field(default_factory=dict)
    seconds: float = 0
    left: list[str] = field(default_factory=list)
    reached: list[str] = field(default_factory=list)
    before: dict[str, bytes] = field(default_factory=dict)


@contextlib.contextmanager
def listening(outside: Path, reached: list[str]) -> Iterator[int]:
    """Listen at loopback, at an abstract name and at a file's; note in `reached` who was there. Gives the port."""
    with contextlib.ExitStack() as stack:
        loop = stack.enter_context(socket.create_server(("127.0.0.1", 0)))
        port = loop.getsockname()[1]
        sockets = [loop]
        for address in (f"\0rungbook-test-{port}", f"{outside}.sock"):
            sockets.append(stack.enter_context(socket.socket(socket.AF_UNIX)))
            sockets[-1].bind(address)
            sockets[-1].listen()
        yield port
        for one in sockets:
            one.setblocking(False)
            with contextlib.suppress(BlockingIOError):
                one.accept()
                reached.append(str(one.getsockname()))


def notebook_of(case: Case, place: Class, outside: Path, port: int) -> nbformat.NotebookNode:
    """Right work, with the case's cell and answers in it."""
    known = {"CLASS": place.folder, "OUTSIDE": outside, "PORT": port, "SOLUTIONS": ROOT / "solutions"}
    code = case.code
    for word, value in known.items():
        code = code.replace(word, str(value))
    made = notebook(place.lab, case.pump, case.word)
    if code:
        made.cells.insert(0 if case.head else 4, nbformat.v4.new_code_cell(code, id="hostile"))
    return made


def submitted(place: Class) -> dict[str, bytes]:
    files = [path for path in (place.folder / "submitted").rglob("*") if path.is_file() and not path.is_symlink()]
    return {str(path): path.read_bytes() for path in files}


@pytest.fixture(scope="module", name="run")
def _run(walls: None, tmp_path_factory: pytest.TempPathFactory) -> Run:
    """The run, made once for all of pytest's processes: the first makes it, the others wait and read it."""
    own = tmp_path_factory.getbasetemp()
    kept = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "hostile.pickle"
    with kept.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            kept.write_bytes(pickle.dumps(made_run(tmp_path_factory.mktemp("hostile"))))
        return pickle.loads(kept.read_bytes())


def made_run(root: Path) -> Run:
    run = Run(Class(root), root / "outside")
    with pytest.MonkeyPatch.context() as patch, listening(run.outside, run.reached) as port:
        patch.setattr(engine._Run, "_limits", lambda self, api: LOW)
        patch.setenv("SECRET_OF_THE_INSTRUCTOR", "canary")
        for student in HONEST:
            run.place.hand_in(student, notebook(run.place.lab))
        for case in CODE:
            run.place.hand_in(case.name, notebook_of(case, run.place, run.outside, port))
        for case in FILES:
            case.make(run.place, case.name)
        run.before = submitted(run.place)
        began = time.monotonic()
        marking = run.place.mark(How(workers=2, progress=False))
        run.seconds = time.monotonic() - began
        run.points = points(run.place)
        run.log = {entry["student"]: entry for entry in marking.entries}
    run.left = [" ".join(one.cmdline()) for one in psutil.Process().children(recursive=True) if _of_marking(one)]
    return run


def _of_marking(process: psutil.Process) -> bool:
    try:
        return "rungbook.classroom.marking.warm" in process.cmdline()
    except psutil.Error:
        return False


def told(run: Run, student: str) -> str:
    """All that the marked notebook shows: outputs as text, errors, and text cells."""
    parts = []
    for cell in run.place.marked(student).cells:
        for output in cell.get("outputs", ()):
            parts += [output.get("text", ""), output.get("data", {}).get("text/plain", "")]
            parts += [output.get("ename", ""), output.get("evalue", ""), *output.get("traceback", ())]
    return "\n".join(parts)


def points(place: Class) -> dict[str, tuple[float, ...]]:
    """student -> points for the circuit and the word, as the gradebook has them."""
    with open_class(place.folder).gradebook as gradebook:
        found = {}
        for one in gradebook.notebook_submissions("lab07", NAME):
            grades = {grade.name: grade.auto_score for grade in one.grades}
            found[one.student.id] = (grades["lab07-pump-marks"], grades["lab07-word-marks"])
        return found


@pytest.mark.parametrize("case", EVERY, ids=lambda case: case.name[:60])
class TestEachCase:
    def test_earns_what_is_right_and_no_more(self, run: Run, case) -> None:
        shown = {key: run.log[case.name][key] for key in ("problem", "notes", "waiting", "seconds")}
        assert run.points[case.name] == case.points, f"{shown}\n{told(run, case.name)[-2000:]}"

    def test_is_told_with_its_reason(self, run: Run, case) -> None:
        problem, notes = run.log[case.name]["problem"], run.log[case.name]["notes"]
        assert problem.startswith(case.why)
        assert bool(problem) == bool(case.why), f"{problem}\n{told(run, case.name)[-2000:]}"
        assert getattr(case, "note", "") in "\n".join(notes)

    def test_shows_what_was_expected(self, run: Run, case) -> None:
        if isinstance(case, Case):
            assert case.said in told(run, case.name)


class TestTheOthers:
    @pytest.mark.parametrize("student", HONEST)
    def test_have_their_marks(self, run: Run, student: str) -> None:
        assert run.points[student] == (50, 30)
        assert (run.log[student]["problem"], run.log[student]["notes"], run.log[student]["waiting"]) == ("", [], [])


class TestTheRun:
    def test_ends_soon(self, run: Run) -> None:
        slowest = sorted((entry["seconds"], student) for student, entry in run.log.items())[-8:]
        assert run.seconds < 240, slowest

    def test_has_a_line_for_everybody(self, run: Run) -> None:
        assert sorted(run.log) == sorted([*HONEST, *(case.name for case in EVERY)])
        assert all(entry["fingerprint"] and 0 <= entry["points"] <= 80 for entry in run.log.values())

    def test_leaves_a_sound_gradebook(self, run: Run) -> None:
        with contextlib.closing(sqlite3.connect(run.place.folder / "gradebook.db")) as book:
            assert book.execute("pragma integrity_check").fetchall() == [("ok",)]
            assert book.execute("pragma foreign_key_check").fetchall() == []
        with open_class(run.place.folder).gradebook as gradebook:
            assert [one.name for one in gradebook.assignments] == [NAME]
            assert {one.id for one in gradebook.students} == set(run.log)
            for one in gradebook.assignment_submissions(NAME):
                assert one.score == run.log[one.student.id]["points"]
                assert one.max_score == 100
                assert [len(of.grades) for of in one.notebooks] == [3]

    def test_changes_nothing_that_was_handed_in_and_nothing_outside(self, run: Run) -> None:
        assert submitted(run.place) == run.before
        assert not run.outside.exists()

    def test_reaches_nobody(self, run: Run) -> None:
        assert run.reached == []

    def test_leaves_no_process(self, run: Run) -> None:
        assert run.left == []
        assert not [name for name in os.listdir("/dev/shm") if name == "x"]
