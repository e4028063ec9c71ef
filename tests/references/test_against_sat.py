"""`compare` against bounded model checking with a satisfiability solver (`unrolled.py`), on random pairs of ladders.

Pairs whose coils may chatter, or whose asked ladder has a race, are left out (`oracle.walk` says which). The second
reading also says how many moves are enough after an order, so that no more are unrolled.
Peer: python-sat, solver CaDiCaL 1.5.3 within it.
"""

import random
from collections import Counter

import pytest

from mutants import shuffled, single_contact_mutants, with_way
from oracle import Bench, walk
from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.behaviour import Panel
from rungbook.circuit import Part
from rungbook.proof import compare

Unrolled = pytest.importorskip("unrolled", reason="needs python-sat", exc_type=ImportError).Unrolled

INPUTS = ("S1", "S2", "F1")
MOST_ORDERS = 7


def random_way(chance: random.Random, tags: tuple[str, ...], own: str) -> Part:
    """A holding circuit, one with a jog button in the holding path, or series and parallel of two to five contacts."""
    kind = chance.random()
    if kind < 0.2:
        start, jog = chance.sample(INPUTS, 2)
        return NO(start) | chance.choice((NO, NC))(jog) | NC(jog) & NO(own)
    if kind < 0.5:
        stop, start = chance.sample(INPUTS, 2)
        way = NC(stop) & (NO(start) | NO(own))
        more = chance.choice(tags)
        if more != own:
            way = way & (NC(more) if chance.random() < 0.5 else NO(more))
        return way
    way: Part | None = None
    for _ in range(chance.randint(2, 5)):
        one = chance.choice((NO, NC))(chance.choice(tags))
        way = one if way is None else way & one if chance.random() < 0.6 else way | one
    return way


def random_ladder(chance: random.Random) -> Ladder:
    ladder = Ladder()
    coils = ("Q1", "K1", "K2")[: chance.choice((1, 2, 2, 2, 3))]
    for tag in coils:
        ladder.rung(random_way(chance, (*INPUTS, *coils), tag), coil(tag))
    if chance.random() < 0.5:
        ladder.rung(random_way(chance, (*INPUTS, *coils), coils[0]), lamp("P1"))
    return ladder


def by_changing_over(chance: random.Random, ladder: Ladder) -> tuple[Ladder, Ladder]:
    """`ladder` with a holding circuit as its first rung, and with one that goes through the NC contact of its start.

    With contacts that change over in no time both would do the same.
    """
    stop, start, jog = chance.sample(INPUTS, 3)
    own = ladder.coils()[0]
    more = NO(start) if chance.random() < 0.5 else NC(start) & NO(own)
    ways = (NC(stop) & (more | NO(jog) | NO(own)), NC(stop) & (more | NO(jog) | NC(jog) & NO(own)))
    asked, mine = (with_way(ladder, 0, way) for way in ways)
    return asked, mine


def same_by_making(chance: random.Random, ladder: Ladder) -> Ladder:
    for number, rung in enumerate(ladder.rungs):
        ladder = with_way(ladder, number, shuffled(rung.contacts, chance))
    return ladder


def moves(ladder: Ladder, *, race_allowed: bool) -> int | None:
    """The moves that are enough after any order; None if coils may chatter or, unless allowed, there is a race."""
    ends, bench = Counter(), Bench(ladder, INPUTS)
    for _, before, device, after in walk(bench):
        if after is None:
            return None
        ends[before, device] += 1
    if not race_allowed and max(ends.values()) > 1:
        return None
    return max(bench.most_moves, 2 * len(ladder.coils()) + 1)  # with the supply off, everything goes back


def pairs(count: int, seed: int):
    """(how made, mine, asked, moves), `count` of them."""
    chance = random.Random(seed)
    while count:
        asked = random_ladder(chance)
        over = chance.random() < 0.1
        if over:
            asked, mine = by_changing_over(chance, asked)
        enough = moves(asked, race_allowed=False)
        if enough is None:
            continue
        if over:
            how = "change over"
        elif chance.random() < 0.4:
            how, mine = "same", same_by_making(chance, asked)
        else:
            how, mine = chance.choice(list(single_contact_mutants(asked)))
        more = moves(mine, race_allowed=True)
        if more is not None:
            yield how, mine, asked, max(enough, more)
            count -= 1


def test_verdict_and_fewest_orders_of_600_pairs_are_those_of_the_solver():
    seen, lengths, changing_over = Counter(), Counter(), 0
    for how, mine, asked, enough in pairs(600, 4):
        found, unrolled = compare(mine, asked), Unrolled(mine, asked, MOST_ORDERS, INPUTS, enough)
        fewest = next((n for n in range(MOST_ORDERS + 1) if unrolled.can_differ(n)), None)
        unrolled.solver.delete()
        claimed = None if found.outcome == "same" else len(found.steps)
        assert claimed == fewest, f"solver: {fewest}, compare: {found}\n{mine}\n{asked}"
        assert how != "same" or claimed is None, (mine, asked)
        seen[how, found.outcome] += 1
        changing_over += bool(Panel(mine)._late)
        lengths[claimed] += 1
    print(dict(seen), dict(lengths), changing_over)
    assert changing_over > 100  # pairs in which it matters that a button's contacts change over one after the other
    assert {how for how, _ in seen} == {"same", "swap", "drop", "rename", "move", "change over"}
    assert seen["change over", "different"] > 20
    assert min(lengths[None], 600 - lengths[None]) > 200, lengths
    assert max(length for length in lengths if length is not None) < MOST_ORDERS  # so the bound cuts nothing off
