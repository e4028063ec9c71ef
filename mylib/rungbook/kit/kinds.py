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
    chart: terminals such as "13-14" -> positions in which that very contact is closed, where it differs from `closed`
    (contact chart of a selector). load: "coil", "lamp" or "" for a device that is no load of a control circuit.
    timed: True if position follows from more than coil and hand: time, count, a program. Such a device is no plain
    relay; a reading without times must refuse it. setting: the word for what is set on it ("timer", "counter",
    "overload", "starter"), or "" (`rungbook.kit.settings`).
    A device with a coil has no moves: its coil moves it.
    """

    name: str
    letter: str
    positions: tuple[str, ...]
    moves: tuple[Move, ...] = ()
    closed: Mapping[str, frozenset[str]] = field(default_factory=dict)
    load: str = ""
    momentary: bool = False  # springs back when the hand leaves it
    chart: Mapping[str, frozenset[str]] = field(default_factory=dict)
    timed: bool = False
    setting: str = ""

    @property
    def rest(self) -> str:
        """The position out of the box, not touched."""
        return self.positions[0]

    @property
    def operated(self) -> bool:
        """True if a person, or the plant, moves this device; False if a coil does or nothing can."""
        return bool(self.moves)

    def closed_in(self, contact: str, terminals: str = "") -> frozenset[str]:
        """Positions in which a contact of kind `contact` ("NO", "NC") on `terminals` ("" if not known) is closed.

        The chart decides if it names the terminals, else the kind of contact; empty for a contact the device has not.
        """
        if terminals in self.chart:
            return self.chart[terminals]
        return self.closed.get(contact, frozenset())


def _two(rest: str, away: str) -> Mapping[str, frozenset[str]]:
    """Contacts of a device with two positions: NC closed at rest, NO closed away from rest."""
    return MappingProxyType({NO_KIND: frozenset({away}), NC_KIND: frozenset({rest})})


def _table(*kinds: DeviceKind) -> Mapping[str, DeviceKind]:
    return MappingProxyType({kind.name: kind for kind in kinds})


#: The kinds that every room knows: with a symbol, and with positions that the Boolean reading can follow.
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
                setting="overload",
            ),
            DeviceKind("contactor", "Q", ("out", "in"), (), _two("out", "in"), "coil"),
            DeviceKind("control relay", "K", ("out", "in"), (), _two("out", "in"), "coil"),
            DeviceKind("pilot lamp", "P", ("dark", "lit"), (), {}, "lamp"),
            DeviceKind("motor", "M", ("standing", "running")),
            DeviceKind("control transformer", "T", ("dead", "live")),
        )
    }
)

#: Kinds that can be declared, set, and wired, but that not every room knows yet: symbol or behaviour is missing.
#: Letters of IEC 81346-2 (from memory): Q switches or varies a flow of energy (motor starter, soft starter),
#: T converts energy and keeps its kind (transformer, frequency converter), K processes signals, F protects.
MORE_KINDS: Mapping[str, DeviceKind] = _table(
    DeviceKind(
        "three-position selector",
        "S",
        ("off", "left", "right"),
        (
            Move("off", "left", "turn {tag} left", "{tag} was turned left"),
            Move("left", "off", "turn {tag} back from left", "{tag} was turned back from left"),
            Move("off", "right", "turn {tag} right", "{tag} was turned right"),
            Move("right", "off", "turn {tag} back from right", "{tag} was turned back from right"),
        ),
        MappingProxyType({NO_KIND: frozenset({"left", "right"}), NC_KIND: frozenset({"off"})}),
        chart=MappingProxyType(
            {
                "13-14": frozenset({"left"}),
                "23-24": frozenset({"right"}),
                "31-32": frozenset({"off", "right"}),
                "41-42": frozenset({"off", "left"}),
            }
        ),
    ),
    DeviceKind(
        "manual motor starter",
        "Q",
        ("off", "on", "tripped"),
        (
            Move("off", "on", "turn {tag} on", "{tag} was turned on"),
            Move("on", "off", "turn {tag} off", "{tag} was turned off"),
            Move("on", "tripped", "trip {tag}", "{tag} tripped"),
            Move("tripped", "off", "reset {tag}", "{tag} was reset"),
        ),
        MappingProxyType({NO_KIND: frozenset({"on"}), NC_KIND: frozenset({"off", "tripped"})}),
        chart=MappingProxyType({"97-98": frozenset({"tripped"}), "95-96": frozenset({"off", "on"})}),
        setting="starter",
    ),
    DeviceKind(
        "fuse",
        "F",
        ("intact", "blown"),
        (
            Move("intact", "blown", "blow {tag}", "{tag} blew"),
            Move("blown", "intact", "replace {tag}", "{tag} was replaced"),
        ),
        MappingProxyType({NC_KIND: frozenset({"intact"}), NO_KIND: frozenset[str]()}),
    ),
    DeviceKind("timer relay", "K", ("out", "in"), (), _two("out", "in"), "coil", timed=True, setting="timer"),
    DeviceKind("counter", "K", ("out", "in"), (), _two("out", "in"), "coil", timed=True, setting="counter"),
    DeviceKind(
        "soft starter",
        "Q",
        ("stopped", "ramping", "running", "fault"),
        (),
        MappingProxyType({NO_KIND: frozenset({"running"}), NC_KIND: frozenset({"stopped", "fault"})}),
        "coil",
        chart=MappingProxyType(
            {
                "13-14": frozenset({"ramping", "running"}),
                "23-24": frozenset({"running"}),
                "95-96": frozenset({"stopped", "ramping", "running"}),
            }
        ),
        timed=True,
    ),
    DeviceKind(
        "drive",
        "T",
        ("stopped", "running", "fault"),
        (),
        MappingProxyType({NO_KIND: frozenset({"running"}), NC_KIND: frozenset({"stopped", "fault"})}),
        timed=True,
    ),
    DeviceKind("programmable relay", "K", ("stopped", "running"), timed=True),
)

#: Every kind that a device may be of.
ALL_KINDS: Mapping[str, DeviceKind] = MappingProxyType({**KINDS, **MORE_KINDS})

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
        "T": "control transformer",
    }
)
