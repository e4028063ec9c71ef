"""The cage: bubblewrap around a warm process that sees Python, the package, the system's libraries, and nothing else.

No network, no class folder, no sources, no gradebook, no home, no other process. Each notebook is forked from the warm
process into namespaces of its own (`walls.py`), so two notebooks cannot reach each other or it either.
"""

from __future__ import annotations

import base64
import contextlib
import os
import select
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import IO, Any

import rungbook
from rungbook.classroom.marking import frames, walls
from rungbook.errors import LadderError
from rungbook.grading.handed import MAX_WORD, Handed

_SYSTEM = ("/usr", "/bin", "/sbin", "/lib", "/lib32", "/lib64")
_SETTINGS = ("/etc/ld.so.cache", "/etc/ld.so.conf", "/etc/fonts", "/etc/alternatives", "/etc/localtime")
_WARM_UP = 120  # seconds until the warm process must be ready
_BRANCHES = 4  # openings that are kept ready
PROTECTIONS = (
    "no network",
    "the class folder, the solutions, the gradebook and other students' work cannot be read",
    "the system cannot be changed; files written vanish",
    "other processes cannot be seen or stopped",
    "memory of all processes of a notebook together is bounded",
)


@dataclass(frozen=True)
class Limits:
    """What one notebook may use. cell: for one cell [s], then it is interrupted. wall: for the whole notebook [s].
    seconds: processor time [s]. memory: [bytes]. processes: how many. file: size of a file [bytes]. scratch: what /tmp
    holds [bytes].
    """

    cell: int = 60
    wall: int = 300
    seconds: int = 300
    memory: int = 3_000_000_000
    processes: int = 64
    file: int = 64_000_000
    scratch: int = 64_000_000


@dataclass
class Ran:
    """What came out of a notebook. answers: (test cell, name) -> answer; a name that is not there was not defined.
    outputs: step -> its outputs and its number, unchecked. why: "" if the notebook ran to its end. failed: the
    cage itself did not do its work, which is not the student's fault."""

    answers: dict[tuple[str, str], Handed] = field(default_factory=dict)
    outputs: dict[int, tuple[list[Any], int | None]] = field(default_factory=dict)
    why: str = ""
    failed: bool = False


@dataclass(frozen=True)
class _Branch:
    """A process in which a lab's first cells have been run. control: where jobs go. outputs: as in `Ran`."""

    control: socket.socket
    outputs: dict[int, tuple[list[Any], int | None]]


def missing_walls(hidden: Iterable[Path] = ()) -> str:
    """Return why notebooks cannot be isolated on this machine, or "" if they can. Takes a tenth of a second."""
    if not hasattr(os, "fork"):
        return "this system cannot fork processes"
    if shutil.which("bwrap") is None:
        return "bubblewrap is not installed (no program bwrap; on Debian: apt-get install bubblewrap)"
    try:
        done = subprocess.run(
            _command(hidden, "probe"), capture_output=True, text=True, timeout=30, check=False, stdin=subprocess.DEVNULL
        )
    except (OSError, subprocess.TimeoutExpired) as problem:
        return f"bubblewrap does not start: {problem}"
    lines = done.stderr.strip().splitlines() or ["no reason given"]
    return "" if done.returncode == 0 else f"bubblewrap, or a namespace in it, is not allowed here: {lines[-1][:200]}"


