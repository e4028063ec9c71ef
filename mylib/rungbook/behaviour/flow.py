"""Where current flows: through which contacts and loads, and which wires have voltage against the grounded conductor.

The network merges closed contacts exactly, so it cannot say how contacts side by side share a current. Here each
closed contact has the same small resistance: of two ways the shorter carries more, a dead end carries nothing, and so
does a contact between two points that have the same potential.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from rungbook.behaviour.board import Board
from rungbook.behaviour.nodal import Joints
from rungbook.behaviour.wired import wire_up
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Contact
from rungbook.kit.ratings import TIMER_COIL

CONTACT_OHMS = 0.02  # of a closed contact; common practice says some tens of milliohm
LEAST_AMPS = 1e-6  # less is the rounding of the solution, or an instrument's
LEAST_SHARE = 0.01  # of the supply voltage, from which a wire counts as being at voltage


@dataclass(frozen=True)
class Flowing:
    """What flows in one state. amps: through each item, from its left to its right node [A, phasor].

    volts: node -> size of its voltage against the right rail [V]; None if no conductive path joins them.
    """

    amps: tuple[complex, ...]
    volts: Mapping[int, float | None]
    full: float  # the supply voltage [V]

    def carries(self, item: int) -> bool:
        """True if the item at this place carries current."""
        return abs(self.amps[item]) > LEAST_AMPS

    def alive(self, node: int) -> bool:
        """True if `node` has voltage against the right rail."""
        return (self.volts.get(node) or 0.0) > LEAST_SHARE * self.full


class Flow:
    """A board, asked for its currents. A load that is cut carries none."""

    def __init__(self, board: Board) -> None:
        sound = [wired for wired in board.items if isinstance(wired.item, Contact) or wired.item.name not in board.cut]
        timed = [load.name for load in board.loads if board.devices[load.device].spec.timed]
        ratings = dict.fromkeys(timed, TIMER_COIL) | dict(board.ratings)
        network = wire_up(
            sound, supply=board.supply, ratings={name: one for name, one in ratings.items() if name not in board.cut}
        ).network
        ohms = {branch.name: (branch.ohms, branch.sealed_ohms or branch.ohms) for branch in network.branches}
        self._supply = board.supply
        self._nodes: dict[int, int] = {LEFT_RAIL: 0, RIGHT_RAIL: 1}
        self._contacts: list[tuple[int, int, int]] = []  # place, and the indices of its nodes
        self._loads: list[tuple[int, int, int, str, complex, complex]] = []
        self._count = len(board.items)
        for place, wired in enumerate(board.items):
            a, b = (self._nodes.setdefault(node, len(self._nodes)) for node in (wired.left, wired.right))
            if isinstance(wired.item, Contact):
                self._contacts.append((place, a, b))
            elif wired.item.name in ohms:
                self._loads.append((place, a, b, wired.item.device, *ohms[wired.item.name]))

    def at(self, closed: Sequence[bool], sealed: Collection[str], level: float = 1.0) -> Flowing:
        """Return what flows with these contacts closed, in the order of the items.

        sealed: coils that have pulled in. level: supply voltage as a share of its rated value [unitless], 0 for off.
        """
        joints = Joints(len(self._nodes))
        shut = [one for one, is_closed in zip(self._contacts, closed, strict=True) if is_closed]
        for _, a, b in shut:
            joints.join(a, b, complex(1 / CONTACT_OHMS))
        used = []
        for place, a, b, tag, open_ohms, sealed_ohms in self._loads:
            siemens = 1 / (sealed_ohms if tag in sealed else open_ohms)
            joints.join(a, b, siemens)
            used.append((place, a, b, siemens))
        full = abs(self._supply.volts) * level
        if level:
            joints.join(0, 1, 1 / complex(self._supply.ohms), complex(self._supply.volts * level))
        island, volts = joints.potentials()
        amps = [0j] * self._count
        for place, a, b in shut:
            amps[place] = (volts[a] - volts[b]) / CONTACT_OHMS
        for place, a, b, siemens in used:
            amps[place] = (volts[a] - volts[b]) * siemens
        ground = island[1]
        against = {node: abs(volts[k] - volts[1]) if island[k] == ground else None for node, k in self._nodes.items()}
        return Flowing(tuple(amps), against, full)
