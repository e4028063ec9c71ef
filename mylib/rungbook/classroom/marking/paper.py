"""The paper: the lab's cells as the instructor wrote them, and which answers each test cell asks for.

Made from the instructor's notebook alone, plain data, so that it can be sent to any worker.
"""

from __future__ import annotations

import ast
import builtins
import re
import symtable
from dataclasses import dataclass
from typing import Any

from nbformat.notebooknode import NotebookNode

from rungbook.classroom.build import CODE_STUB, TEXT_STUB
from rungbook.errors import LadderError

_HIDDEN = re.compile(r"^[^\n]*BEGIN HIDDEN TESTS.*?END HIDDEN TESTS[^\n]*\n?", re.DOTALL | re.MULTILINE)


@dataclass(frozen=True)
class PaperCell:
    """A cell of the instructor's. meta: nbgrader's metadata, {} for a plain cell. source: as students got it, except
    that a locked cell has its hidden tests. names: the answers that a test cell marks. id: nbformat's. given: the text
    as students got it."""

    kind: str
    source: str
    meta: dict[str, Any]
    names: tuple[str, ...] = ()
    id: str = ""
    given: str = ""

    @property
    def grade_id(self) -> str | None:
        """nbgrader's name of the cell; None for a plain one."""
        return self.meta.get("grade_id")

    @property
    def locked(self) -> bool:
        """True if the student's version of it never counts."""
        return bool(self.meta) and not self.meta["solution"] and (self.meta["grade"] or self.meta["locked"])

    @property
    def test(self) -> bool:
        """True for a test cell, which is run on answers."""
        return self.kind == "code" and self.locked and bool(self.meta["grade"])


@dataclass(frozen=True)
class Paper:
    """One notebook of a lab. lab: nbgrader's name of it. name: the notebook's. kernel: nbformat's kernelspec."""

    lab: str
    name: str
    cells: tuple[PaperCell, ...]
    kernel: dict[str, Any]

    def opening(self) -> list[str]:
        """The code that stands before the first answer: the same in every notebook, unless a student has changed it."""
        code: list[str] = []
        for cell in self.cells:
            if cell.kind == "code":
                if cell.test or (cell.meta and cell.meta["solution"]):
                    break
                if cell.source.strip():
                    code.append(cell.source)
        return code


def make_paper(lab: str, name: str, notebook: NotebookNode) -> Paper:
    """Make the paper from the instructor's notebook, with solutions and hidden tests in it.

    Raises LadderError if a test cell marks no answer by `mark("name", globals(), …)`, or uses a name that stands only
    in other cells: in another process than the student's it would not be there.
    """
    import nbformat
    from nbgrader.preprocessors import ClearSolutions
    from nbgrader.utils import compute_checksum
    from traitlets.config import Config

    config = Config()
    config.ClearSolutions.code_stub = {"python": CODE_STUB}
    config.ClearSolutions.text_stub = TEXT_STUB
    cleared = nbformat.reads(nbformat.writes(notebook), as_version=4)
    cleared, _ = ClearSolutions(config=config).preprocess(cleared, {})
    cells = []
    for cell in cleared.cells:
        meta = dict(cell.metadata.get("nbgrader", {}))
        if meta:
            meta["checksum"] = compute_checksum(cell)
        told = (cell.get("id", ""), _HIDDEN.sub("", cell.source))
        paper_cell = PaperCell(cell.cell_type, cell.source, meta, (), *told)
        if paper_cell.test:
            paper_cell = PaperCell(cell.cell_type, cell.source, meta, asked_names(meta["grade_id"], cell.source), *told)
        cells.append(paper_cell)
    return Paper(lab, name, tuple(cells), dict(notebook.metadata.get("kernelspec", {})))


def asked_names(grade_id: str, source: str) -> tuple[str, ...]:
    """Return the answers that a test cell marks. Raises LadderError as `make_paper`, or if it is no Python."""
    thing = f"Test cell {grade_id}"
    try:
        tree = ast.parse(source)
    except SyntaxError as problem:
        raise LadderError(thing, f"is no Python: {problem}") from None
    names = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and _called(node.func) == "mark" and node.args:
            first = node.args[0]
            if not (isinstance(first, ast.Constant) and isinstance(first.value, str)):
                raise LadderError(thing, 'names the answer as a text: mark("name", globals(), …)', ast.unparse(first))
            names.append(first.value)
    if not names:
        raise LadderError(thing, 'has no call of mark("name", globals(), …), which says what answer crosses to it')
    strange = sorted(_not_its_own(symtable.symtable(source, grade_id, "exec")))
    if strange:
        rule = "runs apart from the student's cells, so it imports or defines every name it uses; these it does not"
        raise LadderError(thing, rule, ", ".join(strange))
    return tuple(dict.fromkeys(names))


def _called(function: ast.expr) -> str:
    return (
        function.id if isinstance(function, ast.Name) else function.attr if isinstance(function, ast.Attribute) else ""
    )


def _not_its_own(top: symtable.SymbolTable) -> set[str]:
    """Names that the cell reads as globals and neither binds itself nor gets from Python."""
    own = {symbol.get_name() for symbol in top.get_symbols() if symbol.is_assigned() or symbol.is_imported()}
    own |= {child.get_name() for child in top.get_children()}
    found = set()
    waiting = [top]
    while waiting:
        table = waiting.pop()
        waiting += table.get_children()
        for symbol in table.get_symbols():
            if symbol.is_referenced() and (table is top or symbol.is_global()) and symbol.get_name() not in own:
                found.add(symbol.get_name())
    return found - set(dir(builtins)) - {"__name__"}
