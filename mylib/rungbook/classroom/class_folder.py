"""A class folder as the commands of the week find it: its labs, its students, and whose variant is whose.

nbgrader's folders stand beside those that only these commands use:

| in the class folder | holds |
|---|---|
| solutions/ | the sources of the labs as they were when the class was made, in the course's own layout |
| class.json | time zone of the class |
| variants.secret | what the variants follow from; readable by its owner alone |
| released/LAB.json | what was released to whom, with each student's variant; readable by its owner alone |
| handouts/LAB/ | what students get, as zip files |
| collected/LAB/ | every file that came in, untouched, with a manifest |
"""

from __future__ import annotations

import json
import os
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import nbformat
from nbformat.notebooknode import NotebookNode

from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.folder import open_class
from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError
from rungbook.grading.variants import Variant
from rungbook.replacing import replace_bytes

CONFIG_NAME = "nbgrader_config.py"


@dataclass(frozen=True)
class ClassFolder:
    """A class folder. root: its top folder, with nbgrader_config.py in it."""

    root: Path

    @property
    def secret(self) -> Path:
        """What the students' variants follow from, for its owner alone."""
        return self.root / "variants.secret"

    def record(self, lab: Lab) -> Path:
        """What was released of `lab`, and to whom."""
        return self.root / "released" / f"{lab.name}.json"

    def labs(self) -> tuple[Lab, ...]:
        """The labs of the class, by number. Those made by hand in nbgrader's way have no source under solutions/."""
        names = sorted(path.parent.name for path in self.root.glob("source/lab[0-9][0-9]-*/lab[0-9][0-9].ipynb"))
        return tuple(Lab(self.root, name) for name in names)

    def lab(self, wanted: str) -> Lab:
        """Return the lab with this name, "labNN" or number. Raises LadderError, listing the labs, if there is none."""
        labs = self.labs()
        for lab in labs:
            if wanted in (lab.name, lab.short, lab.short[3:]):
                return lab
        raise LadderError("Lab", "no such lab in this class", wanted, tuple(lab.name for lab in labs))

    def api(self) -> Any:
        """nbgrader's Python interface on this folder (loads nbgrader: some seconds)."""
        return open_class(self.root)

    def zone(self) -> tzinfo:
        """The class's time zone; that of this machine if none was kept."""
        path = self.root / "class.json"
        name = json.loads(path.read_text(encoding="utf-8")).get("zone") if path.is_file() else None
        return read_zone(name)

    def read_record(self, lab: Lab) -> dict[str, Any]:
        """What was released of `lab`: lab, released, varied, students (id -> variant, becomes); {} if nothing was."""
        path = self.record(lab)
        return json.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}

    def variants(self, lab: Lab) -> dict[str, Variant]:
        """student -> the variant that was handed out; {} if all got the same notebook."""
        record = self.read_record(lab)
        if not record.get("varied"):
            return {}
        return {one: Variant(of["variant"], of["becomes"]) for one, of in record["students"].items()}

    def source_notebook(self, lab: Lab, student: str) -> NotebookNode:
        """Return the instructor's notebook, with solutions and hidden tests, that this student's work is marked by.

        It is source/LAB/labNN.ipynb, or, if variants were released, built from the source in the student's words.

        Raises LadderError if variants were released and none to this student.
        """
        record = self.read_record(lab)
        if not record.get("varied"):
            return nbformat.read(self.root / "source" / lab.name / f"{lab.short}.ipynb", as_version=4)
        found = self.variants(lab).get(student)
        if found is None:
            rule = f"no variant of {lab.name} was released to this student; run: rungbook class release {lab.short}"
            raise LadderError("Student", rule, student)
        return instructor_notebook(lab, found)

    def due(self, lab: Lab, gradebook: Any) -> datetime | None:
        """The date by which `lab` is due, in UTC; None if the gradebook has none."""
        from nbgrader.api import MissingEntry

        try:
            date = gradebook.find_assignment(lab.name).duedate
        except MissingEntry:
            return None
        return None if date is None else date.replace(tzinfo=UTC)


def find_class(start: Path | None = None) -> ClassFolder:
    """Return the nearest class folder from `start` (default: here) upwards. Raises LadderError if there is none."""
    start = (start or Path.cwd()).resolve()
    for folder in (start, *start.parents):
        if (folder / CONFIG_NAME).is_file():
            return ClassFolder(folder)
    rule = f"no {CONFIG_NAME} from here upwards; go to the class folder, or name it with --class"
    raise LadderError("Class folder", rule, str(start))


def read_zone(name: str | None) -> tzinfo:
    """Return the time zone with this name, None for that of this machine. Raises LadderError if there is none."""
    if name is None:
        here = datetime.now().astimezone().tzinfo
        assert here is not None
        return here
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        raise LadderError("Time zone", "is a name of the IANA list", name, ("Europe/Berlin", "UTC")) from None


def write_private(path: Path, data: bytes) -> None:
    """Write a file that its owner alone can read, whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    replace_bytes(path, data, 0o600, sync=True)


def write_bytes(path: Path, data: bytes) -> bool:
    """Write `data` to `path` whole or not at all; return False if it already holds just that."""
    if path.is_file() and path.read_bytes() == data:
        return False
    path.parent.mkdir(parents=True, exist_ok=True)
    replace_bytes(path, data, 0o644, sync=True)
    return True


def make_secret(path: Path) -> bytes:
    """Return the secret in `path`; make one of 256 random bits, mode 0600, if the file is missing.

    Raises LadderError if others than its owner may read the file.
    """
    if not path.exists():
        write_private(path, secrets.token_hex(32).encode() + b"\n")
    if os.name == "posix" and path.stat().st_mode & 0o077:
        raise LadderError("Secret", f"others can read it; run: chmod 600 {path}", oct(path.stat().st_mode & 0o777))
    return path.read_bytes().strip()


def as_json(data: Mapping[str, Any]) -> bytes:
    """JSON with sorted keys, one entry a line."""
    return (json.dumps(data, indent=1, sort_keys=True, ensure_ascii=False) + "\n").encode()
