"""Kinds of device: positions, moves, contacts. Data, not code: a new kind is one record here and a symbol.

A *position* is something one can see on the bench (a button is "pressed"). It is never a logic level: what a
position means for the circuit is decided by its contacts alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

NO_KIND = "NO"
NC_KIND = "NC"


@dataclass(frozen=True)
class Move:
    """One thing a person (or a fault) does to a device: from position `start` to position `end`.

    `order` is the sentence of the bench with `{tag}` in the device's place, such as "press {tag}". The same
    words are printed in feedback and understood by `run`, so every printed sequence can be replayed.
    `past` is the same in the past tense, as a clause of a sentence.
    """

    start: str
    end: str
    order: str
    past: str


@dataclass(frozen=True)
class DeviceKind:
    """A kind of device. `positions[0]` is the position at rest, out of the box and not touched.

    closed: contact kind ("NO" or "NC") -> positions in which such a contact of the device is closed.
    load: "coil", "lamp" or "" for a device that is no load of a control circuit.
    A device with a coil has no moves: its coil moves it.
    """

    name: str
    letter: str
    positions: tuple[str, ...]
    moves: tuple[Move, ...] = ()
    closed: Mapping[str, frozenset[str]] = field(default_factory=dict)
    load: str = ""
    momentary: bool = False  # springs back when the hand leaves it

    @property
    def rest(self) -> str:
        """The position out of the box, not touched."""
        return self.positions[0]

    @property
    def operated(self) -> bool:
        """True if a person, or the plant, moves this device; False if a coil does or nothing can."""
        return bool(self.moves)


def _two(rest: str, away: str) -> Mapping[str, frozenset[str]]:
    """Contacts of a device with two positions: NC closed at rest, NO closed away from rest."""
    return MappingProxyType({NO_KIND: frozenset({away}), NC_KIND: frozenset({rest})})


KINDS: Mapping[str, DeviceKind] = MappingProxyType(
    {
        kind.name: kind
        for kind in (
            DeviceKind(
                "push button",
                "S",
                ("released", "pressed"),
                (
                    Move("released", "pressed", "press {tag}", "{tag} was pressed"),
                    Move("pressed", "released", "let {tag} go", "{tag} was let go"),
                ),
                _two("released", "pressed"),
                momentary=True,
            ),
            DeviceKind(
                "two-position selector",
                "S",
                ("off", "on"),
                (
                    Move("off", "on", "turn {tag} on", "{tag} was turned on"),
                    Move("on", "off", "turn {tag} off", "{tag} was turned off"),
                ),
                _two("off", "on"),
            ),
            DeviceKind(
                "emergency stop",
                "S",
                ("reset", "latched"),
                (
                    Move("reset", "latched", "strike {tag}", "{tag} was struck"),
                    Move("latched", "reset", "unlatch {tag}", "{tag} was unlatched"),
                ),
                _two("reset", "latched"),
            ),
            DeviceKind(
                "limit switch",
                "B",
                ("free", "reached"),
                (
                    Move("free", "reached", "reach {tag}", "{tag} was reached"),
                    Move("reached", "free", "leave {tag}", "{tag} was left"),
                ),
                _two("free", "reached"),
            ),
            DeviceKind(
                "overload relay",
                "F",
                ("set", "tripped"),
                (
                    Move("set", "tripped", "trip {tag}", "{tag} tripped"),
                    Move("tripped", "set", "reset {tag}", "{tag} was reset"),
                ),
                _two("set", "tripped"),
            ),
            DeviceKind("contactor", "Q", ("out", "in"), (), _two("out", "in"), "coil"),
            DeviceKind("control relay", "K", ("out", "in"), (), _two("out", "in"), "coil"),
            DeviceKind("pilot lamp", "P", ("dark", "lit"), (), {}, "lamp"),
            DeviceKind("motor", "M", ("standing", "running")),
        )
    }
)

#: The kind a designation stands for when the ladder does not declare the device (letters of IEC 81346-2).
KIND_OF_LETTER: Mapping[str, str] = MappingProxyType(
    {
        "S": "push button",
        "B": "limit switch",
        "F": "overload relay",
        "Q": "contactor",
        "K": "control relay",
        "P": "pilot lamp",
        "M": "motor",
    }
)
