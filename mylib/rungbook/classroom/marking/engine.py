"""Mark a lab of a class: find what was handed in, mark it side by side, write it down as it comes.

Marks do not depend on the number of workers or on the order in which they finish; each submission is marked alone.
"""

from __future__ import annotations

import contextlib
import hashlib
import multiprocessing
import os
import sys
import threading
import time
import warnings
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from rungbook.classroom.class_folder import CONFIG_NAME, ClassFolder
from rungbook.classroom.labs import Lab
from rungbook.classroom.marking.cage import PROTECTIONS, Limits, end_quietly, missing_walls
from rungbook.classroom.marking.handed_in import HandedIn, read_handed_in
from rungbook.classroom.marking.journal import Journal, fingerprint
from rungbook.classroom.marking.paper import Paper, make_paper
from rungbook.classroom.marking.submission import Outcome, Task, begin_to_warm_up, cool_down, mark_submission, warm_up
from rungbook.errors import LadderError

_BATCH = 25  # submissions in one transaction
_BATCH_SECONDS = 2.0  # or as many as came in that time
_TRIES = 2


@dataclass
class Marking:
    """What a run did. entries: the log's lines of this run. kept: marked before and unchanged. missing: students of the
    class who handed nothing in. interrupted: stopped from the keyboard before the end."""

    entries: list[dict[str, Any]] = field(default_factory=list)
    kept: int = 0
    missing: list[str] = field(default_factory=list)
    interrupted: bool = False
    log: Path = Path()
    seconds: float = 0.0


@dataclass(frozen=True)
class How:
    """workers: processes; None for one a core. again: mark what is unchanged too. trusted: without isolation.
    cluster: address of a Dask scheduler. progress: show a bar."""

    workers: int | None = None
    again: bool = False
    trusted: bool = False
    cluster: str | None = None
    progress: bool = True


def mark_lab(folder: ClassFolder, lab: Lab, how: How) -> Marking:
    """Mark everything handed in for `lab` that is not marked yet, or has changed since.

    Raises LadderError if student work cannot be isolated here and is not said to be trusted, nothing was handed in, the
    lab is not released, a test cell cannot be marked apart (`make_paper`), or the processes do not start.
    """
    from tqdm import tqdm

    class Bar(tqdm):  # type: ignore[misc]
        monitor_interval = 0  # no thread: workers are forked

    began = time.monotonic()
    workers = how.workers or os.cpu_count() or 1
    if workers < 1:
        raise LadderError("--workers", "is 1 or more", workers)
    hidden = (str(folder.root.resolve()),)
    handed = sorted(path.parent.name for path in folder.root.glob(f"submitted/*/{lab.name}"))
    with Bar(total=len(handed), unit="submission", disable=not how.progress, file=sys.stderr) as bar:
        bar.set_description("starting")
        bar.refresh()
        run = _Run(folder, lab, how, hidden, bar)
        with _quiet(), _executor(how, workers, hidden) as crew:
            new = run.anything_new(handed)
            if new and not how.cluster and _forks():
                begin_to_warm_up(hidden, how.trusted)
            if not how.trusted and not how.cluster:
                _must_have_walls(hidden)
            if new:
                crew.start()  # it warms up while this process loads nbgrader
            try:
                run.mark(crew, handed)
            except KeyboardInterrupt:
                run.marking.interrupted = True
                for process in multiprocessing.active_children():
                    process.terminate()  # what it was at is marked by the next run
            finally:
                run.finish()
    run.marking.seconds = time.monotonic() - began
    return run.marking


