"""Reading JSON strictly: nothing unknown, repeated or of another type is read past."""

from __future__ import annotations

import json
from typing import Any

from rungbook.errors import LadderError
from rungbook.kit.limits import MAX_JSON


def read_document(thing: str, text: object, what: str, version: int, keys: set[str], too_deep: str) -> dict[str, Any]:
    """Return the object that `text` holds: a document that calls itself `what`, of this `version`, with these keys.

    thing: the function that reads, for errors. keys: those besides "rungbook" and "version". too_deep: the rule for
    lists within lists. Raises LadderError if the text is no such document or longer than a million characters.
    """
    if not isinstance(text, str):
        raise LadderError(thing, "reads text", text)
    if len(text) > MAX_JSON:
        raise LadderError(thing, f"at most {MAX_JSON} characters, this has {len(text)}")
    try:
        data = json.loads(text, object_pairs_hook=no_repeats, parse_constant=no_constant)
    except json.JSONDecodeError as wrong:
        place = f"line {wrong.lineno}, column {wrong.colno}"
        raise LadderError(thing, f"no valid JSON at {place}: {wrong.msg}") from None
    except LadderError:
        raise
    except ValueError:  # a whole number of more digits than Python reads
        raise LadderError(thing, "a number has too many digits") from None
    except RecursionError:
        raise LadderError(thing, too_deep) from None
    check_keys(what, data, {"rungbook", "version", *keys})
    if data["rungbook"] != what:
        raise LadderError(thing, f"this is no {what}", data["rungbook"], (what,))
    if type(data["version"]) is not int or data["version"] != version:
        raise LadderError(thing, f"unknown version of the {what} format", data["version"], (str(version),))
    found: dict[str, Any] = data
    return found


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
