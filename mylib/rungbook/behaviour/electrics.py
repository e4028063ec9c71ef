"""The electrical side of a timeline: which contacts are closed, in bits, -> the voltage of every load."""

from __future__ import annotations

from collections.abc import Mapping

from rungbook.behaviour.board import Board
from rungbook.behaviour.wired import SOURCE, SUPPLY_LINK, Rating, wire_up
from rungbook.circuit import Contact
from rungbook.kit.ratings import LAMP, LampRating

MOST_KEPT = 100_000  # states of contacts whose voltages are kept


class Electrics:
    """Voltages of the loads of a board, kept by the state of its contacts.

    contacts, loads: in the order of the board's items; bit k of a whole number stands for the k-th of them. ratings:
    `Load.name` -> its rating.
    """

    def __init__(self, board: Board, ratings: Mapping[str, Rating] | None = None) -> None:
        items = [wired for wired in board.items if isinstance(wired.item, Contact) or wired.item.name not in board.cut]
        used = {name: rating for name, rating in (ratings or {}).items() if name not in board.cut}
        self._wired = wire_up(items, supply=board.supply, ratings=used)
        self.contacts: list[Contact] = []
        self._links: list[str] = []
        for place, link in self._wired.contacts.items():
            contact = self._wired.items[place].item
            assert isinstance(contact, Contact)
            self.contacts.append(contact)
            self._links.append(link)
        self.loads = board.loads
        self.ratings = self._wired.ratings
        self._branches = [self._wired.loads.get(load.name, "") for load in self.loads]  # "" for a load that is cut
        self._kept: dict[tuple[int, int], tuple[tuple[float, ...], float]] = {}

    def shares(self, closed: int, sealed: int) -> tuple[float, ...]:
        """Voltage of each load as a share of its rated voltage [unitless], with the supply on at its rated voltage.

        closed: bits of the closed contacts. sealed: bits of the coils whose magnet is closed. The network is linear, so
        at another supply voltage all shares change in proportion.
        """
        return self._solved(closed, sealed)[0]

    def amps(self, closed: int, sealed: int) -> float:
        """Current of the supply [A], under the same conditions."""
        return self._solved(closed, sealed)[1]

    def _solved(self, closed: int, sealed: int) -> tuple[tuple[float, ...], float]:
        key = (closed, sealed)
        found = self._kept.get(key)
        if found is None:
            links = {name for number, name in enumerate(self._links) if closed >> number & 1}
            links.add(SUPPLY_LINK)
            branches = frozenset(name for number, name in enumerate(self._branches) if name and sealed >> number & 1)
            solution = self._wired.network.solve(frozenset(links), branches)
            shares = tuple(self._wired.voltage_share(solution, name) if name else 0.0 for name in self._branches)
            found = shares, abs(solution.amps(SOURCE))
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            self._kept[key] = found
        return found

    def lit(self, tag: str) -> float:
        """Share of its rated voltage from which lamp `tag` is seen to be lit [unitless]."""
        rating = self.ratings.get(tag, LAMP)
        assert isinstance(rating, LampRating)
        return rating.lit
