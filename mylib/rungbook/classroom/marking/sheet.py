"""The sheet: a submission's cells and the instructor's put together, as nbgrader does it, and the steps to run.

The student's text counts in answer cells and plain cells only. Test cells, points and metadata are the paper's.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import nbformat

from rungbook.classroom.marking.paper import Paper, PaperCell
from rungbook.classroom.marking.recognise import recognise
from rungbook.classroom.marking.sanitise import markdown
from rungbook.errors import LadderError

MAX_NOTEBOOK = 20_000_000  # bytes of a submitted notebook
_RECOGNISED = (
    "**A note on this notebook.** Cells of it had lost the names of their exercises: another program saved it, or a "
    "cell was made anew. Open it in Jupyter next time, and write into the cells that are there. It was marked: "
)
_ID = re.compile(r"[a-zA-Z0-9_-]{1,64}\Z")


@dataclass
class Sheet:
    """cells: nbformat cells, without outputs. papers: cell's place -> the instructor's cell it stands for.
    notes: what was found changed, in words."""

    cells: list[dict[str, Any]]
    papers: dict[int, PaperCell] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def steps(self) -> list[dict[str, Any]]:
        """What the cage runs, in the student's order: code, and at each test cell the answers to be handed over.

        A step of code has the cell's place as "place"; test cells themselves never go into the cage.
        """
        steps: list[dict[str, Any]] = []
        for place, cell in enumerate(self.cells):
            paper = self.papers.get(place)
            if paper is not None and paper.test:
                steps.append({"cell": paper.grade_id, "names": list(paper.names)})
            elif cell["cell_type"] == "code" and cell["source"].strip():
                steps.append({"place": place, "code": cell["source"]})
        return steps


def read_notebook(data: bytes) -> list[dict[str, Any]]:
    """Return the cells of a submitted notebook as plain data. Raises LadderError, saying why, if it is none."""
    if len(data) > MAX_NOTEBOOK:
        rule = f"at most {MAX_NOTEBOOK // 1_000_000} MB without its outputs; pictures in text cells count"
        raise LadderError("Notebook", rule, f"{len(data)} bytes")
    try:
        text = data.decode("utf-8-sig")
        found = _usual(json.loads(text))
        cells = [_plain(cell) for cell in found or nbformat.reads(text, as_version=4).cells]
    except UnicodeDecodeError:
        raise LadderError("Notebook", "is not UTF-8 text") from None
    except RecursionError:
        raise LadderError("Notebook", "is nested too deep") from None
    except Exception as problem:  # nbformat raises many kinds: not JSON, no notebook, fields of the wrong type
        what = str(problem).splitlines() or [type(problem).__name__]
        raise LadderError("Notebook", f"cannot be read: {what[0][:200]}") from None
    return cells


def _usual(read: Any) -> list[dict[str, Any]] | None:
    """The cells of a notebook as Jupyter writes it; None for one that nbformat should convert, mend or refuse."""
    if not isinstance(read, dict) or read.get("nbformat") != 4 or not isinstance(read.get("cells"), list):
        return None
    ids: set[str] = set()
    for cell in read["cells"]:
        if not isinstance(cell, dict) or not {"cell_type", "source", "metadata"} <= cell.keys():
            return None
        if "attachments" in cell or not isinstance(cell["metadata"], dict) or not isinstance(cell["cell_type"], str):
            return None
        ids.add(str(cell.get("id", len(ids))))
    return read["cells"] if len(ids) == len(read["cells"]) else None


def _plain(cell: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of a cell that count, each of the right type."""
    kind, source = cell["cell_type"], cell["source"]
    if kind not in ("code", "markdown", "raw"):
        kind = "raw"
    source = "".join(source) if isinstance(source, list) else source
    if not isinstance(source, str):
        raise TypeError("a cell's source is no text")
    source = source.encode("utf-8", "replace").decode()  # half a surrogate pair cannot be written
    meta = cell.get("metadata", {}).get("nbgrader")
    grade_id = meta.get("grade_id") if isinstance(meta, dict) else None
    made = {"cell_type": kind, "source": source, "id": cell.get("id"), "grade_id": grade_id}
    attachments = cell.get("attachments")
    return made | ({"attachments": attachments} if kind != "code" and isinstance(attachments, dict) else {})


