"""Every file in a folder or zip of downloads, however it is wrapped: bounded, and never out of the place given.

No file is written here, so a path in a zip that leads out of it can do nothing; it is reported. Symbolic links are
never followed, in folders and in zips.
"""

from __future__ import annotations

import io
import os
import stat
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from pathlib import Path

from rungbook.errors import LadderError

MOST_FILE = 190 << 20  # bytes of one file, unpacked; as many as the marker would read
MOST_WHOLE = 2 << 30  # bytes of all that is unpacked
MOST_ENTRIES = 50_000  # files in zips
MOST_DEPTH = 4  # zips in zips
_PIECE = 1 << 20
_FRAGMENTS = (".ds_store", "thumbs.db", "desktop.ini")


@dataclass(frozen=True)
class Found:
    """One file. parts: its path, zips standing as folders. data: content, None with a `problem` that says why.

    time: when it was last changed, in UTC, as the folder ("file") or the zip ("zip") says.
    """

    parts: tuple[str, ...]
    data: bytes | None = None
    problem: str = ""
    time: datetime | None = None
    time_from: str = ""

    @property
    def place(self) -> str:
        """The path as it is shown: characters that would turn or hide others are written as their numbers."""
        return "/".join(shown(part) for part in self.parts)


@dataclass
class _Budget:
    zone: tzinfo
    left: int = MOST_WHOLE
    entries: int = field(default=MOST_ENTRIES)


def shown(name: str) -> str:
    """`name` with every character that cannot be printed as \\u and its number."""
    return "".join(c if c.isprintable() and c != "\\" else f"\\u{ord(c):04x}" for c in name)


def find_files(given: Path, zone: tzinfo) -> Iterator[Found]:
    """Yield every file under `given`, a folder, a zip file or a single file, in the order of the names.

    zone: of the times in zips, which carry none. What cannot be read is yielded with its problem: a symbolic link, a
    damaged, encrypted or nested zip beyond MOST_DEPTH, a file beyond MOST_FILE, all beyond MOST_WHOLE or MOST_ENTRIES.

    Raises LadderError if there is nothing at `given`, or it is itself a symbolic link to elsewhere.
    """
    if given.is_symlink():
        raise LadderError("Downloads", "a symbolic link is not followed; name the folder itself", str(given))
    if not given.exists():
        raise LadderError("Downloads", "no such folder or file", str(given))
    budget = _Budget(zone)
    if given.is_dir():
        yield from _folder(given, (), budget)
    elif given.suffix.lower() == ".zip":
        yield from _zip(given, (given.name,), 1, budget)
    else:
        yield from _file(given, (given.name,), budget)


def _folder(folder: Path, above: tuple[str, ...], budget: _Budget) -> Iterator[Found]:
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as problem:
        yield Found(above, problem=f"folder cannot be read: {problem.strerror}")
        return
    for entry in entries:
        parts = (*above, entry.name)
        if entry.is_symlink():
            yield Found(parts, problem="symbolic link, not followed")
        elif entry.is_dir(follow_symlinks=False):
            yield from _folder(Path(entry.path), parts, budget)
        else:
            yield from _file(Path(entry.path), parts, budget)


def _file(path: Path, parts: tuple[str, ...], budget: _Budget) -> Iterator[Found]:
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    except OSError as problem:
        yield Found(parts, problem=f"cannot be read: {problem.strerror}")
        return
    with os.fdopen(handle, "rb") as file:
        about = os.fstat(file.fileno())
        if not stat.S_ISREG(about.st_mode):
            yield Found(parts, problem="no regular file, not opened")
            return
        time = datetime.fromtimestamp(about.st_mtime, UTC)
        if path.suffix.lower() == ".zip":
            yield from _zip(file, parts, 1, budget)
        elif about.st_size > MOST_FILE:
            yield Found(parts, problem=f"larger than {MOST_FILE >> 20} MiB, not read", time=time, time_from="file")
        else:
            yield Found(parts, file.read(MOST_FILE), time=time, time_from="file")


def _zip(source: object, parts: tuple[str, ...], depth: int, budget: _Budget) -> Iterator[Found]:
    try:
        with zipfile.ZipFile(source) as archive:  # type: ignore[call-overload]
            for entry in sorted(archive.infolist(), key=lambda entry: entry.filename):
                if entry.is_dir():
                    continue
                budget.entries -= 1
                if budget.entries < 0 or budget.left <= 0:
                    why = f"{MOST_ENTRIES} files" if budget.entries < 0 else f"{MOST_WHOLE >> 30} GiB"
                    yield Found(
                        parts, problem=f"more than {why} in zips; {shown(_name(entry))} and later ones not read"
                    )
                    return
                yield from _entry(archive, entry, parts, depth, budget)
    except (zipfile.BadZipFile, NotImplementedError, OSError, ValueError, EOFError) as problem:
        yield Found(parts, problem=f"damaged zip: {problem}")


def _entry(
    archive: zipfile.ZipFile, entry: zipfile.ZipInfo, above: tuple[str, ...], depth: int, budget: _Budget
) -> Iterator[Found]:
    inner = tuple(part for part in _name(entry).replace("\\", "/").split("/") if part not in ("", "."))
    parts = (*above, *inner)
    if ".." in inner or _name(entry).startswith(("/", "\\")) or (inner and inner[0].endswith(":")):
        yield Found(parts, problem="path that leads out of its zip, not taken")
        return
    if stat.S_ISLNK(entry.external_attr >> 16):
        yield Found(parts, problem="symbolic link in a zip, not followed")
        return
    if entry.flag_bits & 1:
        yield Found(parts, problem="encrypted in its zip, cannot be read")
        return
    try:
        time = datetime(*entry.date_time, tzinfo=budget.zone).astimezone(UTC)
    except (ValueError, OverflowError):
        time = None
    try:
        data = _read(archive, entry, min(MOST_FILE, budget.left))
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, OSError, EOFError, zlib.error) as problem:
        yield Found(parts, problem=f"damaged in its zip: {problem}")
        return
    if data is None:
        what = f"{MOST_FILE >> 20} MiB" if budget.left >= MOST_FILE else f"is left of {MOST_WHOLE >> 30} GiB for all"
        budget.left -= min(MOST_FILE, budget.left)
        yield Found(parts, problem=f"more than {what} when unpacked, not taken")
        return
    budget.left -= len(data)
    if inner and inner[-1].lower().endswith(".zip"):
        if depth >= MOST_DEPTH:
            yield Found(parts, data, f"zip in zip in zip, more than {MOST_DEPTH} deep, not opened")
        else:
            yield from _zip(io.BytesIO(data), parts, depth + 1, budget)
        return
    yield Found(parts, data, time=time, time_from="zip" if time else "")


def _read(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int) -> bytes | None:
    """The content, or None if it is more than `most`, whatever the zip says of its size."""
    pieces, size = [], 0
    with archive.open(entry) as file:
        while piece := file.read(_PIECE):
            size += len(piece)
            if size > most:
                return None
            pieces.append(piece)
    return b"".join(pieces)


def _name(entry: zipfile.ZipInfo) -> str:
    """The entry's name; one not marked as UTF-8 may be so all the same."""
    if entry.flag_bits & 0x800:
        return entry.filename
    try:
        return entry.filename.encode("cp437").decode("utf-8")
    except (UnicodeEncodeError, UnicodeDecodeError):
        return entry.filename


def is_fragment(parts: tuple[str, ...]) -> bool:
    """True for what a system leaves behind beside the real files."""
    return "__MACOSX" in parts or parts[-1].startswith("._") or parts[-1].lower() in _FRAGMENTS
