"""A power circuit as JSON text and back, without loss. Version 1.

    {"rungbook": "power circuit", "version": 1, "title": "Wash pump", "source": {"volts": 208.0, "hertz": 60.0},
     "elements": [{"tag": "Q1", "kind": "contactor", "poles": [["1-2", "L1", "U1"]], "label": ""},
                  {"tag": "M1", "kind": "motor", "terminals": {"U1": "U1", "V1": "V1", "W1": "W1"}, "label": ""}]}

A pole is [pole, node, node]. Unknown or repeated keys are errors: nothing is read past.
"""

from __future__ import annotations

import json
from typing import Any

from rungbook.circuit.power import (
    MOTOR,
    POLES,
    POWER_KINDS,
    TERMINALS,
    Pole,
    PowerCircuit,
    PowerDevice,
    PowerMotor,
    Source,
)
from rungbook.circuit.strict_json import as_list, check_keys, read_document
from rungbook.errors import LadderError
from rungbook.kit.limits import MAX_DEVICES

VERSION = 1


def power_to_json(circuit: PowerCircuit) -> str:
    """Return `circuit` as JSON text on one line, keys in a fixed order, so equal circuits give equal text.

    Raises LadderError if `circuit` is no PowerCircuit.
    """
    if not isinstance(circuit, PowerCircuit):
        raise LadderError("power_to_json", "writes a PowerCircuit", circuit, ("PowerCircuit('title')",))
    data = {
        "rungbook": "power circuit",
        "version": VERSION,
        "title": circuit.title,
        "source": {"volts": circuit.source.volts, "hertz": circuit.source.hertz},
        "elements": [_element_out(element) for element in circuit.elements],
    }
    return json.dumps(data, ensure_ascii=False)


def _element_out(element: PowerDevice | PowerMotor) -> dict[str, Any]:
    if isinstance(element, PowerMotor):
        what: dict[str, Any] = {"kind": MOTOR, "terminals": dict(element.terminals)}
    else:
        what = {"kind": element.kind, "poles": [[pole.pole, pole.a, pole.b] for pole in element.poles]}
    return {"tag": element.tag} | what | {"label": element.label}


def power_from_json(text: str) -> PowerCircuit:
    """Return the power circuit that `text` holds, checked by the same rules as one that is typed.

    Raises LadderError if the text is no JSON, is longer than a million characters, has another version, an unknown
    or repeated key, a value of the wrong type, or describes no valid power circuit.
    """
    keys, too_deep = {"title", "source", "elements"}, "too many levels of lists within lists"
    data = read_document("power_from_json", text, "power circuit", VERSION, keys, too_deep)
    check_keys("source", data["source"], {"volts", "hertz"})
    circuit = PowerCircuit(data["title"], Source(data["source"]["volts"], data["source"]["hertz"]))
    for n, entry in enumerate(as_list("elements", data["elements"], MAX_DEVICES), 1):
        circuit.add(_element_in(f"element {n}", entry))
    return circuit


def _element_in(thing: str, data: Any) -> PowerDevice | PowerMotor:
    kind = data.get("kind") if isinstance(data, dict) else None
    what = "terminals" if kind == MOTOR else "poles"
    check_keys(thing, data, {"tag", "kind", what, "label"})
    if kind == MOTOR:
        return PowerMotor(data["tag"], _terminals_in(f"{thing}, terminals", data["terminals"]), data["label"])
    if not isinstance(kind, str) or kind not in POWER_KINDS:
        raise LadderError(f"power_from_json, {thing}", "unknown kind", kind, (*POWER_KINDS, MOTOR))
    poles = []
    for entry in as_list(f"{thing}, poles", data["poles"], len(POLES)):
        if not isinstance(entry, list) or len(entry) != 3:
            raise LadderError(f"power_from_json, {thing}", "a pole is a list of pole, node, node", entry)
        poles.append(Pole(data["tag"], *entry))
    return PowerDevice(data["tag"], kind, tuple(poles), data["label"])


def _terminals_in(thing: str, data: Any) -> tuple[str, ...]:
    six = isinstance(data, dict) and any(terminal in data for terminal in TERMINALS[3:])
    wanted = TERMINALS if six else TERMINALS[:3]
    check_keys(thing, data, set(wanted))
    return tuple(data[terminal] for terminal in wanted)
