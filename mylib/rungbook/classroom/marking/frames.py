"""Frames: the one way across the wall of the cage. A kind (one byte), a length, that many bytes of JSON.

The reader sets the bounds: nothing that comes from a student's process is trusted to be short, whole or JSON.
"""

from __future__ import annotations

import json
import os
import struct
from collections.abc import Iterator
from typing import Any

MAX_FRAME = 6_000_000  # bytes of one frame: a cell's outputs or an answer
_HEAD = struct.Struct("!cI")

# kinds
BEGAN = b"b"  # a step begins: {"step": n}
ANSWER = b"a"  # an answer: {"cell": grade_id, "name": …, "kind": …, "text": …, "problem": …}
OUTPUTS = b"o"  # a code cell is done: {"cell": n, "outputs": […], "count": n}
FINISHED = b"f"  # the last step is done
JOB = b"j"  # to the keeper: what is to be run
OPENING = b"p"  # to the warm process: cells of the lab's own, after which notebooks begin
END = b"e"  # from the keeper alone: {"finished": bool, "why": …}


class BrokenFrame(Exception):
    """What came is no frame: too long, cut off, or no JSON."""


def packed(kind: bytes, data: object = None) -> bytes:
    """Return one frame as bytes."""
    body = json.dumps(data).encode()
    return _HEAD.pack(kind, len(body)) + body


def send(descriptor: int, frame: bytes) -> None:
    """Write a whole frame."""
    view = memoryview(frame)
    while view:
        view = view[os.write(descriptor, view) :]


class Frames:
    """Collects bytes and gives back whole frames. Raises BrokenFrame at once when one is announced too long."""

    def __init__(self, longest: int = MAX_FRAME) -> None:
        self._bytes = bytearray()
        self._longest = longest

    def add(self, data: bytes) -> Iterator[tuple[bytes, bytes]]:
        """Take what was read; give the frames that are whole now, each as kind and body. What came before a frame that
        is broken is given before the error."""
        self._bytes += data
        while len(self._bytes) >= _HEAD.size:
            kind, length = _HEAD.unpack_from(self._bytes)
            if length > self._longest:
                raise BrokenFrame(f"a frame of {length} bytes")
            if len(self._bytes) < _HEAD.size + length:
                break
            body = bytes(self._bytes[_HEAD.size : _HEAD.size + length])
            del self._bytes[: _HEAD.size + length]
            yield kind, body

    @property
    def cut_off(self) -> bool:
        """True if part of a frame has come and the rest of it has not."""
        return bool(self._bytes)


def unpacked(body: bytes) -> dict[str, Any]:
    """Read the JSON of a frame, which must be an object. Raises BrokenFrame otherwise."""
    try:
        data = json.loads(body)
    except (ValueError, RecursionError) as problem:
        raise BrokenFrame(f"no JSON: {str(problem)[:100]}") from None
    if not isinstance(data, dict):
        raise BrokenFrame(f"no JSON object but {type(data).__name__}")
    return data


def wrapped(kind: bytes, body: bytes) -> bytes:
    """A frame around a body that is JSON already."""
    return _HEAD.pack(kind, len(body)) + body
