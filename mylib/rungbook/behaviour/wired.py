"""Wired contacts and loads as a network: one control supply between the rails, coils and lamps as impedances.

The supply stands between node `SUPPLY_NODE` and the right rail, which is the grounded conductor; the link `SUPPLY`
(switch and fuse) joins it to the left rail. A list of `Wired` items is all that is needed, so a ladder and a list of
wires written by hand become the same network.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rungbook.behaviour.network import Branch, Link, Network, Solution, Source
from rungbook.circuit import INPUTS, LEFT_RAIL, RIGHT_RAIL, Contact, Ladder, Load, Wired, wired_items
from rungbook.errors import LadderError
from rungbook.kit.ratings import (
    CONTACTOR_COIL,
    LAMP,
    RELAY_COIL,
    SUPPLY,
    TIMER_COIL,
    CoilRating,
    LampRating,
    SupplyRating,
)

SUPPLY_NODE = "supply"  # live side of the supply, before its switch and fuse
SUPPLY_LINK = "supply"
SOURCE = "source"

Rating = CoilRating | LampRating


@dataclass(frozen=True)
class WiredNetwork:
    """Wired items with their network.

    contacts: place of each contact in `items` -> name of its link. loads: `Load.name` of each load ("Q1", "K5 reset")
    -> name of its branch. ratings: the same names -> its rating. A solution is asked by these names, or by the helpers
    below.
    """

    items: tuple[Wired, ...]
    network: Network
    contacts: Mapping[int, str]
    loads: Mapping[str, str]
    ratings: Mapping[str, Rating]

    def closed(self, is_closed: Callable[[Contact], object], supply: bool = True) -> frozenset[str]:
        """Return the links closed when `is_closed(contact)` is true of their contacts, and the supply on or off."""
        found = [SUPPLY_LINK] if supply else []
        for place, name in self.contacts.items():
            contact = self.items[place].item
            assert isinstance(contact, Contact)
            if is_closed(contact):
                found.append(name)
        return frozenset(found)

    def volts(self, solution: Solution, load: str) -> float:
        """Size of the voltage across `load` [V]. Raises LadderError if there is no such load."""
        branch = self.network.element(self._branch(load))
        drop = solution.across(branch.a, branch.b)
        assert drop is not None  # joined by the load itself
        return abs(drop)

    def voltage_share(self, solution: Solution, load: str) -> float:
        """Voltage across `load` as a share of its rated voltage [unitless]. Raises LadderError as `volts`.

        Compare it with `CoilRating.pull_in` and `.drop_out`, or with `LampRating.lit`.
        """
        return self.volts(solution, load) / self.ratings[load].volts

    def _branch(self, load: str) -> str:
        if load not in self.loads:
            raise LadderError("Wired network", f"no load {load!r}", load, tuple(self.loads))
        return self.loads[load]


def wire_up(
    wired: Iterable[Wired] | Ladder,
    *,
    supply: SupplyRating = SUPPLY,
    ratings: Mapping[str, Rating] = MappingProxyType({}),
) -> WiredNetwork:
    """Return the network of wired contacts and loads, between left rail 1 and right rail 2 (grounded).

    wired: `Wired` items in any order, or a ladder, whose wire numbers then give them. supply: the control supply.
    ratings: `Load.name` -> rating, where it differs from the kit's (Q: CONTACTOR_COIL, K: RELAY_COIL, P: LAMP; reset
    and count-down inputs: TIMER_COIL).
    Links are named by the contact's place in the list and the contact, branches by `Load.name`.

    Raises LadderError if an item is no `Wired`, a load is wired twice, a rating is for no load here or of the other
    kind, or a value of a rating cannot stand in a network.
    """
    if isinstance(wired, Ladder):
        wired = wired_items(wired)
    items = tuple(wired)
    for one in items:
        if not isinstance(one, Wired):
            raise LadderError("Wired network", "items are Wired records", one, ("Wired(NO('S1'), 1, 3)",))
    contacts: dict[int, str] = {}
    used: dict[str, Rating] = {}
    branches: list[Branch] = []
    links = [Link(SUPPLY_LINK, SUPPLY_NODE, LEFT_RAIL)]
    for place, one in enumerate(items):
        if isinstance(one.item, Contact):
            contacts[place] = f"{place} {one.item!r}"
            links.append(Link(contacts[place], one.left, one.right))
            continue
        rating = used[one.item.name] = _rating(one.item, ratings)
        branches.append(_branch(one, rating))
    if idle := [tag for tag in ratings if tag not in used]:
        raise LadderError("Wired network", f"a rating for {idle[0]}, which is no load here", idle[0], tuple(used))
    source = Source(SOURCE, SUPPLY_NODE, RIGHT_RAIL, supply.volts, supply.ohms)
    network = Network(branches, (source,), links)
    return WiredNetwork(
        items,
        network,
        MappingProxyType(contacts),
        MappingProxyType({tag: tag for tag in used}),
        MappingProxyType(used),
    )


def _rating(load: Load, given: Mapping[str, Rating]) -> Rating:
    usual: Rating = RELAY_COIL if load.device[0] == "K" else CONTACTOR_COIL
    usual = LAMP if load.kind == "lamp" else TIMER_COIL if load.kind in INPUTS else usual
    rating = given.get(load.name, usual)
    wanted = LampRating if load.kind == "lamp" else CoilRating
    if not isinstance(rating, wanted):
        raise LadderError(f"Rating of {load}", f"a {load.kind} has a {wanted.__name__}", rating, (wanted.__name__,))
    return rating


def _branch(wired: Wired, rating: Rating) -> Branch:
    assert isinstance(wired.item, Load)
    tag = wired.item.name
    if isinstance(rating, LampRating):
        return Branch(tag, wired.left, wired.right, rating.ohms)
    return Branch(tag, wired.left, wired.right, rating.ohms(False), rating.ohms(True))