def _command(hidden: Iterable[Path], kind: str) -> list[str]:
    """The command that starts the warm process in a cage; `hidden` folders are empty in it wherever they lie."""
    bwrap = shutil.which("bwrap") or "bwrap"
    command = [bwrap, "--unshare-pid", "--unshare-net", "--unshare-ipc", "--unshare-uts", "--unshare-cgroup-try"]
    if os.getuid() != 0:
        command.append("--unshare-user")
    command += ["--new-session", "--die-with-parent", "--hostname", "marking", "--clearenv"]
    for place in _SYSTEM:
        if os.path.islink(place):
            command += ["--symlink", os.readlink(place), place]
        elif os.path.isdir(place):
            command += ["--ro-bind", place, place]
    command += ["--proc", "/proc", "--dev", "/dev", "--perms", "1777", "--tmpfs", "/tmp"]
    command += ["--perms", "1777", "--dir", walls.SCRATCH]
    for place in _SETTINGS:
        command += ["--ro-bind-try", place, place]
    shown = _python_folders()
    for above in dict.fromkeys(above for folder in shown for above in reversed(folder.parents[:-1])):
        if str(above) != "/tmp":
            command += ["--perms", "0755", "--dir", str(above)]  # bubblewrap's own would shut out an ordinary user
    for folder in shown:
        command += ["--ro-bind", str(folder), str(folder)]
    for link, target in _links(shown):
        command += ["--symlink", target, link]
    own = ["/", "/dev"]  # belong to whoever runs the command: notebooks could leave word for others there
    for folder in dict.fromkeys(path.resolve() for path in hidden):
        if folder.is_dir() and any(folder.is_relative_to(open_) for open_ in (Path("/usr"), *shown)):
            command += ["--tmpfs", str(folder)]
            own.append(str(folder))
    for place in own:
        command += ["--remount-ro", place]
    for name, value in _environment().items():
        command += ["--setenv", name, value]
    kept = [f"--keep={folder}" for folder in shown if folder.is_relative_to("/tmp")]
    return [*command, "--chdir", "/tmp", sys.executable, "-m", "rungbook.classroom.marking.warm", kind, *kept]


def _python_folders() -> list[Path]:
    """Python, its packages, and this package: what the warm process imports, outside /usr."""
    package = Path(rungbook.__file__).parent
    packages = [Path(entry) for entry in sys.path if entry.endswith(("site-packages", "dist-packages"))]
    wanted = [Path(sys.prefix), Path(sys.base_prefix), *packages, package, package.resolve()]
    wanted = [folder for folder in wanted if not Path.home().is_relative_to(folder)]
    found: list[Path] = []
    for folder in sorted({path for path in wanted if path.is_dir()}, key=lambda path: len(path.parts)):
        if len(folder.parts) > 2 and not any(folder.is_relative_to(one) for one in (Path("/usr"), *found)):
            found.append(folder)
    return found


def _links(shown: list[Path]) -> list[tuple[str, str]]:
    """The links outside the shown folders by which this Python is found (a venv's python may be a chain of links)."""
    found = []
    link = Path(sys.executable)
    for _ in range(8):
        if not link.is_symlink():
            break
        target = os.readlink(link)
        if not any(link.is_relative_to(folder) for folder in (Path("/usr"), *shown)):
            found.append((str(link), target))
        link = link.parent / target
    return found


def _environment() -> dict[str, str]:
    """The environment of notebooks: nothing of the instructor's."""
    return {
        "HOME": "/tmp",
        "TMPDIR": "/tmp",
        "LANG": "C.UTF-8",
        "PATH": os.pathsep.join((str(Path(sys.executable).parent), "/usr/bin", "/bin")),
        "PYTHONPATH": str(Path(rungbook.__file__).parents[1]),
        "PYTHONDONTWRITEBYTECODE": "1",
        "MPLBACKEND": "module://matplotlib_inline.backend_inline",
        "MPLCONFIGDIR": "/tmp/matplotlib",
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
        "NBGRADER_EXECUTION": "autograde",
    }


