"""`rungbook class new`: a class folder with its labs, its students and the dates by which each lab is due."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from rungbook.classroom.build import replace_file
from rungbook.classroom.class_folder import ClassFolder, as_json, write_bytes
from rungbook.classroom.folder import make_class
from rungbook.classroom.labs import Lab
from rungbook.classroom.roster import Student
from rungbook.errors import LadderError


def new_class(
    folder: Path, labs: Sequence[Lab], students: Sequence[Student], due: Mapping[str, datetime], zone: str | None
) -> ClassFolder:
    """Make a class folder: settings, sources of the labs, students and due dates in the gradebook.

    due: lab name -> time with its zone. The folder is made beside its place and then moved there, so it is whole or
    not there.

    Raises LadderError, and writes nothing, if `folder` is a file or holds anything, or its parent does not exist.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise LadderError("Class folder", "must be new or empty; nothing in it is touched", str(folder))
    folder = folder.absolute()
    if not folder.parent.is_dir():
        raise LadderError("Class folder", "the folder around it does not exist", str(folder))
    part = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    try:
        made = ClassFolder(part / "class")
        make_class(made.root, labs)
        for lab in labs:
            _keep_source(lab, Lab(made.root, lab.name))
        write_bytes(made.root / "class.json", as_json({"zone": zone}))
        api = made.api()
        with api.gradebook as gradebook:
            for lab in labs:
                gradebook.update_or_create_assignment(lab.name, duedate=due[lab.name].isoformat())
            for one in students:
                _enter(gradebook, one)
            gradebook.db.commit()
        os.replace(made.root, folder)  # onto nothing, or an empty folder
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return ClassFolder(folder)


def add_students(place: ClassFolder, students: Sequence[Student]) -> tuple[int, int]:
    """Enter students who joined, correct names and addresses of those there; return how many of each.

    An empty cell corrects nothing. Nobody is removed: a student who left keeps the marks.
    """
    new = changed = 0
    with place.api().gradebook as gradebook:
        there = {one.id: one for one in gradebook.students}
        for one in students:
            known = there.get(one.id)
            if known is None:
                new += 1
            else:
                changed += any((getattr(known, name) or "") != value for name, value in _given(one).items())
            _enter(gradebook, one)
    return new, changed


def _given(one: Student) -> dict[str, str]:
    """What the roster says of a student beside the id; an empty cell says nothing."""
    return {name: value for name in ("first_name", "last_name", "email") if (value := getattr(one, name))}


def _enter(gradebook: Any, one: Student) -> None:
    gradebook.update_or_create_student(one.id, **_given(one))


def _keep_source(lab: Lab, kept: Lab) -> None:
    """Copy the lab's own files, what is built from them excepted."""
    for path in sorted(lab.source.parent.iterdir()):
        if path.is_file() and path != lab.instructor and not path.name.startswith("."):
            replace_file(kept.source.parent / path.name, path.read_text(encoding="utf-8"))
