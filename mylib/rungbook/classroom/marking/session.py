"""Run a notebook's cells in this process, as a kernel would, and hand out answers and outputs.

Made warm once, forked for each notebook. Everything here runs beside the student's code, which can change all of it:
whatever it says is only ever the student's own claim.
"""

from __future__ import annotations

import base64
import builtins
import contextlib
import io
import os
import signal
import sys
import traceback
from collections.abc import Mapping
from types import FrameType
from typing import Any, cast

from rungbook.classroom.marking import frames
from rungbook.classroom.marking.rehearsal import rehearse, rehearse_plots
from rungbook.grading.handed import MAX_WORD, Handed, hand_over

MAX_TEXT = 200_000  # characters of printed text of one cell; more is cut
MAX_OUTPUTS = 400  # displays of one cell
MAX_FRAMES = 20  # of a traceback at each end
MAX_BUNDLE = 3_000_000  # characters of one display; a larger one is left out
CUT = "… Output truncated …\n"
_WARM = (
    "rungbook.bench",
    "rungbook.drawing",
    "rungbook.grading",
    "rungbook.motors",
    "rungbook.proof",
    "rungbook.circuit.wiring",
    "ipywidgets",
)


class _Stream(io.TextIOBase):
    """sys.stdout or sys.stderr of a cell."""

    encoding = "utf-8"

    def __init__(self, session: Session, name: str) -> None:
        self._session, self._name = session, name

    def writable(self) -> bool:
        return True

    def isatty(self) -> bool:
        return False

    def write(self, text: str) -> int:
        self._session.printed(self._name, str(text))
        return len(text)


