"""Which cell is which exercise, where a notebook came back without nbgrader's metadata.

Another program may save a notebook without what it does not know, or a student makes a cell anew. Then a cell is known
by its id, which the release gave it, and failing that by its place among the cells that students do not change. Nothing
can be gained by it: the test cells come from the paper whatever is recognised, and an answer is still what stands at
its test cell.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rungbook.classroom.build import CODE_STUB, TEXT_STUB
from rungbook.classroom.marking.paper import Paper, PaperCell

BY_ID, BY_PLACE = "by their ids", "by the unchanged cells around them"
_LETTERS = 20  # a shorter cell may stand in any notebook
_MOST = 400_000  # pairs of cells that are looked at
_READ = 100_000  # characters of a cell whose lines are compared
_KNOWN, _UNCHANGED, _SAME, _ANSWER = 1000.0, 20.0, 3.0, 1.0  # what a pair of cells is worth


def recognise(paper: Paper, submitted: Sequence[dict[str, Any]]) -> list[str]:
    """Give the cells of `submitted` that lost their "grade_id" theirs again; return notes that say how.

    Each cell holds "cell_type", "source", "id" and "grade_id". Where all exercises are there, nothing is changed.
    """
    by_id = {cell.grade_id: cell for cell in paper.cells if cell.grade_id}
    there = {cell["grade_id"] for cell in submitted if isinstance(cell["grade_id"], str)}
    lost = [cell for cell in paper.cells if cell.grade_id and cell.grade_id not in there]
    free = [cell for cell in submitted if not isinstance(cell["grade_id"], str) or cell["grade_id"] not in by_id]
    if not lost or not free:
        return []
    notes = [_told(_by_ids(lost, free), BY_ID)]
    there = {cell["grade_id"] for cell in submitted if isinstance(cell["grade_id"], str)}
    if any(cell.grade_id not in there for cell in lost):
        notes.append(_told(_by_places(paper, submitted), BY_PLACE))
    return [note for note in notes if note]


def _told(found: Sequence[str], how: str) -> str:
    if not found:
        return ""
    return f"nbgrader's metadata was lost; recognised {how}: {', '.join(found)}"


def _by_ids(lost: Sequence[PaperCell], free: Sequence[dict[str, Any]]) -> list[str]:
    ids: dict[str, list[dict[str, Any]]] = {}
    for cell in free:
        if isinstance(cell["id"], str):
            ids.setdefault(cell["id"], []).append(cell)
    found = []
    for known in lost:
        fits = ids.get(known.id, []) if known.id else []
        if len(fits) == 1:
            fits[0]["grade_id"] = known.grade_id
            found.append(str(known.grade_id))
    return found


def _by_places(paper: Paper, submitted: Sequence[dict[str, Any]]) -> list[str]:
    """Lay the two rows of cells beside each other, in their order, so that as much as can be fits; read off what stands
    beside the cells that are looked for. A test cell must be unchanged, and some cell must be that says something."""
    if len(paper.cells) * len(submitted) > _MOST:
        return []
    worth = _worths(paper.cells, submitted)
    pairs = _beside(worth)
    if not any(worth[row][column] >= _UNCHANGED for row, column in pairs):
        return []
    found = []
    for row, column in pairs:
        known, cell = paper.cells[row], submitted[column]
        if known.grade_id and cell["grade_id"] != known.grade_id:
            cell["grade_id"] = known.grade_id
            found.append(known.grade_id)
    return found


def _worths(known: Sequence[PaperCell], cells: Sequence[Mapping[str, Any]]) -> list[list[float]]:
    """What it is worth that a cell of the paper and one of the student's stand beside each other; 0: they cannot."""
    texts = [str(cell["source"]).strip() for cell in cells]
    lines = [_lines(text) for text in texts]
    made = []
    for one in known:
        given, asked = one.given.strip(), _lines(one.given)
        row = []
        for cell, text, written in zip(cells, texts, lines, strict=True):
            worth = 0.0
            if one.grade_id and cell["grade_id"] == one.grade_id:
                worth = _KNOWN
            elif one.kind == cell["cell_type"] and given == text:
                worth = _UNCHANGED if len(given) >= _LETTERS else _SAME
            elif one.kind == cell["cell_type"] and one.meta and not one.locked:
                worth = _ANSWER + 2 * len(asked & written) / max(1, len(asked))
            row.append(worth)
        made.append(row)
    return made


def _lines(text: str) -> frozenset[str]:
    return frozenset(line.strip() for line in text[:_READ].splitlines()) - {"", CODE_STUB, TEXT_STUB}


def _beside(worth: Sequence[Sequence[float]]) -> list[tuple[int, int]]:
    """Pairs of a row and a column, rising in both, that are worth most together; of equals, those that come last."""
    columns = len(worth[0]) if worth else 0
    best = [[0.0] * (columns + 1) for _ in range(len(worth) + 1)]
    for row, line in enumerate(worth, 1):
        for column, one in enumerate(line, 1):
            beside = best[row - 1][column - 1] + one if one else 0.0
            best[row][column] = max(best[row - 1][column], best[row][column - 1], beside)
    pairs = []
    row, column = len(worth), columns
    while row and column:
        one = worth[row - 1][column - 1]
        if one and best[row][column] == best[row - 1][column - 1] + one:
            pairs.append((row - 1, column - 1))
            row, column = row - 1, column - 1
        elif best[row][column] == best[row - 1][column]:
            row -= 1
        else:
            column -= 1
    return pairs[::-1]