def put_together(paper: Paper, submitted: list[dict[str, Any]]) -> Sheet:
    """Return the sheet: the student's cells with the paper's put in their place, missing ones added.

    Of a cell that stands twice the last counts, as in nbgrader; so does the place of each cell in the student's order.
    Where another program took nbgrader's metadata away, the exercises are recognised (`recognise`), and that is said.
    """
    by_id = {cell.grade_id: cell for cell in paper.cells if cell.grade_id}
    recognised = recognise(paper, submitted)
    sheet = Sheet([], notes=list(recognised))
    last = {cell["grade_id"]: place for place, cell in enumerate(submitted) if isinstance(cell["grade_id"], str)}
    found: list[tuple[dict[str, Any], PaperCell | None]] = []
    for place, cell in enumerate(submitted):
        grade_id = cell.pop("grade_id")
        known = by_id.get(grade_id) if isinstance(grade_id, str) else None
        if known is not None and last[grade_id] != place:
            sheet.notes.append(f"cell {grade_id} stands more than once; the last one counts")
            known = None
        found.append((cell, known))
    _add_missing(paper, found, sheet.notes)
    if recognised:
        told = {"cell_type": "markdown", "source": _RECOGNISED + "; ".join(recognised) + ".", "id": None}
        found.insert(0, (told, None))
    seen: set[str] = set()
    trusted = {cell.source for cell in paper.cells}
    for place, (cell, known) in enumerate(found):
        sheet.cells.append(_finished(cell, known, place, seen, sheet.notes, trusted))
        if known is not None:
            sheet.papers[place] = known
    return sheet


def _add_missing(paper: Paper, found: list[tuple[dict[str, Any], PaperCell | None]], notes: list[str]) -> None:
    """Put each cell with points that the student deleted after the cell that it follows in the paper."""
    before: PaperCell | None = None
    for cell in paper.cells:
        if not cell.grade_id:
            continue
        if not any(known is cell for _, known in found):
            if not cell.meta["grade"]:
                notes.append(f"answer cell {cell.grade_id} is missing")
                continue
            places = [place for place, (_, known) in enumerate(found) if known is before] if before else []
            place = places[0] + 1 if places else 0 if before is None else len(found)
            found.insert(place, ({"cell_type": cell.kind, "source": cell.source, "id": None}, cell))
            notes.append(f"cell {cell.grade_id} was missing and is put back")
        before = cell


def _finished(
    cell: dict[str, Any], known: PaperCell | None, place: int, seen: set[str], notes: list[str], trusted: set[str]
) -> dict[str, Any]:
    if known is not None:
        if cell["cell_type"] != known.kind:
            notes.append(f"cell {known.grade_id} was made a {cell['cell_type']} cell")
            cell["cell_type"] = known.kind
        if known.locked and cell["source"] != known.source:
            cell["source"] = known.source  # the hidden tests are put in; a student's own text here never counts
    if cell["cell_type"] != "code" and cell["source"] not in trusted:
        cell["source"] = markdown(cell["source"])
    made: dict[str, Any] = {"cell_type": cell["cell_type"], "source": cell["source"], "metadata": {}}
    if known is not None:
        made["metadata"]["nbgrader"] = dict(known.meta)
    if cell["cell_type"] == "code":
        made |= {"outputs": [], "execution_count": None}
    elif "attachments" in cell:
        made["attachments"] = cell["attachments"]
    wish = cell.get("id")
    if not isinstance(wish, str) or not _ID.match(wish) or wish in seen:
        wish = next(name for name in (f"cell-{n:04d}" for n in range(place, place + 100_000)) if name not in seen)
    seen.add(wish)
    return made | {"id": wish}


def blank(paper: Paper, reason: str) -> Sheet:
    """The sheet of a submission that cannot be read: the lab as it was given out, and why."""
    text = f"**This submission could not be marked.** {reason}"
    cells: list[dict[str, Any]] = [{"cell_type": "markdown", "source": text, "id": None, "grade_id": None}]
    for cell in paper.cells:
        cells.append({"cell_type": cell.kind, "source": cell.source, "id": None, "grade_id": cell.grade_id})
    return put_together(paper, cells)
