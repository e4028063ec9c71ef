"""The meter on the bench: two leads that stay where they are, and a reading of the circuit as it is at this moment.

Leads go on terminals (`proof.hunt.Leads`), or both on a known live source beside the board. Resistance on a live
circuit is refused, as a hunt refuses it; on one that was not proved dead it is shown with a remark. The proof is a test
in three points, on volts: the live source, the circuit with its supply off and locked out, the live source again.
"""

from __future__ import annotations

from rungbook.behaviour import (
    Board,
    Link,
    Network,
    Reading,
    Timeline,
    measure_continuity,
    measure_ohms,
    measure_volts,
)
from rungbook.behaviour.meter import LIVE_VOLTS
from rungbook.behaviour.wired import SUPPLY_LINK, wire_up
from rungbook.circuit import Contact
from rungbook.kit.ratings import TIMER_COIL
from rungbook.proof.hunt import Leads
from rungbook.proof.hunt.leads import RAILS
from rungbook.proof.hunt.rig import CONTINUITY, OHMS, VOLTS, check_quantity
from rungbook.proof.hunt.search import UNPROVED, display

_ASK = {VOLTS: measure_volts, OHMS: measure_ohms, CONTINUITY: measure_continuity}
MOST_KEPT = 10_000  # readings that are kept
WHOLE = frozenset(RAILS)  # proved dead between X1 and X2, the whole circuit is


class BenchMeter:
    """A meter for `board` as it is wired. leads: where it can be put. function: "volts", "ohms" or "continuity".

    at: terminals of its two leads, "" for one in the air. on_source: True while both are on the live source. done: how
    many of the three points of the proof are done, in their order. proved: pairs of leads proved dead.
    """

    def __init__(self, board: Board) -> None:
        self.board, self.leads = board, Leads(board)
        self.function = VOLTS
        self.at = ("", "")
        self.on_source = False
        self._node = {lead: self.leads.node(lead, board) for lead in (*RAILS, *self.leads.names)}
        self._wire()
        self._read: dict[tuple[str, int, int, frozenset[str], frozenset[str]], Reading] = {}
        self.forget()

    def _wire(self) -> None:
        """Make the network of the board, as `Electrics` does; terminals that nothing joins are nodes of it too."""
        board = self.board
        items = [one for one in board.items if isinstance(one.item, Contact) or one.item.name not in board.cut]
        timed = [load.name for load in board.loads if board.devices[load.device].spec.timed]
        ratings = dict.fromkeys(timed, TIMER_COIL) | dict(board.ratings)
        used = {name: rating for name, rating in ratings.items() if name not in board.cut}
        wired = wire_up(items, supply=board.supply, ratings=used)
        self._links = tuple(wired.contacts.values())
        self._magnets = [load.device for load in board.loads if load.kind == "coil" and load.name in wired.loads]
        network = wired.network
        points = [Link(f"terminal on {node}", node, node) for node in sorted(set(self._node.values()))]
        self._network = Network(network.branches, network.sources, (*network.links, *points))

    # -- the hands ----------------------------------------------------------------------------------------------------

    def put(self, a: object, b: object) -> None:
        """Put the leads on `a` and `b`, "" for in the air. Raises LadderError if there is no such terminal."""
        self.at = (self._lead(a), self._lead(b))
        self.on_source = False

    def _lead(self, text: object) -> str:
        return "" if text == "" else self.leads.lead(text)

    def to_source(self, there: bool) -> None:
        """Put both leads on the live source, or back on their terminals."""
        self.on_source = bool(there)

    def turn_to(self, function: object) -> None:
        """Set the function. Raises LadderError if there is no such one."""
        self.function = check_quantity(function)

    # -- the display --------------------------------------------------------------------------------------------------

    def reading(self, timeline: Timeline) -> Reading | None:
        """What the meter shows in the state of `timeline`, [V] or [ohm]; None with a lead in the air, or on one point.

        On the live source resistance is refused as on any live circuit.
        """
        if self.on_source:
            if self.function == VOLTS:
                return Reading("voltage", abs(self.board.supply.volts), "V")
            return Reading(self.function, None, "ohm", warning=SOURCE_LIVE)
        a, b = self.at
        if not a or not b or a == b:
            return None
        closed = {link for k, link in enumerate(self._links) if timeline.closed >> k & 1}
        if timeline.supply_on and timeline.fuse_whole:
            closed.add(SUPPLY_LINK)
        sealed = frozenset(tag for tag in self._magnets if timeline.position(tag) == "in")
        key = (self.function, self._node[a], self._node[b], frozenset(closed), sealed)
        if key not in self._read:
            if len(self._read) >= MOST_KEPT:
                self._read.clear()
            self._read[key] = _ASK[self.function](self._network, *key[1:])
        return self._read[key]

    def state(self, timeline: Timeline) -> dict[str, object]:
        """All that a front end shows of the meter, as plain data. shown: the display. remark: what is unsafe, or "".

        proof: how many of the three points are done. proved: what is proved dead, in words, or "".
        """
        found = self.reading(timeline)
        remark = "" if found is None else found.warning
        if found is not None and not remark and self.function != VOLTS and not self._is_proved:
            remark = UNPROVED
        return {
            "function": self.function,
            "at": list(self.at),
            "source": self.on_source,
            "shown": "" if found is None else display(found),
            "where": self.where,
            "remark": remark,
            "proof": self.done,
            "proved": self.told,
            "off": not timeline.supply_on,
        }

    @property
    def where(self) -> str:
        """Where the leads are, in words."""
        if self.on_source:
            return "known live source"
        if self.at[0] and self.at[0] == self.at[1]:
            return f"both leads on {self.at[0]}"
        return " – ".join(lead or "in the air" for lead in self.at)

    # -- the proof ----------------------------------------------------------------------------------------------------

    def forget(self) -> None:
        """Nothing is proved dead any more."""
        self.done = 0
        self.proved: set[frozenset[str]] = set()

    def touch(self, timeline: Timeline, locked: bool) -> None:
        """The leads, or the function, were changed: follow the three points of the proof. locked: the supply is."""
        found = self.reading(timeline)
        if found is None:
            return  # on the way to a terminal
        if self.function != VOLTS:
            self.done = 0
        elif not self.on_source:
            dead = locked and found.value is not None and found.value < LIVE_VOLTS
            self.done = 2 if dead and self.done in (1, 2) else 0
        elif self.done == 2:
            self.done = 3
            self.proved.add(frozenset(self.at))
        else:
            self.done = 1

    @property
    def _is_proved(self) -> bool:
        return bool(self.proved & {WHOLE, frozenset(self.at)})

    @property
    def proved_dead(self) -> bool:
        """True if the circuit as a whole, X1 – X2, is proved dead."""
        return WHOLE in self.proved

    @property
    def told(self) -> str:
        """What is proved dead, in words, or ""."""
        if self.proved_dead:
            return "The circuit is proved dead (X1 – X2)."
        pairs = sorted(" – ".join(sorted(pair)) for pair in self.proved)
        return f"Proved dead: {', '.join(pairs)} alone; X1 – X2 stands for the whole circuit." if pairs else ""


SOURCE_LIVE = "The source is live: a meter on ohms or continuity does not belong there."