class Cage:
    """A warm process that runs steps in forks of it.

    kind: "cage" for notebooks; "open" for notebooks that are trusted, with limits and no walls; "judge" for test cells.
    hidden: folders that must be empty in the cage even if they lie in one that it needs.
    """

    def __init__(self, kind: str, hidden: Iterable[Path] = ()) -> None:
        self._hidden, self._kind = tuple(hidden), kind
        self._process: subprocess.Popen[bytes] | None = None
        self._control: socket.socket | None = None
        self._said: IO[bytes] | None = None
        self._owner = 0
        self._ready = False
        self._branches: dict[tuple[str, ...], _Branch | None] = {}
        self._seen: set[tuple[str, ...]] = set()

    def begin(self) -> None:
        """Start the warm process and do not wait for it. Processes forked after this use it beside this one."""
        if self._process is not None and (self._owner != os.getpid() or self._process.poll() is None):
            return
        self.close()
        ours, theirs = socket.socketpair()
        if self._kind == "cage":
            command = _command(self._hidden, "cage")
            environment: dict[str, str] | None = None
        else:
            command = [sys.executable, "-m", "rungbook.classroom.marking.warm", self._kind]
            environment = {**_environment(), "MPLCONFIGDIR": tempfile.gettempdir()}
        self._said = tempfile.TemporaryFile()  # noqa: SIM115  (it is closed by `close`)
        self._process = subprocess.Popen(
            command,
            stdin=theirs.fileno(),
            stdout=self._said,
            stderr=self._said,
            env=environment,
            cwd="/",
            start_new_session=True,
        )
        theirs.close()
        self._control, self._owner, self._ready = ours, os.getpid(), False

    def start(self) -> None:
        """Start the warm process and wait until it is ready. Raises LadderError, saying why, if it does not come up."""
        self.begin()
        if self._ready:
            return
        assert self._control is not None
        assert self._said is not None
        self._control.settimeout(_WARM_UP)
        try:
            line = self._control.recv(2000, socket.MSG_PEEK)  # it stays there, for others that use it too
            told = frames.unpacked(line)
        except (OSError, frames.BrokenFrame):
            told = {}
        if told.get("ready") is not True:
            self._said.seek(0)
            lines = self._said.read().decode(errors="replace").strip().splitlines()
            why = told.get("why") or (lines[-1] if lines else "it ended without a word")
            self.close()
            raise LadderError("Isolation", f"the process that runs notebooks does not start: {str(why)[:300]}")
        self._ready = True

    def close(self) -> None:
        """End the warm process and all that was forked from it; if another process started it, leave it to that one."""
        for one in self._branches.values():
            if one is not None:
                one.control.close()
        self._branches, self._seen = {}, set()
        if self._control is not None:
            self._control.close()
        if self._process is not None and self._owner == os.getpid():
            try:
                self._process.wait(2)
            except subprocess.TimeoutExpired:
                self._process.kill()
                self._process.wait()
        if self._said is not None:
            self._said.close()
        self._process = self._control = self._said = None
        self._ready = False

    def run(
        self,
        steps: list[dict[str, Any]],
        files: Mapping[str, bytes],
        limits: Limits,
        opening: int = 0,
        often: bool = False,
    ) -> Ran:
        """Run the steps of one notebook, with `files` in its folder.

        opening: how many steps at its head are the lab's own, letter by letter. In a cage, from the second notebook on
        that has the same, they are not run again, but the notebook is forked from where they lead (`branch.py`).
        often: many notebooks have the same, so that it pays from the first one on.

        Raises LadderError if the cage does not start.
        """
        self.start()
        control, known = self._control, Ran()
        if opening and not files and self._kind == "cage":
            branch = self._branch(steps[:opening], limits, often)
            if branch is not None:
                control, known.outputs, steps = branch.control, dict(branch.outputs), steps[opening:]
        job: dict[str, Any] = {"steps": steps, "limits": asdict(limits)}
        job["files"] = {name: base64.b64encode(data).decode() for name, data in files.items()}
        with contextlib.ExitStack() as stack:
            if self._kind != "cage":
                job["place"] = stack.enter_context(tempfile.TemporaryDirectory(prefix="rungbook-marking-"))
            ours, theirs = socket.socketpair()
            stack.callback(ours.close)
            assert control is not None
            try:
                with theirs:
                    socket.send_fds(control, [frames.JOB], [theirs.fileno()])
                ours.settimeout(30)
                ours.sendall(frames.packed(frames.JOB, job))
            except OSError as problem:
                self.close()
                return Ran(why=f"the process that runs notebooks ended ({problem})", failed=True)
            asked = {(step["cell"], name) for step in steps for name in step.get("names", ())}
            return self._collect(ours, limits, asked, known)

    def _branch(self, steps: list[dict[str, Any]], limits: Limits, often: bool) -> _Branch | None:
        """The branch in which these steps are done; None if they are seen for once, or cannot be done beforehand."""
        code = tuple(str(step["code"]) for step in steps)
        if not often and code not in self._branches and code not in self._seen:
            self._seen.add(code)
            return None
        found = self._branches.pop(code) if code in self._branches else self._grow(steps, limits)
        self._branches[code] = found
        if len(self._branches) > _BRANCHES:
            longest_unused = self._branches.pop(next(iter(self._branches)))
            if longest_unused is not None:
                longest_unused.control.close()
        return found

    def _grow(self, steps: list[dict[str, Any]], limits: Limits) -> _Branch | None:
        ours, theirs = socket.socketpair()
        assert self._control is not None
        with contextlib.suppress(OSError, frames.BrokenFrame), theirs:
            socket.send_fds(self._control, [frames.OPENING], [theirs.fileno()])
            theirs.close()
            ours.settimeout(limits.cell + 10)
            ours.sendall(frames.packed(frames.JOB, {"steps": steps, "limits": asdict(limits)}))
            ran, reader = Ran(), frames.Frames()
            while data := ours.recv(1 << 20):
                for kind, body in reader.add(data):
                    told = frames.unpacked(body)
                    if kind == frames.OUTPUTS:
                        _take_outputs(ran, told)
                    elif told["finished"] and len(ran.outputs) == len(steps):
                        return _Branch(ours, ran.outputs)
        ours.close()
        return None

    def _collect(self, channel: socket.socket, limits: Limits, asked: set[tuple[str, str]], ran: Ran) -> Ran:
        first = len(ran.outputs)
        reader = frames.Frames()
        heard: set[tuple[str, str]] = set()  # answers of which something was said, if only that there is none
        end = time.monotonic() + limits.wall + 20
        while True:
            ready, _, _ = select.select([channel], [], [], max(0, end - time.monotonic()))
            try:
                data = channel.recv(1 << 20) if ready else b""
            except OSError:
                data = b""
            if not data:
                self.close()  # something is wrong with the cage itself; the next notebook gets a new one
                ran.why, ran.failed = ran.why or "the process that runs notebooks did not answer", True
                return ran
            for kind, body in reader.add(data):
                try:
                    told = frames.unpacked(body) if kind != frames.BEGAN else {}
                except frames.BrokenFrame as problem:
                    ran.why = f"a cell changed how answers are handed over: what came was {problem}"
                    continue
                if kind == frames.END:
                    silent = sorted({name for _, name in asked - heard})
                    if not told["finished"]:
                        ran.why = str(told["why"])
                    elif silent and not ran.why:
                        ran.why = f"a cell changed how answers are handed over: nothing came for {', '.join(silent)}"
                    ran.failed = bool(told.get("failed"))
                    return ran
                if kind == frames.ANSWER:
                    heard.add((str(told.get("cell")), str(told.get("name"))))
                    _take_answer(ran, told, asked)
                elif kind == frames.OUTPUTS:
                    _take_outputs(ran, told, first)


def _take_answer(ran: Ran, told: Mapping[str, Any], asked: set[tuple[str, str]]) -> None:
    """Keep an answer that was asked for, the first of each; anything else is passed over."""
    key = (told.get("cell"), told.get("name"))
    if key not in asked or key in ran.answers or "kind" not in told:
        return
    kind, text, problem = told["kind"], told.get("text"), told.get("problem")
    if not isinstance(kind, str) or not (text is None or isinstance(text, str)) or not isinstance(problem, str):
        return
    ran.answers[key] = Handed(kind[:MAX_WORD], text, problem[:MAX_WORD])


def _take_outputs(ran: Ran, told: Mapping[str, Any], first: int = 0) -> None:
    """Keep a cell's outputs, the first that come for it; `first` is the place of the job's first step."""
    step, outputs, count = told.get("step"), told.get("outputs"), told.get("count")
    if isinstance(step, int) and step >= 0 and first + step not in ran.outputs and isinstance(outputs, list):
        ran.outputs[first + step] = (outputs, count if isinstance(count, int) and 0 <= count < 100_000 else None)


def end_quietly() -> None:
    """Have this process heed an interrupt from the keyboard only through the one that started it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
