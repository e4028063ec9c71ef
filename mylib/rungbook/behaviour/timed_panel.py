"""The panel with timers and counters: what happens in no time at all. How much time passes is decided outside.

Relays are quick against timers: after an order, or when a period ends, everything that does not agree with its rung
moves one at a time, in every order, until all is at rest; no time passes meanwhile. What moves is a coil, the armature
of a timer or counter (if one of its instantaneous contacts is used), the block of a timer or counter that takes note
of the voltages at its inputs, and a period that ends at this instant.

As in `Panel`, what a hand's move closes may close late, when other things have moved already, but before any time has
passed; that is asked only where it can matter (`late`). The contacts of relays and timers change over at once.

A state is that of `Panel`. For a timer or counter the bit of its coil stands for its timed contacts; beyond the coils
`State.pulled` has the armatures, the contacts that may be late, and the codes of the blocks (`blocks`). A counter keeps
its value without supply; a timer with auxiliary supply (off-delay, …) sees its control input fall, as on the timeline.
Not covered: the time that relays take.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from copy import copy
from functools import cached_property

from rungbook.behaviour.actions import SUPPLY, Step, possible_steps
from rungbook.behaviour.blocks import LEVELS, TimerBlock, block_of
from rungbook.behaviour.clockwork import is_timed_contact
from rungbook.behaviour.late import late_contacts
from rungbook.behaviour.panel import Operated, Rest, State
from rungbook.behaviour.reading import conducts
from rungbook.behaviour.settle import Way
from rungbook.behaviour.timed_settle import AtRest, Look, Mover, Seat, TimedSettling
from rungbook.circuit import Contact, Ladder, Part, Rung, check_input
from rungbook.errors import LadderError
from rungbook.kit import Device


class _Voltage(dict[int, bool]):
    """Bits that the way to a load looks at -> True if it conducts and the supply is on."""

    def __init__(self, conducting: Callable[[int], bool]) -> None:
        self.conducting = conducting

    def __missing__(self, word: int) -> bool:
        self[word] = bool(word & 1) and self.conducting(word)
        return self[word]


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
        self._free_bit = at
        self._timed = [tag for tag in self.coils if self.devices[tag].spec.timed]
        contacts = list(dict.fromkeys(contact for rung in ladder.rungs for contact in rung.all_contacts()))
        quick = {contact.device for contact in contacts if not is_timed_contact(contact)}
        self._armature = {tag: self._new_bit() for tag in self._timed if tag in quick}
        self._followers, self._late = self._late_contacts(contacts)
        self._voltage = {name: _Voltage(self._look(rung.contacts)) for name, rung in self._rung.items()}
        self._looks_at = {name: self._bits_of(rung) | 1 for name, rung in self._rung.items()}
        self._looks = {name: self._input(name) for name in self._rung}
        seats = []
        for tag in self._timed:
            wired = tuple((level, name.format(tag)) for level, name in LEVELS.items() if name.format(tag) in self._rung)
            block = block_of(self.devices[tag], sum(level for level, _ in wired))
            inputs = tuple((level, self._looks[name]) for level, name in wired)
            shift = self._new_bit(block.bits).bit_length() - 1
            seats.append(Seat(block, shift, (1 << block.bits) - 1, self._bit[tag], inputs))
        self.settling = TimedSettling([*self._coil_movers(), *self._followers], seats)

    @property
    def seats(self) -> tuple[Seat, ...]:
        """The timers and counters, top to bottom."""
        return self.settling.seats

    def _new_bit(self, count: int = 1) -> int:
        """The lowest of `count` bits of a word that nothing else has."""
        self._free_bit += count
        return 1 << self._free_bit - count

    def _closed_at(self, contact: Contact) -> frozenset[int]:
        spec = self.devices[contact.device].spec
        return frozenset(map(spec.positions.index, spec.closed_in(contact.kind, contact.terminals)))

    def _late_contacts(self, contacts: list[Contact]) -> tuple[list[Mover], dict[Contact, tuple[int, int]]]:
        """A mover for each group of contacts that may be late with an effect; contact -> its bit, its value closed."""
        stirs = {name.format(tag): self._bit[tag] for tag in self._timed for name in LEVELS.values()}
        before = {name: rung.all_contacts() for name, rung in self._rung.items() if name not in self.lamps}
        bits = self._bit | dict.fromkeys(self._timed, 0) | self._armature
        ways = {}
        for name, on_the_way in before.items():
            makes = breaks = 0
            for contact in on_the_way:
                if contact.device not in self._place:
                    bit = self._bit_of(contact)
                    makes, breaks = (makes | bit, breaks) if contact.kind == "NO" else (makes, breaks | bit)
            ways[name] = Way(bits.get(name, 0), 0, makes, breaks, bool)  # only the kinds of contacts are asked for
        devices = [(device, *field) for device, field in zip(self.inputs, self._fields, strict=True)]
        closed_at = {contact: self._closed_at(contact) for contact in contacts if contact.device in self._place}
        followers, late = late_contacts(devices, closed_at, before, ways, 1 << self._free_bit, stirs)
        self._new_bit(len(followers))
        whose = {bit: contact.device for contact, (bit, _) in late.items()}
        return [Mover(way.bit, whose[way.bit], Look(way.conducts)) for way in followers], late

    def _coil_movers(self) -> Iterator[Mover]:
        bits = {tag: bit for tag, bit in self._bit.items() if tag not in self._timed} | self._armature
        for tag, bit in bits.items():
            yield Mover(bit, tag, self._looks[tag])

    def only(self, tags: Iterable[str]) -> TimedPanel:
        """As `Panel.only`: no device but `tags`, and the supply, moves; no other timer runs."""
        moving = frozenset(tags)
        part = copy(self)
        part.coils = tuple(tag for tag in self.coils if tag in moving)
        part.lamps = tuple(tag for tag in self.lamps if tag in moving)
        part.loads = (*part.coils, *part.lamps)
        part.steps = tuple(step for step in self.steps if step.device == SUPPLY or step.device in moving)
        part.settling = TimedSettling(
            [mover for mover in self.settling.movers if mover.device in moving],
            [seat for seat in self.settling.seats if seat.block.tag in moving],
        )
        part.__dict__.pop("turns", None)  # what was worked out for the whole
        return part

    # -- words and states ------------------------------------------------------------------------------------------

    @property
    def start(self) -> State:
        """Supply on, every device at rest, no coil in; timers and counters out of the box."""
        word = 1
        for seat in self.seats:
            word = seat.put(word, seat.block.start)
        for mover in self._followers:
            word |= mover.bit if mover.look.holds(word) else 0
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
        closed = self._closed_at(contact)
        if contact.device in self._place:
            shift, mask = self._fields[self._place[contact.device]]
            bit, value = self._late.get(contact, (0, 0))
            return mask << shift | bit, frozenset(position << shift | value for position in closed)
        bit = self._bit_of(contact)
        return bit, frozenset(bit if position else 0 for position in closed)

    def _bit_of(self, contact: Contact) -> int:
        """The bit of a coil that `contact` follows."""
        tag = contact.device
        if tag in self._timed and is_timed_contact(contact):
            return self._bit[tag]
        return self._armature[tag] if tag in self._armature else self._bit[tag]

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

    def _input(self, name: str) -> Look:
        """The way to the load `name`, and what moves by itself on it."""
        makes = breaks = 0
        for contact in self._rung[name].all_contacts():
            mask, values = self._reading(contact)
            moving = mask
            if contact.device in self._place:
                moving = self._late.get(contact, (0, 0))[0]
            if values and all(value & moving for value in values):
                makes |= moving
            else:
                breaks |= moving
        return Look(lambda word: self._has_voltage(name, word), makes, breaks)

    # -- what moves in no time -------------------------------------------------------------------------------------

    def ripe(self, word: int, seat: Seat) -> int:
        """`word` at the instant at which the period of a timer ends, before anything has answered."""
        assert isinstance(seat.block, TimerBlock)
        return seat.put(word, seat.block.ripe(seat.code(word)))

    def settle(self, word: int) -> AtRest:
        """Where it comes to rest from `word`, in every order of moves, in no time."""
        return self.settling[word]

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
            return f"{tag} ({device.setting}) stands at {seat.code(self.packed(state)) >> 3}."
        return f"{tag} ({device.setting}) has {voltage} at its coil; its contacts are {self.position(tag, state)}."


def _as_set(device: Device, own: Device | None) -> Device:
    """`device`, set as the ladder's own if it is of the same kind and nothing is set on it."""
    return own if own is not None and own.kind == device.kind and not device.setting else device


def works_in_time(ladder: Ladder, devices: Iterable[Device]) -> bool:
    """True if `ladder`, on a panel of `devices`, has a timer, a counter or another device that works in time."""
    known = dict(ladder.devices) | {device.tag: device for device in devices}
    return any(device.spec.timed for device in known.values())
