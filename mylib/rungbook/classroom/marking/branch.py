"""A branch of the warm process in the cage: the cells with which every notebook of a lab begins, run once.

What stands before the first answer of a lab is the lab's own and the same in every notebook whose student has left it
alone. A branch has run it; a notebook that is forked from there stands where it would stand after running it itself.
That holds if those cells changed nothing but the memory of their process, and were quick: a branch that finds open
files, threads, children, a changed folder or files of its own making gives up, and notebooks run all of their cells.
"""

from __future__ import annotations

import gc
import os
import signal
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Protocol

from rungbook.classroom.marking import frames
from rungbook.classroom.marking.keeper import WORK, read_job


class Opens(Protocol):
    """A session: it runs code and gives the frames of its outputs."""

    def get_ready(self, steps: list[Any]) -> None:
        """Load what takes long and leaves traces."""

    def open(self, steps: list[Any]) -> list[bytes]:
        """Run all steps."""


def branch(channel: int, session: Opens, kept: Sequence[str]) -> bool:
    """Read a job from `channel`, run its steps in this process, send the outputs and how it went.

    Returns True if notebooks may go on from here. The process is killed if that takes as long as one cell may take.
    """
    job = read_job(channel)
    if job is None:
        return False
    signal.setitimer(signal.ITIMER_REAL, job["limits"]["cell"])  # its signal ends the process
    os.chdir(WORK)
    os.environ["HOME"] = str(WORK)
    session.get_ready(job["steps"])
    before = _traces(kept)
    sent = session.open(job["steps"])
    why = _why_not(before, _traces(kept))
    session.get_ready(job["steps"])
    signal.setitimer(signal.ITIMER_REAL, 0)
    gc.freeze()
    for frame in sent:
        frames.send(channel, frame)
    frames.send(channel, frames.packed(frames.END, {"finished": not why, "why": why}))
    return not why


def _traces(kept: Sequence[str]) -> dict[str, object]:
    """What cells may leave that a fork does not take along, or that lies outside of the process."""
    files = {}
    passed = (*kept, os.environ.get("MPLCONFIGDIR"))  # a plotting library's notes; notebooks do not see them
    for place, folders, names in os.walk("/tmp"):
        folders[:] = [name for name in folders if os.path.join(place, name) not in passed]
        for name in (*folders, *names):
            status = os.lstat(os.path.join(place, name))
            files[os.path.join(place, name)] = (status.st_size, status.st_mtime_ns) if name in names else None
    return {
        "open files": sorted(os.listdir("/proc/self/fd")),
        "threads": len(os.listdir("/proc/self/task")),
        "folder": Path.cwd(),
        "files": files,
        "children": _children(),
    }


def _children() -> bool:
    try:
        os.waitpid(-1, os.WNOHANG)
    except ChildProcessError:
        return False
    return True


def _why_not(before: dict[str, object], after: dict[str, object]) -> str:
    changed = [name for name in before if before[name] != after[name]]
    return f"the lab's first cells leave changed: {', '.join(changed)}" if changed else ""
