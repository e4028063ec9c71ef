"""The untimed panel of a board: like `Panel`, but each coil is asked by its voltage in the network.

So series coils, sneak paths and faults count. A coil that is out pulls in at its pull-in voltage, one that is in drops
out below its drop-out voltage; coils move one at a time, in every order. States are those of `Panel`.
"""

from __future__ import annotations

from collections import deque

from rungbook.behaviour.actions import SUPPLY, possible_steps
from rungbook.behaviour.board import Board
from rungbook.behaviour.electrics import Electrics
from rungbook.behaviour.fuse import Fuse
from rungbook.behaviour.panel import Operated, Rest, State
from rungbook.behaviour.settle import every_order
from rungbook.circuit import LEFT_RAIL, Contact, Wired
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.kit.ratings import CoilRating


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
        self._bits: dict[State, tuple[int, int]] = {}

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
        """Where the panel comes to rest from `state` if nothing is touched."""
        if state not in self._rest:
            free = sum(self._free.values())
            dead = not state.supply or self.board.blown  # everything drops out; the order cannot matter
            self._rest[state] = Rest((state._replace(pulled=state.pulled & ~free),)) if dead else self._settle(state)
        return self._rest[state]

    def share(self, tag: str, state: State) -> float:
        """Voltage of load `tag` as a share of its rated voltage [unitless]. Raises KeyError if it is no load here."""
        place = self._load[tag]
        if self._is_dead(state):
            return 0.0
        return self._electrics.shares(*self._contacts_and_coils(state))[place]

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
        states = [state for rest in self._rest.values() for state in rest.states] if barred else []
        return tuple(tag for tag in barred if any(self.hums(tag, state) for state in states))

    def _contacts_and_coils(self, state: State) -> tuple[int, int]:
        """Bits of the closed contacts, and of the coils whose magnet is closed, as `Electrics` asks for them."""
        if state not in self._bits:
            sealed = sum(1 << self._load[coil] for coil, bit in self._bit.items() if state.pulled & bit)
            self._bits[state] = self._closed(state), sealed
        return self._bits[state]

    def _is_dead(self, state: State) -> bool:
        return not state.supply or self.board.blown or bool(state.pulled & self._melted)

    def _closed(self, state: State) -> int:
        closed = 0
        for place, contact in enumerate(self._electrics.contacts):
            if place in self.board.held:
                here = self.board.held[place]
            else:
                positions = self.devices[contact.device].spec.closed_in(contact.kind, contact.terminals)
                here = self._contact_position(contact, state) in positions
            closed |= here << place
        return closed

    def _contact_position(self, contact: Contact, state: State) -> str:
        if contact.device in self.board.stuck:
            return self.board.stuck[contact.device]
        return self.position(contact.device, state)

    def _pending(self, state: State) -> list[int]:
        bits = []
        for tag, bit in self._free.items():
            rating = self._electrics.ratings.get(tag)
            pulled = bool(state.pulled & bit)
            if rating is None:  # open inside: it cannot hold
                wanted = False
            else:
                assert isinstance(rating, CoilRating)
                wanted = self.share(tag, state) >= (rating.drop_out if pulled else rating.pull_in)
            if wanted and not pulled and self._bars[tag] and self.held_out_by(tag, state):
                continue
            if wanted != pulled:
                bits.append(bit)
        if not self._is_dead(state) and self._electrics.amps(*self._contacts_and_coils(state)) > self._melts:
            return [self._melted]  # quicker than any coil
        return bits

    def _settle(self, start: State) -> Rest:
        def following(state: State) -> list[State]:
            return [state._replace(pulled=state.pulled ^ bit) for bit in self._pending(state)]

        stable, chatter, passed = every_order(start, following)
        return Rest(tuple(stable), chatter, frozenset(passed))

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
        if self._is_dead(state):
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
        closed, _ = self._contacts_and_coils(state)
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
