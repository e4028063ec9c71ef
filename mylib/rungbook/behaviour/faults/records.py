"""Faults as records: what is wrong, in one sentence, and the board that it makes of a sound one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal, TypeVar

from rungbook.behaviour.board import Board
from rungbook.behaviour.faults.places import (
    all_nodes,
    blow,
    check_board,
    coil_rating,
    contact_at,
    device_of,
    item_at,
    key,
    known_node,
    load_of,
    renumber,
    short_name,
)
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Contact
from rungbook.errors import LadderError
from rungbook.kit.ratings import CoilRating

End = Literal["left", "right"]
ENDS: tuple[End, End] = ("left", "right")
F = TypeVar("F", bound="Fault")


@dataclass(frozen=True)
class Fault:
    """What all faults have: `device` (designation, "" for a wire, "supply"), `kind` for a list, one `sentence`."""

    device: str
    kind: str
    sentence: str

    def describe(self) -> str:
        """The sentence, with a capital and a full stop."""
        return full(self.sentence)

    def apply(self, board: Board) -> Board:
        """Return `board` with this fault; `board` stays as it is.

        If the supply is then shorted with every device at rest, its fuse is blown.
        Raises LadderError if the device, place or wire is not there, or the fault changes nothing.
        """
        check_board(board)
        found = blow(self._on(board))
        if key(found) == key(board):
            raise LadderError(f"Fault on {board.title!r}", f"this changes nothing: {self.sentence}", self.kind)
        return found

    def _on(self, board: Board) -> Board:
        raise NotImplementedError


@dataclass(frozen=True)
class HeldContact(Fault):
    """The contact at `place` among the contacts is always `closed`, or never."""

    place: int
    closed: bool

    def _on(self, board: Board) -> Board:
        if contact_at(board, self.place).device != self.device:
            there = short_name(board.contacts[self.place])
            raise LadderError("Fault", f"the contact at this place is none of {self.device}", self.place, (there,))
        return replace(board, held=MappingProxyType({**board.held, self.place: self.closed}))


@dataclass(frozen=True)
class StuckDevice(Fault):
    """The device cannot leave `position`."""

    position: str

    def _on(self, board: Board) -> Board:
        device_of(board, self.device)
        return replace(board, stuck=MappingProxyType({**board.stuck, self.device: self.position}))


@dataclass(frozen=True)
class OpenLoad(Fault):
    """No current flows through the coil, input or lamp `load` (`Load.name`)."""

    load: str

    def _on(self, board: Board) -> Board:
        load_of(board, self.load)
        ratings = {name: rating for name, rating in board.ratings.items() if name != self.load}
        return replace(board, cut=board.cut | {self.load}, ratings=MappingProxyType(ratings))


@dataclass(frozen=True)
class MovedEnd(Fault):
    """The `end` of the item at `place` among the items is on wire `node`; None: lifted off, on a wire of its own."""

    place: int
    end: End
    node: int | None

    def _on(self, board: Board) -> Board:
        wired = item_at(board, self.place)
        if self.end not in ("left", "right"):
            raise LadderError("Fault", "an item has two ends", self.end, ("left", "right"))
        node = max(all_nodes(board)) + 1 if self.node is None else known_node(board, self.node)
        if node == (wired.right if self.end == "left" else wired.left):
            raise LadderError("Fault", "both ends of an item cannot be on one wire; an open wire is enough", node)
        moved = replace(wired, left=node) if self.end == "left" else replace(wired, right=node)
        return replace(board, items=(*board.items[: self.place], moved, *board.items[self.place + 1 :]))


@dataclass(frozen=True)
class OtherContact(Fault):
    """`contact` of the same device is wired at `place` among the items: an NO for an NC, or an NC for an NO."""

    place: int
    contact: Contact

    def _on(self, board: Board) -> Board:
        wired = item_at(board, self.place)
        if not isinstance(wired.item, Contact) or wired.item.device != self.contact.device:
            raise LadderError("Fault", f"the item at this place is no contact of {self.contact.device}", self.place)
        device = device_of(board, self.contact.device)
        if not device.spec.closed_in(self.contact.kind):
            raise LadderError(
                "Fault", f"{device.tag} has no such contact", self.contact.kind, tuple(device.spec.closed)
            )
        other = replace(wired, item=self.contact)
        return replace(board, items=(*board.items[: self.place], other, *board.items[self.place + 1 :]))


@dataclass(frozen=True)
class BrokenInterlock(Fault):
    """The mechanical interlock `pair` does not act."""

    pair: tuple[str, str]

    def _on(self, board: Board) -> Board:
        kept = tuple(pair for pair in board.mechanical_interlock if pair != self.pair)
        if kept == board.mechanical_interlock:
            choices = tuple(map("–".join, board.mechanical_interlock))
            raise LadderError("Fault", "no such mechanical interlock here", self.pair, choices)
        return replace(board, mechanical_interlock=kept)


@dataclass(frozen=True)
class OpenRail(Fault):
    """Rail `node` has lost the supply; whatever is wired to it is still joined to one another."""

    node: int

    def _on(self, board: Board) -> Board:
        return renumber(board, self.node, max(all_nodes(board)) + 1)


@dataclass(frozen=True)
class GroundedNode(Fault):
    """Wire `node` is joined to the right rail, which is grounded."""

    node: int

    def _on(self, board: Board) -> Board:
        found = renumber(board, known_node(board, self.node), RIGHT_RAIL)
        return replace(found, blown=True) if self.node == LEFT_RAIL else found


@dataclass(frozen=True)
class BlownFuse(Fault):
    """The fuse of the control supply is gone."""

    def _on(self, board: Board) -> Board:
        return replace(board, blown=True)


@dataclass(frozen=True)
class WrongSetting(Fault):
    """`setting` is set on the device."""

    setting: str

    def _on(self, board: Board) -> Board:
        device = replace(device_of(board, self.device), setting=self.setting)
        return replace(board, devices=MappingProxyType({**board.devices, self.device: device}))


@dataclass(frozen=True)
class WrongCoil(Fault):
    """A coil of another `rating` is fitted."""

    rating: CoilRating

    def _on(self, board: Board) -> Board:
        if self.device in board.cut:
            raise LadderError("Fault", f"the coil of {self.device} is open: another one changes nothing", self.device)
        coil_rating(board, self.device)
        return replace(board, ratings=MappingProxyType({**board.ratings, self.device: self.rating}))


def full(sentence: str) -> str:
    """The sentence with a capital and a full stop."""
    return f"{sentence[0].upper()}{sentence[1:]}."
