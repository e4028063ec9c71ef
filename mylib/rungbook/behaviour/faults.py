"""Faults to inject: each is a small record that turns a board, or a power circuit, into one with that fault.

    fault = welded_contact(board, 2)
    fault.sentence            "the contact NO Q1 at wires 3–4 is welded"
    Timeline(fault.apply(board))

A fault is made for a board by one of the functions below, which refuse what cannot be; its sentence speaks of the wires
of that board. `apply` is pure, so a faulty board can get a second fault. Wire numbers: left rail 1, right rail 2 (the
grounded conductor).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import combinations
from types import MappingProxyType
from typing import Literal, TypeVar

from rungbook.behaviour.board import Board
from rungbook.behaviour.power import PowerFaults, energise
from rungbook.behaviour.wired import Rating, wire_up
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Contact, Load, Wired
from rungbook.circuit.power import LINES, TERMINALS, PowerCircuit, PowerMotor
from rungbook.errors import LadderError
from rungbook.kit import Device, OverloadSetting, TimerSetting, parse_setting
from rungbook.kit.ratings import CONTACTOR_COIL, LAMP, RELAY_COIL, TIMER_COIL, CoilRating
from rungbook.kit.settings import MAX_MILLISECONDS

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
        return _full(self.sentence)

    def apply(self, board: Board) -> Board:
        """Return `board` with this fault; `board` stays as it is.

        If the supply is then shorted with every device at rest, its fuse is blown.
        Raises LadderError if the device, place or wire is not there, or the fault changes nothing.
        """
        _check(board)
        found = _blow(self._on(board))
        if _key(found) == _key(board):
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
        if _contact(board, self.place).device != self.device:
            there = _short_name(board.contacts[self.place])
            raise LadderError("Fault", f"the contact at this place is none of {self.device}", self.place, (there,))
        return replace(board, held=MappingProxyType({**board.held, self.place: self.closed}))


@dataclass(frozen=True)
class StuckDevice(Fault):
    """The device cannot leave `position`."""

    position: str

    def _on(self, board: Board) -> Board:
        _device(board, self.device)
        return replace(board, stuck=MappingProxyType({**board.stuck, self.device: self.position}))


@dataclass(frozen=True)
class OpenLoad(Fault):
    """No current flows through the coil, input or lamp `load` (`Load.name`). An armature that nothing moves stays."""

    load: str

    def _on(self, board: Board) -> Board:
        load = _load(board, self.load)
        stuck, ratings = dict(board.stuck), dict(board.ratings)
        if load.kind == "coil" and not board.devices[load.device].spec.timed:
            stuck.setdefault(load.device, "out")
        ratings.pop(self.load, None)
        return replace(
            board,
            cut=board.cut | {self.load},
            stuck=MappingProxyType(stuck),
            ratings=MappingProxyType(ratings),
        )


@dataclass(frozen=True)
class MovedEnd(Fault):
    """The `end` of the item at `place` among the items is on wire `node`; None: lifted off, on a wire of its own."""

    place: int
    end: End
    node: int | None

    def _on(self, board: Board) -> Board:
        wired = _item(board, self.place)
        if self.end not in ("left", "right"):
            raise LadderError("Fault", "an item has two ends", self.end, ("left", "right"))
        node = max(_nodes(board)) + 1 if self.node is None else _node(board, self.node)
        if node == (wired.right if self.end == "left" else wired.left):
            raise LadderError("Fault", "both ends of an item cannot be on one wire; an open wire is enough", node)
        moved = replace(wired, left=node) if self.end == "left" else replace(wired, right=node)
        return replace(board, items=(*board.items[: self.place], moved, *board.items[self.place + 1 :]))


@dataclass(frozen=True)
class OpenRail(Fault):
    """Rail `node` has lost the supply; whatever is wired to it is still joined to one another."""

    node: int

    def _on(self, board: Board) -> Board:
        return _renumber(board, self.node, max(_nodes(board)) + 1)


@dataclass(frozen=True)
class GroundedNode(Fault):
    """Wire `node` is joined to the right rail, which is grounded."""

    node: int

    def _on(self, board: Board) -> Board:
        found = _renumber(board, _node(board, self.node), RIGHT_RAIL)
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
        device = replace(_device(board, self.device), setting=self.setting)
        return replace(board, devices=MappingProxyType({**board.devices, self.device: device}))


@dataclass(frozen=True)
class WrongCoil(Fault):
    """A coil of another `rating` is fitted."""

    rating: CoilRating

    def _on(self, board: Board) -> Board:
        if self.device in board.cut:
            raise LadderError("Fault", f"the coil of {self.device} is open: another one changes nothing", self.device)
        _coil_rating(board, self.device)
        return replace(board, ratings=MappingProxyType({**board.ratings, self.device: self.rating}))


def _full(sentence: str) -> str:
    return f"{sentence[0].upper()}{sentence[1:]}."


# -- the catalogue for control circuits ---------------------------------------------------------------------------


def welded_contact(board: Board, place: int) -> HeldContact:
    """One contact, number `place` among the contacts, held closed. All functions here raise as `Fault.apply`."""
    told = f"{_contact_name(board, place)} is welded"
    return _made(board, HeldContact(board.contacts[place].device, "welded contact", told, place, True))


def dead_contact(board: Board, place: int) -> HeldContact:
    """One contact, number `place` among the contacts, that never closes: dirt, a burnt tip."""
    told = f"{_contact_name(board, place)} does not close"
    return _made(board, HeldContact(board.contacts[place].device, "dead contact", told, place, False))


def welded_contactor(board: Board, tag: str) -> StuckDevice:
    """A main pole (of a relay: a contact) is welded and holds the whole armature in.

    All NO contacts are closed, and the NC contacts stay open: mirror contacts, IEC 60947-4-1 annex F (from memory).
    """
    device = _device(board, tag)
    if device.spec.load != "coil":
        having = tuple(other.tag for other in board.devices.values() if other.spec.load == "coil")
        raise LadderError("Fault", f"{tag} has no coil", tag, having)
    what = "a main pole" if device.kind == "contactor" else "a contact"
    told = f"{what} of {tag} is welded, so its armature stays in"
    return _made(board, StuckDevice(tag, "welded contactor", told, "in"))


def stuck_device(board: Board, tag: str, position: str) -> StuckDevice:
    """A button, selector, switch or armature that stays in `position`; an overload relay that does not trip."""
    device = _device(board, tag)
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
    load = _load(board, name)
    if load.kind == "lamp":
        return _made(board, OpenLoad(name, "burnt-out lamp", f"the lamp {name} is burnt out", name))
    what = "coil" if load.kind == "coil" else f"{load.kind} input"
    return _made(board, OpenLoad(load.device, f"open {what}", f"the {what} of {load.device} is open", name))


def open_wire(board: Board, place: int, end: End) -> MovedEnd:
    """The wire at one `end` of the item number `place` among the items (contacts and loads) has come off."""
    told = f"the wire on the {end} of {_name(board, place)} is open"
    return _made(board, MovedEnd(_item(board, place).item.device, "open wire", told, place, end, None))


def wrong_terminal(board: Board, place: int, end: End, node: int) -> MovedEnd:
    """One `end` of an item is on another wire that is there; a short at rest blows the fuse, as `wire_to_ground`."""
    wired = _item(board, place)
    told = f"the {end} end of {_name(board, place)} is on wire {node} instead of {getattr(wired, str(end), '')}"
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
    device = _device(board, tag)
    told = f"{tag} is set to {setting or 'nothing'} instead of {device.setting or 'nothing'}"
    return _made(board, WrongSetting(tag, "wrong setting", told, setting))


def wrong_coil(board: Board, tag: str, volts: float) -> WrongCoil:
    """A coil for another voltage `volts` [V], of the same power: on the lower voltage it does not pull in."""
    if isinstance(volts, bool) or not isinstance(volts, int | float) or not 0 < volts <= 1000:
        raise LadderError("Fault", "the rated voltage of a coil is above 0, up to 1000 V", volts)
    old = _coil_rating(board, tag)
    told = f"the coil of {tag} is one for {volts:g} V instead of {old.volts:g} V"
    return _made(board, WrongCoil(tag, "wrong coil", told, replace(old, volts=float(volts))))


def single_faults(board: Board) -> tuple[Fault, ...]:
    """Every fault of the catalogue that this board can have, in a fixed order; equal boards count once.

    Boards are equal if they differ in nothing but the numbers of wires other than the rails: a wire between two
    terminals is the same open wire from either end. Stuck: devices with contacts here. Settings: ten times and a tenth
    of a time, another function; an overload dial at 125 % and 80 %, the other reset. Coils: twice the voltage.
    """
    _check(board)
    found: dict[object, Fault] = {}
    for make in _possible(board):
        try:
            fault = make()
        except LadderError:  # it changes nothing here, or the board has this fault already
            continue
        found.setdefault(_key(fault.apply(board)), fault)
    return tuple(found.values())


def _possible(board: Board) -> Iterator[Callable[[], Fault]]:
    """The catalogue on this board, as calls: those that raise are no fault here."""
    for place in range(len(board.contacts)):
        yield partial(welded_contact, board, place)
        yield partial(dead_contact, board, place)
    for load in board.loads:
        yield partial(open_load, board, load.name)
        if load.kind == "coil":
            yield partial(welded_contactor, board, load.device)
            yield partial(wrong_coil, board, load.device, 2 * _coil_rating(board, load.device).volts)
    for tag in dict.fromkeys(contact.device for contact in board.contacts):
        for position in _sticking(board.devices[tag]):
            yield partial(stuck_device, board, tag, position)
    for tag, device in board.devices.items():
        for text in _other_settings(device):
            yield partial(wrong_setting, board, tag, text)
    yield partial(blown_fuse, board)
    yield partial(open_rail, board, LEFT_RAIL)
    yield partial(open_rail, board, RIGHT_RAIL)
    nodes = sorted(_nodes(board))
    for node in nodes:
        yield partial(wire_to_ground, board, node)
    ends = [(place, end) for place in range(len(board.items)) for end in ENDS]
    for place, end in ends:
        yield partial(open_wire, board, place, end)
    for place, end in ends:
        for node in nodes:
            yield partial(wrong_terminal, board, place, end, node)


def _sticking(device: Device) -> tuple[str, ...]:
    """Positions in which a device that a person or the plant moves is found stuck."""
    if device.kind == "overload relay":
        return (device.spec.rest,)
    if device.kind == "fuse":
        return ("blown",)
    return device.spec.positions if device.spec.operated else ()


def _other_settings(device: Device) -> Iterator[str]:
    found = parse_setting(device)
    if isinstance(found, TimerSetting):
        for time in (found.milliseconds * 10, found.milliseconds // 10):
            if 1 <= time <= MAX_MILLISECONDS and _time(time):
                yield f"{found.function} {_time(time)}"
        yield f"{'off-delay' if found.function == 'on-delay' else 'on-delay'} {_time(found.milliseconds)}"
    if isinstance(found, OverloadSetting):
        rest, test = f"A class {found.trip_class}", " with test" if found.test else ""
        for share in (1.25, 0.8):
            amps = round(found.amps * share, 3)
            if 0 < amps < 10_000:
                yield f"{_decimal(amps)} {rest} {found.reset}{test}"
        yield f"{_decimal(found.amps)} {rest} {'automatic' if found.reset == 'manual' else 'manual'}{test}"


def _time(milliseconds: int) -> str:
    """The time as a setting has it, at most three decimals; "" if no unit allows that."""
    for unit, name in ((1000, "s"), (60_000, "min"), (3_600_000, "h"), (1, "ms")):
        if milliseconds * 1000 % unit == 0 and milliseconds / unit < 10_000:
            return f"{_decimal(milliseconds / unit)} {name}"
    return ""


def _decimal(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


# -- what stands on a board ---------------------------------------------------------------------------------------


def _made(board: Board, fault: F) -> F:
    fault.apply(board)  # raises if it cannot be, or changes nothing
    return fault


def _key(board: Board) -> object:
    """Equal for boards that differ in nothing but the numbers of wires other than the rails."""
    number = {LEFT_RAIL: LEFT_RAIL, RIGHT_RAIL: RIGHT_RAIL}
    items = tuple(
        (wired.item, *(number.setdefault(node, len(number) + 1) for node in (wired.left, wired.right)))
        for wired in board.items
    )
    health = (frozenset(board.held.items()), frozenset(board.stuck.items()), board.cut, board.blown)
    fitted = frozenset((tag, rating) for tag, rating in board.ratings.items() if rating != _usual(board, tag))
    return items, health, tuple(board.devices.items()), board.supply, fitted


def _check(board: object) -> None:
    if not isinstance(board, Board):
        raise LadderError("Fault", "is made for a Board", board, ("Board.of(ladder)",))


def _nodes(board: Board) -> set[int]:
    _check(board)
    return {LEFT_RAIL, RIGHT_RAIL}.union(*((wired.left, wired.right) for wired in board.items))


def _node(board: Board, node: int) -> int:
    if type(node) is not int or node not in _nodes(board):
        raise LadderError("Fault", "no such wire on this board", node, tuple(map(str, sorted(_nodes(board)))))
    return node


def _renumber(board: Board, old: int, new: int) -> Board:
    """All that is on wire `old` is on wire `new`."""
    items = (
        replace(w, left=new if w.left == old else w.left, right=new if w.right == old else w.right) for w in board.items
    )
    return replace(board, items=tuple(items))


def _blow(board: Board) -> Board:
    """The board; its fuse is blown if the supply is shorted with every device at rest."""
    return board if _short(board) is None else replace(board, blown=True)


def _short(board: Board) -> tuple[str, ...] | None:
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
    return tuple(_short_name(links[link]) for link in path) or None


def _tell_short(board: Board, fault: Fault) -> str:
    found = _blow(fault._on(board))
    if board.blown or not found.blown:
        return ""
    path = _short(found)
    over = f" over {', '.join(path)}" if path else ""
    return f": a short of the supply{over}, so its fuse blows"


def _short_name(contact: Contact) -> str:
    return " ".join(filter(None, (contact.kind, contact.device, contact.terminals)))


def _name(board: Board, place: int) -> str:
    """ "the contact NO Q1 at wires 3–4", "the coil Q1 at wires 5–2"; with a number if there are more like it."""
    wired = _item(board, place)
    what = (
        f"contact {_short_name(wired.item)}"
        if isinstance(wired.item, Contact)
        else (f"{wired.item.kind} {wired.item.device}")
    )
    like = [k for k, other in enumerate(board.items) if other == wired]
    number = f" (number {like.index(place) + 1} of {len(like)})" if len(like) > 1 else ""
    return f"the {what} at wires {wired.left}–{wired.right}{number}"


def _item(board: Board, place: int) -> Wired:
    _check(board)
    if type(place) is not int or not 0 <= place < len(board.items):
        raise LadderError("Fault", "no item at this place", place, (f"0 to {len(board.items) - 1}",))
    return board.items[place]


def _contact(board: Board, place: int) -> Contact:
    _check(board)
    if type(place) is not int or not 0 <= place < len(board.contacts):
        choices = tuple(f"{k} {_short_name(contact)}" for k, contact in enumerate(board.contacts))
        raise LadderError("Fault", "no contact at this place", place, choices)
    return board.contacts[place]


def _contact_name(board: Board, place: int) -> str:
    _contact(board, place)
    return _name(board, [k for k, wired in enumerate(board.items) if isinstance(wired.item, Contact)][place])


def _load(board: Board, tag: str) -> Load:
    _check(board)
    for load in board.loads:
        if load.name == tag:
            return load
    raise LadderError("Fault", "no such coil or lamp here", tag, tuple(load.name for load in board.loads))


def _device(board: Board, tag: str) -> Device:
    _check(board)
    if not isinstance(tag, str) or tag not in board.devices:
        raise LadderError("Fault", "no such device on this board", tag, tuple(board.devices))
    return board.devices[tag]


def _usual(board: Board, tag: str) -> Rating:
    """The rating of the kit's coil, input or lamp `tag` (`Load.name`)."""
    device = board.devices[tag.split()[0]]
    if device.spec.load == "lamp":
        return LAMP
    return TIMER_COIL if device.spec.timed else RELAY_COIL if tag[0] == "K" else CONTACTOR_COIL