@contextlib.contextmanager
def _quiet() -> Iterator[None]:
    """Keep the database layer's warnings about nbgrader's own queries out of the progress bar's way."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", module="nbgrader")
        yield


def _forks() -> bool:
    """True if this process can be forked here and now."""
    return sys.platform == "linux" and threading.active_count() == 1


def _must_have_walls(hidden: tuple[str, ...]) -> None:
    why = missing_walls([Path(one) for one in hidden])
    if why:
        rule = (
            f"student work cannot be run apart on this machine: {why}. Marking it would run it as you, with all that "
            "you may read and write. If you know and trust everybody who handed in, say --trust-submissions"
        )
        raise LadderError("Isolation", rule)


def protections_missing() -> str:
    """What --trust-submissions gives up, as lines."""
    return "\n".join(f"  not protected: {one}" for one in PROTECTIONS)


@dataclass
class _Crew:
    """Where tasks go: an executor that can be made anew when a process of it dies, and how many tasks at once."""

    make: Callable[[], Executor]
    width: int
    executor: Executor | None = None

    def start(self) -> Executor:
        self.executor = self.executor or self.make()
        return self.executor

    def submit(self, task: Task) -> Future[Outcome]:
        return self.start().submit(mark_submission, task)

    def end(self) -> None:
        if self.executor is not None:
            self.executor.shutdown(wait=True, cancel_futures=True)
        self.executor = None


@contextlib.contextmanager
def _executor(how: How, workers: int, hidden: tuple[str, ...]) -> Iterator[_Crew]:
    if how.cluster:
        from rungbook.classroom.marking.cluster import connect

        with connect(how.cluster) as (executor, width):
            yield _Crew(lambda: executor, width)
        return

    begun = False

    def make() -> ProcessPoolExecutor:
        nonlocal begun
        # the first workers are forked before nbgrader is loaded and share what this process has loaded until then
        alone = not begun and _forks()
        begun = True
        context = multiprocessing.get_context("fork" if alone else "spawn")
        pool = ProcessPoolExecutor(
            workers, context, initializer=_begin_worker, initargs=(hidden, how.trusted, os.getpid())
        )
        for _ in range(workers):
            pool.submit(int)  # a process is started when there is something to do
        return pool

    crew = _Crew(make, workers)
    try:
        yield crew
    finally:
        crew.end()
        cool_down()


def _begin_worker(hidden: tuple[str, ...], trusted: bool, parent: int) -> None:
    """A worker's first act: end with the main process, leave interrupts to it, warm up."""
    from multiprocessing.util import Finalize

    from rungbook.classroom.marking import walls

    end_quietly()
    if sys.platform == "linux":
        walls.die_with_parent()
    if os.getppid() != parent:  # it was killed before this process was that far
        os._exit(1)
    Finalize(None, cool_down, exitpriority=1)
    with contextlib.suppress(LadderError):  # the first task says it again, where it can be told
        warm_up(hidden, trusted)


