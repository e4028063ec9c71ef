"""Reading JSON strictly: nothing unknown, repeated or of another type is read past."""

from __future__ import annotations

from typing import Any

from rungbook.errors import LadderError


def no_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """For `object_pairs_hook`: an object as a dict. Raises LadderError if a key stands twice."""
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise LadderError("from_json", f"key {key[:40]!r} stands twice in one object")
        found[key] = value
    return found


def no_constant(name: str) -> None:
    """For `parse_constant`: raise LadderError, as NaN and Infinity are no JSON."""
    raise LadderError("from_json", f"{name} is no JSON number")


def check_keys(thing: str, data: object, required: set[str], optional: frozenset[str] = frozenset()) -> None:
    """Raise LadderError if `data` is no object, or has a key too few or too many."""
    if not isinstance(data, dict):
        raise LadderError(f"from_json, {thing}", "must be an object", data, tuple(sorted(required)))
    for key in data:
        if key not in required and key not in optional:
            raise LadderError(f"from_json, {thing}", "unknown key", key, tuple(sorted(required | optional)))
    for key in sorted(required):
        if key not in data:
            raise LadderError(f"from_json, {thing}", f"key {key!r} is missing", choices=tuple(sorted(required)))


def as_list(thing: str, data: object, most: int) -> list[Any]:
    """Return `data` if it is a list of at most `most` entries; raise LadderError otherwise."""
    if not isinstance(data, list):
        raise LadderError(f"from_json, {thing}", "must be a list", data)
    if len(data) > most:
        raise LadderError(f"from_json, {thing}", f"at most {most}", len(data))
    return data