def _coil_rating(board: Board, tag: str) -> CoilRating:
    """The rating of the coil of `tag`: its own, or the usual one of its kind, as the timeline takes it."""
    if _load(board, tag).kind != "coil":
        coils = tuple(load.device for load in board.loads if load.kind == "coil")
        raise LadderError("Fault", f"{tag} has no coil", tag, coils)
    rating = board.ratings.get(tag, _usual(board, tag))
    assert isinstance(rating, CoilRating)  # a board with a lamp's rating on a coil cannot be wired up
    return rating


# -- the catalogue for power circuits -----------------------------------------------------------------------------


@dataclass(frozen=True)
class PowerFault:
    """A fault of a power circuit: `faults` for `power.energise`, or `leads`, two terminals of motor `device` swapped.

    `sentence`, `kind` and `describe` as of `Fault`.
    """

    device: str
    kind: str
    sentence: str
    faults: PowerFaults = field(default_factory=PowerFaults)
    leads: tuple[str, ...] = ()

    def describe(self) -> str:
        """The sentence, with a capital and a full stop."""
        return _full(self.sentence)

    def apply(self, circuit: PowerCircuit, faults: PowerFaults | None = None) -> tuple[PowerCircuit, PowerFaults]:
        """Return the circuit and the faults for `energise` with this fault, over `faults` that are there already.

        Raises LadderError as `energise` (a pole that is not there, a pole both welded and open), if the motor or its
        terminal is not there, or the fault changes nothing.
        """
        old = PowerFaults() if faults is None else faults
        supply = tuple(old.supply[LINES.index(line)] for line in self.faults.supply)
        mine = self.faults
        new = PowerFaults(old.welded | mine.welded, old.open | mine.open, old.lost | mine.lost, supply)
        changed = self._swap_leads(circuit) if self.leads else circuit
        energise(changed, (), new)  # raises if it does not fit
        if changed == circuit and new == old:
            raise LadderError(f"Fault on {circuit.title!r}", f"this changes nothing: {self.sentence}", self.kind)
        return changed, new

    def _swap_leads(self, circuit: PowerCircuit) -> PowerCircuit:
        if self.device not in {motor.tag for motor in circuit.motors}:
            choices = tuple(motor.tag for motor in circuit.motors)
            raise LadderError(f"Fault on {circuit.title!r}", "no such motor here", self.device, choices)
        changed = PowerCircuit(circuit.title, circuit.source)
        for element in circuit.elements:
            if isinstance(element, PowerMotor) and element.tag == self.device:
                for terminal in self.leads:
                    if terminal not in element.terminals:
                        choices = tuple(element.terminals)
                        raise LadderError(f"Motor {element.tag}", "no such terminal", terminal, choices)
                one, other = self.leads
                way = {**element.terminals, one: element.terminals[other], other: element.terminals[one]}
                element = replace(element, nodes=tuple(way.values()))
            changed.add(element)
        return changed


