"""A notebook's bytes without its outputs, found in the text itself, so that a notebook of any size is quick to read.

A loop that prints without end leaves a notebook of many megabytes, nearly all of them outputs, which no marker reads.
"""

from __future__ import annotations

import mmap
import re

from rungbook.errors import LadderError

MOST_WITH_OUTPUTS = 200_000_000  # bytes of a notebook that is read; more would hold up a class
MUCH = 20_000_000  # bytes from which on a notebook's outputs are left out before it is read
TOO_LARGE = (
    f"It is larger than {MOST_WITH_OUTPUTS // 1_000_000} MB, which is not read, since one notebook must not hold up a "
    "class. Clear its outputs and hand it in again."
)
_STRING = rb'"[^"\\]*+(?:\\.[^"\\]*+)*+"'
_TOKEN = re.compile(rb"[^\"{}\[\]:]*+(?:(" + _STRING + rb")|([{}\[\]:]))", re.DOTALL)
_LEAF = rb"[^\"{}\[\]]++|" + _STRING
_LIST = rb"\[(?:" + _LEAF + rb")*+\]"
_SMALL = rb"\{(?:" + _LEAF + b"|" + _LIST + rb")*+\}"  # most outputs are no deeper; passed over in one go
_BRACKET = re.compile(rb"(?:" + _LEAF + b"|" + _LIST + b"|" + _SMALL + rb")*+([{}\[\]])", re.DOTALL)
_OPENS = re.compile(rb"\s*[{\[]")
_PLAIN = re.compile(rb"\s*(?:" + _STRING + rb"|[^\s,{}\[\]\"]++)", re.DOTALL)
_DEEP = 200  # levels; no notebook has as many
_LONG = 2_000_000  # brackets, strings and colons that are looked at one by one; some seconds
_OTHER = b'"'  # a string that is no key of interest


def without_outputs(data: bytes | mmap.mmap) -> bytes:
    """Return the JSON of a notebook with empty outputs, and without the state of widgets; all else stays to the byte.

    The outputs are what stands under "outputs" in the elements of a list "cells".

    Raises LadderError if it cannot be followed to its end: it ends too soon, or is no JSON.
    """
    kept: list[bytes] = []
    names: list[bytes] = []  # of the containers that are open: the key under which each stands
    string = key = b""
    done = place = 0
    for _ in range(_LONG):
        token = _TOKEN.match(data, place)
        if token is None:
            if names or data[place : place + 100].strip():
                break
            return b"".join([*kept, data[done:]])
        place, sign = token.end(), token[2]
        if token[1] is not None:
            string = token[1] if len(token[1]) < 20 else _OTHER
        elif sign == b":" and string:
            key, string = string, b""
            empty = _instead(key, names)
            if empty:
                end = _end_of_value(data, place)
                if end < 0:
                    break
                kept += [data[done:place], empty]
                done = place = end
        elif sign in b"{[" and len(names) < _DEEP:
            names.append(sign + key)
            key = b""
        elif sign in b"}]" and names:
            names.pop()
            key = b""
        else:
            break
    rule = "is damaged: it ends too soon (not all of it was saved or uploaded), or is no JSON"
    raise LadderError("Notebook", rule, f"{len(data)} bytes")


def read_without_outputs(descriptor: int, size: int) -> bytes:
    """The same of an open file of `size` bytes, of which no more than what is kept stays in memory. Raises the same."""
    with mmap.mmap(descriptor, size, access=mmap.ACCESS_READ) as data:
        return without_outputs(data)


def _instead(key: bytes, names: list[bytes]) -> bytes:
    """What stands in the place of the value under this key; nothing if the value stays."""
    if key == b'"outputs"' and names[-2:] == [b'["cells"', b"{"]:
        return b" []"
    return b" {}" if key == b'"widgets"' and names == [b"{", b'{"metadata"'] else b""


def _end_of_value(data: bytes | mmap.mmap, place: int) -> int:
    """Where the value that begins at `place` has ended; -1 if it never does."""
    plain = _PLAIN.match(data, place)
    if plain is not None:
        return plain.end()
    opens = _OPENS.match(data, place)
    if opens is None:
        return -1
    place, open_ = opens.end(), 1
    for _ in range(_LONG):
        bracket = _BRACKET.match(data, place)
        if bracket is None:
            break
        place = bracket.end()
        open_ += 1 if bracket[1] in b"{[" else -1
        if not open_:
            return place
        if open_ > _DEEP:
            break
    return -1
