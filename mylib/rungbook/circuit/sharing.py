"""Contacts that rungs share on the board, where the kit has too few of them for one in each rung.

A ladder draws stop in every rung; a panel has one stop contact, and the rungs part behind it. Rungs that begin with the
same contacts in series can have those in common: behind an open contact there is no source, so nothing else feeds
one rung from another, and behind closed ones all begin at the left rail as before. Contacts in series may change
places for that. A contact that stands beside others cannot be had in common: current could pass it backwards.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, permutations

from rungbook.circuit.ladder import Ladder
from rungbook.circuit.parts import Part, chain_of, named_head
from rungbook.circuit.wires import Wired, WiredRung, numbered, unique

MOST_MOVED = 4  # parts brought to the front in one plan
MOST_PARTS = 7  # parts that are tried there
WORK = 20000  # parts in all plans that are tried, so that a long ladder is answered in a second or two
LEAST_TRIED = 40
_NO_PAIR = "fuse"  # its main terminals are no pair of EN 50005, so no ladder can say that two of it are one


@dataclass(frozen=True)
class Plan:
    """How the rungs of `ladder` are wired. chains: the parts of each rung in series, from left to right.

    heads: of each rung, how many of its first parts it shares with rungs that begin alike.
    """

    ladder: Ladder
    chains: tuple[tuple[Part, ...], ...]
    heads: tuple[int, ...]

    @cached_property
    def rungs(self) -> tuple[WiredRung, ...]:
        """The rungs with their nodes."""
        return numbered(self.chains, [rung.loads for rung in self.ladder.rungs], self.heads)

    @cached_property
    def items(self) -> tuple[Wired, ...]:
        """Contacts and loads, a shared contact once."""
        return unique(self.rungs)

    @property
    def moved(self) -> tuple[tuple[int, Part, tuple[Part, ...]], ...]:
        """(rung, part, the parts before which it is wired and behind which it is drawn) of what has changed places."""
        found = []
        for n, (rung, chain) in enumerate(zip(self.ladder.rungs, self.chains, strict=True), 1):
            drawn = [id(part) for part in chain_of(rung.contacts)]
            for k, part in enumerate(chain):
                passed = tuple(one for one in chain[k + 1 :] if drawn.index(id(one)) < drawn.index(id(part)))
                if passed:
                    found.append((n, part, passed))
        return tuple(found)


def as_drawn(ladder: Ladder) -> Plan:
    """The plan of `ladder` as it is drawn: shared is what it says by its terminals."""
    chains = tuple(chain_of(rung.contacts) for rung in ladder.rungs)
    return Plan(ladder, chains, tuple(named_head(chain) for chain in chains))


def plans(ladder: Ladder, short: Collection[str], moves: bool = True) -> Iterator[Plan]:
    """Yield plans in which rungs share all that they can: as drawn first, then those that change the order least.

    short: the devices that have too few contacts; only parts with contacts of these, or that stand in several rungs,
    are moved. moves: False leaves every rung in its order.
    """
    drawn = tuple(chain_of(rung.contacts) for rung in ladder.rungs)
    apart = _apart(ladder)
    yield _all_shared(ladder, drawn, apart)
    if not moves:
        return
    parts = _movable(drawn, short)
    where = [{part: k for k, part in reversed([*enumerate(chain)])} for chain in drawn]  # the first of equal ones
    stands = [[one.get(part) for part in parts] for one in where]
    found: dict[tuple[tuple[int, ...], ...], int] = {}
    for count in range(1, min(len(parts), MOST_MOVED) + 1):
        for front in permutations(range(len(parts)), count):
            orders = tuple(
                _brought(len(chain), [at for k in front if (at := one[k]) is not None])
                for chain, one in zip(drawn, stands, strict=True)
            )
            found.setdefault(orders, sum(map(_crossings, orders)))
    found.pop(tuple(tuple(range(len(chain))) for chain in drawn), None)
    most = max(LEAST_TRIED, WORK // max(1, sum(map(len, drawn))))
    for orders in sorted(found, key=found.__getitem__)[:most]:
        chains = tuple(tuple(map(chain.__getitem__, order)) for chain, order in zip(drawn, orders, strict=True))
        yield _all_shared(ladder, chains, apart)


def least(plan: Plan, works: Callable[[Plan], bool]) -> Plan:
    """`plan` without what `works` can do without: rungs in the drawn order again, and contacts shared by no rungs."""
    apart = _apart(plan.ladder)
    for n, rung in enumerate(plan.ladder.rungs):
        back = chain_of(rung.contacts)
        if plan.chains[n] != back:
            tried = _all_shared(plan.ladder, (*plan.chains[:n], back, *plan.chains[n + 1 :]), apart)
            plan = tried if works(tried) else plan
    heads = Counter(chain[:k] for chain, head in zip(plan.chains, plan.heads, strict=True) for k in range(1, head + 1))
    for head in sorted((head for head, rungs in heads.items() if rungs > 1), key=len, reverse=True):
        kept = [
            min(most, max(len(head) - 1, named_head(chain))) if chain[: len(head)] == head else most
            for chain, most in zip(plan.chains, plan.heads, strict=True)
        ]
        tried = replace(plan, heads=tuple(kept))
        plan = tried if works(tried) else plan
    return plan


def _all_shared(ladder: Ladder, chains: tuple[tuple[Part, ...], ...], apart: Collection[str]) -> Plan:
    """The plan with `chains` in which rungs share all that they can. apart: devices whose contacts cannot be shared."""

    def head(chain: Sequence[Part]) -> int:
        stops = (k for k, part in enumerate(chain) if any(one.device in apart for one in part.contacts()))
        return next(stops, len(chain))

    return Plan(ladder, chains, tuple(head(chain) for chain in chains))


def _apart(ladder: Ladder) -> frozenset[str]:
    return frozenset(tag for tag, device in ladder.devices.items() if device.kind == _NO_PAIR)


def _movable(chains: Sequence[Sequence[Part]], short: Collection[str]) -> list[Part]:
    """The parts that may be brought to the front: first those of which contacts are short, then those of most rungs."""
    count: dict[Part, int] = {}
    for chain in chains:
        for part in dict.fromkeys(chain):
            count[part] = count.get(part, 0) + 1
    scarce = {part for part in count if any(one.device in short for one in part.contacts())}
    found = [part for part, times in count.items() if part in scarce or times > 1]
    found.sort(key=lambda part: (part not in scarce, -count[part]))
    return found[:MOST_PARTS]


def _brought(count: int, first: Sequence[int]) -> tuple[int, ...]:
    """The order of `count` parts with the places `first` at the front; the others keep theirs."""
    return (*first, *(place for place in range(count) if place not in first))


def _crossings(order: Sequence[int]) -> int:
    """How many pairs of parts stand the other way round."""
    return sum(a > b for a, b in combinations(order, 2))
