"""A panel with a ladder wired on it: its states, what moves it, and where it comes to rest.

A state is the supply, the position of every operated device, and which coils have pulled in. After each step the
coils whose rung no longer agrees with them move *one at a time, in every order*: relays are not equally fast, and
two orders that end differently are a race. A set of coils that never comes to rest chatters.

A hand can hover: what its move opens is open at once; what it closes may close at once, or late, when coils have moved
already. Contacts of one device that are closed in the same positions go together; others may be unequally late. Whether
late or not is asked only where it can matter (`late.py`). The contacts of a relay change over at once, since no coil
releases in the gap between them (`settle.py`).

Not covered here: times.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from rungbook.behaviour.actions import SUPPLY, Step, possible_steps
from rungbook.behaviour.late import late_contacts
from rungbook.behaviour.reading import conducts, reader
from rungbook.behaviour.settle import Settled, Settling, Way
from rungbook.circuit import Contact, Ladder, Part, Rung, check_input
from rungbook.errors import LadderError
from rungbook.kit import Device


class State(NamedTuple):
    """supply: True if on. positions: index into each operated device's positions. pulled: bit k set if coil k is in."""

    supply: bool
    positions: tuple[int, ...]
    pulled: int


@dataclass(frozen=True)
class Rest:
    """Where a panel comes to rest: all `states` (more than one: a race).

    chatter: True if the coils may move without end, though no coil that is to move is left waiting for ever; whether
    they do can hang on which is quicker. passed: states that some order of relays passes through
    before it rests, none of them a rest itself; two contactors that are both in there are both in for a moment. If many
    coils move, not all of these states, but enough that any two coils stand there in each way in which they can
    (`Settling.passed`).
    """

    states: tuple[State, ...]
    chatter: bool = False
    passed: frozenset[State] = frozenset()


class Operated:
    """What hands can do at a panel: its `inputs`, and where each of them stands in a state."""

    inputs: tuple[Device, ...]
    _place: dict[str, int]  # designation -> place among the inputs

    def position(self, tag: str, state: State) -> str:
        """The word for the position of `tag` in `state`."""
        raise NotImplementedError

    def rest(self, state: State) -> Rest:
        """Where the panel comes to rest from `state` if nothing is touched; all contacts stand as their devices do."""
        raise NotImplementedError

    def can(self, step: Step, state: State) -> bool:
        """True if `step` starts from where its device is in `state`."""
        return step.move.start == self.position(step.device, state)

    def moved(self, step: Step, state: State) -> State:
        """The state just after `step`, before any coil has answered."""
        if step.device == SUPPLY:
            return state._replace(supply=step.move.end == "on")
        place = self._place[step.device]
        index = self.inputs[place].spec.positions.index(step.move.end)
        return state._replace(positions=(*state.positions[:place], index, *state.positions[place + 1 :]))

    def after(self, step: Step, state: State) -> Rest:
        """Where the panel comes to rest after `step` from `state`, a state at rest. The caller has checked `can`."""
        return self.rest(self.moved(step, state))


