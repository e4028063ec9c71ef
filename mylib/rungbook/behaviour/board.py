"""A board: contacts and loads as they are really wired, with what is wrong with them. What a timeline starts from.

A sound board is `Board.of(ladder)`. A fault is another board: one wire on another node, one contact held, one device
stuck. So a faulty circuit runs through the same engine as a sound one, and can itself get a second fault.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from rungbook.behaviour.wired import Rating
from rungbook.circuit import Contact, Ladder, Load, Wire, Wired, read_wires, wired_items
from rungbook.errors import LadderError
from rungbook.kit import Device, Kit
from rungbook.kit.ratings import SUPPLY, SupplyRating


def _nothing() -> Mapping[int, bool]:
    return MappingProxyType({})


@dataclass(frozen=True)
class Board:
    """Wired contacts and loads, their devices, and their state of health.

    title: for sentences. items: contacts and loads between nodes (left rail 1, right rail 2). devices: designation ->
    device. supply: the control supply. ratings: designation -> rating of a coil or lamp, where it is not the kit's
    usual one. held: place of a contact among the contacts -> True if it is always closed, False if it never closes.
    stuck: designation -> position it cannot leave. cut: names of loads that are open inside (no current flows
    through them). blown: True if the fuse of the control supply is gone. mechanical_interlock: pairs of contactors; the
    armature of either cannot come in while the other's is in or its main poles are welded, whatever the coil gets.
    welded: contactors with a main pole that stays closed while armature and auxiliary contacts drop out.

    Raises LadderError if a device is missing, a position is none of its device, a place or a load is not there, or a
    mechanical interlock does not sit on two coils of this board.
    """

    title: str
    items: tuple[Wired, ...]
    devices: Mapping[str, Device]
    supply: SupplyRating = SUPPLY
    ratings: Mapping[str, Rating] = field(default_factory=lambda: MappingProxyType({}))
    held: Mapping[int, bool] = field(default_factory=_nothing)
    stuck: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    cut: frozenset[str] = frozenset()
    blown: bool = False
    mechanical_interlock: tuple[tuple[str, str], ...] = ()
    welded: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        for wired in self.items:
            if wired.item.device not in self.devices:
                raise LadderError("Board", f"no device {wired.item.device}", wired.item.device, tuple(self.devices))
        for tag, position in self.stuck.items():
            if tag not in self.devices:
                raise LadderError("Board", f"no device {tag} that could be stuck", tag, tuple(self.devices))
            if position not in self.devices[tag].spec.positions:
                words = self.devices[tag].spec.positions
                raise LadderError("Board", f"{tag} has no such position to be stuck in", position, words)
        count = len(self.contacts)
        for place in self.held:
            if not 0 <= place < count:
                raise LadderError("Board", "no contact at this place", place, (f"0 to {count - 1}",))
        for name in self.cut:
            if name not in {load.name for load in self.loads}:
                raise LadderError("Board", f"no load {name} here", name, tuple(load.name for load in self.loads))
        coils = tuple(load.device for load in self.loads if load.kind == "coil")
        for pair in self.mechanical_interlock:
            if not isinstance(pair, tuple) or len(pair) != 2 or pair[0] == pair[1] or not set(pair) <= set(coils):
                raise LadderError(
                    "Board", "a mechanical interlock sits on two different coils of the board", pair, coils
                )
        for tag in self.welded:
            if tag not in coils:
                raise LadderError("Board", f"no contactor {tag} here whose poles could be welded", tag, coils)

    @property
    def contacts(self) -> tuple[Contact, ...]:
        """The contacts, in the order of the items; their places are those of `held`."""
        return tuple(wired.item for wired in self.items if isinstance(wired.item, Contact))

    @property
    def loads(self) -> tuple[Load, ...]:
        """The loads, in the order of the items."""
        return tuple(wired.item for wired in self.items if isinstance(wired.item, Load))

    def bars(self, tag: str) -> tuple[str, ...]:
        """Contactors that hold the armature of `tag` out by a mechanical interlock while they are in."""
        return tuple(other for pair in self.mechanical_interlock for mine, other in (pair, pair[::-1]) if mine == tag)

    @classmethod
    def of(cls, ladder: Ladder, devices: Iterable[Device] = (), supply: SupplyRating = SUPPLY) -> Board:
        """Return the sound board of `ladder`, wired by its wire numbers; a contact that rungs share is on it once.

        devices: kinds of devices, over those that the ladder knows. Raises LadderError as `Ladder.validate`.
        """
        ladder.validate()
        known = dict(ladder.devices) | {device.tag: device for device in devices}
        return cls(ladder.title, wired_items(ladder), MappingProxyType(known), supply)

    @classmethod
    def from_wires(
        cls, title: str, wires: Iterable[Wire | tuple[str, str]], kit: Kit, devices: Iterable[Device] = ()
    ) -> Board:
        """Return the board that a wire list makes on a kit, whether or not the circuit makes sense.

        wires: pairs of terminals such as ("X1", "S1:11"). devices: settings and plates of devices, over the bare kit.
        Raises LadderError as `read_wires`: unknown terminal, too many wires on one, a coil with one end in the air, a
        supply shorted by wires alone.
        """
        items = read_wires(wires, kit)
        known = {tag: Device(tag, fitted.model.kind) for tag, fitted in kit.devices.items()}
        known |= {device.tag: device for device in devices}
        used = dict.fromkeys(wired.item.device for wired in items)
        return cls(title, items, MappingProxyType({tag: known[tag] for tag in used}))
