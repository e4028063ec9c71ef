"""The warm process: imports done once, then one fork a notebook. `python -m rungbook.classroom.marking.warm KIND`.

Standard input is a socket: each message carries one byte and one descriptor, the channel of a job. The first thing that
goes back is one line of JSON: ready, or why not. Ends when the socket is closed. Never reads anything of a student's.
"""

from __future__ import annotations

import contextlib
import gc
import json
import os
import socket
import sys
from collections.abc import Sequence
from typing import Any

from rungbook.classroom.marking import frames, walls
from rungbook.classroom.marking.branch import branch
from rungbook.classroom.marking.keeper import WORK, keep

ORDINARY_USER = 65534


def main(kind: str, kept: Sequence[str] = ()) -> None:
    """Warm up, say so, and serve until the socket is closed. kind: "cage", "open" or "judge" (see `cage.py`)."""
    control = socket.socket(fileno=os.dup(0))
    nothing = os.open("/dev/null", os.O_RDWR)
    os.dup2(nothing, 0)
    walled = kind == "cage"
    try:
        if walled:
            _give_up_root()
            WORK.mkdir()
        session = _session(kind)
    except Exception as problem:
        control.sendall(json.dumps({"ready": False, "why": f"{type(problem).__name__}: {problem}"}).encode() + b"\n")
        raise
    gc.collect()
    gc.freeze()
    control.sendall(json.dumps({"ready": True}).encode() + b"\n")
    serve(control, session, walled, kept)


def serve(control: socket.socket, session: Any, walled: bool, kept: Sequence[str]) -> None:
    """Fork for each message until the socket is closed: a keeper for a job, a branch of this process for an opening."""
    while True:
        kind, descriptors, _, _ = socket.recv_fds(control, 1, 1)
        _bury()
        if not descriptors:
            return
        (channel,) = descriptors
        if os.fork() == 0:
            status = 1
            try:
                control.close()
                if kind == frames.OPENING and walled:
                    if branch(channel, session, kept):
                        serve(socket.socket(fileno=channel), session, walled, kept)
                else:
                    keep(channel, session, walled, kept)
                status = 0
            finally:
                os._exit(status)
        os.close(channel)


def _bury() -> None:
    """Take note of the forks that have ended, so that the time they used counts as the marker's."""
    with contextlib.suppress(ChildProcessError):
        while os.waitpid(-1, os.WNOHANG)[0]:
            pass


def _session(kind: str) -> Any:
    if kind == "judge":
        from rungbook.classroom.marking.judge import JudgeSession

        return JudgeSession()
    from rungbook.classroom.marking.session import Session

    return Session()


def _give_up_root() -> None:
    if os.getuid() == 0:
        os.setgroups([])
        os.setresgid(ORDINARY_USER, ORDINARY_USER, ORDINARY_USER)
        os.setresuid(ORDINARY_USER, ORDINARY_USER, ORDINARY_USER)
        walls.readable_by_own_user()


def probe(kept: Sequence[str] = ()) -> None:
    """Build the walls once, without warming up. Raises OSError if the kernel does not allow them."""
    _give_up_root()
    walls.own_namespaces()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            walls.hide(1 << 20, kept)
            walls.drop_privileges()
            status = 0
        finally:
            os._exit(status)
    if os.waitpid(child, 0)[1]:
        raise OSError("mounts or limits of a process's own are not allowed")


if __name__ == "__main__":
    folders = [argument.removeprefix("--keep=") for argument in sys.argv if argument.startswith("--keep=")]
    if sys.argv[1] == "probe":
        probe(folders)
    else:
        main(sys.argv[1], folders)
        os._exit(0)  # nothing is left to be done, and taking all that was loaded apart takes long
