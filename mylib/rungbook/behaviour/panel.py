"""A panel with a ladder wired on it: its states, what moves it, and where it comes to rest.

A state is the supply, the position of every operated device, and which coils have pulled in. After each step the
coils whose rung no longer agrees with them move *one at a time, in every order*: relays are not equally fast, and
two orders that end differently are a race. A set of coils that never comes to rest chatters.

Not covered here: times, and the moment in which a button or relay has opened one contact but not yet closed the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from rungbook.behaviour.actions import SUPPLY, Step, possible_steps
from rungbook.behaviour.reading import conducts
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

    chatter: True if the coils can get to where no order of them leads to rest any more. A flutter that can still end
    is taken to end: no two relays are equally quick for ever. passed: states that some order of relays passes through
    before it rests; two contactors that are both in there are both in for a moment.
    """

    states: tuple[State, ...]
    chatter: bool = False
    passed: frozenset[State] = frozenset()


class Panel:
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
        self.steps = possible_steps(self.inputs)
        self._place = {device.tag: place for place, device in enumerate(self.inputs)}
        self._bit = {tag: 1 << place for place, tag in enumerate(self.coils)}
        self._rung: dict[str, Rung] = {load.device: rung for rung in ladder.rungs for load in rung.loads}
        self._rest: dict[State, Rest] = {}
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

    def way(self, tag: str) -> Part | None:
        """The contacts before the load `tag`. Raises KeyError if no rung ends in it."""
        return self._rung[tag].contacts

    def has_voltage(self, tag: str, state: State) -> bool:
        """True if the load `tag` has voltage in `state`."""
        return state.supply and bool(conducts(self.way(tag), lambda contact: self.closed(contact, state)))

    def is_on(self, tag: str, state: State) -> bool:
        """True if coil `tag` has pulled in, or lamp `tag` is lit; False also for a device that this ladder lacks."""
        if tag in self._bit:
            return bool(state.pulled & self._bit[tag])
        return tag in self._rung and self.has_voltage(tag, state)

    def position(self, tag: str, state: State) -> str:
        """The word for the position of `tag`: "pressed", "in", "lit", … ("on" or "off" for the supply)."""
        if tag == SUPPLY:
            return "on" if state.supply else "off"
        if tag in self._place:
            return self.devices[tag].spec.positions[state.positions[self._place[tag]]]
        off, on = self.devices[tag].spec.positions
        return on if self.is_on(tag, state) else off

    def positions(self, state: State) -> Mapping[str, str]:
        """Designation -> word, of every device, in the order of the panel."""
        return {tag: self.position(tag, state) for tag in self.devices}

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
        """Where the panel comes to rest after `step`. The caller has checked `can`."""
        return self.rest(self.moved(step, state))

    def rest(self, state: State) -> Rest:
        """Where the panel comes to rest from `state` if nothing is touched."""
        if state not in self._rest:
            self._rest[state] = self._settle(state)
        return self._rest[state]

    def _pending(self, state: State) -> int:
        """Bits of the coils that do not agree with their rung."""
        bits = 0
        for tag, bit in self._bit.items():
            if self.has_voltage(tag, state) != bool(state.pulled & bit):
                bits |= bit
        return bits

    def _settle(self, start: State) -> Rest:
        if not start.supply:  # everything drops out; the order cannot matter
            return Rest((start._replace(pulled=0),))
        following: dict[State, list[State]] = {}
        waiting = [start]
        while waiting:
            state = waiting.pop()
            if state in following:
                continue
            pending = self._pending(state)
            following[state] = [
                state._replace(pulled=state.pulled ^ bit) for bit in self._bit.values() if pending & bit
            ]
            waiting.extend(following[state])
        stable = [state for state, after in following.items() if not after]
        settles = set(stable)
        before: dict[State, list[State]] = {state: [] for state in following}
        for state, after in following.items():
            for later in after:
                before[later].append(state)
        waiting = list(stable)
        while waiting:
            for earlier in before[waiting.pop()]:
                if earlier not in settles:
                    settles.add(earlier)
                    waiting.append(earlier)
        return Rest(tuple(sorted(stable)), len(settles) < len(following), frozenset(following) - set(stable))
