"""One function a kind of fault: each refuses what cannot be on the board given."""

from __future__ import annotations

from dataclasses import replace

from rungbook.behaviour.board import Board
from rungbook.behaviour.faults.places import (
    blow,
    coil_rating,
    contact_name,
    device_of,
    item_at,
    load_of,
    name_of,
    short_path,
)
from rungbook.behaviour.faults.records import (
    BlownFuse,
    BrokenInterlock,
    End,
    F,
    Fault,
    GroundedNode,
    HeldContact,
    MovedEnd,
    OpenLoad,
    OpenRail,
    OtherContact,
    StuckDevice,
    WrongCoil,
    WrongSetting,
)
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Contact
from rungbook.errors import LadderError

_SHORTED = 0.5  # what is left of a coil whose turns are burnt through [ohm]


def welded_contact(board: Board, place: int) -> HeldContact:
    """One contact, number `place` among the contacts, held closed. All functions here raise as `Fault.apply`."""
    told = f"{contact_name(board, place)} is welded"
    return _made(board, HeldContact(board.contacts[place].device, "welded contact", told, place, True))


def dead_contact(board: Board, place: int) -> HeldContact:
    """One contact, number `place` among the contacts, that never closes: dirt, a burnt tip."""
    told = f"{contact_name(board, place)} does not close"
    return _made(board, HeldContact(board.contacts[place].device, "dead contact", told, place, False))


def welded_contactor(board: Board, tag: str) -> StuckDevice:
    """A main pole (of a relay: a contact) is welded and holds the whole armature in.

    All NO contacts are closed, and the NC contacts stay open: mirror contacts, IEC 60947-4-1 annex F (from memory).
    """
    device = device_of(board, tag)
    if device.spec.load != "coil":
        having = tuple(other.tag for other in board.devices.values() if other.spec.load == "coil")
        raise LadderError("Fault", f"{tag} has no coil", tag, having)
    what = "a main pole" if device.kind == "contactor" else "a contact"
    told = f"{what} of {tag} is welded, so its armature stays in"
    return _made(board, StuckDevice(tag, "welded contactor", told, "in"))


def wrong_contact(board: Board, place: int) -> OtherContact:
    """At `place` among the contacts the device's contact of the other kind is wired: NO for NC, NC for NO."""
    name, contact = contact_name(board, place), board.contacts[place]
    kind = "NO" if contact.kind == "NC" else "NC"
    items = [k for k, wired in enumerate(board.items) if isinstance(wired.item, Contact)]
    told = f"{name} is wired on {kind} terminals of {contact.device}"
    return _made(
        board, OtherContact(contact.device, "wrong contact", told, items[place], Contact(contact.device, kind))
    )


def broken_interlock(board: Board, pair: tuple[str, str]) -> BrokenInterlock:
    """The mechanical interlock between two contactors does not act: a broken pin, a plate left out."""
    told = f"the mechanical interlock between {' and '.join(pair)} does not act"
    return _made(board, BrokenInterlock(pair[0], "broken interlock", told, pair))


def stuck_device(board: Board, tag: str, position: str) -> StuckDevice:
    """A button, selector, switch or armature that stays in `position`; an overload relay that does not trip."""
    device = device_of(board, tag)
    kind, told = "stuck device", f"{tag} is stuck and stays {position}"
    if device.kind == "overload relay" and position == device.spec.rest:
        kind, told = "dead overload relay", f"the overload relay {tag} does not trip"
    elif device.kind == "fuse" and position == "blown":
        kind, told = "blown fuse", f"the fuse {tag} is blown"
    if device.spec.load == "lamp":
        raise LadderError("Fault", f"a lamp does not stick; {tag} can be burnt out", tag, ("open_load",))
    return _made(board, StuckDevice(tag, kind, told, position))


def open_load(board: Board, name: str) -> OpenLoad:
    """An open coil, a burnt-out lamp; `name` is `Load.name`, such as "Q1", or "K5 reset" for an open reset input."""
    load = load_of(board, name)
    if load.kind == "lamp":
        return _made(board, OpenLoad(name, "burnt-out lamp", f"the lamp {name} is burnt out", name))
    what = "coil" if load.kind == "coil" else f"{load.kind} input"
    return _made(board, OpenLoad(load.device, f"open {what}", f"the {what} of {load.device} is open", name))


