"""Submissions whose notebook or whose file was changed, damaged or left out."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import nbformat

from classroom.small_class import NAME, Class, notebook


@dataclass(frozen=True)
class FileCase:
    """make: hands in, given the class and the student's name. points, why, said: as in `Case`. note: stands in the
    log."""

    name: str
    make: Callable[[Class, str], object]
    points: tuple[float, float] = (50, 30)
    why: str = ""
    note: str = ""


def changed(change: Callable[[list[Any]], list[Any] | None]) -> Callable[[Class, str], Path]:
    """A right notebook whose cells `change` has changed, in place or by returning others."""

    def make(place: Class, student: str) -> Path:
        made = notebook(place.lab)
        made.cells = change(made.cells) or made.cells
        return place.hand_in(student, made)

    return make


def whole(change: Callable[[dict[str, Any]], object]) -> Callable[[Class, str], Path]:
    """A right notebook of which `change` has changed the JSON."""

    def make(place: Class, student: str) -> Path:
        made = json.loads(json.dumps(notebook(place.lab)))
        change(made)
        return place.hand_in(student, json.dumps(made))

    return make


def data(content: bytes, name: str = "lab07.ipynb") -> Callable[[Class, str], Path]:
    return lambda place, student: place.hand_in(student, content, name)


def _marks(cells: list[Any]) -> list[Any]:
    return [cell for cell in cells if cell["id"].endswith("-marks")]


def _edit(cells: list[Any]) -> None:
    for cell in _marks(cells):
        cell.source = "print('full marks')\n999"


def _points(cells: list[Any]) -> None:
    for cell in cells:
        if "nbgrader" in cell.metadata:
            cell.metadata.nbgrader.points = 10**6
            cell.metadata.nbgrader.max_score = 10**6


def _roles(cells: list[Any]) -> None:
    for cell in cells:
        if "nbgrader" in cell.metadata:
            own = cell.metadata.nbgrader
            own.grade, own.solution, own.locked, own.task = not own.grade, not own.solution, not own.locked, True


def _forget_roles(cells: list[Any]) -> None:
    for cell in cells:
        cell.metadata = nbformat.from_dict({})


def _forget_all(made: dict[str, Any]) -> None:
    """As a program of the time before cells had ids saves it."""
    made["nbformat_minor"] = 4
    for cell in made["cells"]:
        cell["metadata"] = {}
        del cell["id"]


def _own_test(cells: list[Any]) -> None:
    """No metadata, a wrong word, and in the place of its test cell one that gives full marks under another id."""
    _forget_roles(cells)
    for cell in cells:
        if cell["id"] == "lab07-word":
            cell.source = 'word = {"relay": "spring"}'
        if cell["id"] == "lab07-word-marks":
            cell["id"], cell.source = "mine", "30"


def _foreign_ids(cells: list[Any]) -> None:
    """Answers and test cells change their ids: each test cell is then where nothing is answered yet."""
    _forget_roles(cells)
    other = {"lab07-pump": "lab07-pump-marks", "lab07-word": "lab07-word-marks"}
    other |= {new: old for old, new in other.items()}
    for cell in cells:
        cell["id"] = other.get(cell["id"], cell["id"])


def _ids(cells: list[Any]) -> None:
    for n, cell in enumerate(cells):
        cell["id"] = f"id{n % 2}"


def _names(cells: list[Any]) -> None:
    for cell in _marks(cells):
        cell.metadata.nbgrader.grade_id += "-2"


def _twice(cells: list[Any]) -> list[Any]:
    return [one for cell in cells for one in (cell, nbformat.from_dict(json.loads(json.dumps(cell))))]


def _wild_names(cells: list[Any]) -> None:
    for name, cell in zip(({}, [], None, 7, "../../x", "a" * 10**5), cells, strict=False):
        cell.metadata["nbgrader"] = nbformat.from_dict({"grade_id": name, "grade": True, "solution": "yes"})


def _old_format(made: dict[str, Any]) -> None:
    cells = []
    for cell in made.pop("cells"):
        kind = {"cell_type": cell["cell_type"], "metadata": cell["metadata"]}
        code = {"input": cell["source"], "language": "python", "outputs": [], "collapsed": False}
        cells.append(kind | (code if cell["cell_type"] == "code" else {"source": cell["source"]}))
    made |= {"nbformat": 3, "nbformat_minor": 0, "metadata": {"name": "x"}, "worksheets": [{"cells": cells}]}


def _great_outputs(made: dict[str, Any]) -> None:
    output = {"output_type": "stream", "name": "stdout", "text": "x" * 50_000_000}
    made["cells"][1]["outputs"] = [output]


def _great_text(cells: list[Any]) -> None:
    cells[0].source = "x" * 25_000_000


def _half_of_great(place: Class, student: str) -> None:
    path = whole(_great_outputs)(place, student)
    with path.open("r+b") as file:
        file.truncate(25_000_000)


def _hole(place: Class, student: str) -> None:
    with place.hand_in(student, b"{").open("r+b") as file:
        file.truncate(300_000_000)


def _scripts(cells: list[Any]) -> None:
    cells[0].source += "\n<script>window.ALIVE = 1</script>"


def _link(target: str) -> Callable[[Class, str], None]:
    def make(place: Class, student: str) -> None:
        path = place.hand_in(student, b"", "data.txt").with_name("lab07.ipynb")
        path.symlink_to(place.folder / target)

    return make


def _linked_folder(place: Class, student: str) -> None:
    folder = place.folder / "submitted" / student
    folder.mkdir(parents=True)
    (folder / NAME).symlink_to(place.folder / "submitted" / "a-honest" / NAME)


def _pipe(place: Class, student: str) -> None:
    import os

    os.mkfifo(place.hand_in(student, b"", "data.txt").with_name("lab07.ipynb"))


def _folder_of_that_name(place: Class, student: str) -> None:
    place.hand_in(student, b"", "data.txt").with_name("lab07.ipynb").mkdir()


def _many_files(place: Class, student: str) -> None:
    place.hand_in(student, notebook(place.lab))
    for n in range(200):
        place.hand_in(student, b"x" * 100_000, f"f{n:03d}.bin")


def _files_with_wild_names(place: Class, student: str) -> None:
    place.hand_in(student, notebook(place.lab))
    for name in ("a b'\"$(id).txt", "\u202efdp.exe", "n" * 250, "rungbook.py", "json.py", "sitecustomize.py", "-rf"):
        place.hand_in(student, b"raise SystemExit('the wrong one')", name)


def _strange_timestamp(place: Class, student: str) -> None:
    place.hand_in(student, notebook(place.lab))
    place.hand_in(student, b"\xff the day after; DROP TABLE grade", "timestamp.txt")


FILES = (
    FileCase("edited-test-cells", changed(_edit)),
    FileCase("a-million-points", changed(_points)),
    FileCase("roles-turned-round", changed(_roles)),
    FileCase("roles-forgotten", changed(_forget_roles), note="recognised by their ids: lab07-pump, lab07-pump-marks"),
    FileCase(
        "roles-and-ids-forgotten", whole(_forget_all), note="recognised by the unchanged cells around them: lab07-pump"
    ),
    FileCase(
        "forgotten-with-a-test-cell-of-their-own", changed(_own_test), (50, 0), note="lab07-word-marks was missing"
    ),
    FileCase("answers-under-foreign-ids", changed(_foreign_ids), (0, 0), note="recognised by their ids"),
    FileCase("cell-ids-not-unique", changed(_ids)),
    FileCase("test-cells-renamed", changed(_names), note="recognised by their ids: lab07-pump-marks, lab07-word-marks"),
    FileCase(
        "test-cells-deleted",
        changed(lambda cells: [c for c in cells if not c["id"].endswith("-marks")]),
        note="cell lab07-pump-marks was missing and is put back",
    ),
    FileCase(
        "answer-cells-deleted",
        changed(lambda cells: [c for c in cells if c["id"] not in ("lab07-pump", "lab07-word")]),
        (0, 0),
        note="answer cell lab07-word is missing",
    ),
    FileCase(
        "all-cells-deleted", changed(lambda cells: cells.clear()), (0, 0), note="answer cell lab07-pump is missing"
    ),
    FileCase("every-cell-twice", changed(_twice), note="stands more than once; the last one counts"),
    FileCase("backwards", changed(lambda cells: cells[::-1]), (0, 0)),
    FileCase("wild-cell-names", changed(_wild_names), note="recognised by their ids: lab07-pump"),
    FileCase("script-in-a-text-cell", changed(_scripts)),
    FileCase(
        "another-kernel", whole(lambda made: made["metadata"].update(kernelspec={"name": "../x", "language": "c"}))
    ),
    FileCase("no-metadata", whole(lambda made: made["metadata"].clear())),
    FileCase(
        "metadata-of-ten-kinds",
        whole(lambda made: made["metadata"].update(kernelspec=7, language_info=[], authors="x")),
    ),
    FileCase("format-3", whole(_old_format)),
    FileCase("format-99", whole(lambda made: made.update(nbformat=99)), (0, 0), "Notebook: "),
    FileCase("format-of-text", whole(lambda made: made.update(nbformat="4")), (0, 0), "Notebook: "),
    FileCase(
        "outputs-of-50-megabytes", whole(_great_outputs), note="lab07.ipynb has 50 MB; it was read without its outputs"
    ),
    FileCase("text-of-25-megabytes", changed(_great_text), (0, 0), "Notebook: at most 20 MB without its outputs"),
    FileCase(
        "brackets-of-25-megabytes", data(b'{"cells": [{"outputs": ' + b"[" * 25_000_000), (0, 0), "Notebook: is damaged"
    ),
    FileCase("half-of-50-megabytes", _half_of_great, (0, 0), "Notebook: is damaged: it ends too soon"),
    FileCase("hole-of-300-megabytes", _hole, (0, 0), "lab07.ipynb cannot be read. It is larger than 200 MB"),
    FileCase("no-notebook", data(b"x", "answer.docx"), (0, 0), "No notebook lab07.ipynb was handed in."),
    FileCase("empty-file", data(b""), (0, 0), "Notebook: "),
    FileCase("only-blanks", data(b" \n" * 100), (0, 0), "Notebook: "),
    FileCase(
        "cut-off",
        lambda place, student: place.hand_in(student, json.dumps(notebook(place.lab))[:-300]),
        (0, 0),
        "Notebook: ",
    ),
    FileCase("not-utf-8", data("Übung".encode("latin-1")), (0, 0), "Notebook: is not UTF-8 text"),
    FileCase("a-picture", data(b"\x89PNG\r\n\x1a\n" + bytes(1000)), (0, 0), "Notebook: is not UTF-8 text"),
    FileCase("a-web-page", data(b"<html><script>alert(1)</script>"), (0, 0), "Notebook: cannot be read"),
    FileCase("json-nested-without-end", data(b'{"cells":' * 100_000), (0, 0), "Notebook: is nested too deep"),
    FileCase("json-of-null", data(b"null"), (0, 0), "Notebook: cannot be read"),
    FileCase(
        "cells-that-are-none",
        data(b'{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [1, null, "x"]}'),
        (0, 0),
        "Notebook: ",
    ),
    FileCase("link-to-the-gradebook", _link("gradebook.db"), (0, 0), "No notebook", "lab07.ipynb is a link or no file"),
    FileCase(
        "link-to-another-student",
        _link(f"submitted/a-honest/{NAME}/lab07.ipynb"),
        (0, 0),
        "No notebook",
        "lab07.ipynb is a link or no file",
    ),
    FileCase("folder-that-is-a-link", _linked_folder, (0, 0), "What was handed in is no folder."),
    FileCase("pipe-with-no-writer", _pipe, (0, 0), "No notebook", "lab07.ipynb is a link or no file"),
    FileCase("folder-in-its-place", _folder_of_that_name, (0, 0), "No notebook"),
    FileCase("two-hundred-files-more", _many_files, note="was passed over: at most 50 files"),
    FileCase("files-with-wild-names", _files_with_wild_names, note="was passed over for its name"),
    FileCase("strange-timestamp", _strange_timestamp),
    FileCase('Ina O\'Hara "x"; --', lambda place, student: place.hand_in(student, notebook(place.lab))),
    FileCase("\u05d0\u05d1\u202e", lambda place, student: place.hand_in(student, notebook(place.lab))),
    FileCase("n" * 250, lambda place, student: place.hand_in(student, notebook(place.lab))),
)
