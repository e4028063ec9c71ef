"""What lies in submitted/STUDENT/LAB/: the notebook and the files beside it. Links are never followed."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

from rungbook.classroom.marking.sheet import MAX_NOTEBOOK
from rungbook.classroom.without_outputs import MOST_WITH_OUTPUTS, MUCH, TOO_LARGE, read_without_outputs
from rungbook.errors import LadderError

MAX_FILES = 50  # beside the notebook
MAX_FILE_BYTES = 5_000_000  # of them together


@dataclass(frozen=True)
class HandedIn:
    """One submission as it lies there. data: the notebook; None if there is none, then `problem` says why."""

    student: str
    data: bytes | None
    files: dict[str, bytes] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    problem: str = ""


def read_handed_in(student: str, folder: Path, name: str) -> HandedIn:
    """Read a student's folder for the notebook `name`. Raises nothing: what cannot be read is said in `problem`."""
    notes: list[str] = []
    notebook = f"{name}.ipynb"
    files: dict[str, bytes] = {}
    others: list[Path] = []
    data, problem, room = None, "", MAX_FILE_BYTES
    if not os.path.isdir(folder) or os.path.islink(folder):
        return HandedIn(student, None, problem="What was handed in is no folder.")
    for path in _walk(folder):
        inside = str(path.relative_to(folder))
        told = printable(inside)
        try:
            status = path.lstat()
            if not stat.S_ISREG(status.st_mode):
                notes.append(f"{told} is a link or no file; it was passed over")
            elif inside == notebook:
                data, problem = _notebook(path, status.st_size, notes)
            elif path.suffix == ".ipynb":
                others.append(path)
            elif notebook in path.relative_to(folder).parts or told != inside:
                notes.append(f"{told} was passed over for its name")
            elif len(files) >= MAX_FILES or status.st_size > room:
                notes.append(f"{told} was passed over: at most {MAX_FILES} files, {MAX_FILE_BYTES} bytes together")
            else:
                files[inside] = _read(path, room)
                room -= len(files[inside])
        except OSError as error:
            notes.append(f"{told} cannot be read: {error.strerror}")
    at_top = [path for path in others if path.parent == folder]
    if data is None and not problem and len(at_top) == 1:
        notes.append(f"{printable(at_top[0].name)} was taken for {notebook}")
        try:
            data, problem = _notebook(at_top[0], at_top[0].lstat().st_size, notes)
        except OSError as error:
            problem = f"{printable(at_top[0].name)} cannot be read: {error.strerror}."
    if data is None and not problem:
        there = ", ".join(printable(path.name) for path in at_top[:5])
        problem = f"No notebook {notebook} was handed in{f', but {there}' if there else ''}."
    return HandedIn(student, data, files, tuple(notes), problem)


def _notebook(path: Path, size: int, notes: list[str]) -> tuple[bytes | None, str]:
    """The notebook's bytes, those of its outputs left out if it is large; or None and why it is not read."""
    if size > MOST_WITH_OUTPUTS:
        return None, f"{printable(path.name)} cannot be read. {TOO_LARGE}"
    if size <= MUCH:
        return _read(path, MAX_NOTEBOOK + 1), ""
    try:
        with _opened(path) as file:
            data = read_without_outputs(file.fileno(), size)
    except LadderError as damage:
        return None, str(damage)
    notes.append(f"{printable(path.name)} has {size / 1e6:.0f} MB; it was read without its outputs, {len(data)} bytes")
    return data, ""


def printable(text: str) -> str:
    """The text with a mark in the place of each character that would move a terminal's cursor or cannot be written."""
    return "".join(one if one.isprintable() else "\ufffd" for one in text)


def _walk(folder: Path) -> Iterator[Path]:
    """All files below `folder`, in a fixed order; at most 1000, and no folder is entered through a link."""
    count = 0
    for place, folders, names in os.walk(folder, followlinks=False):
        folders[:] = sorted(one for one in folders if one != ".ipynb_checkpoints" and one != "__pycache__")
        for name in sorted([*names, *(one for one in folders if os.path.islink(os.path.join(place, one)))]):
            count += 1
            if count > 1000:
                return
            yield Path(place, name)


def _read(path: Path, most: int) -> bytes:
    with _opened(path) as file:
        return file.read(most)


def _opened(path: Path) -> BinaryIO:
    descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    return os.fdopen(descriptor, "rb")
