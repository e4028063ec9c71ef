"""Keep one notebook's process: wall it in, watch time and memory, pass on what it says, tell how it ended.

The keeper stands outside the namespace of processes in which the notebook runs, so the student's code cannot see or
stop it. What the keeper says itself (END) cannot be said by the notebook.
"""

from __future__ import annotations

import base64
import contextlib
import os
import select
import signal
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Protocol

from rungbook.classroom.marking import frames, walls

MOST_BYTES = 40_000_000  # of everything one notebook may say
_GRACE = 5.0  # seconds from an interrupt to the end
_LOOK = 0.2  # seconds between two looks at the memory, at least; a look takes at most a tenth of the time
_BROKEN = 70  # exit status of a notebook's process in which something failed outside the student's cells
_CHANNEL = "a cell wrote into the channel by which answers are handed over, or changed what writes there"
WORK = Path("/tmp/work")  # a notebook's folder in the cage
_NICE = 10  # the keeper must get its turn beside as many busy processes as a notebook may have


class Runs(Protocol):
    """A session: it runs steps and sends frames."""

    def run(self, steps: list[Any], channel: int) -> None:
        """Run all steps; send FINISHED after the last."""


def keep(channel: int, session: Runs, walled: bool, kept: Sequence[str] = ()) -> None:
    """Read a job from `channel`, run it in a process of its own, pass its frames on, end with an END frame.

    A job holds steps, files (name -> base64) and limits. Without walls (`walled` false) the limits alone are set.
    kept: folders under /tmp that the notebook needs.
    """
    job = read_job(channel)
    if job is None:
        return
    limits = job["limits"]
    if walled:
        try:
            walls.own_namespaces()
        except OSError as problem:
            frames.send(
                channel, frames.packed(frames.END, {"finished": False, "why": f"no walls: {problem}", "failed": True})
            )
            return
    read, write = os.pipe()
    notebook = os.fork()
    if notebook == 0:
        status = _BROKEN
        try:
            os.close(read)
            os.close(channel)
            _run_notebook(write, job, session, walled, kept)
            status = 0
        finally:
            os._exit(status)
    os.close(write)
    finished, why = _Watch(channel, read, notebook, limits, walled).watch()
    frames.send(channel, frames.packed(frames.END, {"finished": finished, "why": why}))


def read_job(channel: int) -> dict[str, Any] | None:
    """Return the job that comes through `channel`; None if it is closed."""
    reader = frames.Frames(longest=200_000_000)
    while data := os.read(channel, 1 << 20):
        for _, body in reader.add(data):
            return frames.unpacked(body)
    return None


def _run_notebook(write: int, job: dict[str, Any], session: Runs, walled: bool, kept: Sequence[str]) -> None:
    limits = job["limits"]
    os.setsid()  # a group of its own: a signal to "my group" reaches no keeper, one from the keeper all of the notebook
    if walled:
        os.nice(_NICE)
    nothing = os.open("/dev/null", os.O_RDWR)
    for descriptor in (0, 1, 2):
        os.dup2(nothing, descriptor)
    if walled:
        walls.die_with_parent()
        walls.hide(limits["scratch"], kept)
        place = WORK
        place.mkdir()
    else:
        place = Path(job["place"])
    os.chdir(place)
    os.environ["HOME"] = str(place)
    for name, text in job["files"].items():
        target = place / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(base64.b64decode(text))
    walls.limit(limits["memory"], limits["seconds"], limits["processes"] if walled else None, limits["file"])
    if walled:
        walls.drop_privileges()
    session.run(job["steps"], write)