def shorted_coil(board: Board, tag: str) -> WrongCoil:
    """A coil shorted by burnt turns, to half an ohm: it does not pull in, and the fuse melts when it gets voltage."""
    old = coil_rating(board, tag)
    power = old.volts**2 / _SHORTED
    rating = replace(old, inrush_va=power, sealed_va=power)
    return _made(board, WrongCoil(tag, "shorted coil", f"the coil of {tag} is shorted", rating))


def open_wire(board: Board, place: int, end: End) -> MovedEnd:
    """The wire at one `end` of the item number `place` among the items (contacts and loads) has come off."""
    told = f"the wire on the {end} of {name_of(board, place)} is open"
    return _made(board, MovedEnd(item_at(board, place).item.device, "open wire", told, place, end, None))


def wrong_terminal(board: Board, place: int, end: End, node: int) -> MovedEnd:
    """One `end` of an item is on another wire that is there; a short at rest blows the fuse, as `wire_to_ground`."""
    wired = item_at(board, place)
    told = f"the {end} end of {name_of(board, place)} is on wire {node} instead of {getattr(wired, str(end), '')}"
    fault = MovedEnd(wired.item.device, "wrong terminal", told, place, end, node)
    return _made(board, replace(fault, sentence=told + _tell_short(board, fault)))


def open_rail(board: Board, node: int) -> OpenRail:
    """The left rail (wire 1) or the right rail (wire 2, an open neutral) is parted from the supply."""
    if node not in (LEFT_RAIL, RIGHT_RAIL):
        raise LadderError("Fault", "no such rail", node, (f"{LEFT_RAIL} (left)", f"{RIGHT_RAIL} (right)"))
    name = "left" if node == LEFT_RAIL else "right"
    return _made(board, OpenRail("supply", "open rail", f"the {name} rail, wire {node}, is open at the supply", node))


def wire_to_ground(board: Board, node: int) -> GroundedNode:
    """Wire `node` touches ground, and so the right rail.

    Loads between it and the right rail get no voltage. Where contacts that are closed at rest lead to it from the left
    rail it is a short of the supply: its fuse blows, and the sentence names the path. Where other contacts lead to it,
    the short comes when they close.
    """
    if node == RIGHT_RAIL:
        raise LadderError("Fault", "the right rail is grounded already, so this changes nothing", node)
    told = f"wire {node} touches ground"
    fault = GroundedNode("", "wire to ground", told, node)
    return _made(board, replace(fault, sentence=told + _tell_short(board, fault)))


def blown_fuse(board: Board) -> BlownFuse:
    """The fuse of the control supply is blown."""
    return _made(board, BlownFuse("supply", "blown fuse", "the fuse of the control supply is blown"))


def wrong_setting(board: Board, tag: str, setting: str) -> WrongSetting:
    """A timer, counter or overload relay with another `setting` (forms: `rungbook.kit.settings`)."""
    device = device_of(board, tag)
    told = f"{tag} is set to {setting or 'nothing'} instead of {device.setting or 'nothing'}"
    return _made(board, WrongSetting(tag, "wrong setting", told, setting))


def wrong_coil(board: Board, tag: str, volts: float) -> WrongCoil:
    """A coil for another voltage `volts` [V], of the same power: on the lower voltage it does not pull in."""
    if isinstance(volts, bool) or not isinstance(volts, int | float) or not 0 < volts <= 1000:
        raise LadderError("Fault", "the rated voltage of a coil is above 0, up to 1000 V", volts)
    old = coil_rating(board, tag)
    told = f"the coil of {tag} is one for {volts:g} V instead of {old.volts:g} V"
    return _made(board, WrongCoil(tag, "wrong coil", told, replace(old, volts=float(volts))))


def _tell_short(board: Board, fault: Fault) -> str:
    found = blow(fault._on(board))
    if board.blown or not found.blown:
        return ""
    path = short_path(found)
    over = f" over {', '.join(path)}" if path else ""
    return f": a short of the supply{over}, so its fuse blows"


def _made(board: Board, fault: F) -> F:
    fault.apply(board)  # raises if it cannot be, or changes nothing
    return fault
