"""Run a notebook's cells in order, in this process, and take the answers where each test cell stands.

Standard library alone. A test cell's own text never runs; what stands in the notebook for it only says when its answers
are taken. After an error later cells still run, as nbgrader does it.
"""

from __future__ import annotations

import ast
import contextlib
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from rungbook.alone.graders import Graders
from rungbook.errors import LadderError
from rungbook.grading.handed import Handed, hand_over

_MAGIC = ("%", "!")  # lines for a notebook's front end, no Python


@dataclass
class Ran:
    """answers: grade_id of a test cell -> name -> answer; a name that is not there was not defined. texts: grade_id of
    an answer cell -> its text. stopped: what ended with an error, in words. why: "" if the notebook ran to its end."""

    answers: dict[str, dict[str, Handed]] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    stopped: list[str] = field(default_factory=list)
    why: str = ""


def read_cells(notebook: object) -> list[dict[str, str]]:
    """Return the cells of a notebook, JSON read: kind, text, grade_id ("" if it has none).

    Raises LadderError if it is no notebook of format 4, or a student's own variant, which other graders judge.
    """
    if not isinstance(notebook, dict) or notebook.get("nbformat") != 4 or not isinstance(notebook.get("cells"), list):
        raise LadderError("Notebook", "this is no notebook of format 4")
    variant = _within(notebook, "metadata", "rungbook", "variant")
    if variant is not None:
        rule = "is a student's own variant of the lab; the class that handed it out marks it"
        raise LadderError("Notebook", rule, variant)
    made = []
    for cell in notebook["cells"]:
        source = _within(cell, "source")
        text = "".join(map(str, source)) if isinstance(source, list) else source
        grade_id = _within(cell, "metadata", "nbgrader", "grade_id")
        if not isinstance(text, str):
            raise LadderError("Notebook", "a cell has no text")
        kind = str(_within(cell, "cell_type"))
        made.append({"kind": kind, "text": text, "grade_id": grade_id if isinstance(grade_id, str) else ""})
    return made


def _within(data: object, *keys: str) -> object:
    for key in keys:
        data = data.get(key) if isinstance(data, dict) else None
    return data


def steps_of(cells: Sequence[Mapping[str, str]], graders: Graders) -> list[dict[str, Any]]:
    """Return what is to be done, in the notebook's order: code to run, answers to take.

    Of a cell that stands twice the last counts. A test cell that is gone counts after the last cell that still stands
    of those before it; if none does, at the end.
    """
    asked = {one.grade_id: list(one.names) for one in graders.exercises if one.test}
    last = {cell["grade_id"]: place for place, cell in enumerate(cells) if cell["grade_id"]}
    steps: dict[float, dict[str, Any]] = {}
    for place, cell in enumerate(cells):
        if cell["grade_id"] in asked and last[cell["grade_id"]] == place:
            steps[place] = {"cell": cell["grade_id"], "names": asked[cell["grade_id"]]}
        elif cell["kind"] == "code" and cell["text"].strip():
            steps[place] = {"place": place + 1, "code": cell["text"]}
    before: list[str] = []
    for number, one in enumerate(graders.exercises, 1):
        before += [part.grade_id for part in one.parts]
        if one.test and one.grade_id not in last:
            there = [last[grade_id] for grade_id in before if grade_id in last]
            place = there[-1] if there else len(cells)
            steps[place + number / (len(graders.exercises) + 1)] = {"cell": one.grade_id, "names": asked[one.grade_id]}
        before.append(one.grade_id)
    return [steps[place] for place in sorted(steps)]


def texts_of(cells: Sequence[Mapping[str, str]]) -> dict[str, str]:
    """grade_id -> text of the cell; of one that stands twice the last."""
    return {cell["grade_id"]: cell["text"] for cell in cells if cell["grade_id"]}


def run_steps(steps: Iterable[Mapping[str, Any]]) -> Iterator[dict[str, Any]]:
    """Run the steps in one namespace; yield what each leaves: an answer as text, or a cell that stopped."""
    namespace: dict[str, Any] = {"__name__": "__main__", "display": _display, "input": _no_input}
    for step in steps:
        if "names" in step:
            for name in step["names"]:
                if name in namespace:
                    yield {"cell": step["cell"], "name": name} | asdict(hand_over(name, namespace[name]))
        elif problem := _run_cell(step["code"], namespace):
            yield {"stopped": f"cell {step['place']} stopped: {problem}"}


def _run_cell(code: str, namespace: dict[str, Any]) -> str:
    """Execute one cell; return its error in one line, or ""."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        try:
            exec(compile(_python(code), "cell", "exec"), namespace)
        except (Exception, SystemExit, KeyboardInterrupt) as problem:
            try:
                text = str(problem).split("\n")[0][:200]
            except Exception:  # an error of the learner's own making need not be printable
                text = ""
            return f"{type(problem).__name__}: {text}".removesuffix(": ")
    return ""


def _python(code: str) -> ast.Module:
    """The cell as Python, lines for the front end left out."""
    try:
        return ast.parse(code)
    except SyntaxError:
        lines = code.split("\n")
        if not any(line.lstrip().startswith(_MAGIC) for line in lines):
            raise
        return ast.parse("\n".join("" if line.lstrip().startswith(_MAGIC) else line for line in lines))


def collect(told: Sequence[Mapping[str, Any]], ran: Ran) -> Ran:
    """Put what `run_steps` yielded into `ran`, and return it."""
    for one in told:
        if "stopped" in one:
            ran.stopped.append(str(one["stopped"]))
        else:
            handed = Handed(str(one["kind"]), one["text"], str(one["problem"]))
            ran.answers.setdefault(str(one["cell"]), {})[str(one["name"])] = handed
    return ran


def run_here(notebook: object, graders: Graders) -> Ran:
    """Run a notebook, JSON read, in this process, without limits. Raises LadderError as `read_cells`."""
    cells = read_cells(notebook)
    told = [json.loads(json.dumps(one)) for one in run_steps(steps_of(cells, graders))]
    return collect(told, Ran(texts=texts_of(cells)))


def _display(*things: object, **_: object) -> None:
    """Nobody looks while a notebook is marked."""


def _no_input(prompt: object = "", /) -> str:
    raise RuntimeError("nobody is there to answer while a notebook is marked")
