"""Run a learner's notebook in a process of its own, with limits on time, memory and files.

It is the learner's own work on the learner's own machine, so there are no walls, as there are none in a notebook's
kernel: a process of its own keeps a cell that never ends, or ends Python, from ending the marking with it.
"""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from rungbook.alone.cells import Ran, collect, read_cells, steps_of, texts_of
from rungbook.alone.graders import Graders
from rungbook.errors import LadderError

CELL = 60  # one cell [s]
WALL = 300  # the whole notebook [s]


def read_notebook(path: Path) -> object:
    """Return the notebook file's JSON. Raises LadderError if it cannot be read or is no JSON."""
    try:
        return json.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as problem:
        raise LadderError("Notebook", f"cannot be read: {problem.strerror}", str(path)) from None
    except (ValueError, RecursionError):
        raise LadderError("Notebook", "is no JSON in UTF-8, so no notebook", str(path)) from None


def run_apart(notebook: object, graders: Graders, folder: Path, cell: int = CELL, wall: int = WALL) -> Ran:
    """Run a notebook, JSON read, in a child process that works in `folder`; return what it left.

    cell: the longest that one cell may take [s], where the system can interrupt it. wall: the notebook [s]. What a
    notebook left before it was stopped counts. Raises LadderError as `read_cells`.
    """
    cells = read_cells(notebook)
    job = json.dumps({"steps": steps_of(cells, graders), "cell": cell, "wall": wall})
    ran = Ran(texts=texts_of(cells))
    with tempfile.TemporaryDirectory(prefix="rungbook-check-", ignore_cleanup_errors=True) as scratch:
        result = Path(scratch) / "answers"
        result.touch()
        child = subprocess.Popen(
            [sys.executable, "-m", "rungbook.alone.child", str(result)],
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=folder,
            env=_environment(),
            start_new_session=True,
        )
        try:
            with contextlib.suppress(subprocess.TimeoutExpired):
                child.communicate(job.encode(), timeout=wall)
            status = child.poll()
        finally:
            _end(child)
        told = _lines(result)
    if {"finished": True} not in told:
        ran.why = (
            f"the notebook took longer than {wall} s"
            if status is None
            else f"a cell ended the notebook's process (exit status {status})"
        )
    return collect([one for one in told if "finished" not in one], ran)


def _environment() -> dict[str, str]:
    """The learner's own, with this package first, no window for pictures, and the sign that marking is under way."""
    path = os.pathsep.join(filter(None, (str(Path(__file__).parents[2]), os.environ.get("PYTHONPATH", ""))))
    return {**os.environ, "PYTHONPATH": path, "MPLBACKEND": "agg", "NBGRADER_EXECUTION": "autograde"}


def _end(child: subprocess.Popen[bytes]) -> None:
    """End the child and, where there are groups of processes, whatever it has started."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        if hasattr(os, "killpg"):
            os.killpg(child.pid, signal.SIGKILL)
        else:
            child.kill()
    child.wait()


def _lines(result: Path) -> list[dict[str, Any]]:
    """The lines of JSON that are whole."""
    told = []
    for line in result.read_text(encoding="utf-8", errors="replace").splitlines():
        with contextlib.suppress(ValueError):
            told.append(json.loads(line))
    return told
