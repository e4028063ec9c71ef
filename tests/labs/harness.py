"""Run a handed-in notebook cell by cell in this process and mark its test cells as nbgrader would.

Much faster than a kernel a sample. `tests/classroom` holds the same marks against nbgrader itself.
"""

from __future__ import annotations

import ast
import contextlib
import io
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from nbformat.notebooknode import NotebookNode
from nbformat.v4 import new_output
from nbgrader.utils import determine_grade

from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import Lab
from rungbook.classroom.samples import hand_in, load_samples
from rungbook.grading import first_to_mend
from rungbook.kit import Device


@dataclass(frozen=True)
class Result:
    """points, printed: of the test cell. answer: what was marked. site: the panel that the test cell gives it."""

    points: float
    printed: str
    answer: object = None
    site: tuple[Device, ...] = ()

    @property
    def first(self) -> str:
        """What is to be mended first, on one line, or ""."""
        return first_to_mend(self.printed)


def run_cell(source: str, namespace: dict) -> tuple[str, object, Exception | None]:
    """Execute one cell; return what it printed, the value it displays, and its error."""
    printed = io.StringIO()
    value = None
    try:
        with contextlib.redirect_stdout(printed):
            tree = ast.parse(source)
            last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
            exec(compile(tree, "cell", "exec"), namespace)
            if last is not None:
                value = eval(compile(ast.Expression(last.value), "cell", "eval"), namespace)
    except Exception as error:
        return printed.getvalue(), None, error
    return printed.getvalue(), value, None


def run_notebook(notebook: NotebookNode) -> list[tuple[NotebookNode, str, object, Exception | None]]:
    """Execute all code cells in one namespace, going on after errors as nbgrader does."""
    return list(cell_by_cell(notebook, {"__name__": "__main__"}))


def cell_by_cell(
    notebook: NotebookNode, namespace: dict
) -> Iterator[tuple[NotebookNode, str, object, Exception | None]]:
    """As `run_notebook`, one cell after the other in `namespace`."""
    for cell in notebook.cells:
        if cell.cell_type == "code":
            yield (cell, *run_cell(cell.source, namespace))


def marks(handed_in: NotebookNode, instructor: NotebookNode) -> dict[str, Result]:
    """Put the instructor's test cells in place, run everything, let nbgrader's own rule read the scores."""
    tests = {cell["id"]: cell.source for cell in instructor.cells if cell.metadata.get("nbgrader", {}).get("locked")}
    for cell in handed_in.cells:
        cell.source = tests.get(cell["id"], cell.source)
    results = {}
    namespace: dict = {"__name__": "__main__"}
    for cell, printed, value, error in cell_by_cell(handed_in, namespace):
        if cell["id"] not in tests:
            continue
        cell.outputs = [new_output("stream", name="stdout", text=printed)]
        if error is not None:
            cell.outputs.append(new_output("error", ename=type(error).__name__, evalue=str(error), traceback=[]))
        elif value is not None:
            cell.outputs.append(new_output("execute_result", data={"text/plain": repr(value)}))
        score, _ = determine_grade(cell)
        site = tuple(device for device in namespace.get("site", ()) if isinstance(device, Device))
        results[cell["id"]] = Result(score, printed, namespace.get(printed.split(":")[0]), site)
    return results


@cache
def marked(lab: Lab, student: str) -> dict[str, Result]:
    """The results of one sample of `lab`; worked out once in a process."""
    (sample,) = [one for one in load_samples(lab) if one.student == student]
    return marks(hand_in(lab, sample), instructor_notebook(lab))
