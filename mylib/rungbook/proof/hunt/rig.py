"""A board, sound or with a fault, in a person's hands: operate it, look at it, measure it. What is read, no log.

Orders are taken at rest, as `BoardPanel` takes them. A race goes the same way each time (the first end in the order of
states), and relays that chatter stay as they were; both are told in what is seen. "As found" begins again: supply on,
every device at rest, and a fuse that melted under way renewed; one that was blown from the beginning still is.
"""

from __future__ import annotations

from collections.abc import Callable

from rungbook.behaviour import Board, Network, PowerFaults, Reading, measure_ohms, measure_volts
from rungbook.behaviour.actions import SUPPLY, Step, possible_steps
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.elements import Link
from rungbook.behaviour.faults import Fault, GroundedNode
from rungbook.behaviour.meter import BEEP_OHMS, OVERLOAD_OHMS
from rungbook.behaviour.motor_panel import MotorPanel
from rungbook.behaviour.panel import Rest, State
from rungbook.behaviour.wired import SUPPLY_LINK, wire_up
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Contact, PowerCircuit
from rungbook.errors import LadderError
from rungbook.proof.hunt.leads import RAILS, Leads

VOLTS, OHMS, CONTINUITY = "volts", "ohms", "continuity"
QUANTITIES = (VOLTS, OHMS, CONTINUITY)
CHATTERS, RACES = "relays chatter", "a race"
_Ask = Callable[[Network, int | str, int | str, frozenset[str], frozenset[str]], Reading]


