"""A ladder as JSON text and back, without loss. Version 1.

    {"rungbook": "ladder", "version": 1, "title": "Wash pump", "devices": null,
     "rungs": [{"contacts": {"series": [{"NC": "S1"}, {"parallel": [{"NO": "S2"}, {"NO": "Q1"}]}]},
                "loads": [{"coil": "Q1"}], "note": ""}]}

A load is a "coil", "lamp", "reset" or "down" (the second count input): {"reset": "K5"}. A contact or load may carry
"terminals", a lamp "colour", a device "setting" (written only if something is set, so a ladder without settings reads
and writes as before settings existed). Unknown or repeated keys are errors: nothing is read past.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from rungbook.circuit.ladder import Ladder, Rung
from rungbook.circuit.parts import LOAD_TERMINALS, Contact, Load, Parallel, Part, Series
from rungbook.circuit.strict_json import as_list, check_keys, read_document
from rungbook.errors import LadderError
from rungbook.kit import NC_KIND, NO_KIND, Device
from rungbook.kit.limits import MAX_CONTACTS, MAX_DEPTH, MAX_DEVICES, MAX_LOADS, MAX_RUNGS

VERSION = 1
_GROUPS: Mapping[str, type[Series] | type[Parallel]] = {"series": Series, "parallel": Parallel}
_LOADS = tuple(LOAD_TERMINALS)


def to_json(ladder: Ladder) -> str:
    """Return `ladder` as JSON text on one line, keys in a fixed order, so equal ladders give equal text.

    Raises LadderError if `ladder` is no Ladder.
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("to_json", "writes a Ladder", ladder, ("Ladder('title')",))
    data = {
        "rungbook": "ladder",
        "version": VERSION,
        "title": ladder.title,
        "devices": None if ladder.declared is None else [_device_out(device) for device in ladder.declared],
        "rungs": [_rung_out(rung) for rung in ladder.rungs],
    }
    return json.dumps(data, ensure_ascii=False)


def _device_out(device: Device) -> dict[str, str]:
    data = {"tag": device.tag, "kind": device.kind, "colour": device.colour, "label": device.label}
    return data | ({"setting": device.setting} if device.setting else {})


def _rung_out(rung: Rung) -> dict[str, Any]:
    contacts = None if rung.contacts is None else _part_out(rung.contacts)
    return {"contacts": contacts, "loads": [_load_out(load) for load in rung.loads], "note": rung.note}


def _part_out(part: Part) -> dict[str, Any]:
    if isinstance(part, Contact):
        return {part.kind: part.device} | ({"terminals": part.terminals} if part.terminals else {})
    assert isinstance(part, Series | Parallel)
    return {"series" if isinstance(part, Series) else "parallel": [_part_out(inner) for inner in part.parts]}


def _load_out(load: Load) -> dict[str, str]:
    extra = {"colour": load.colour, "terminals": load.terminals}
    return {load.kind: load.device} | {key: text for key, text in extra.items() if text}


def from_json(text: str) -> Ladder:
    """Return the ladder that `text` holds, checked by the same rules as one that is typed.

    Raises LadderError if the text is no JSON, is longer than a million characters, has another version, an unknown
    or repeated key, a value of the wrong type, or describes no valid ladder.
    """
    too_deep = f"at most {MAX_DEPTH} levels of branches within branches"
    data = read_document("from_json", text, "ladder", VERSION, {"title", "devices", "rungs"}, too_deep)
    devices = None
    if data["devices"] is not None:
        devices = [_device_in(n, entry) for n, entry in enumerate(as_list("devices", data["devices"], MAX_DEVICES), 1)]
    ladder = Ladder(data["title"], devices)
    for n, entry in enumerate(as_list("rungs", data["rungs"], MAX_RUNGS), 1):
        _rung_in(ladder, n, entry)
    return ladder


def _device_in(n: int, data: Any) -> Device:
    check_keys(f"device {n}", data, {"tag", "kind", "colour", "label"}, frozenset({"setting"}))
    if not data["kind"]:
        raise LadderError(f"from_json, device {n}", "a stored device names its kind", data["kind"])
    return Device(data["tag"], data["kind"], data["colour"], data["label"], data.get("setting", ""))


def _rung_in(ladder: Ladder, n: int, data: Any) -> None:
    thing = f"rung {n}"
    check_keys(thing, data, {"contacts", "loads", "note"})
    loads = [_load_in(thing, entry) for entry in as_list(f"{thing}, loads", data["loads"], MAX_LOADS)]
    contacts = [] if data["contacts"] is None else [_part_in(thing, data["contacts"], 0)]
    ladder.rung(*contacts, *loads, note=data["note"])


def _one_key(thing: str, data: object, names: tuple[str, ...]) -> str:
    found = [name for name in names if isinstance(data, dict) and name in data]
    if len(found) != 1:
        raise LadderError(f"from_json, {thing}", "needs exactly one of these keys", data, names)
    return found[0]


def _part_in(thing: str, data: Any, depth: int) -> Part:
    if depth > MAX_DEPTH:
        raise LadderError(f"from_json, {thing}", f"at most {MAX_DEPTH} levels of branches within branches")
    name = _one_key(thing, data, (NO_KIND, NC_KIND, *_GROUPS))
    if name in _GROUPS:
        check_keys(thing, data, {name})
        group = _GROUPS[name]
        parts = tuple(
            _part_in(thing, entry, depth + 1) for entry in as_list(f"{thing}, {name}", data[name], MAX_CONTACTS)
        )
        if len(parts) < 2 or any(type(part) is group for part in parts):
            raise LadderError(
                f"from_json, {thing}", f"a {name} group has two or more members, none of them {name} itself"
            )
        return group(parts)
    check_keys(thing, data, {name}, frozenset({"terminals"}))
    return Contact(data[name], name, data.get("terminals", ""))


def _load_in(thing: str, data: Any) -> Load:
    name = _one_key(f"{thing}, load", data, _LOADS)
    check_keys(f"{thing}, load", data, {name}, frozenset({"colour", "terminals"}))
    return Load(data[name], name, data.get("colour", ""), data.get("terminals", ""))
