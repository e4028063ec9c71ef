"""What a kit holds, piece by piece: each device, and each accessory as a piece of its own, for it can be lost alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rungbook.errors import LadderError
from rungbook.kit.catalogue import CATALOGUE
from rungbook.kit.inventory import Fitted, Kit
from rungbook.kit.models import Model


@dataclass(frozen=True)
class Piece:
    """One piece of a kit. name: "Q1", "Q1 auxiliary block 2 NO + 2 NC", or "Q1+Q2 mechanical interlock"; unique in the
    kit. model: its name in the catalogue."""

    name: str
    model: str

    def __post_init__(self) -> None:
        if not isinstance(self.name, str) or not self.name.strip() or "\n" in self.name or len(self.name) > 100:
            raise LadderError("Piece", "a name is one line of 1 to 100 characters", self.name, ("Q1", "S2"))
        if self.model not in CATALOGUE:
            raise LadderError(f"Piece {self.name}", "no such model in the catalogue", self.model, tuple(CATALOGUE))


def pieces(kit: Kit) -> tuple[Piece, ...]:
    """Return the pieces of `kit`: devices in its order, each followed by its accessories.

    An accessory that sits on several devices is one piece, listed at the first of them. Raises LadderError if `kit` is
    none.
    """
    if not isinstance(kit, Kit):
        raise LadderError("pieces", "lists what a Kit holds", kit, ("TRAINING_KIT",))
    found: list[Piece] = []
    for tag, fitted in kit.devices.items():
        found.append(Piece(tag, fitted.model.name))
        for extra in fitted.accessories:
            sharing = _sharing(kit.devices, extra)
            if extra.joins == 1:
                found.append(Piece(f"{tag} {extra.name}", extra.name))
            elif sharing.index(tag) % extra.joins == 0:
                first = sharing.index(tag)
                found.append(Piece(f"{'+'.join(sharing[first : first + extra.joins])} {extra.name}", extra.name))
    return tuple(found)


def _sharing(devices: Mapping[str, Fitted], extra: Model) -> list[str]:
    """The devices that carry `extra`, in the kit's order."""
    return [tag for tag, fitted in devices.items() if extra in fitted.accessories]
