"""Operators and displays of a panel as data: what a hand can do to each device, and what is shown of it.

A control has one of four modes, so that a front end needs to know no kind of device: "hold" acts while it is held,
"switch" goes to and fro, "push" acts once, "choice" is one of several of which one is chosen.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass

from rungbook.behaviour import SUPPLY
from rungbook.kit import COLOURS, Device, OverloadSetting, parse_setting

BLOWN, REPLACED = "fuse blown", "fuse replaced"  # of the control supply; the first stands behind "on" or "off"
KEYS = "123456789"  # held together they are held together: a two-hand start with one keyboard


@dataclass(frozen=True)
class Control:
    """One thing to take hold of. to, back: positions it asks for; back is "" for "push" and "choice".

    on: positions in which it counts as pressed, switched on or chosen. usable: positions in which it can be used. key:
    the key that holds it, or "".
    """

    mode: str
    text: str
    to: str
    back: str = ""
    on: tuple[str, ...] = ()
    usable: tuple[str, ...] = ()
    key: str = ""


@dataclass(frozen=True)
class Part:
    """A device on the bench. name: designation and plate. letter: of its colour. controls: none for a display.

    look: "button", "stop", "switch", "selector", "relay with reset", "lamp", "coil", "timer", "counter", "motor".
    """

    tag: str
    kind: str
    name: str
    look: str
    colour: str = ""
    letter: str = ""
    controls: tuple[Control, ...] = ()

    def plain(self) -> dict[str, object]:
        """The part as plain data for a front end."""
        return asdict(self)


def parts_of(devices: Mapping[str, Device], motors: Iterable[str] = (), heated: Iterable[str] = ()) -> tuple[Part, ...]:
    """Return the parts of a panel: operators in the order of `devices`, the supply, then what only shows.

    motors: behind the contactors. heated: overload relays that the current of a motor trips. Devices without
    behaviour of their own on a control panel (a motor among the devices, a transformer) are left out.
    """
    operators: list[Part] = []
    shown: list[Part] = []
    keys = iter(KEYS)
    for tag, device in devices.items():
        if device.spec.operated:
            controls = _controls(device, tag in heated)
            held = tuple(_with_key(one, next(keys, "")) if one.mode == "hold" else one for one in controls)
            operators.append(_part(device, _OPERATORS.get(device.kind, "switch"), held))
        elif device.kind in _SHOWN:
            shown.append(_part(device, _SHOWN[device.kind]))
    places = ("on", "off", f"on, {BLOWN}", f"off, {BLOWN}")
    supply = Control("switch", "Supply", "on", "off", (places[0], places[2]), places)
    renew = _push("Replace fuse", REPLACED, places[3])
    operators.append(Part(SUPPLY, "control supply", "Control supply", "switch", controls=(supply, renew)))
    shown += [Part(tag, "motor", tag, "motor") for tag in motors]
    return (*operators, *shown)


_OPERATORS = {
    "push button": "button",
    "emergency stop": "stop",
    "three-position selector": "selector",
    "overload relay": "relay with reset",
    "manual motor starter": "relay with reset",
    "fuse": "relay with reset",
}
_SHOWN = {
    "pilot lamp": "lamp",
    "contactor": "coil",
    "control relay": "coil",
    "timer relay": "timer",
    "counter": "counter",
}


def _part(device: Device, look: str, controls: tuple[Control, ...] = ()) -> Part:
    letter = COLOURS[device.colour] if device.colour else ""
    return Part(device.tag, device.kind, device.name, look, device.colour, letter, controls)


def _with_key(control: Control, key: str) -> Control:
    return Control(control.mode, control.text, control.to, control.back, control.on, control.usable, key)


def _controls(device: Device, heated: bool) -> tuple[Control, ...]:
    spec = device.spec
    positions = spec.positions
    if device.kind == "overload relay":
        return _overload(device, heated)
    if device.kind == "emergency stop":
        return (_push("Strike", "latched", "reset"), _push("Unlatch", "reset", "latched"))
    if device.kind == "three-position selector":
        order = ("left", "off", "right")
        return tuple(Control("choice", word, word, on=(word,), usable=positions) for word in order)
    if device.kind == "manual motor starter":
        switch = Control("switch", "On", "on", "off", ("on",), ("off", "on"))
        return (switch, _push("Trip", "tripped", "on"), _push("Reset", "off", "tripped"))
    if device.kind == "fuse":
        return (_push("Blow", "blown", "intact"), _push("Replace", "intact", "blown"))
    rest, away = positions[:2]
    mode = "hold" if spec.momentary else "switch"
    return (Control(mode, "" if spec.momentary else away.capitalize(), away, rest, (away,), positions),)


def _push(text: str, to: str, *usable: str) -> Control:
    return Control("push", text, to, usable=usable)


def _overload(device: Device, heated: bool) -> tuple[Control, ...]:
    """Trip, test and reset as the relay's dial allows; a relay with nothing set has both a trip and a reset.

    With automatic reset there is no reset button: the test button trips while it is held, heat trips until it has
    gone. A relay without a test button is tripped by its motor's current alone, or by hand if the bench has no motor.
    """
    setting = parse_setting(device)
    automatic = isinstance(setting, OverloadSetting) and setting.reset == "automatic"
    tested = isinstance(setting, OverloadSetting) and setting.test
    text = "Test" if tested else "Trip"
    found: list[Control] = []
    if tested or not heated:
        both = device.spec.positions
        found.append(Control("hold", text, "tripped", "set", (), both) if automatic else _push(text, "tripped", "set"))
    if not automatic:
        found.append(_push("Reset", "set", "tripped"))
    return tuple(found)
