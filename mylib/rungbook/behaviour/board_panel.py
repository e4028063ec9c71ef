"""The untimed panel of a board: like `Panel`, but each coil is asked by its voltage in the network.

So series coils, sneak paths and faults count. A coil that is out pulls in at its pull-in voltage, one that is in drops
out below its drop-out voltage; coils move one at a time, in every order, and contacts that a hand's move closes may be
late, as in `Panel`. States are those of `Panel`.
"""

from __future__ import annotations

from collections import deque
from typing import NamedTuple

from rungbook.behaviour.actions import SUPPLY, Step, possible_steps
from rungbook.behaviour.board import Board
from rungbook.behaviour.electrics import Electrics
from rungbook.behaviour.fuse import Fuse
from rungbook.behaviour.panel import Operated, Rest, State
from rungbook.behaviour.settle import every_order
from rungbook.circuit import LEFT_RAIL, Contact, Wired
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.kit.ratings import CoilRating


class _Moment(NamedTuple):
    """A state with contacts on their way. late: bits of those that a hand's move closes, and that are not closed."""

    state: State
    late: int = 0


def _move(before: _Moment, after: _Moment) -> tuple[int, int]:
    """What has moved: bits of coils, and of contacts that were late."""
    return before.state.pulled ^ after.state.pulled, before.late ^ after.late


