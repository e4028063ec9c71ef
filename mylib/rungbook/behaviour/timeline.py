"""The panel in time: exact events, no fixed step. Coils take time to operate and to release; NC opens before NO closes.

Time is a whole number of microseconds, so eight hours of a flashing lamp accumulate no error. Between events nothing
changes; at each event the network is solved and every coil is asked whether its voltage still suits its armature.

Order within one instant: all events due at that instant in the order in which they were caused, then one solution of
the network, then the coils from top to bottom. Same input, same trace.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping

from rungbook.behaviour import timers
from rungbook.behaviour.actions import MEND, SUPPLY, Step
from rungbook.behaviour.board import Board
from rungbook.behaviour.clockwork import Clockwork, clock_of, is_timed_contact
from rungbook.behaviour.countwork import Countwork, counter_of
from rungbook.behaviour.electrics import Electrics
from rungbook.behaviour.events import (
    ARMATURE,
    MICRO,
    Change,
    Chatter,
    Entry,
    armature_key,
    by_kind,
    clock_key,
    neighbour_key,
)
from rungbook.behaviour.magnet import Magnet
from rungbook.behaviour.neighbours import Neighbour, SupplyFuse
from rungbook.circuit import Contact, Ladder, check_input
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.kit.ratings import SUPPLY as SUPPLY_RATING
from rungbook.kit.ratings import TIMER_COIL, CoilRating, SupplyRating

# from the opening of an operator's NC contact to the closing of its NO contact [us]; no coil releases as quickly, so a
# button changing over does not by itself drop out what holds through it
TRAVEL = 4_000
SPREAD = 100  # no two relays are alike: each further coil is slower by this [us], so that ties have an end
MOST_ROUNDS = 50  # answers to one another at one instant, after which the rest is left to the next event


class Timeline:
    """A board, or a ladder on a sound board, from the moment at which the supply is first on.

    devices: for a ladder, kinds of its devices, and further devices on the panel. neighbours: what acts beside the
    control circuit, such as a `Plant`; the supply's fuse is always there. `changes` is the trace so far, `chatters` the
    oscillations found, `now` the time reached [us], `closed` bits of the closed contacts, in the board's order.

    Raises LadderError as `Board.of`, if no time is set on a timer relay or no count on a counter, if a device has not
    the reset or count-down input that is wired, or if it is of a kind whose behaviour in time is not known yet (soft
    starter, drive, programmable relay).
    """

    def __init__(
        self,
        board: Board | Ladder,
        devices: Iterable[Device] = (),
        supply: SupplyRating = SUPPLY_RATING,
        neighbours: Iterable[Neighbour] = (),
    ) -> None:
        self.board = board if isinstance(board, Board) else Board.of(board, devices, supply)
        self.devices: dict[str, Device] = dict(self.board.devices)
        self.now = 0
        self.changes: list[Change] = []
        self.chatters: list[Chatter] = []
        self.passed_over: list[tuple[int, int]] = []  # from and to [us]: repetitions of a chatter that `changes` lacks
        self.supply_on = True
        self.fuse_whole = not self.board.blown
        self.supply_level = 1.0
        for tag, device in self.devices.items():
            if device.spec.timed and device.kind not in ("timer relay", "counter"):
                raise LadderError(f"Device {tag}", f"a {device.kind} is not known in time yet", tag)
        for load in self.board.loads:
            check_input(load, self.devices[load.device])
        timed = [load.name for load in self.board.loads if self.devices[load.device].spec.timed]
        self._electrics = Electrics(self.board, dict.fromkeys(timed, TIMER_COIL) | dict(self.board.ratings))
        self._queue: list[Entry] = []
        self._fuse = SupplyFuse(self.board.supply.fuse_amps)
        self._neighbours: tuple[Neighbour, ...] = (self._fuse, *neighbours)
        self._planned: list[int | None] = [None] * len(self._neighbours)
        self._forced = False
        self._count = 0
        self._turn: dict[str, int] = dict.fromkeys(self.devices, 0)
        self._turn |= {neighbour_key(place): 0 for place in range(len(self._neighbours))}
        self._seen: dict[object, tuple[int, list[int]]] = {}  # how coils stood -> when, counts; since the last touch
        self._chattering: tuple[tuple[str, ...], int] | None = None  # the cycle found since then
        self._restless: dict[str, None] = {}  # coils that have begun to move since then
        self._position = {tag: device.spec.rest for tag, device in self.devices.items()} | dict(self.board.stuck)
        contacts = self._electrics.contacts
        self._contacts_of: dict[str, list[tuple[int, Contact]]] = {}
        for number, contact in enumerate(contacts):
            self._contacts_of.setdefault(contact.device, []).append((number, contact))
        self.closed = sum(1 << number for number, closed in self.board.held.items() if closed)
        for number, contact in enumerate(contacts):
            self._set(number, self._position[contact.device] in self._closed_in(contact))
        self._magnets: list[Magnet] = []
        self._clocks: list[Clockwork | Countwork] = []
        self._inputs = {load.name: number for number, load in enumerate(self._electrics.loads)}
        for number, load in enumerate(self._electrics.loads):
            if load.kind == "coil" and load.device not in self.board.stuck:
                self._add_coil(number, load.device)
        self._lamps = [
            (load.device, number) for number, load in enumerate(self._electrics.loads) if load.kind == "lamp"
        ]
        self._sealed = 0
        for number, load in enumerate(self._electrics.loads):
            if load.kind == "coil" and self.board.stuck.get(load.device) == "in":
                self._sealed |= 1 << number
        self._counters = [clock for clock in self._clocks if isinstance(clock, Countwork)]
        for counter in self._counters:
            self._set_clock(counter)  # a down counter stands at 0, so its contacts are operated
        self._react()

    def _add_coil(self, number: int, tag: str) -> None:
        rating = self._coil_rating(tag)
        own = self._contacts_of.get(tag, [])
        device = self.devices[tag]
        if device.spec.timed:
            nc, no = by_kind([(k, contact) for k, contact in own if is_timed_contact(contact)])
            if device.kind == "counter":
                kinds = {"coil": tag, "down": f"{tag} down", "reset": f"{tag} reset"}
                wired = {kind: found for kind, name in kinds.items() if (found := self._input(name)) is not None}
                self._clocks.append(Countwork(tag, nc, no, wired, counter_of(device)))
            else:
                reset = self._input(f"{tag} reset")
                self._clocks.append(Clockwork(tag, number, nc, no, rating, clock_of(device), reset))
            own = [(k, contact) for k, contact in own if not is_timed_contact(contact)]
        nc, no = by_kind(own)
        self._turn.update({armature_key(tag): 0, clock_key(tag): 0})
        self._magnets.append(Magnet(tag, number, nc, no, rating, len(self._magnets) * SPREAD))

    def _coil_rating(self, name: str) -> CoilRating:
        rating = self._electrics.ratings.get(name, TIMER_COIL)
        assert isinstance(rating, CoilRating)
        return rating

    def _input(self, name: str) -> tuple[int, CoilRating] | None:
        """Number and rating of the load `name`, None if it is not wired."""
        return (self._inputs[name], self._coil_rating(name)) if name in self._inputs else None

    def _closed_in(self, contact: Contact) -> frozenset[str]:
        return self.devices[contact.device].spec.closed_in(contact.kind, contact.terminals)

    # -- what a person does ---------------------------------------------------------------------------------------

    def position(self, tag: str) -> str:
        """The word for where `tag` is now; "on" or "off" for the supply."""
        if tag == SUPPLY:
            return "on" if self.supply_on else "off"
        return self._position[tag]

    def positions(self) -> Mapping[str, str]:
        """Designation -> word, of all devices, now."""
        return dict(self._position)

    def can(self, step: Step) -> bool:
        """True if `step` starts from where its device is now."""
        return self.position(step.device) == step.move.start or step.device in self.board.stuck

    def do(self, step: Step) -> None:
        """Do `step` now. Contacts that open do so at once, those that close a little later (break before make).

        The caller has checked `can`.
        """
        self._touched()
        if step == MEND:
            self.fuse_whole = True
            self._fuse.renew(self.now)
            self.note(SUPPLY, "fuse replaced")
        elif step.device == SUPPLY:
            self.supply_on = step.move.end == "on"
            self.note(SUPPLY, step.move.end)
        else:
            self._move(step.device, step.move.end)
        self._react()

    def timer(self, tag: str) -> tuple[str, float | None]:
        """Phase of timer relay `tag` ("idle", "timing", "done") and the time left until its next change [s], or None.

        Raises LadderError if there is no such timer relay.
        """
        relays = [clock for clock in self._clocks if isinstance(clock, Clockwork)]
        for clock in relays:
            if clock.tag == tag:
                left = timers.remaining(clock.state, self.now)
                return timers.phase(clock.state), None if left is None else left / MICRO
        raise LadderError("Timeline", "no such timer relay", tag, tuple(clock.tag for clock in relays))

    def counter(self, tag: str) -> int:
        """Value of counter `tag` now [counts]. Raises LadderError if there is no such counter."""
        for counter in self._counters:
            if counter.tag == tag:
                return counter.state.value
        raise LadderError("Timeline", "no such counter", tag, tuple(counter.tag for counter in self._counters))

    def set_supply_level(self, share: float) -> None:
        """Let the supply voltage sag or rise to `share` of its rated value [unitless] now."""
        self._touched()
        self.supply_level = share
        self._react()

    # -- for neighbours -----------------------------------------------------------------------------------------------

    def force(self, tag: str, position: str) -> None:
        """Bring `tag` into `position` now, from within `Neighbour.tick` or `Neighbour.react`."""
        self._touched()
        self._move(tag, position)
        self._forced = True

    def note(self, tag: str, word: str) -> None:
        """Write a change of something that is not on the panel, such as a motor, into the trace."""
        self.changes.append(Change(self.now, tag, word))

    def blow_fuse(self) -> None:
        """Open the supply for good: its fuse has melted."""
        self.fuse_whole = False
        self._forced = True
        self.note(SUPPLY, "fuse blown")

    def supply_amps(self) -> float:
        """Current of the control supply now [A]."""
        return self._electrics.amps(self.closed, self._sealed) * self._level()

    def _level(self) -> float:
        return self.supply_level if self.supply_on and self.fuse_whole else 0.0

    # -- movement -------------------------------------------------------------------------------------------------

    def _move(self, tag: str, position: str) -> None:
        if tag in self.board.stuck:
            return
        self._turn[tag] += 1  # a contact still on its way in is called off
        self._position[tag] = position
        self.note(tag, position)
        later = []
        for number, contact in self._contacts_of.get(tag, ()):
            if position not in self._closed_in(contact):
                self._set(number, False)
            elif not self.closed >> number & 1:
                later.append((number, True))
        if later:
            self._plan(TRAVEL, tag, tuple(later))

    # -- time ---------------------------------------------------------------------------------------------------------

    def advance(self, until: int) -> None:
        """Let time pass up to `until` [us], doing every event on the way. Does nothing if that is past."""
        while self._queue and self._queue[0].time <= until:
            self.now = self._queue[0].time
            while self._queue and self._queue[0].time == self.now:
                _, _, key, turn, contacts, word = heapq.heappop(self._queue)
                if turn == self._turn[key]:
                    self._happen(key, contacts, word)
            self._react()
            self._look_for_chatter(until)
        self.now = max(self.now, until)

    def next_event(self) -> int | None:
        """When something will happen by itself [us], or None."""
        return min((entry.time for entry in self._pending()), default=None)

    def _pending(self) -> list[Entry]:
        return [entry for entry in self._queue if entry.turn == self._turn[entry.key]]

    def _plan(self, delay: int, key: str, contacts: tuple[tuple[int, bool], ...], word: str = "") -> None:
        self._count += 1
        heapq.heappush(self._queue, Entry(self.now + delay, self._count, key, self._turn[key], contacts, word))

    def _happen(self, key: str, contacts: tuple[tuple[int, bool], ...], word: str) -> None:
        for number, closed in contacts:
            self._set(number, closed)
        for place, neighbour in enumerate(self._neighbours):
            if key == neighbour_key(place):
                self._planned[place] = None
                neighbour.tick(self)
        for clock in self._clocks:
            if key == clock_key(clock.tag):
                self._touched()
                clock.tick(self.now)
                self._set_clock(clock)
        for magnet in self._magnets:
            if word and key == armature_key(magnet.tag):
                magnet.phase = word
                bit = 1 << magnet.load
                self._sealed = self._sealed | bit if magnet.pulled else self._sealed & ~bit
                if not self.devices[magnet.tag].spec.timed:
                    self._be(magnet.tag, "in" if magnet.pulled else "out")

    def _set_clock(self, clock: Clockwork | Countwork) -> None:
        """Put the contacts of a timer or counter where its block says, and plan its next change."""
        for number, closed in clock.contacts():
            self._set(number, closed)
        self._be(clock.tag, clock.word)
        self._turn[clock_key(clock.tag)] += 1
        if clock.due is not None:
            self._plan(clock.due - self.now, clock_key(clock.tag), ())

    def _set(self, number: int, closed: bool) -> None:
        if number in self.board.held:
            return
        self.closed = self.closed | 1 << number if closed else self.closed & ~(1 << number)

    def _be(self, tag: str, word: str) -> None:
        if word != self._position[tag]:
            self._position[tag] = word
            self.note(tag, word)

    # -- electricity --------------------------------------------------------------------------------------------------

    def _react(self) -> None:
        """Let electricity and neighbours answer each other until nothing more moves at this instant."""
        for _ in range(MOST_ROUNDS):
            self._forced = False
            self._electricity()
            for neighbour in self._neighbours:
                neighbour.react(self)
            if not self._forced:
                break
        for place, neighbour in enumerate(self._neighbours):
            due = neighbour.due
            if due != self._planned[place]:
                self._planned[place] = due
                self._turn[neighbour_key(place)] += 1
                if due is not None:
                    self._plan(max(due - self.now, 0), neighbour_key(place), ())

    def _electricity(self) -> None:
        """Solve the network and let timers, counters, coils and lamps answer, until no timer or counter stirs."""
        level = self._level()
        for _ in range(MOST_ROUNDS):
            shares = self._electrics.shares(self.closed, self._sealed)
            stirred = [clock for clock in self._clocks if clock.answer(shares, level, self.now)]
            for clock in stirred:
                self._set_clock(clock)
            if not stirred:
                break
        for magnet in self._magnets:
            barred = magnet.phase == "out" and self._is_held_out(magnet.tag)
            planned = magnet.answer(0.0 if barred else shares[magnet.load] * level)
            if planned is not None:
                self._restless[magnet.tag] = None
                self._turn[armature_key(magnet.tag)] += 1
                for delay, contacts, word in planned:
                    self._plan(delay, armature_key(magnet.tag), contacts, word)
        for tag, number in self._lamps:
            self._be(tag, "lit" if shares[number] * level >= self._electrics.lit(tag) else "dark")

    def _is_held_out(self, tag: str) -> bool:
        """True if a mechanical interlock stops the armature of `tag`: another one is in, or on its way."""
        others = self.board.bars(tag)
        moving = {magnet.tag for magnet in self._magnets if magnet.phase != "out"} if others else set()
        return any(o in moving or o in self.board.welded or self.board.stuck.get(o) == "in" for o in others)

    def _touched(self) -> None:
        self._calm()
        self._chattering = None

    def _calm(self) -> None:
        self._seen.clear()
        self._restless.clear()

    def _look_for_chatter(self, until: int) -> None:
        """If the coils are again just as they were, note the cycle once and pass over its repetitions."""
        pending = self._pending()
        moving = [entry for entry in pending if entry.key.startswith(ARMATURE)]
        if not moving:
            self._calm()
            return
        state = (
            self.closed,
            self._sealed,
            tuple(magnet.phase for magnet in self._magnets),
            tuple(sorted((entry.time - self.now, entry.key, entry.contacts, entry.word) for entry in moving)),
            tuple(frozenset(counter.on) for counter in self._counters),
        )
        values = [counter.state.value for counter in self._counters]
        if state not in self._seen:
            self._seen[state] = self.now, values
            return
        before, counted = self._seen[state]
        period = self.now - before
        coils = tuple(magnet.tag for magnet in self._magnets if magnet.tag in self._restless)
        if self._chattering != (coils, period):
            self._chattering = (coils, period)
            self.chatters.append(Chatter(before, period, coils))
        others = [entry for entry in pending if not entry.key.startswith(ARMATURE)]
        horizon = min([until, *(entry.time for entry in others)])
        cycles = max(0, (horizon - self.now) // period)
        changes = [value - then for value, then in zip(values, counted, strict=True)]
        for counter, change in zip(self._counters, changes, strict=True):
            cycles = min(cycles, counter.room(change)) if change else cycles
        for counter, change in zip(self._counters, changes, strict=True):
            counter.skip(cycles * change)
        skip = cycles * period
        self._queue = [*(entry._replace(time=entry.time + skip) for entry in moving), *others]
        heapq.heapify(self._queue)
        if skip:
            self.passed_over.append((self.now, self.now + skip))
        self.now += skip
        self._calm()
