"""The log of the marking, one JSON object a line, in marking/LAB.jsonl of the class folder.

A line is written after the marks of a submission are in the gradebook. So a run that was cut off at any moment goes on:
what has a line with the same fingerprint is done, everything else is marked, again if need be, with the same result.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import rungbook


class Journal:
    """The log of one lab."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def done(self) -> dict[str, dict[str, Any]]:
        """student -> the last whole line about their work."""
        found: dict[str, dict[str, Any]] = {}
        if self.path.is_file():
            for line in self.path.read_text(encoding="utf-8", errors="replace").splitlines():
                try:
                    entry = json.loads(line)
                    found[entry["student"]] = entry
                except (ValueError, KeyError, TypeError):  # the line that a run was cut off in
                    continue
        return found

    def add(self, entries: list[dict[str, Any]]) -> None:
        """Append lines and see that they are on the disk."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        text = "".join(json.dumps(entry, ensure_ascii=False) + "\n" for entry in entries)
        with self.path.open("ab+") as file:
            file.seek(0, os.SEEK_END)
            if file.tell():
                file.seek(-1, os.SEEK_END)
                if file.read(1) != b"\n":
                    text = "\n" + text
            file.write(text.encode("utf-8", "replace"))
            file.flush()
            os.fsync(file.fileno())


def fingerprint(source: str, data: bytes | None, files: Mapping[str, bytes]) -> str:
    """Changes when the submission, the lab (`source`, a digest of it), or this package change."""
    made = hashlib.sha256(f"{source}\n{_package()}\n".encode())
    made.update(b"none" if data is None else hashlib.sha256(data).digest())
    for name, content in sorted(files.items()):
        made.update(hashlib.sha256(name.encode("utf-8", "surrogateescape")).digest() + hashlib.sha256(content).digest())
    return made.hexdigest()


@cache
def _package() -> str:
    """A digest of the package's code: a corrected grader marks anew."""
    folder = Path(rungbook.__file__).parent
    made = hashlib.sha256()
    for path in sorted(folder.rglob("*.py")):
        made.update(str(path.relative_to(folder)).encode() + path.read_bytes())
    return made.hexdigest()
