"""One file of a ladder into another form: what `rungbook convert` does."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from rungbook.circuit import Ladder, from_json, to_json
from rungbook.errors import LadderError
from rungbook.exchange.ladder_xml import ladder_xml
from rungbook.exchange.read_text import read_structured_text
from rungbook.exchange.read_xml import read_ladder_xml
from rungbook.exchange.text import structured_text

MAX_BYTES = 8_000_000
_READ: Mapping[str, Callable[[str], Ladder]] = {
    "json": from_json,
    "st": read_structured_text,
    "xml": read_ladder_xml,
}
_WRITE: Mapping[str, Callable[[Ladder], str]] = {
    "json": lambda ladder: to_json(ladder) + "\n",
    "st": structured_text,
    "xml": ladder_xml,
}
FORMS = tuple(_WRITE)


def convert(file: Path, to: str) -> str:
    """Return what stands in `file` (.json, .st or .xml) as text of the form `to` ("json", "st", "xml").

    Raises LadderError as `read_ladder`, or if `to` is none of these.
    """
    if to not in _WRITE:
        raise LadderError("convert", "no such form", to, FORMS)
    return _WRITE[to](read_ladder(file, "convert"))


def read_ladder(file: Path, command: str = "read_ladder") -> Ladder:
    """Return the ladder that stands in `file` (.json, .st or .xml). command: what an error names.

    Raises LadderError if the file cannot be read, is larger than eight million bytes or no UTF-8, its ending is none of
    these, or its reader refuses it.
    """
    form = file.suffix.lower().removeprefix(".")
    if form not in _READ:
        raise LadderError(command, "the ending of the file says its form", file.name, tuple(f".{one}" for one in _READ))
    try:
        with file.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except OSError as problem:
        raise LadderError(command, f"the file cannot be read ({problem.strerror})", str(file)) from None
    if len(data) > MAX_BYTES:
        raise LadderError(command, f"at most {MAX_BYTES} bytes", file.name)
    try:
        text = data.decode()
    except UnicodeDecodeError:
        raise LadderError(command, "the file is text in UTF-8", file.name) from None
    return _READ[form](text)
