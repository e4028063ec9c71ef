"""Run a handed-in notebook cell by cell in this process and mark its test cells as nbgrader would.

Much faster than a kernel a sample. `tests/classroom` holds the same marks against nbgrader itself.
"""

from __future__ import annotations

import ast
import contextlib
import io
from dataclasses import dataclass

from nbformat.notebooknode import NotebookNode
from nbformat.v4 import new_output
from nbgrader.utils import determine_grade

from rungbook.grading import first_to_mend


@dataclass(frozen=True)
class Result:
    points: float
    printed: str

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
    namespace: dict = {"__name__": "__main__"}
    return [(cell, *run_cell(cell.source, namespace)) for cell in notebook.cells if cell.cell_type == "code"]


def marks(handed_in: NotebookNode, instructor: NotebookNode) -> dict[str, Result]:
    """Put the instructor's test cells in place, run everything, let nbgrader's own rule read the scores."""
    tests = {cell["id"]: cell.source for cell in instructor.cells if cell.metadata.get("nbgrader", {}).get("locked")}
    for cell in handed_in.cells:
        cell.source = tests.get(cell["id"], cell.source)
    results = {}
    for cell, printed, value, error in run_notebook(handed_in):
        if cell["id"] not in tests:
            continue
        cell.outputs = [new_output("stream", name="stdout", text=printed)]
        if error is not None:
            cell.outputs.append(new_output("error", ename=type(error).__name__, evalue=str(error), traceback=[]))
        elif value is not None:
            cell.outputs.append(new_output("execute_result", data={"text/plain": repr(value)}))
        score, _ = determine_grade(cell)
        results[cell["id"]] = Result(score, printed)
    return results