class _Run:
    """One run over a lab: what is to be done, what is under way, what is still to be written."""

    def __init__(self, folder: ClassFolder, lab: Lab, how: How, hidden: tuple[str, ...], bar: Any) -> None:
        self.folder, self.lab, self.how, self.hidden, self.bar = folder, lab, how, hidden, bar
        self.journal = Journal(folder.root / "marking" / f"{lab.name}.jsonl")
        self.marking = Marking(log=self.journal.path)
        self.recorder: Any = None
        self.ready: list[tuple[Outcome, HandedIn, str]] = []
        self.written = time.monotonic()
        self.papers: dict[str, Paper] = {}
        self.variants = folder.variants(lab)
        made = hashlib.sha256()
        for path in (folder.root / "source" / lab.name / f"{lab.short}.ipynb", lab.source, folder.root / CONFIG_NAME):
            made.update(path.read_bytes() if path.is_file() else b"none")
        self.source = made.hexdigest()

    def mark(self, crew: _Crew, handed: list[str]) -> None:
        from rungbook.classroom.marking.record import Recorder

        if not handed:
            raise LadderError(f"Lab {self.lab.name}", "nothing was handed in: submitted/STUDENT/LAB/ is what is marked")
        api = self.folder.api()
        self.recorder = Recorder(api, self.lab.name, self.lab.short)
        limits = self._limits(api)
        varied = bool(self.variants)
        done = {} if self.how.again else self.journal.done()
        marked = self.recorder.marked() if done else set()
        self.marking.missing = sorted(set(self.recorder.students()) - set(handed))
        self._paper("")
        queue = self._tasks(handed, varied, limits, done, marked)
        under_way: dict[Future[Outcome], tuple[Task, HandedIn, str, int]] = {}
        again: list[tuple[Task, HandedIn, str, int]] = []
        self.bar.set_description("marking")
        while True:
            while len(under_way) < (1 if again else 2 * crew.width + 2):
                # after a process died, the tasks that were with it go one at a time: the guilty one is then alone
                following = again.pop(0) if again else next(queue, None)
                if following is None:
                    break
                under_way[crew.submit(following[0])] = following
            if not under_way:
                return
            finished, _ = wait(under_way, timeout=1, return_when=FIRST_COMPLETED)
            for future in finished:
                task, given, print_, tries = under_way.pop(future)
                try:
                    self._take(future.result(), given, print_)
                except BrokenProcessPool:
                    again += [(task, given, print_, tries + 1)] + [(*one[:3], one[3] + 1) for one in under_way.values()]
                    under_way.clear()
                    crew.end()
                    for one in [one for one in again if one[3] > _TRIES]:
                        again.remove(one)
                        self._take(_could_not(one[0]), one[1], one[2])
                    break
            self._write(now=False)

    def anything_new(self, handed: list[str]) -> bool:
        """True unless the log says that all this was marked before; found out without nbgrader."""
        done = {} if self.how.again else self.journal.done()
        for student in handed:
            given = self._given(student)
            if done.get(student, {}).get("fingerprint") != self._fingerprint(student, given):
                return True
        return False

    def _given(self, student: str) -> HandedIn:
        return read_handed_in(student, self.folder.root / "submitted" / student / self.lab.name, self.lab.short)

    def _fingerprint(self, student: str, given: HandedIn) -> str:
        variant = self.variants.get(student)
        return fingerprint(f"{self.source} {variant}", given.data, given.files)

    def finish(self) -> None:
        """Write what is ready and close the gradebook."""
        if self.recorder is not None:
            try:
                self._write(now=True)
            finally:
                self.recorder.close()

    def _limits(self, api: Any) -> Limits:
        """The class's own limit for a cell (`c.Execute.timeout`), five times that for the notebook."""
        cell = api.config.Execute.get("timeout", 60)
        cell = int(cell) if isinstance(cell, int | float) and cell >= 1 else 60
        return Limits(cell=cell, wall=5 * cell, seconds=5 * cell)

    def _paper(self, student: str) -> Paper:
        """The paper that this student's work is marked by; "" for that of the lab as it stands."""
        if student not in self.papers:
            if student:
                notebook = self.folder.source_notebook(self.lab, student)
            else:
                import nbformat

                source = self.folder.root / "source" / self.lab.name / f"{self.lab.short}.ipynb"
                notebook = nbformat.read(source, as_version=4)
            paper = make_paper(self.lab.name, self.lab.short, notebook)
            self.recorder.check(paper)
            self.papers[student] = paper
        return self.papers[student]

    def _tasks(
        self, handed: list[str], varied: bool, limits: Limits, done: dict[str, dict[str, Any]], marked: set[str]
    ) -> Iterator[tuple[Task, HandedIn, str, int]]:
        for student in handed:
            given = self._given(student)
            paper = self._paper("")
            if varied:
                try:
                    paper = self._paper(student)
                except LadderError as problem:
                    given = HandedIn(student, None, {}, given.notes, str(problem))
            print_ = self._fingerprint(student, given)
            if student in marked and done.get(student, {}).get("fingerprint") == print_:
                self.marking.kept += 1
                self.bar.update()
                continue
            files = {name: data for name, data in given.files.items() if name != "timestamp.txt"}
            task = Task(
                student,
                paper,
                given.data,
                files,
                given.notes,
                given.problem,
                limits,
                self.hidden,
                self.how.trusted,
                common=not varied,
            )
            yield task, given, print_, 0

    def _take(self, outcome: Outcome, given: HandedIn, print_: str) -> None:
        self.ready.append((outcome, given, print_))
        self.bar.update()

    def _record(
        self, batch: list[tuple[Outcome, HandedIn, str]]
    ) -> tuple[dict[str, tuple[float, float]], dict[str, str]]:
        """Record a batch; if that fails, one by one. Returns student -> points and maximum, student -> what failed."""
        try:
            return self.recorder.record([(outcome, given.files) for outcome, given, _ in batch]), {}
        except Exception as problem:
            if len(batch) == 1:
                outcome = batch[0][0]
                return {}, {outcome.student: f"Could not be written: {type(problem).__name__}: {str(problem)[:200]}"}
        points, lost = {}, {}
        for one in batch:
            more, failed = self._record([one])
            points.update(more)
            lost.update(failed)
        return points, lost

    def _write(self, now: bool) -> None:
        due = len(self.ready) >= _BATCH or time.monotonic() - self.written > _BATCH_SECONDS
        if not self.ready or not (now or due):
            return
        batch, self.ready = self.ready, []
        points, lost = self._record(batch)
        entries = []
        for outcome, _, print_ in batch:
            if outcome.student in lost:
                print_ = ""  # tried again by the next run
            score, most = points.get(outcome.student, (0, 0))
            entries.append(
                {
                    "time": datetime.now(UTC).isoformat(timespec="seconds"),
                    "student": outcome.student,
                    "points": score,
                    "most": most,
                    "problem": lost.get(outcome.student, outcome.problem),
                    "notes": list(outcome.notes),
                    "waiting": list(outcome.waiting),
                    "seconds": outcome.seconds,
                    "fingerprint": print_,
                }
            )
        self.journal.add(entries)
        self.marking.entries += entries
        self.written = time.monotonic()


def _could_not(task: Task) -> Outcome:
    """The outcome of a submission over which the marker's own process died, each time it was tried."""
    lost = Task(task.student, task.paper, None, {}, task.notes, "The process that marks died over this submission.")
    return mark_submission(lost)
