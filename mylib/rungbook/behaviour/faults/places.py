"""What stands on a board, for making faults: contacts, loads, wires, and errors that name what is not there."""

from __future__ import annotations

from dataclasses import replace

from rungbook.behaviour.board import Board
from rungbook.behaviour.wired import Rating, wire_up
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Contact, Load, Wired
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.kit.ratings import CONTACTOR_COIL, LAMP, RELAY_COIL, TIMER_COIL, CoilRating


def key(board: Board) -> object:
    """Equal for boards that differ in nothing but the numbers of wires other than the rails."""
    number = {LEFT_RAIL: LEFT_RAIL, RIGHT_RAIL: RIGHT_RAIL}
    items = tuple(
        (wired.item, *(number.setdefault(node, len(number) + 1) for node in (wired.left, wired.right)))
        for wired in board.items
    )
    health = (
        frozenset(board.held.items()),
        frozenset(board.stuck.items()),
        board.cut,
        board.blown,
        board.mechanical_interlock,
        board.welded,
    )
    fitted = frozenset((tag, rating) for tag, rating in board.ratings.items() if rating != usual_rating(board, tag))
    return items, health, tuple(board.devices.items()), board.supply, fitted


def check_board(board: object) -> None:
    """Raise LadderError if `board` is no Board."""
    if not isinstance(board, Board):
        raise LadderError("Fault", "is made for a Board", board, ("Board.of(ladder)",))


def all_nodes(board: Board) -> set[int]:
    """All wire numbers of `board`, the rails included."""
    check_board(board)
    return {LEFT_RAIL, RIGHT_RAIL}.union(*((wired.left, wired.right) for wired in board.items))


def known_node(board: Board, node: int) -> int:
    """Return `node`. Raises LadderError if there is no such wire."""
    if type(node) is not int or node not in all_nodes(board):
        raise LadderError("Fault", "no such wire on this board", node, tuple(map(str, sorted(all_nodes(board)))))
    return node


def renumber(board: Board, old: int, new: int) -> Board:
    """All that is on wire `old` is on wire `new`."""
    items = (
        replace(w, left=new if w.left == old else w.left, right=new if w.right == old else w.right) for w in board.items
    )
    return replace(board, items=tuple(items))


def blow(board: Board) -> Board:
    """The board; its fuse is blown if the supply is shorted with every device at rest."""
    return board if short_path(board) is None else replace(board, blown=True)


def short_path(board: Board) -> tuple[str, ...] | None:
    """Names of the contacts that, at rest, join the left rail to the right; None if they do not."""
    contacts = iter(board.contacts)
    resting = {}
    for place, contact in enumerate(contacts):
        device = board.devices[contact.device]
        position = board.stuck.get(contact.device, device.spec.rest)
        resting[place] = board.held.get(place, position in device.spec.closed_in(contact.kind, contact.terminals))
    wired = wire_up(wired for wired in board.items if isinstance(wired.item, Contact))
    links = dict(zip(wired.contacts.values(), board.contacts, strict=True))
    closed = frozenset(link for place, link in enumerate(links) if resting[place])
    path = wired.network.path(closed, LEFT_RAIL, RIGHT_RAIL)
    return tuple(short_name(links[link]) for link in path) or None


def short_name(contact: Contact) -> str:
    """The contact in few letters: "NC S1"."""
    return " ".join(filter(None, (contact.kind, contact.device, contact.terminals)))


def name_of(board: Board, place: int) -> str:
    """ "the contact NO Q1 at wires 3–4", "the coil Q1 at wires 5–2"; with a number if there are more like it."""
    wired = item_at(board, place)
    what = (
        f"contact {short_name(wired.item)}"
        if isinstance(wired.item, Contact)
        else (f"{wired.item.kind} {wired.item.device}")
    )
    like = [k for k, other in enumerate(board.items) if other == wired]
    number = f" (number {like.index(place) + 1} of {len(like)})" if len(like) > 1 else ""
    return f"the {what} at wires {wired.left}–{wired.right}{number}"


def item_at(board: Board, place: int) -> Wired:
    """The item at `place`. Raises LadderError if there is none."""
    check_board(board)
    if type(place) is not int or not 0 <= place < len(board.items):
        raise LadderError("Fault", "no item at this place", place, (f"0 to {len(board.items) - 1}",))
    return board.items[place]


def contact_at(board: Board, place: int) -> Contact:
    """The contact at `place` among the contacts. Raises LadderError if there is none."""
    check_board(board)
    if type(place) is not int or not 0 <= place < len(board.contacts):
        choices = tuple(f"{k} {short_name(contact)}" for k, contact in enumerate(board.contacts))
        raise LadderError("Fault", "no contact at this place", place, choices)
    return board.contacts[place]


def contact_name(board: Board, place: int) -> str:
    """The contact with its wires, for a sentence."""
    contact_at(board, place)
    return name_of(board, [k for k, wired in enumerate(board.items) if isinstance(wired.item, Contact)][place])


def load_of(board: Board, tag: str) -> Load:
    """The load `tag`. Raises LadderError if there is none."""
    check_board(board)
    for load in board.loads:
        if load.name == tag:
            return load
    raise LadderError("Fault", "no such coil or lamp here", tag, tuple(load.name for load in board.loads))


def device_of(board: Board, tag: str) -> Device:
    """The device `tag`. Raises LadderError if there is none."""
    check_board(board)
    if not isinstance(tag, str) or tag not in board.devices:
        raise LadderError("Fault", "no such device on this board", tag, tuple(board.devices))
    return board.devices[tag]


def usual_rating(board: Board, tag: str) -> Rating:
    """The rating of the kit's coil, input or lamp `tag` (`Load.name`)."""
    device = board.devices[tag.split()[0]]
    if device.spec.load == "lamp":
        return LAMP
    return TIMER_COIL if device.spec.timed else RELAY_COIL if tag[0] == "K" else CONTACTOR_COIL


def coil_rating(board: Board, tag: str) -> CoilRating:
    """The rating of the coil of `tag`: its own, or the usual one of its kind, as the timeline takes it."""
    if load_of(board, tag).kind != "coil":
        coils = tuple(load.device for load in board.loads if load.kind == "coil")
        raise LadderError("Fault", f"{tag} has no coil", tag, coils)
    rating = board.ratings.get(tag, usual_rating(board, tag))
    assert isinstance(rating, CoilRating)  # a board with a lamp's rating on a coil cannot be wired up
    return rating