def lost_phase(line: str) -> PowerFault:
    """Phase `line` ("L1", "L2", "L3") does not arrive. Raises LadderError if there is no such phase."""
    if line not in LINES:
        raise LadderError("Fault", "no such phase", line, LINES)
    return PowerFault("supply", "lost phase", f"phase {line} does not arrive", PowerFaults(lost=frozenset({line})))


def swapped_phases(one: str, other: str) -> PowerFault:
    """Two phases are swapped at the supply: every motor runs the other way. Raises LadderError if there is no such."""
    for line in (one, other):
        if line not in LINES:
            raise LadderError("Fault", "no such phase", line, LINES)
    supply = tuple({one: other, other: one}.get(line, line) for line in LINES)
    return PowerFault("supply", "swapped phases", f"{one} and {other} are swapped", PowerFaults(supply=supply))


def swapped_leads(motor: str, one: str, other: str) -> PowerFault:
    """Two wires are swapped at the terminals of `motor`: it alone is connected otherwise."""
    told = f"the wires on {one} and {other} of {motor} are swapped"
    return PowerFault(motor, "swapped leads", told, leads=(one, other))


def welded_pole(device: str, pole: str) -> PowerFault:
    """A main pole such as ("Q1", "1-2") stays closed. The control side of the same weld is `welded_contactor`."""
    told = f"the pole {pole} of {device} is welded"
    return PowerFault(device, "welded pole", told, PowerFaults(welded=frozenset({(device, pole)})))