class _Watch:
    """Passes on frames of one notebook until it ends, and ends it when it takes too much."""

    def __init__(self, channel: int, read: int, notebook: int, limits: dict[str, int], walled: bool) -> None:
        self.channel, self.read, self.notebook, self.limits, self.walled = channel, read, notebook, limits, walled
        self.finished = self.cut_off = False
        self.passed = 0

    def watch(self) -> tuple[bool, str]:
        """Return whether the notebook's last step was done, and why it ended if not."""
        now = time.monotonic()
        end, cell_end, interrupted, look = now + self.limits["wall"], now + self.limits["cell"], False, now + _LOOK
        reader = frames.Frames()
        why = ""
        while not why:
            now = time.monotonic()
            if now >= end:
                why = f"the notebook took longer than {self.limits['wall']} s"
                break
            if now >= cell_end:
                if interrupted:
                    why = f"a cell ran longer than {self.limits['cell']} s and could not be interrupted"
                    break
                interrupted, cell_end = True, now + _GRACE
                with contextlib.suppress(ProcessLookupError):
                    os.killpg(self.notebook, signal.SIGINT)  # and what it started, as a terminal does
            if now >= look:
                if self._memory() > self.limits["memory"]:
                    why = f"the notebook used more than {self.limits['memory'] // 1_000_000} MB of memory"
                    break
                look = time.monotonic() + max(_LOOK, 9 * (time.monotonic() - now))
            ready, _, _ = select.select([self.read, self.channel], [], [], max(0, min(end, cell_end, look) - now))
            if self.channel in ready:  # the marker says nothing after the job: it is gone
                why = "the marker has gone"
            if self.read in ready:
                data = os.read(self.read, 1 << 20)
                if not data:
                    self.cut_off = reader.cut_off
                    break
                try:
                    for kind, body in reader.add(data):
                        if kind == frames.BEGAN:
                            interrupted, cell_end = False, time.monotonic() + self.limits["cell"]
                        self._pass_on(kind, body)
                except frames.BrokenFrame as problem:
                    why = f"{_CHANNEL}: it held {problem}"
                if self.passed > MOST_BYTES:
                    why = "the notebook's outputs are too large"
        return self._end(why)

    def _pass_on(self, kind: bytes, body: bytes) -> None:
        if kind == frames.FINISHED:
            self.finished = True
        elif kind in (frames.ANSWER, frames.OUTPUTS, frames.BEGAN):
            self.passed += len(body)
            frames.send(self.channel, frames.wrapped(kind, body))

    def _end(self, why: str) -> tuple[bool, str]:
        """Wait for the notebook's process, a second at most if it has not been told to end; then kill it."""
        until = time.monotonic() + (0 if why else 1)
        while True:
            done, status = os.waitpid(self.notebook, os.WNOHANG)
            if done:
                break
            if time.monotonic() >= until:
                with contextlib.suppress(ProcessLookupError):
                    os.kill(self.notebook, signal.SIGKILL)
                _, status = os.waitpid(self.notebook, 0)
                break
            time.sleep(0.002)
        if self.finished and not why:
            return True, ""
        if why:
            return False, why
        code = os.waitstatus_to_exitcode(status)
        if code == -signal.SIGXCPU or code == -signal.SIGKILL:
            return False, "the notebook's process was killed: too much processor time or memory"
        if code < 0:
            return False, f"the notebook's process crashed ({signal.Signals(-code).name})"
        if self.cut_off and not code:
            return False, f"{_CHANNEL}: it ended in the middle of a frame"
        if code == _BROKEN:
            what = "a builtin function, json, an open file, or what hands answers over in this package"
            return False, f"a cell changed what the notebook's process itself needs ({what})"
        return False, f"a cell ended the notebook's process (exit status {code})"

    def _memory(self) -> int:
        """Bytes of memory that the notebook's processes take together. In a cage they all come below the notebook's
        first one, which takes in those whose parents have ended; without one nobody can tell, and the answer is 0."""
        if not self.walled:
            return 0
        others = _below(self.notebook)
        quick = sum(_resident(entry) for entry in others)
        # pages that forked processes share are counted in each of them; the kernel's slower answer divides them
        return sum(_share(entry) for entry in others) if quick > self.limits["memory"] else quick


def _below(top: int) -> list[Path]:
    """A process and all that come from it."""
    children: dict[int, list[int]] = {}
    for name in filter(str.isdigit, os.listdir("/proc")):
        with contextlib.suppress(OSError, ValueError, IndexError):
            text = Path("/proc", name, "stat").read_text(encoding="utf-8", errors="replace")
            children.setdefault(int(text.rpartition(")")[2].split()[1]), []).append(int(name))
    found = [top]
    for one in found:
        found += children.get(one, ())
    return [Path("/proc", str(one)) for one in found]


def _resident(process: Path) -> int:
    """Bytes of a process in memory that are no file's; 0 if it has gone."""
    try:
        size = (process / "statm").read_text(encoding="ascii").split()
        return (int(size[1]) - int(size[2])) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, ValueError, IndexError):
        return 0


def _share(process: Path) -> int:
    """Bytes of a process in memory, each page divided by the number of processes that have it."""
    try:
        text = (process / "smaps_rollup").read_text(encoding="ascii")
        return next(int(line.split()[1]) * 1024 for line in text.splitlines() if line.startswith("Pss:"))
    except (OSError, ValueError, IndexError, StopIteration):
        return _resident(process)
