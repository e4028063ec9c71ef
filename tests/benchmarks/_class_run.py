"""A class with many submissions, and a whole run of a program over it, watched: time, first word, memory, processor."""

from __future__ import annotations

import copy
import os
import re
import select
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import dataclass
from pathlib import Path

from rungbook.classroom.build import instructor_notebook, notebook_text, released_notebook, replace_file
from rungbook.classroom.folder import make_class, open_class
from rungbook.classroom.labs import Lab, find_lab
from rungbook.classroom.samples import Sample, filled, load_samples

ROOT = Path(__file__).parents[2]
LAB = "lab02-holding-circuit"
_NUMBER = "<number of the student>"
_LOOK = 0.3  # seconds between two looks at the memory


@dataclass(frozen=True)
class Ran:
    """seconds: from start to end. first: until the first figure was printed [s], None if there was none. peak: memory
    of all its processes together, shared pages divided among them [MiB]. processor: time of all of them, but what came
    after the last look [s]. printed: everything."""

    seconds: float
    first: float | None
    peak: float
    processor: float
    printed: str


class MarkedClass:
    """A class folder with lab 02 released and `size` submissions, made from all samples of the lab in turn, right and
    wrong. Every student gives the ladders a title of their own, so no two answers are the same text."""

    def __init__(self, size: int) -> None:
        self._place = tempfile.TemporaryDirectory(prefix="rungbook-benchmark-")
        self.folder = Path(self._place.name) / "class"
        self.lab: Lab = find_lab(ROOT, LAB)
        make_class(self.folder, [self.lab])
        if not open_class(self.folder).generate_assignment(self.lab.name)["success"]:
            raise ValueError(f"{LAB} was not released")
        source = instructor_notebook(self.lab)
        released = released_notebook(source)
        samples = load_samples(self.lab)
        self.points: dict[str, float] = {}
        most = {
            cell.metadata.nbgrader.grade_id: float(cell.metadata.nbgrader.points)
            for cell in source.cells
            if cell.cell_type == "code" and cell.metadata.get("nbgrader", {}).get("points")
        }
        texts = []
        for sample in samples[:size]:
            notebook = filled(self.lab, sample, source, copy.deepcopy(released))
            for cell in notebook.cells:
                if cell.cell_type == "code" and cell.metadata.get("nbgrader", {}).get("solution"):
                    cell.source = re.sub(r'Ladder\("([^"]*)"', rf'Ladder("\1 {_NUMBER}"', cell.source)
            texts.append(notebook_text(notebook))
        for number in range(size):
            student = f"s{number:05d}"
            text = texts[number % len(samples)].replace(_NUMBER, str(number))
            replace_file(self._submission(student), text)
            self.points[student] = _points(samples[number % len(samples)], most)

    def _submission(self, student: str) -> Path:
        return self.folder / "submitted" / student / self.lab.name / f"{self.lab.short}.ipynb"

    def mark(self, *more: str) -> Ran:
        """`rungbook class mark`, with isolation, over all of it anew. Raises ValueError if a mark is not as stated."""
        command = [sys.executable, "-m", "rungbook.cli", "class", "mark", LAB, "--again", "--class", str(self.folder)]
        ran = run([*command, *more])
        self._check(self.points)
        return ran

    def plain(self, students: str, again: bool = True) -> Ran:
        """`nbgrader autograde` over the students that the glob names, on a copy of the class; with `again` false it
        passes over what is marked."""
        program = str(Path(sys.executable).with_name("nbgrader"))
        copied = self.folder.with_name("plain")
        if not copied.is_dir():
            shutil.copytree(self.folder, copied)
        command = [program, "autograde", LAB, f"--course-dir={copied}", f"--student={students}"]
        return run([*command, "--force"] if again else command, cwd=copied)

    def _check(self, expected: dict[str, float]) -> None:
        with open_class(self.folder).gradebook as gradebook:
            found = {one.student.id: one.score for one in gradebook.assignment_submissions(LAB)}
        wrong = {name: (found.get(name), points) for name, points in expected.items() if found.get(name) != points}
        if wrong:
            raise ValueError(f"marks and what they should be: {wrong}")


def _points(sample: Sample, most: dict[str, float]) -> float:
    if sample.others == "blank":
        return sum(sample.marks.get(cell, 0) for cell in most)
    return sum(sample.marks.get(cell, points) for cell, points in most.items())


def run(command: list[str], cwd: Path | None = None) -> Ran:
    """Run a command to its end and watch it. Raises ValueError, with what it printed, if it fails."""
    start = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, cwd=cwd)
    peak = used = 0.0
    done = threading.Event()

    def look() -> None:
        nonlocal peak, used
        while not done.wait(_LOOK):
            memory, processor = _below(process.pid)
            peak, used = max(peak, memory), max(used, processor)

    watcher = threading.Thread(target=look)
    watcher.start()
    first, printed = None, b""
    assert process.stdout is not None
    while True:
        select.select([process.stdout], [], [])
        data = os.read(process.stdout.fileno(), 1 << 16)
        if not data:
            break
        printed += data
        if first is None and re.search(rb"\d", data):
            first = time.perf_counter() - start
    process.wait()
    seconds = time.perf_counter() - start
    done.set()
    watcher.join()
    text = printed.decode(errors="replace")
    if process.returncode:
        raise ValueError(f"{command} ended with {process.returncode}:\n{text[-2000:]}")
    return Ran(seconds, first, peak, used, text)


def _below(top: int) -> tuple[float, float]:
    """Of a process and all below it: memory, each page divided by the number of processes that have it [MiB], and
    processor time, that of those which have ended and been taken note of included [s]."""
    parents: dict[int, int] = {}
    ticks: dict[int, int] = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                fields = (entry / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            parents[int(entry.name)] = int(fields[1])
            ticks[int(entry.name)] = sum(int(field) for field in fields[11:15])
    ours = {top}
    while more := {one for one, parent in parents.items() if parent in ours} - ours:
        ours |= more
    memory = sum(_share(one) for one in ours) / 1024
    return memory, sum(ticks.get(one, 0) for one in ours) / os.sysconf("SC_CLK_TCK")


def _share(process: int) -> int:
    try:
        text = Path(f"/proc/{process}/smaps_rollup").read_text()
    except OSError:
        return 0
    return next((int(line.split()[1]) for line in text.splitlines() if line.startswith("Pss:")), 0)
