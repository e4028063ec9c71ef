"""The process in which a learner's notebook runs: `python -m rungbook.alone.child RESULT`, the job on standard input.

What the cells print goes nowhere; each answer is a line of JSON in the file RESULT, written at once, so that what came
before a cell that never ends still counts. Limits are set where the system knows them.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from collections.abc import Iterator
from types import FrameType
from typing import Any

from rungbook.alone.cells import run_steps

_MEMORY = 4_000_000_000  # bytes
_FILE = 64_000_000  # bytes of one file


def main(result: str) -> None:
    """Read the job, run it, write what it leaves."""
    job = json.load(sys.stdin)
    _limit(job["wall"])
    nothing = os.open(os.devnull, os.O_RDWR)
    for descriptor in (0, 1, 2):
        os.dup2(nothing, descriptor)
    with open(result, "a", encoding="utf-8") as file:
        for told in run_steps(_watched(job["steps"], job["cell"])):
            print(json.dumps(told), file=file, flush=True)
        print(json.dumps({"finished": True}), file=file, flush=True)
    os._exit(0)  # threads that the cells left behind do not matter


def _watched(steps: list[dict[str, Any]], seconds: int) -> Iterator[dict[str, Any]]:
    """The steps, with the clock of a cell set anew for each."""
    for step in steps:
        if hasattr(signal, "alarm"):
            signal.alarm(seconds)
        yield step


def _limit(seconds: int) -> None:
    """Bound memory, processor time and files, where there are such bounds; interrupt a cell that takes too long."""
    if hasattr(signal, "SIGALRM"):
        signal.signal(signal.SIGALRM, _too_long)
    try:
        import resource
    except ImportError:  # not on Windows: there the parent's clock alone ends it
        return
    for kind, most in ((resource.RLIMIT_AS, _MEMORY), (resource.RLIMIT_CPU, seconds), (resource.RLIMIT_FSIZE, _FILE)):
        try:
            resource.setrlimit(kind, (most, most))
        except (ValueError, OSError):  # a lower bound is set already, or the system has none of this kind
            continue


def _too_long(number: int, frame: FrameType | None) -> None:
    raise TimeoutError("the cell took too long")


if __name__ == "__main__":
    main(sys.argv[1])