class Session:
    """An IPython shell without a terminal, whose outputs are collected cell by cell."""

    def __init__(self) -> None:
        """Import what notebooks of the course use and make the shell; takes about a second."""
        from importlib import import_module

        from IPython.core.interactiveshell import InteractiveShell
        from traitlets.config import Config

        os.environ.setdefault("MPLBACKEND", "module://matplotlib_inline.backend_inline")
        config = Config()
        config.HistoryManager.enabled = False
        config.InteractiveShell.colors = "nocolor"
        config.InteractiveShell.history_length = 0
        self.outputs: list[dict[str, Any]] = []
        self._room = MAX_TEXT
        self._running = False
        self.shell = cast(Any, InteractiveShell.instance(config=config))  # it is bent to our use below
        self.shell.display_pub.publish = self._display
        self.shell.displayhook.write_output_prompt = lambda: None
        self.shell.displayhook.write_format_data = self._result
        self.shell._showtraceback = self._error
        self.shell._tee = lambda channel: contextlib.nullcontext()  # it would keep all that is ever printed
        found = self.shell._get_exc_info
        self.shell._get_exc_info = lambda given=None: _shortened(found(given))
        for name in _WARM:
            import_module(name)
        import rungbook

        for name in rungbook.__all__:
            getattr(rungbook, name)
        self.shell.enable_gui = lambda gui=None: None
        rehearse(self.shell.display_formatter.format)

    def run(self, steps: list[Mapping[str, Any]], channel: int) -> None:
        """Take the steps one by one: run a cell's code, or hand over answers as they stand now."""
        self._take_over()
        for number, step in enumerate(steps):
            frames.send(channel, frames.packed(frames.BEGAN, {"step": number}))
            if "names" in step:
                self._hand_over(step, channel)
            else:
                frames.send(channel, self._run_cell(number, step["code"]))
        frames.send(channel, frames.packed(frames.FINISHED))

    def open(self, steps: list[Mapping[str, Any]]) -> list[bytes]:
        """Run the code that notebooks have in common before any of them is there; return its outputs as frames."""
        self._take_over()
        return [self._run_cell(number, step["code"]) for number, step in enumerate(steps)]

    def get_ready(self, steps: list[Mapping[str, Any]]) -> None:
        """Load a plotting library, which takes long, if the code names it or has loaded what draws with it."""
        if "rungbook.motors.figures" in sys.modules or any("matplotlib" in step["code"] for step in steps):
            rehearse_plots()

    def _take_over(self) -> None:
        builtins.input = _no_input  # as in a kernel without a front end
        if "" not in sys.path:
            sys.path.insert(0, "")  # as in a kernel: modules that lie beside the notebook
        sys.stdout, sys.stderr = _Stream(self, "stdout"), _Stream(self, "stderr")
        signal.signal(signal.SIGINT, self._interrupt)

    def _run_cell(self, number: int, code: str) -> bytes:
        """Run a cell; return its outputs as a frame."""
        self.outputs, self._room = [], MAX_TEXT
        self._running = True
        own = os.getpid()
        try:
            self.shell.run_cell(code, store_history=True)
        except SystemExit:
            pass
        except BaseException as problem:  # an interrupt between two lines of the shell itself; the next cell runs
            self._add_error(type(problem), problem, traceback.format_exc().splitlines())
        finally:
            self._running = False
        if os.getpid() != own:  # a fork that the cell made and did not end: the notebook goes on in one process only
            os._exit(0)
        data = {"step": number, "outputs": self.outputs, "count": self.shell.execution_count - 1}
        try:
            frame = frames.packed(frames.OUTPUTS, data)
        except (TypeError, ValueError, RecursionError, MemoryError):
            frame = b""
        if not frame or len(frame) > frames.MAX_FRAME:
            note = {"output_type": "stream", "name": "stdout", "text": CUT}
            frame = frames.packed(frames.OUTPUTS, data | {"outputs": [note]})
        return frame

    def _hand_over(self, step: Mapping[str, Any], channel: int) -> None:
        for name in step["names"]:
            data = {"cell": step["cell"], "name": name}
            if name in self.shell.user_ns:
                handed = hand_over(name, self.shell.user_ns[name])
                if handed.text is not None and len(handed.text) > frames.MAX_FRAME // 4:
                    handed = Handed(handed.kind, problem=f"Answer {name}: is too large.")
                data |= {"kind": handed.kind[:MAX_WORD], "text": handed.text, "problem": handed.problem[:MAX_WORD]}
            frames.send(channel, frames.packed(frames.ANSWER, data))

    def printed(self, name: str, text: str) -> None:
        """Collect printed text; neighbours of one stream become one output, too much is cut."""
        if self._room < 0 or not text:
            return
        self._room -= len(text)
        if self._room < 0:
            text = text[: max(0, self._room + len(text))] + "\n" + CUT
        last = self.outputs[-1] if self.outputs else {}
        if last.get("output_type") == "stream" and last.get("name") == name:
            last["text"] += text
        elif len(self.outputs) < MAX_OUTPUTS:
            self.outputs.append({"output_type": "stream", "name": name, "text": text})

    def _display(self, data: Any, metadata: Any = None, **_: Any) -> None:
        self._add_bundle({"output_type": "display_data", "data": data, "metadata": {}})

    def _result(self, format_dict: Any, md_dict: Any = None) -> None:
        count = self.shell.execution_count
        output = {"output_type": "execute_result", "data": format_dict, "metadata": {}, "execution_count": count}
        self._add_bundle(output)

    def _add_bundle(self, output: dict[str, Any]) -> None:
        kept = {}
        for mime, value in output["data"].items():
            if isinstance(value, bytes):
                value = base64.b64encode(value).decode()
            if isinstance(value, str) and len(value) <= MAX_BUNDLE:
                kept[str(mime)] = value
        if len(self.outputs) < MAX_OUTPUTS:
            self.outputs.append(output | {"data": kept})

    def _error(self, etype: Any, evalue: Any, stb: Any) -> None:
        self._add_error(etype, evalue, list(stb))

    def _add_error(self, kind: Any, value: Any, lines: list[str]) -> None:
        try:
            text = str(value)
        except Exception:  # an error of the student's own making need not be printable
            text = ""
        error = {"output_type": "error", "ename": getattr(kind, "__name__", "Error"), "evalue": text[:MAX_WORD]}
        self.outputs.append(error | {"traceback": [line[:4000] for line in lines[:100]]})

    def _interrupt(self, number: int, frame: FrameType | None) -> None:
        if self._running:  # else the cell has just ended by itself
            raise KeyboardInterrupt("the cell took too long")


def _shortened(found: tuple[Any, Any, Any]) -> tuple[Any, Any, Any]:
    """The error with the middle of a long traceback left out: a recursion without end takes ten seconds to print."""
    links: list[Any] = []
    link = found[2]
    while link is not None and len(links) < 100_000:
        links.append(link)
        link = link.tb_next
    if len(links) > 2 * MAX_FRAMES:
        links[MAX_FRAMES - 1].tb_next = links[-MAX_FRAMES]
    return found


def _no_input(prompt: object = "", /) -> str:
    raise RuntimeError("nobody is there to answer while a notebook is marked")
