"""Run the instructor's test cells on the answers, in a process that never holds anything of a student's but JSON.

It is forked from a warm process of its own for each submission, so that an answer that takes the marker too long costs
that test cell and nothing else. nbgrader's own rule reads the points from the outputs, as if a kernel had made them.
"""

from __future__ import annotations

import ast
import contextlib
import io
import json
import signal
import traceback
from collections.abc import Mapping
from types import FrameType
from typing import Any

from rungbook.classroom.marking import frames
from rungbook.grading.handed import Handed


class JudgeSession:
    """Runs test cells, each in a namespace of its own that holds the answers it asks for."""

    def __init__(self) -> None:
        """Import what test cells use."""
        from importlib import import_module

        for name in ("rungbook.grading", "rungbook.proof", "rungbook.motors", "rungbook.behaviour"):
            import_module(name)
        import rungbook

        for name in rungbook.__all__:
            getattr(rungbook, name)
        self._running = False

    def run(self, steps: list[Mapping[str, Any]], channel: int) -> None:
        """Run the test cells one by one; send the outputs of each."""
        signal.signal(signal.SIGINT, self._interrupt)
        for number, step in enumerate(steps):
            frames.send(channel, frames.packed(frames.BEGAN, {"step": number}))
            namespace: dict[str, Any] = {"__name__": "__main__"}
            for name, told in step["answers"].items():
                namespace[name] = taken(name, Handed(**told))
            self._running = True
            try:
                made = run_test(step["code"], namespace)
            finally:
                self._running = False
            frames.send(channel, frames.packed(frames.OUTPUTS, {"step": number, "outputs": made, "count": None}))
        frames.send(channel, frames.packed(frames.FINISHED))

    def _interrupt(self, number: int, frame: FrameType | None) -> None:
        if self._running:
            raise KeyboardInterrupt("the marker took too long over this answer")


def taken(name: str, handed: Handed) -> Handed:
    """Return the answer if its text is what its kind says; otherwise one that says what is wrong with it."""
    if handed.text is None:
        return handed
    try:
        data = json.loads(handed.text)
    except (ValueError, RecursionError):
        return Handed(handed.kind, problem=f"Answer {name}: holds words and numbers only.")
    if handed.kind not in ("Ladder", "dict") or not isinstance(data, dict):
        return Handed(f"another {handed.kind}")
    return handed


def run_test(source: str, namespace: dict[str, Any]) -> list[dict[str, Any]]:
    """Execute a test cell; return its outputs as a kernel would: printed text, then the value of its last line or the
    error, of which only the last line is told, since the rest would show the hidden test."""
    printed, complained = io.StringIO(), io.StringIO()
    value, error = None, None
    with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(complained):
        try:
            tree = ast.parse(source)
            last = tree.body[-1] if tree.body and isinstance(tree.body[-1], ast.Expr) else None
            if last is not None:
                tree.body.pop()
            exec(compile(tree, "test cell", "exec"), namespace)
            if isinstance(last, ast.Expr):
                value = eval(compile(ast.Expression(last.value), "test cell", "eval"), namespace)
        except (Exception, KeyboardInterrupt) as problem:
            error = problem
    made: list[dict[str, Any]] = []
    for name, stream in (("stdout", printed), ("stderr", complained)):
        if stream.getvalue():
            made.append({"output_type": "stream", "name": name, "text": stream.getvalue()})
    if error is not None:
        lines = "".join(traceback.format_exception_only(error)).splitlines()
        told = {"ename": type(error).__name__, "evalue": str(error), "traceback": lines}
        made.append({"output_type": "error"} | told)
    elif value is not None:
        data = {"text/plain": repr(value)}
        made.append({"output_type": "execute_result", "data": data, "metadata": {}, "execution_count": None})
    return made