def open_pole(device: str, pole: str) -> PowerFault:
    """A main pole that never closes, or a loose wire on it."""
    told = f"the pole {pole} of {device} is open"
    return PowerFault(device, "open pole", told, PowerFaults(open=frozenset({(device, pole)})))


def blown_phase_fuse(device: str, pole: str) -> PowerFault:
    """One of the fuses of `device` is blown."""
    told = f"the fuse {pole} of {device} is blown"
    return PowerFault(device, "blown fuse", told, PowerFaults(open=frozenset({(device, pole)})))


def single_power_faults(circuit: PowerCircuit) -> tuple[PowerFault, ...]:
    """Every fault of the catalogue that this power circuit can have, in a fixed order.

    Wires are swapped among the terminals of one end of the windings (U1 V1 W1, U2 V2 W2). Raises LadderError if the
    circuit is not valid.
    """
    circuit.validate()
    found = [lost_phase(line) for line in LINES]
    found += [swapped_phases(one, other) for one, other in combinations(LINES, 2)]
    for device in circuit.devices:
        for pole in device.poles:
            if device.tag[0] == "Q":
                found.append(welded_pole(device.tag, pole.pole))
            is_fuse = device.kind == "fuses"
            found.append((blown_phase_fuse if is_fuse else open_pole)(device.tag, pole.pole))
    for motor in circuit.motors:
        for some in (TERMINALS[:3], TERMINALS[3 : len(motor.nodes)]):
            for one, other in combinations(some, 2):
                if motor.terminals[one] != motor.terminals[other]:
                    found.append(swapped_leads(motor.tag, one, other))
    return tuple(found)
