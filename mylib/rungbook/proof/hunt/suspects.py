"""Which faults a hunt can be about, their numbers, and the words with which an answer names them.

The suspects are the single faults of the board (`behaviour.faults.single_faults`) that happen to a board that worked
before: open wires, contacts, coils, lamps, fuse, rails, a wire to ground, devices that stick; and an overload relay
that has tripped and does not reset. `built=True` adds the mistakes of building: a wire on a wrong terminal, a contact
of the other kind, a coil for another voltage.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from dataclasses import replace

from rungbook.behaviour import Board
from rungbook.behaviour.faults import (
    ENDS,
    BlownFuse,
    BrokenInterlock,
    Fault,
    GroundedNode,
    HeldContact,
    MovedEnd,
    OpenLoad,
    OpenRail,
    OtherContact,
    StuckDevice,
    WrongCoil,
    open_wire,
    single_faults,
    stuck_device,
)
from rungbook.behaviour.faults.places import key
from rungbook.circuit import Contact
from rungbook.errors import LadderError
from rungbook.proof.hunt.leads import RAILS, Leads

BUILDING = ("wrong terminal", "wrong contact", "wrong coil", "wrong setting")  # faults of a board that never worked
SUPPLY, WIRE = "supply", "wire"


def suspects(board: Board, *, built: bool = False) -> tuple[Fault, ...]:
    """Every fault that a hunt on the sound `board` can be about, in a fixed order. built: mistakes of building too."""
    found = [fault for fault in single_faults(board) if built or fault.kind not in BUILDING]
    for tag, device in board.devices.items():
        if device.kind == "overload relay" and any(contact.device == tag for contact in board.contacts):
            tripped = stuck_device(board, tag, "tripped")
            found.append(replace(tripped, kind="tripped overload relay", sentence=f"{tag} has tripped and stays so"))
    return tuple(found)


def number_of(fault: Fault, board: Board) -> int:
    """The number of `fault` of the sound `board` in a sealed token: 0 to 2**32 - 1, from its words alone.

    So a token means the same fault whatever else a later catalogue knows. Designations count by the order in which they
    appear on the board, so that it also means the same fault in a variant with other designations.
    """
    order = {tag: f"#{k}" for k, tag in enumerate(dict.fromkeys(wired.item.device for wired in board.items))}
    told = "\0".join((fault.device, fault.kind, fault.sentence))
    told = re.sub(r"\b[A-Z]\d+\b", lambda found: order.get(found[0], found[0]), told)
    return int.from_bytes(hashlib.sha256(told.encode()).digest()[:4], "big")


class Claims:
    """The answers that can be given: (device, words) -> the faults so named.

    Devices are designations, "supply" (its fuse, the rails at X1 and X2) and "wire 4" (a wire that touches ground).
    """

    def __init__(self, board: Board, leads: Leads, faults: Iterable[Fault]) -> None:
        self.named: dict[tuple[str, str], list[Fault]] = {}
        known = {key(fault.apply(board)): fault for fault in faults}
        for fault in known.values():
            self._add(_words(board, leads, fault), fault)
        for place in range(len(board.items)):  # a wire between two terminals is one open wire, from either end
            for end in ENDS:
                try:
                    lifted = open_wire(board, place, end)
                except LadderError:  # it hangs on nothing else
                    continue
                if (same := known.get(key(lifted.apply(board)))) is not None:
                    self._add(_words(board, leads, lifted), same)
        self._plain = {(device.casefold(), _clean(words)): (device, words) for device, words in self.named}

    def _add(self, name: tuple[str, str], fault: Fault) -> None:
        faults = self.named.setdefault(name, [])
        if fault not in faults:
            faults.append(fault)

    @property
    def devices(self) -> tuple[str, ...]:
        """The devices that an answer can name."""
        return tuple(dict.fromkeys(device for device, _ in self.named))

    def of(self, device: str) -> tuple[str, ...]:
        """The words for the faults of `device`. Raises LadderError if no answer can name it."""
        found = tuple(words for tag, words in self.named if tag.casefold() == " ".join(str(device).split()).casefold())
        if not found:
            raise LadderError("Claim", "no fault here belongs to this device", device, self.devices)
        return found

    def read(self, device: object, words: object) -> tuple[str, str]:
        """Return device and words as they are listed. Capitals and "the" do not matter.

        Raises LadderError if no fault is so named (the legal words for the device are listed).
        """
        if not isinstance(device, str):
            raise LadderError("Claim", "names a device", device, self.devices)
        choices = self.of(device)
        found = self._plain.get((" ".join(device.split()).casefold(), _clean(words)))
        if found is None:
            raise LadderError(f"Claim on {device}", "no such fault here", words, choices)
        return found

    def faults(self, claim: tuple[str, str]) -> tuple[Fault, ...]:
        """The faults that a claim, as `read` returns it, names."""
        return tuple(self.named[claim])

    def names(self, fault: Fault) -> tuple[tuple[str, str], ...]:
        """Every way to name `fault`."""
        return tuple(name for name, faults in self.named.items() if fault in faults)


def _clean(words: object) -> str:
    """Words as typed, without capitals, "the", and a full stop; "" for anything that is no text."""
    if not isinstance(words, str):
        return ""
    return " ".join(word for word in words.casefold().rstrip(". ").split() if word != "the")


def _words(board: Board, leads: Leads, fault: Fault) -> tuple[str, str]:
    """Device and words of `fault`."""
    tag = fault.device
    if isinstance(fault, HeldContact):
        return tag, f"contact {_pair(leads, _item(board, fault.place))} stays {'closed' if fault.closed else 'open'}"
    if isinstance(fault, OtherContact):
        return tag, f"contact {_pair(leads, fault.place)} is wired on {fault.contact.kind} terminals"
    if isinstance(fault, MovedEnd):
        place = 0 if fault.end == "left" else 1
        end = leads.pairs[fault.place][place].partition(":")[2]
        return tag, f"wire at {end} is open" if fault.node is None else f"{end} is on wire {fault.node}"
    if isinstance(fault, StuckDevice):
        coil = board.devices[tag].spec.load == "coil"
        return tag, f"armature stays {fault.position}" if coil else f"stays {fault.position}"
    if isinstance(fault, OpenLoad):
        word = "lamp is burnt out" if fault.kind == "burnt-out lamp" else "coil is open"
        return tag, word
    if isinstance(fault, WrongCoil):
        return tag, "coil is shorted" if fault.kind == "shorted coil" else f"coil is one for {fault.rating.volts:g} V"
    if isinstance(fault, OpenRail):
        rail = next(name for name, node in RAILS.items() if node == fault.node)
        return SUPPLY, f"wire at {rail} is open"
    if isinstance(fault, BlownFuse):
        return SUPPLY, "fuse is blown"
    if isinstance(fault, GroundedNode):
        return f"{WIRE} {fault.node}", "touches ground"
    if isinstance(fault, BrokenInterlock):
        return tag, "mechanical interlock does not act"
    return tag, fault.sentence  # a kind of fault that the catalogue has and this list does not know yet


def _item(board: Board, place: int) -> int:
    """Place among the items of the contact that is number `place` among the contacts."""
    return [k for k, wired in enumerate(board.items) if isinstance(wired.item, Contact)][place]


def _pair(leads: Leads, place: int) -> str:
    left, right = sorted(name.partition(":")[2] for name in leads.pairs[place])
    return f"{left}-{right}"
