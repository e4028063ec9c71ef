"""Sealed packs: the graders of a lab as one file, for an edition of the course that has no sources.

What this protects, and what not. The file is compressed and covered by a stream from SHAKE-256 under a constant of this
module, so that no test and no model answer can be read in it, searched for or found by accident. Whatever marks on the
student's own machine must open it, so who reads this module can open it too: a curtain, no lock. Solutions stay out;
the tests of some exercises hold a model circuit all the same. Marks that count come from `rungbook class mark`, which
takes its tests from the sources.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from dataclasses import asdict
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

from rungbook.alone.graders import Exercise, Graders, Part
from rungbook.errors import LadderError

PACKAGE = "rungbook_graders"  # what an edition with packs lets import; they lie in it as LAB.pack
_HEAD = b"rungbook graders, sealed 1\n"
_CONSTANT = b"rungbook sealed graders 1"
_DIGEST = 8  # bytes


def seal(graders: Graders) -> bytes:
    """Return the pack of `graders`, their solutions left out; the same graders give the same bytes."""
    data = asdict(graders)
    for exercise in data["exercises"]:
        for part in exercise["parts"]:
            part["solution"] = ""
    plain = zlib.compress(json.dumps(data, ensure_ascii=False, sort_keys=True).encode(), 9)
    digest = hashlib.sha256(plain).digest()[:_DIGEST]
    return _HEAD + digest + _covered(plain, digest)


def unseal(pack: bytes) -> Graders:
    """Return the graders in `pack`. Raises LadderError if it is no pack, of another edition, or not whole."""
    start = len(_HEAD) + _DIGEST
    if not pack.startswith(_HEAD):
        raise LadderError("Graders", "this file is no pack of graders of this edition")
    digest = pack[len(_HEAD) : start]
    plain = _covered(pack[start:], digest)
    if hashlib.sha256(plain).digest()[:_DIGEST] != digest:
        raise LadderError("Graders", "this pack of graders is not whole; fetch the course again")
    data = json.loads(zlib.decompress(plain))
    return Graders(data["lab"], tuple(_exercise(one) for one in data["exercises"]))


def _exercise(data: dict[str, Any]) -> Exercise:
    parts = tuple(Part(**part) for part in data["parts"])
    return Exercise(**{**data, "names": tuple(data["names"]), "parts": parts})


def _covered(text: bytes, salt: bytes) -> bytes:
    stream = hashlib.shake_256(_CONSTANT + salt).digest(len(text))
    return (int.from_bytes(text, "big") ^ int.from_bytes(stream, "big")).to_bytes(len(text), "big")


def has_packs() -> bool:
    """True in an edition with packs."""
    return _place() is not None


@lru_cache(maxsize=4)
def packed(lab: str) -> Graders:
    """Return the graders of `lab` ("lab02", "lab02-holding-circuit") from this edition's packs.

    Raises LadderError, listing the labs, if there is none of this name, or as `unseal`.
    """
    place = _place()
    names = [] if place is None else sorted(one.name for one in place.iterdir() if one.name.endswith(".pack"))
    labs = tuple(name.removesuffix(".pack") for name in names)
    found = next((name for name in labs if lab in (name, name[:5])), None)
    if place is None or found is None:
        raise LadderError("Lab", "no such lab", lab, labs)
    return unseal((place / f"{found}.pack").read_bytes())


def _place() -> Traversable | None:
    try:
        return files(PACKAGE)
    except ModuleNotFoundError:
        return None
