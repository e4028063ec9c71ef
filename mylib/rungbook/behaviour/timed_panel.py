"""The panel with timers and counters: what happens in no time at all. How much time passes is decided outside.

Relays are quick against timers: after an order, or when a period ends, everything that does not agree with its rung
moves one at a time, in every order, until all is at rest; no time passes meanwhile. What moves is a coil, the armature
of a timer or counter (if one of its instantaneous contacts is used), the block of a timer or counter that takes note
of the voltages at its inputs, and a period that ends at this instant.

A state is that of `Panel`. For a timer or counter the bit of its coil stands for its timed contacts; beyond the coils
`State.pulled` has the armatures and the codes of the blocks (`blocks`). A counter keeps its value without supply; a
timer with auxiliary supply (off-delay, …) sees its control input fall, as on the timeline.

Not covered, as in `Panel`: the time that relays take, and the travel of their contacts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from rungbook.behaviour.actions import SUPPLY, Step, possible_steps
from rungbook.behaviour.blocks import LEVELS, Block, TimerBlock, block_of
from rungbook.behaviour.clockwork import is_timed_contact
from rungbook.behaviour.panel import Operated, Rest, State
from rungbook.behaviour.reading import conducts
from rungbook.behaviour.settle import FEW, every_order
from rungbook.circuit import Contact, Ladder, Part, Rung, check_input
from rungbook.errors import LadderError
from rungbook.kit import Device


class AtRest(NamedTuple):
    """Words at rest in ascending order, whether there may be no rest, and words passed through before.

    The clocks of the words at rest still say what begins at this instant (`Clock`); `TimedPanel.settled` forgets it.
    """

    words: tuple[int, ...]
    chatter: bool
    passed: frozenset[int]


@dataclass(frozen=True)
class _Seat:
    """Where the block of a timer or counter lives in a word, and what drives it."""

    block: Block
    shift: int
    mask: int
    bit: int  # of its timed contacts
    inputs: tuple[tuple[int, str], ...]  # bit of the level -> name of the load


class _Voltage(dict[int, bool]):
    """Bits that the way to a load looks at -> True if it conducts and the supply is on."""

    def __init__(self, conducting: Callable[[int], bool]) -> None:
        self.conducting = conducting

    def __missing__(self, word: int) -> bool:
        self[word] = bool(word & 1) and self.conducting(word)
        return self[word]


def _nothing() -> None:
    """What is called during long work if nothing else is said."""


class TimedPanel(Operated):
    """A valid ladder on a panel of devices, timers and counters among them.

    devices: as in `Panel`; what they leave open is set as in the ladder. Raises LadderError as `Ladder.validate`, if
    nothing is set on a timer or counter, if a device has not the reset or count-down
    input that is wired, or if one of the ladder works in time otherwise.
    """

    def __init__(self, ladder: Ladder, devices: Iterable[Device] = ()) -> None:
        ladder.validate()
        self.ladder = ladder
        self.devices: dict[str, Device] = dict(ladder.devices)
        for device in devices:
            self.devices[device.tag] = _as_set(device, ladder.devices.get(device.tag))
        for tag in ladder.devices:
            device = self.devices[tag]
            if device.spec.timed and device.kind not in ("timer relay", "counter"):
                rule = f"a {device.kind} works by a program of its own, and the proofs do not know it"
                raise LadderError(f"Device {tag}", rule, device.kind)
        self.inputs = tuple(device for device in self.devices.values() if device.spec.operated)
        self.coils = ladder.coils()
        self.lamps = ladder.lamps()
        self.loads = (*self.coils, *self.lamps)
        self.steps = possible_steps(self.inputs)
        self._place = {device.tag: place for place, device in enumerate(self.inputs)}
        self._rung: dict[str, Rung] = {load.name: rung for rung in ladder.rungs for load in rung.loads}
        for rung in ladder.rungs:
            for load in rung.loads:
                check_input(load, self.devices[load.device])
        self._fields: list[tuple[int, int]] = []  # shift and mask of each operated device in a word
        at = 1  # bit 0 is the supply
        for device in self.inputs:
            wide = (len(device.spec.positions) - 1).bit_length()
            self._fields.append((at, (1 << wide) - 1))
            at += wide
        self._first_coil = at
        self._bit = {tag: 1 << at + place for place, tag in enumerate(self.coils)}
        at += len(self.coils)
        timed = [tag for tag in self.coils if self.devices[tag].spec.timed]
        used = {c.device for rung in ladder.rungs for c in rung.all_contacts() if not is_timed_contact(c)}
        self._armature = {tag: 1 << at + place for place, tag in enumerate(tag for tag in timed if tag in used)}
        at += len(self._armature)
        self.seats: list[_Seat] = []
        for tag in timed:
            wired = tuple((level, name.format(tag)) for level, name in LEVELS.items() if name.format(tag) in self._rung)
            block = block_of(self.devices[tag], sum(level for level, _ in wired))
            self.seats.append(_Seat(block, at, (1 << block.bits) - 1, self._bit[tag], wired))
            at += block.bits
        plain = [(bit, tag) for tag, bit in self._bit.items() if tag not in timed]
        self._magnets = (*plain, *((bit, tag) for tag, bit in self._armature.items()))
        self._looks = {name: self._look(rung.contacts) for name, rung in self._rung.items()}
        self._looks_at = {name: self._bits_of(rung) | 1 for name, rung in self._rung.items()}
        self._voltage = {name: _Voltage(looks) for name, looks in self._looks.items()}
        self._known: dict[int, AtRest] = {}
        self._movers = sum(self._bit.values()) + sum(self._armature.values())
        self._kinds = {name: self._by_kind(rung) for name, rung in self._rung.items()}
        self.tick: Callable[[], None] = _nothing  # called now and then during long work; may raise

    def only(self, tags: Iterable[str]) -> TimedPanel:
        """As `Panel.only`: no device but `tags`, and the supply, moves; no other timer runs."""
        moving = frozenset(tags)
        part = copy(self)
        part.coils = tuple(tag for tag in self.coils if tag in moving)
        part.lamps = tuple(tag for tag in self.lamps if tag in moving)
        part.loads = (*part.coils, *part.lamps)
        part.steps = tuple(step for step in self.steps if step.device == SUPPLY or step.device in moving)
        part.seats = [seat for seat in self.seats if seat.block.tag in moving]
        part._magnets = tuple(magnet for magnet in self._magnets if magnet[1] in moving)
        part._known = {}
        part.__dict__.pop("turns", None)  # what was worked out for the whole
        return part

    # -- words and states ------------------------------------------------------------------------------------------

    @property
    def start(self) -> State:
        """Supply on, every device at rest, no coil in; timers and counters out of the box."""
        word = 1
        for seat in self.seats:
            word = self._put(word, seat, seat.block.start)
        return self.unpacked(word)

    def packed(self, state: State) -> int:
        """`state` as one whole number: the supply in bit 0, then the positions, then `State.pulled`."""
        word = int(state.supply) | state.pulled << self._first_coil
        for (shift, _), position in zip(self._fields, state.positions, strict=True):
            word |= position << shift
        return word

    def unpacked(self, word: int) -> State:
        """The state of which `packed` makes `word`."""
        places = tuple([word >> shift & mask for shift, mask in self._fields])
        return State(bool(word & 1), places, word >> self._first_coil)

    @cached_property
    def turns(self) -> tuple[tuple[Step, int, int, int], ...]:
        """(step, field, start, flip) of every step, as in `Panel.turns`."""
        found = []
        for step in self.steps:
            words: tuple[str, ...] = ("off", "on")
            shift, mask = 0, 1
            if step.device != SUPPLY:
                words, (shift, mask) = self.devices[step.device].spec.positions, self._fields[self._place[step.device]]
            start, end = words.index(step.move.start), words.index(step.move.end)
            found.append((step, mask << shift, start << shift, (start ^ end) << shift))
        return tuple(found)

    @cached_property
    def looks_at(self) -> int:
        """Bits that some contact of this ladder looks at, and the supply's."""
        bits = 1
        for name in self._rung:
            bits |= self._looks_at[name]
        return bits

    def position(self, tag: str, state: State) -> str:
        """The word for the position of `tag` ("on" or "off" for the supply)."""
        if tag == SUPPLY:
            return "on" if state.supply else "off"
        words = self.devices[tag].spec.positions
        if tag in self._place:
            return words[state.positions[self._place[tag]]]
        return words[1 if self.is_on(tag, state) else 0]

    def is_on(self, tag: str, state: State) -> bool:
        """True if coil `tag` has pulled in (a timer or counter: its timed contacts are operated), or lamp `tag` is lit.

        False also for a device that this ladder lacks.
        """
        return self.shows(tag, self.packed(state))

    def shows(self, tag: str, word: int) -> bool:
        """`is_on` of a word."""
        bit = self._bit.get(tag)
        if bit is not None:
            return bool(word & bit)
        return tag in self._rung and self._has_voltage(tag, word)

    def way(self, tag: str) -> Part | None:
        """The contacts before the load `tag` (`Load.name`). Raises KeyError if no rung ends in it."""
        return self._rung[tag].contacts

    def has_voltage(self, tag: str, state: State) -> bool:
        """True if the load `tag` (`Load.name`) has voltage in `state`."""
        return self._has_voltage(tag, self.packed(state))

    def _has_voltage(self, name: str, word: int) -> bool:
        return self._voltage[name][word & self._looks_at[name]]

    def closed(self, contact: Contact, state: State) -> int:
        """1 if `contact` is closed in `state`, else 0."""
        mask, values = self._reading(contact)
        return int(self.packed(state) & mask in values)

    def _reading(self, contact: Contact) -> tuple[int, frozenset[int]]:
        """Bits that `contact` follows, and their values at which it is closed."""
        spec = self.devices[contact.device].spec
        names = spec.closed_in(contact.kind, contact.terminals)
        if contact.device in self._place:
            shift, mask = self._fields[self._place[contact.device]]
        else:
            bits = self._bit if contact.device not in self._armature or is_timed_contact(contact) else self._armature
            shift, mask = bits[contact.device].bit_length() - 1, 1
        return mask << shift, frozenset(spec.positions.index(name) << shift for name in names)

    def _look(self, way: Part | None) -> Callable[[int], bool]:
        readings = {contact: self._reading(contact) for contact in (way.contacts() if way is not None else ())}

        def conducting(word: int) -> bool:
            return bool(conducts(way, lambda contact: int(word & readings[contact][0] in readings[contact][1])))

        return conducting

    def _bits_of(self, rung: Rung) -> int:
        bits = 0
        for contact in rung.all_contacts():
            bits |= self._reading(contact)[0]
        return bits

    def _by_kind(self, rung: Rung) -> tuple[int, int]:
        """Bits of what moves by itself with a contact on the way that it closes, and with one that it opens."""
        makes = breaks = 0
        for contact in rung.all_contacts():
            mask, values = self._reading(contact)
            if mask & self._movers:
                makes, breaks = (makes | mask, breaks) if mask in values else (makes, breaks | mask)
        return makes, breaks

    # -- what moves in no time -------------------------------------------------------------------------------------

    def code(self, seat: _Seat, word: int) -> int:
        """The code of a block in `word`."""
        return word >> seat.shift & seat.mask

    def _put(self, word: int, seat: _Seat, code: int) -> int:
        word = word & ~(seat.mask << seat.shift) | code << seat.shift
        return word | seat.bit if seat.block.operated(code) else word & ~seat.bit

    def _levels(self, seat: _Seat, word: int) -> int:
        levels = 0
        for level, name in seat.inputs:
            if self._has_voltage(name, word):
                levels |= level
        return levels

    def ripe(self, word: int, seat: _Seat) -> int:
        """`word` at the instant at which the period of a timer ends, before anything has answered."""
        assert isinstance(seat.block, TimerBlock)
        return self._put(word, seat, seat.block.ripe(self.code(seat, word)))

    def settled(self, word: int) -> int:
        """A word at rest when time has passed: what began at that instant is old."""
        for seat in self.seats:
            word = self._put(word, seat, seat.block.settled(self.code(seat, word)))
        return word

    def _next(self, word: int) -> list[int]:
        """The words that one move makes of `word`."""
        self.tick()
        found = [word ^ bit for bit, name in self._magnets if bool(word & bit) != self._has_voltage(name, word)]
        for seat in self.seats:
            code, levels = self.code(seat, word), self._levels(seat, word)
            if levels != seat.block.levels(code):
                found.append(self._put(word, seat, seat.block.answer(code, levels)))
            if seat.block.due(code):
                found.append(self._put(word, seat, seat.block.expired(code)))
        return found

    def settle(self, word: int) -> AtRest:
        """Where it comes to rest from `word`, in every order of moves, in no time.

        If more than a few things move and none takes back another's move, all orders end alike (`settle`), and `passed`
        has only enough words that any two coils stand there together in each way in which they can.
        """
        found = self._known.get(word)
        if found is None:
            end, moved = self._all_moved(word)
            if not moved:
                found = AtRest((word,), False, frozenset())
            elif len(moved) > FEW and self._one_way(word, end, moved):
                found = AtRest((end,), False, frozenset({word, *(self._all_moved(word, one)[0] for one in moved)}))
            else:
                stable, chatter, passed = every_order(word, self._next)
                found = AtRest(tuple(stable), chatter, frozenset(passed))
            self._known[word] = found
        return found

    def _all_moved(self, word: int, but: object = None) -> tuple[int, list[object]]:
        """The word when all that want to move have done so, once each, and those that have; `but` stays as it is."""
        moved: list[object] = []
        while True:
            more: list[tuple[object, int, int]] = []  # what moves, the bits that it changes, and to what
            for bit, name in self._magnets:
                if bool(word & bit) != self._has_voltage(name, word):
                    more.append((bit, bit, ~word & bit))
            for seat in self.seats:
                after = self._block_moved(seat, word)
                if after is not None:
                    field = seat.mask << seat.shift | seat.bit
                    more.append((seat.block.tag, field, after & field))
            more = [one for one in more if one[0] != but and one[0] not in moved]
            if not more:
                return word, moved
            for one, field, bits in more:
                moved.append(one)
                word = word & ~field | bits

    def _block_moved(self, seat: _Seat, word: int) -> int | None:
        code, levels = self.code(seat, word), self._levels(seat, word)
        if levels != seat.block.levels(code):
            return self._put(word, seat, seat.block.answer(code, levels))
        return self._put(word, seat, seat.block.expired(code)) if seat.block.due(code) else None

    def _one_way(self, word: int, end: int, moved: list[object]) -> bool:
        """True if no move on the way from `word` to `end` can take back another's, or change what another one does.

        Coils and inputs as in `Settling`; a block moves for one reason only, the change of one input or its time.
        """
        rise, fall = self._movers & end & ~word, self._movers & word & ~end

        def steady(name: str, before: bool, after: bool) -> bool:
            makes, breaks = self._kinds[name]
            closing, opening = makes & rise | breaks & fall, makes & fall | breaks & rise
            return not (opening if after and not before else closing if before and not after else opening and closing)

        if self._next(end):
            return False
        if not all(steady(name, bool(word & bit), bool(end & bit)) for bit, name in self._magnets):
            return False
        for seat in self.seats:
            before, code = seat.block.levels(self.code(seat, word)), self.code(seat, end)
            after = seat.block.levels(code)
            if not all(steady(name, bool(before & level), bool(after & level)) for level, name in seat.inputs):
                return False
            reasons = (before ^ after).bit_count() + seat.block.due(self.code(seat, word))
            if reasons > 1 or (seat.block.tag in moved) != bool(reasons):
                return False
        return True

    def rest(self, state: State) -> Rest:
        """Where the panel comes to rest from `state` if nothing is touched and no time passes."""
        words, chatter, passed = self.settle(self.packed(state))
        return Rest(tuple(map(self.unpacked, words)), chatter, frozenset(map(self.unpacked, passed)))

    # -- why -------------------------------------------------------------------------------------------------------

    def own_reason(self, tag: str, state: State) -> str:
        """Why timer or counter `tag` is not as wanted in `state`; "" for any other load."""
        device = self.devices[tag]
        if tag not in self._bit or not device.spec.timed:
            return ""
        voltage = "voltage" if self.has_voltage(tag, state) else "no voltage"
        if device.kind == "counter":
            (seat,) = (seat for seat in self.seats if seat.block.tag == tag)
            return f"{tag} ({device.setting}) stands at {self.code(seat, self.packed(state)) >> 3}."
        return f"{tag} ({device.setting}) has {voltage} at its coil; its contacts are {self.position(tag, state)}."


def _as_set(device: Device, own: Device | None) -> Device:
    """`device`, set as the ladder's own if it is of the same kind and nothing is set on it."""
    return own if own is not None and own.kind == device.kind and not device.setting else device


def works_in_time(ladder: Ladder, devices: Iterable[Device]) -> bool:
    """True if `ladder`, on a panel of `devices`, has a timer, a counter or another device that works in time."""
    known = dict(ladder.devices) | {device.tag: device for device in devices}
    return any(device.spec.timed for device in known.values())