class Panel(Operated):
    """A valid ladder on a panel of devices.

    devices: operated devices beyond those of the ladder (for example a button that the ladder forgot to use), and the
    kinds of those that are named by both. Raises LadderError as `Ladder.validate`, if a device works in time, or if
    an input of such a device is wired on another kind.
    """

    def __init__(self, ladder: Ladder, devices: Iterable[Device] = ()) -> None:
        ladder.validate()
        self.ladder = ladder
        self.devices: dict[str, Device] = dict(ladder.devices)
        for device in devices:
            self.devices[device.tag] = device
        self.inputs = tuple(device for device in self.devices.values() if device.spec.operated)
        self.coils = ladder.coils()
        self.lamps = ladder.lamps()
        self.loads = (*self.coils, *self.lamps)
        self.steps = possible_steps(self.inputs)
        self._place = {device.tag: place for place, device in enumerate(self.inputs)}
        self._bit = {tag: 1 << place for place, tag in enumerate(self.coils)}
        self._rung: dict[str, Rung] = {load.device: rung for rung in ladder.rungs for load in rung.loads}
        self._rest: dict[int, Rest] = {}
        for device in self.devices.values():
            if device.spec.timed:
                rule = f"a {device.kind} works in time, and this reading knows no times; `run` does"
                raise LadderError(f"Device {device.tag}", rule, device.kind)
        for rung in ladder.rungs:
            for load in rung.loads:
                check_input(load, self.devices[load.device])  # no device that is left has a reset or down input
        self._closed_at: dict[Contact, frozenset[int]] = {}
        for rung in ladder.rungs:
            for contact in rung.all_contacts():
                device = self.devices[contact.device]
                names = device.spec.closed_in(contact.kind, contact.terminals)
                self._closed_at[contact] = frozenset(device.spec.positions.index(name) for name in names)
        self._words = {tag: device.spec.positions for tag, device in self.devices.items()}
        self._fields: list[tuple[int, int]] = []  # shift and mask of each operated device in a packed state
        at = 1  # bit 0 is the supply
        for device in self.inputs:
            wide = (len(device.spec.positions) - 1).bit_length()
            self._fields.append((at, (1 << wide) - 1))
            at += wide
        self._first_coil = at
        self._first_late = at + len(self.coils)
        self._plain = (1 << self._first_late) - 1
        self._tests: dict[Contact, tuple[int, frozenset[int]]] = {}
        self._late: tuple[Way, ...] = ()
        self._ways = {tag: self._way_of(tag) for tag in self.loads}
        self._followers()
        self._lit: dict[tuple[str, State], bool] = {}

    @property
    def start(self) -> State:
        """Supply on, every device at rest, no coil in."""
        return State(True, (0,) * len(self.inputs), 0)

    def closed(self, contact: Contact, state: State) -> int:
        """1 if `contact` is closed in `state`, else 0."""
        place = self._place.get(contact.device)
        if place is not None:
            return int(state.positions[place] in self._closed_at[contact])
        pulled = bool(state.pulled & self._bit[contact.device])
        return int(pulled == (contact.kind == "NO"))

    def closed_at(self, contact: Contact) -> frozenset[int]:
        """The positions of its device, by index, in which `contact` is closed."""
        return self._closed_at[contact]

    def way(self, tag: str) -> Part | None:
        """The contacts before the load `tag`. Raises KeyError if no rung ends in it."""
        return self._rung[tag].contacts

    def has_voltage(self, tag: str, state: State) -> bool:
        """True if the load `tag` has voltage in `state`."""
        return state.supply and bool(conducts(self.way(tag), lambda contact: self.closed(contact, state)))

    def is_on(self, tag: str, state: State) -> bool:
        """True if coil `tag` has pulled in, or lamp `tag` is lit; False also for a device that this ladder lacks."""
        bit = self._bit.get(tag)
        if bit is not None:
            return bool(state.pulled & bit)
        key = (tag, state)
        if key not in self._lit:
            self._lit[key] = tag in self._rung and self.has_voltage(tag, state)
        return self._lit[key]

    def position(self, tag: str, state: State) -> str:
        """The word for the position of `tag`: "pressed", "in", "lit", … ("on" or "off" for the supply)."""
        place = self._place.get(tag)
        if place is not None:
            return self._words[tag][state.positions[place]]
        bit = self._bit.get(tag)
        if bit is not None:
            return self._words[tag][1 if state.pulled & bit else 0]
        if tag == SUPPLY:
            return "on" if state.supply else "off"
        return self._words[tag][1 if self.is_on(tag, state) else 0]

    def positions(self, state: State) -> Mapping[str, str]:
        """Designation -> word, of every device, in the order of the panel."""
        return {tag: self.position(tag, state) for tag in self.devices}

    def rest(self, state: State) -> Rest:
        """Where the panel comes to rest from `state` if nothing is touched; all contacts stand as their devices do."""
        return self._rest_of(self.packed(state))

    def onward(self, state: State) -> Iterator[tuple[Step, Rest]]:
        """Every step that `can` start from `state`, in the order of `steps`, and where the panel rests after it."""
        word = self.packed(state)
        for step, field, start, flip in self.turns:
            if word & field == start:
                yield step, self._rest_of(word ^ flip)

    def only(self, tags: Iterable[str]) -> Panel:
        """The same panel on which no device but `tags`, and the supply, moves: all others stay as they are in `start`.

        States are those of the whole panel. What is told of `tags` is exact if with each load `tags` names every device
        that has a contact before it.
        """
        moving = frozenset(tags)
        part = copy(self)
        part.coils = tuple(tag for tag in self.coils if tag in moving)
        part.lamps = tuple(tag for tag in self.lamps if tag in moving)
        part.loads = (*part.coils, *part.lamps)
        part.steps = tuple(step for step in self.steps if step.device == SUPPLY or step.device in moving)
        part._rest, part._lit = {}, {}
        for kept in ("turns", "_flips", "settling"):  # what was worked out for the whole
            part.__dict__.pop(kept, None)
        return part

    def after(self, step: Step, state: State) -> Rest:
        """Where the panel comes to rest after `step` from `state`, a state at rest. The caller has checked `can`."""
        return self._rest_of(self.packed(state) ^ self._flips[step])

    def packed(self, state: State) -> int:
        """`state` as one whole number: the supply in bit 0, the positions, the coils; all contacts as devices stand.

        Above the coils, one more bit for each group of contacts that may be late.
        """
        word = int(state.supply) | state.pulled << self._first_coil
        for (shift, _), position in zip(self._fields, state.positions, strict=True):
            word |= position << shift
        return self._arrived(word)

    def unpacked(self, word: int) -> State:
        """The state of which `packed` makes `word`; the same if contacts are still late in `word`."""
        places = tuple([word >> shift & mask for shift, mask in self._fields])
        return State(bool(word & 1), places, (word & self._plain) >> self._first_coil)

    def moments(self, step: Step | None, state: State) -> set[int]:
        """Every moment after `step` from `state` (None: nothing is touched) with the supply on, the last one included.

        They are words that tell more than a packed state: which contacts are on their way (`is_closed`).
        """
        word = self.packed(state) ^ (self._flips[step] if step else 0)
        return self.settling.moments(word) if word & 1 else set()

    def is_closed(self, contact: Contact, moment: int) -> bool:
        """True if `contact` is closed in one of `moments`."""
        mask, closed = self._tests[contact]
        return moment & mask in closed

    def _arrived(self, word: int) -> int:
        """`word` with no contact late any more."""
        for way in self._late:
            word = word | way.bit if way.conducts(word) else word & ~way.bit
        return word

    @cached_property
    def turns(self) -> tuple[tuple[Step, int, int, int], ...]:
        """(step, field, start, flip) of every step: it can start from a packed state if `word & field == start`.

        `word ^ flip` is then the state just after it, contacts that may be late still open.
        """
        found = []
        for step in self.steps:
            words: tuple[str, ...] = ("off", "on")
            shift, mask = 0, 1
            if step.device != SUPPLY:
                words, (shift, mask) = self._words[step.device], self._fields[self._place[step.device]]
            start, end = words.index(step.move.start), words.index(step.move.end)
            found.append((step, mask << shift, start << shift, (start ^ end) << shift))
        return tuple(found)

    @cached_property
    def _flips(self) -> dict[Step, int]:
        return {step: flip for step, _, _, flip in self.turns}

    @cached_property
    def settling(self) -> Settling:
        """Where packed states come to rest with the supply on."""
        return Settling([self._ways[tag] for tag in self.coils], self._late)

    def look(self, tag: str) -> Way:
        """The way to load `tag`, with full supply, for packed states. A lamp has no `bit` of its own: 0."""
        return self._ways[tag]

    def settled(self, word: int) -> Settled:
        """Where a packed state comes to rest, with the supply on or off."""
        if word & 1:
            return self.settling[word]
        return Settled((self._arrived(word & (1 << self._first_coil) - 1),), False)  # the order cannot matter

    def _way_of(self, tag: str) -> Way:
        """The way to load `tag`."""
        makes = breaks = looks_at = 0
        tests = {}
        for contact in self._rung[tag].all_contacts():
            if contact not in self._tests:
                self._tests[contact] = self._test(contact)
            mask, closed = self._tests[contact]
            if contact.device not in self._place:
                if contact.kind == "NO":
                    makes |= mask
                else:
                    breaks |= mask
            elif late := mask & ~self._plain:
                if all(value & late for value in closed):
                    makes |= late
                else:
                    breaks |= late
            tests[contact] = mask, closed
            looks_at |= mask
        return Way(
            self._bit.get(tag, 0) << self._first_coil, looks_at, makes, breaks, reader(self.way(tag), tests.__getitem__)
        )

    def _test(self, contact: Contact) -> tuple[int, frozenset[int]]:
        """The bits that decide `contact` in a packed state, and their values in which it is closed."""
        place = self._place.get(contact.device)
        if place is None:
            bit = self._bit[contact.device] << self._first_coil
            return bit, frozenset({bit if contact.kind == "NO" else 0})
        shift, mask = self._fields[place]
        return mask << shift, frozenset(position << shift for position in self._closed_at[contact])

    def _followers(self) -> None:
        """Give a bit to each group of contacts that may come late with an effect, and put it into the ways."""
        before = {coil: self._rung[coil].all_contacts() for coil in self.coils}
        devices = [(device, *field) for device, field in zip(self.inputs, self._fields, strict=True)]
        found, asked = late_contacts(devices, self._closed_at, before, self._ways, 1 << self._first_late)
        for contact, (late, value) in asked.items():
            mask, values = self._tests[contact]
            self._tests[contact] = mask | late, frozenset(one | value for one in values)
        if found:
            self._late = found
            self._ways = {tag: self._way_of(tag) for tag in self.loads}

    def _rest_of(self, word: int) -> Rest:
        if word not in self._rest:
            words, chatter = self.settled(word)
            states = tuple(map(self.unpacked, words))
            passed: frozenset[State] = frozenset()
            if word & 1:
                passed = frozenset(map(self.unpacked, self.settling.passed(word))).difference(states)
            self._rest[word] = Rest(states, chatter, passed)
        return self._rest[word]