class BoardPanel(Operated):
    """A board with its operators, for walking over its states.

    The position of an operated device is where the hand has put it; the contacts of one that is stuck do not follow.
    A supply current that melts the control fuse does so at once, and for good. Raises LadderError if a device works in
    time.
    """

    def __init__(self, board: Board) -> None:
        for device in board.devices.values():
            if device.spec.timed:
                rule = f"a {device.kind} works in time, and this reading knows no times; `run` does"
                raise LadderError(f"Device {device.tag}", rule, device.kind)
        self.board = board
        self.devices: dict[str, Device] = dict(board.devices)
        self.inputs = tuple(device for device in self.devices.values() if device.spec.operated)
        self.steps = possible_steps(self.inputs)
        self._electrics = Electrics(board, dict(board.ratings))
        self._load = {load.device: place for place, load in enumerate(self._electrics.loads)}
        self.coils = tuple(load.device for load in board.loads if load.kind == "coil")
        self.lamps = tuple(load.device for load in board.loads if load.kind == "lamp")
        self._free = {tag: 1 << k for k, tag in enumerate(self.coils) if tag not in board.stuck}
        self._bit = {tag: 1 << k for k, tag in enumerate(self.coils)}
        self._bars = {tag: board.bars(tag) for tag in self.coils}
        self._melted = 1 << len(self.coils)  # one more bit of `State.pulled`: the fuse has melted
        self._melts = Fuse(board.supply.fuse_amps).minimum
        self._place = {device.tag: place for place, device in enumerate(self.inputs)}
        self._rest: dict[State, Rest] = {}
        self._late_rest: dict[tuple[State, int], Rest] = {}
        self._bits: dict[_Moment, tuple[int, int]] = {}
        self._follows: dict[str, list[tuple[int, frozenset[str]]]] = {}  # device -> its contacts that follow the hand
        for place, contact in enumerate(self._electrics.contacts):
            tag = contact.device
            if place in board.held or tag in board.stuck:
                continue
            if tag in self._place:
                positions = self.devices[tag].spec.closed_in(contact.kind, contact.terminals)
                self._follows.setdefault(tag, []).append((1 << place, positions))

    @property
    def start(self) -> State:
        """Supply on, every device at rest, no coil in but those that are stuck in."""
        stuck = sum(bit for tag, bit in self._bit.items() if self.board.stuck.get(tag) == "in")
        return State(True, (0,) * len(self.inputs), stuck)

    def is_on(self, tag: str, state: State) -> bool:
        """True if coil `tag` has pulled in, or lamp `tag` is lit; False also for a device that is no load here."""
        if tag in self._bit:
            return bool(state.pulled & self._bit[tag])
        return tag in self._load and self.share(tag, state) >= self._electrics.lit(tag)

    def position(self, tag: str, state: State) -> str:
        """The word for the position of `tag` ("on" or "off" for the supply)."""
        if tag == SUPPLY:
            return "on" if state.supply else "off"
        if tag in self._place:
            return self.devices[tag].spec.positions[state.positions[self._place[tag]]]
        if tag in self.board.stuck:
            return self.board.stuck[tag]
        off, on = self.devices[tag].spec.positions
        return on if self.is_on(tag, state) else off

    def rest(self, state: State) -> Rest:
        """Where the panel comes to rest from `state` if nothing is touched; all contacts stand as their devices do."""
        if state not in self._rest:
            free = sum(self._free.values())
            dead = not state.supply or self.board.blown  # everything drops out; the order cannot matter
            if dead:
                self._rest[state] = Rest((state._replace(pulled=state.pulled & ~free),))
            else:
                self._rest[state] = self._settle(_Moment(state))
        return self._rest[state]

    def after(self, step: Step, state: State) -> Rest:
        """Where the panel comes to rest after `step` from `state`, a state at rest. The caller has checked `can`."""
        moved = self.moved(step, state)
        groups = self._closing(step)
        if not groups or not state.supply or self.board.blown:
            return self.rest(moved)
        key = moved, sum(groups)
        if key not in self._late_rest:
            begin = _Moment(moved, key[1])
            if len(groups) == 1 and not self._pending(begin):  # nothing stirs before the contacts close
                self._late_rest[key] = self.rest(moved)
            else:
                self._late_rest[key] = self._settle(begin, groups)
        return self._late_rest[key]

    def _closing(self, step: Step) -> list[int]:
        """Bits of the contacts that `step` closes, by the positions in which they are closed."""
        groups: dict[frozenset[str], int] = {}
        for bit, positions in self._follows.get(step.device, ()):
            if step.move.end in positions and step.move.start not in positions:
                groups[positions] = groups.get(positions, 0) | bit
        return list(groups.values())

    def share(self, tag: str, state: State) -> float:
        """Voltage of load `tag` as a share of its rated voltage [unitless]. Raises KeyError if it is no load here."""
        place = self._load[tag]
        if self.is_dead(state):
            return 0.0
        return self._electrics.shares(*self._contacts_and_coils(_Moment(state)))[place]

    def held_out_by(self, tag: str, state: State) -> str:
        """The contactor that holds the armature of coil `tag` out by a mechanical interlock in `state`; "" if none."""
        return next((o for o in self._bars[tag] if state.pulled & self._bit[o] or o in self.board.welded), "")

    def hums(self, tag: str, state: State) -> bool:
        """True if coil `tag` has the voltage to pull in while a mechanical interlock holds its armature out."""
        if tag not in self._free or self.is_on(tag, state) or tag in self.board.cut or not self.held_out_by(tag, state):
            return False
        rating = self._electrics.ratings[tag]
        assert isinstance(rating, CoilRating)
        return self.share(tag, state) >= rating.pull_in

    def humming(self) -> tuple[str, ...]:
        """Coils that hum in some state at rest that this panel has come to so far."""
        barred = [tag for tag in self.coils if self._bars[tag]]
        rests = (*self._rest.values(), *self._late_rest.values())
        states = [state for rest in rests for state in rest.states] if barred else []
        return tuple(tag for tag in barred if any(self.hums(tag, state) for state in states))

    def _contacts_and_coils(self, moment: _Moment) -> tuple[int, int]:
        """Bits of the closed contacts, and of the coils whose magnet is closed, as `Electrics` asks for them."""
        if moment not in self._bits:
            sealed = sum(1 << self._load[coil] for coil, bit in self._bit.items() if moment.state.pulled & bit)
            self._bits[moment] = self._closed(moment), sealed
        return self._bits[moment]

    def closed_contacts(self, state: State) -> tuple[bool, ...]:
        """Whether each contact of the board is closed in `state`, in the order of the items."""
        closed = self._closed(_Moment(state))
        return tuple(bool(closed >> place & 1) for place in range(len(self._electrics.contacts)))

    def is_dead(self, state: State) -> bool:
        """True if the control supply does not feed the board in `state`."""
        return not state.supply or self.board.blown or bool(state.pulled & self._melted)

    def _closed(self, moment: _Moment) -> int:
        closed = 0
        for place, contact in enumerate(self._electrics.contacts):
            if place in self.board.held:
                here = self.board.held[place]
            else:
                positions = self.devices[contact.device].spec.closed_in(contact.kind, contact.terminals)
                here = self._contact_position(contact, moment.state) in positions
            closed |= here << place
        return closed & ~moment.late

    def _contact_position(self, contact: Contact, state: State) -> str:
        if contact.device in self.board.stuck:
            return self.board.stuck[contact.device]
        return self.position(contact.device, state)

    def _pending(self, moment: _Moment) -> list[_Moment]:
        """What coils, and the fuse, make of `moment` by one move."""
        state, found = moment.state, []
        shares: tuple[float, ...] = (0.0,) * len(self._electrics.loads)
        if not self.is_dead(state):
            at = self._contacts_and_coils(moment)
            if self._electrics.amps(*at) > self._melts:
                return [moment._replace(state=state._replace(pulled=state.pulled | self._melted))]  # quicker than coils
            shares = self._electrics.shares(*at)
        for tag, bit in self._free.items():
            rating = self._electrics.ratings.get(tag)
            wanted = False  # a coil that is open inside cannot hold
            if rating is not None:
                assert isinstance(rating, CoilRating)
                share = shares[self._load[tag]]
                if state.pulled & bit:
                    wanted = share >= rating.drop_out
                else:
                    wanted = share >= rating.pull_in and not self.held_out_by(tag, state)
            if wanted != bool(state.pulled & bit):
                found.append(moment._replace(state=state._replace(pulled=state.pulled ^ bit)))
        return found

    def _settle(self, start: _Moment, groups: list[int] | None = None) -> Rest:
        def following(moment: _Moment) -> list[_Moment]:
            closing = [moment._replace(late=moment.late & ~group) for group in groups or () if moment.late & group]
            return [*self._pending(moment), *closing]

        stable, chatter, passed = every_order(start, following, _move)
        states = tuple(moment.state for moment in stable)
        return Rest(states, chatter, frozenset(moment.state for moment in passed).difference(states))

    def reason(self, tag: str, wanted_on: bool, state: State) -> str:
        """Why load `tag` is not as wanted in `state`: the closed way to it, or that there is none, or too few volts."""
        if tag not in self._load:
            return f"No load {tag} is wired here."
        if tag in self.board.cut:
            return f"{tag} is open inside: no current flows through it."
        if tag in self.board.stuck:
            return f"{tag} is stuck: it is {self.board.stuck[tag]}."
        if state.pulled & self._melted:
            return "The fuse of the control supply has melted."
        if self.is_dead(state):
            return "The control supply is dead."
        way = self._way(tag, state)
        if wanted_on and tag in self._bars and self.hums(tag, state):
            other = self.held_out_by(tag, state)
            return (
                f"The mechanical interlock of {other} holds the armature of {tag} out, so its coil hums and gets hot."
            )
        if wanted_on:
            share = self.share(tag, state)
            if share > 0.01:
                return f"{tag} gets only {share:.0%} of its rated voltage."
            return f"No closed way leads from the supply to {tag}."
        if not way:
            return f"{tag} gets {self.share(tag, state):.0%} of its rated voltage."
        path = ", ".join(f"{w.item.kind} {w.item.device} (wires {w.left}–{w.right})" for w in way)
        return f"Current flows through {path} to {tag}."

    def _way(self, tag: str, state: State) -> list[Wired]:
        """Closed contacts on a shortest way from the left rail to the load."""
        closed, _ = self._contacts_and_coils(_Moment(state))
        contacts = [wired for wired in self.board.items if isinstance(wired.item, Contact)]
        load = next(
            wired for wired in self.board.items if not isinstance(wired.item, Contact) and wired.item.device == tag
        )
        ends = {load.left, load.right} - {2}
        came: dict[int, tuple[int, Wired]] = {}
        waiting = deque([LEFT_RAIL])
        while waiting:
            here = waiting.popleft()
            if here in ends:
                way = []
                while here != LEFT_RAIL:
                    here, wired = came[here]
                    way.append(wired)
                return way[::-1]
            for place, wired in enumerate(contacts):
                if closed >> place & 1 and here in (wired.left, wired.right):
                    there = wired.right if here == wired.left else wired.left
                    if there not in came and there != LEFT_RAIL:
                        came[there] = (here, wired)
                        waiting.append(there)
        return []