class Rig:
    """`board` with `fault` (None: sound). leads: of the sound board. power: a sound power circuit, for its motors.

    Raises LadderError as `BoardPanel` (a device that works in time), `MotorPanel`, and `Fault.apply`.
    """

    def __init__(self, board: Board, leads: Leads, fault: Fault | None = None, power: PowerCircuit | None = None):
        self.board = board if fault is None else fault.apply(board)
        self.leads = leads
        self.panel = BoardPanel(self.board) if power is None else MotorPanel(self.board, power, PowerFaults())
        self._nodes = {lead: leads.node(lead, self.board) for lead in (*RAILS, *leads.names)}
        if isinstance(fault, GroundedNode) and fault.node == LEFT_RAIL:
            self._nodes["X1"] = RIGHT_RAIL
        self._wire()
        self.steps = possible_steps(self.panel.inputs)
        self._read: dict[tuple[_Ask, int, int, frozenset[str], frozenset[str]], Reading] = {}
        self.begin()

    def begin(self) -> None:
        """The board as it was found: supply on, nothing touched."""
        self.locked = False
        self.flaw = ""
        self.state = self.panel.start
        self._rest_in(self.panel.rest(self.state), self.state)

    @property
    def supplied(self) -> bool:
        """True if the supply is switched on (its fuse may be blown)."""
        return self.state.supply

    def can(self, step: Step) -> bool:
        """True if `step` starts from where its device is, and no lock hinders it."""
        return self.panel.can(step, self.state) and not (self.locked and step.device == SUPPLY)

    def do(self, step: Step) -> None:
        """Do `step`. The caller has checked `can`."""
        self._rest_in(self.panel.after(step, self.state), self.panel.moved(step, self.state))

    def _rest_in(self, rest: Rest, moved: State) -> None:
        self.state = rest.states[0] if rest.states else moved
        self.flaw = CHATTERS if rest.chatter else RACES if len(rest.states) > 1 else ""

    def seen(self) -> str:
        """What an operator sees without a meter: "Q1 in, P1 lit, M1 runs forwards"."""
        panel, state = self.panel, self.state
        told = []
        for tag in panel.coils:
            told.append(f"{tag} {panel.position(tag, state)}{' and hums' if panel.hums(tag, state) else ''}")
        told += [f"{tag} {panel.position(tag, state)}" for tag in panel.lamps]
        if isinstance(panel, MotorPanel):
            told += [f"{tag} {panel.motor_word(tag, state)}" for tag in panel.motors]
        return ", ".join([*told, *filter(None, [self.flaw])])

    def steady(self) -> bool:
        """False if this state came about by chance: a race, or relays that chatter."""
        return not self.flaw

    def node(self, lead: str) -> int:
        """The node on which `lead` is here."""
        return self._nodes[lead]

    def _wire(self) -> None:
        """Make the network of this board, with every terminal a node of it."""
        board = self.board
        items = [w for w in board.items if isinstance(w.item, Contact) or w.item.name not in board.cut]
        ratings = {name: rating for name, rating in board.ratings.items() if name not in board.cut}
        wired = wire_up(items, supply=board.supply, ratings=ratings)
        points = [Link(f"terminal on {node}", node, node) for node in sorted(set(self._nodes.values()))]
        self.network = Network(wired.network.branches, wired.network.sources, (*wired.network.links, *points))
        self._links = tuple(wired.contacts.values())
        self._magnets = [load.device for load in board.loads if load.kind == "coil" and load.name in wired.loads]

    def closed(self) -> frozenset[str]:
        """Links of the network that are closed now."""
        panel, board = self.panel, self.board
        melted = self.state.pulled >> len(panel.coils) & 1  # one more bit of `State.pulled`, as `BoardPanel` says
        found = [SUPPLY_LINK] if self.state.supply and not board.blown and not melted else []
        for place, (link, contact) in enumerate(zip(self._links, board.contacts, strict=True)):
            if place in board.held:
                here = board.held[place]
            else:
                word = board.stuck.get(contact.device) or panel.position(contact.device, self.state)
                here = word in panel.devices[contact.device].spec.closed_in(contact.kind, contact.terminals)
            if here:
                found.append(link)
        return frozenset(found)

    def sealed(self) -> frozenset[str]:
        """Coils whose magnet is closed now."""
        return frozenset(tag for tag in self._magnets if self.panel.is_on(tag, self.state))

    def read(self, quantity: str, a: str, b: str) -> Reading:
        """What a meter set to `quantity` shows between the leads `a` and `b`. Raises LadderError: no such quantity."""
        ask = measure_volts if check_quantity(quantity) == VOLTS else measure_ohms
        key = (ask, self.node(a), self.node(b), self.closed(), self.sealed())
        if key not in self._read:
            self._read[key] = ask(self.network, *key[1:])
        found = self._read[key]
        if quantity != CONTINUITY:
            return found
        beeps = found.value is not None and found.value < BEEP_OHMS
        return Reading("continuity", found.value, found.unit, beeps, found.warning)

    def foresee(self, quantity: str, pairs: list[tuple[str, str]]) -> list[float | None]:
        """The values that `read` finds for many pairs, in little time. Ohms: only with the supply off.

        Volts leave out the load of the meter itself, which takes less than a thousandth behind any coil or lamp.
        """
        closed, sealed = self.closed(), self.sealed()
        network = self.network
        nodes = [(self.node(a), self.node(b)) for a, b in pairs]
        if quantity == VOLTS:
            solution = network.solve(closed, sealed)
            drops = {one: abs(solution.across(*one) or 0) for one in dict.fromkeys(nodes)}
            return [drops[one] for one in nodes]
        known: dict[tuple[int, int], float | None] = {}
        for one in nodes:
            if one not in known:
                ohms = network.resistance(closed, sealed, *one)
                known[one] = None if ohms is None or ohms >= OVERLOAD_OHMS else ohms
        return [known[one] for one in nodes]

    def live_source(self) -> Reading:
        """The reading at a known live source beside the board, for the test of the meter before and after."""
        return Reading("voltage", abs(self.board.supply.volts), "V")


def check_quantity(quantity: object) -> str:
    """Return `quantity` if a meter has it. Raises LadderError otherwise."""
    if quantity not in QUANTITIES:
        raise LadderError("Meter", "no such function", quantity, QUANTITIES)
    assert isinstance(quantity, str)
    return quantity
