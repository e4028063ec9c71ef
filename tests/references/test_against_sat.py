"""`compare` against bounded model checking with a satisfiability solver, on random pairs of ladders.

The panel is written here as clauses, from the ladders alone: supply, three operated devices, the coils of both ladders.
In each order exactly one device moves; then the coils of each ladder move one at a time, a coil only if it does not
agree with its rung, and at the end all agree. The solver picks the order of the coils, so a race counts as it does in
`compare`. Pairs whose coils may chatter, or whose asked ladder has a race, are left out (`oracle.walk` says which).
Peer: python-sat, solver CaDiCaL 1.5.3 within it.
"""

import random
from collections import Counter
from itertools import combinations

import pytest

from mutants import shuffled, single_contact_mutants, with_way
from oracle import Bench, walk
from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.circuit import Contact, Part, Series
from rungbook.proof import compare

pysat = pytest.importorskip("pysat.solvers")

INPUTS = ("S1", "S2", "F1")
MOST_ORDERS = 7


class Unrolled:
    """Both ladders over `MOST_ORDERS` orders, as clauses. `differs[n]` is true if a load differs after n orders."""

    def __init__(self, mine: Ladder, asked: Ladder, orders: int = MOST_ORDERS) -> None:
        self.solver = pysat.Solver(name="cadical153")
        self._last = 0
        self.differs: list[int] = []
        outputs = (*asked.coils(), *asked.lamps())
        inputs = [self.new() for _ in (*INPUTS, "supply")]
        self.add(*([-one] for one in inputs[:-1]), [inputs[-1]])
        coils = [{tag: self.new() for tag in ladder.coils()} for ladder in (mine, asked)]
        self.add(*([-one] for side in coils for one in side.values()))
        for number in range(orders + 1):
            if number:
                inputs = self._one_moves(inputs)
            coils = [self._settled(ladder, inputs, side) for ladder, side in zip((mine, asked), coils, strict=True)]
            shown = [
                [self._on(ladder, tag, inputs, side) for tag in outputs]
                for ladder, side in zip((mine, asked), coils, strict=True)
            ]
            self.differs.append(self.any([self.unequal(a, b) for a, b in zip(*shown, strict=True)]))

    def new(self) -> int:
        self._last += 1
        return self._last

    def add(self, *clauses: list[int]) -> None:
        for clause in clauses:
            self.solver.add_clause(clause)

    def any(self, literals: list[int]) -> int:
        whole = self.new()
        self.add([-whole, *literals], *([whole, -one] for one in literals))
        return whole

    def all(self, literals: list[int]) -> int:
        return -self.any([-one for one in literals])

    def unequal(self, a: int, b: int) -> int:
        odd = self.new()
        self.add([-odd, a, b], [-odd, -a, -b], [odd, -a, b], [odd, a, -b])
        return odd

    def _one_moves(self, before: list[int]) -> list[int]:
        after = [self.new() for _ in before]
        moved = [self.unequal(a, b) for a, b in zip(before, after, strict=True)]
        self.add(moved, *([-a, -b] for a, b in combinations(moved, 2)))
        return after

    def _way(self, part: Part | None, at: dict[str, int]) -> int:
        if part is None:
            return self.all([])
        if isinstance(part, Contact):
            return at[part.device] if part.kind == "NO" else -at[part.device]
        inner = [self._way(member, at) for member in part.parts]
        return self.all(inner) if isinstance(part, Series) else self.any(inner)

    def _alive(self, ladder: Ladder, tag: str, inputs: list[int], coils: dict[str, int]) -> int:
        at = dict(zip(INPUTS, inputs, strict=False)) | coils
        rung = next(rung for rung in ladder.rungs if any(load.device == tag for load in rung.loads))
        return self.all([inputs[-1], self._way(rung.contacts, at)])

    def _on(self, ladder: Ladder, tag: str, inputs: list[int], coils: dict[str, int]) -> int:
        return coils[tag] if tag in coils else self._alive(ladder, tag, inputs, coils)

    def _settled(self, ladder: Ladder, inputs: list[int], coils: dict[str, int]) -> dict[str, int]:
        """The coils at rest: with n coils no way to a rest without a loop has more than 2**n - 1 moves."""
        for _ in range((1 << len(coils)) - 1):
            after = {tag: self.new() for tag in coils}
            moved = {tag: self.unequal(coils[tag], after[tag]) for tag in coils}
            self.add(*([-a, -b] for a, b in combinations(moved.values(), 2)))
            for tag, move in moved.items():
                odd = self.unequal(coils[tag], self._alive(ladder, tag, inputs, coils))
                self.add([-move, odd])
            coils = after
        for tag, one in coils.items():
            self.add([-self.unequal(one, self._alive(ladder, tag, inputs, coils))])
        return coils

    def can_differ(self, after: int) -> bool:
        """True if some sequence of exactly `after` orders ends with a difference."""
        return bool(self.solver.solve(assumptions=[self.differs[after]]))


def random_way(chance: random.Random, tags: tuple[str, ...], own: str) -> Part:
    """A holding circuit, or series and parallel of two to five contacts."""
    if chance.random() < 0.5:
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


def same_by_making(chance: random.Random, ladder: Ladder) -> Ladder:
    for number, rung in enumerate(ladder.rungs):
        ladder = with_way(ladder, number, shuffled(rung.contacts, chance))
    return ladder


def clear(ladder: Ladder, *, race_allowed: bool) -> bool:
    """True if no coils may chatter and, unless allowed, no outcome hangs on which relay is quicker."""
    ends = Counter()
    for _, before, device, after in walk(Bench(ladder, INPUTS)):
        if after is None:
            return False
        ends[before, device] += 1
    return race_allowed or max(ends.values()) == 1


def pairs(count: int, seed: int):
    """(how made, mine, asked), `count` of them."""
    chance = random.Random(seed)
    while count:
        asked = random_ladder(chance)
        if not clear(asked, race_allowed=False):
            continue
        if chance.random() < 0.4:
            how, mine = "same", same_by_making(chance, asked)
        else:
            how, mine = chance.choice(list(single_contact_mutants(asked)))
        if clear(mine, race_allowed=True):
            yield how, mine, asked
            count -= 1


def test_verdict_and_fewest_orders_of_600_pairs_are_those_of_the_solver():
    seen, lengths = Counter(), Counter()
    for how, mine, asked in pairs(600, 4):
        found, unrolled = compare(mine, asked), Unrolled(mine, asked)
        fewest = next((n for n in range(MOST_ORDERS + 1) if unrolled.can_differ(n)), None)
        unrolled.solver.delete()
        claimed = None if found.outcome == "same" else len(found.steps)
        assert claimed == fewest, f"solver: {fewest}, compare: {found}\n{mine}\n{asked}"
        assert how != "same" or claimed is None, (mine, asked)
        seen[how, found.outcome] += 1
        lengths[claimed] += 1
    print(dict(seen), dict(lengths))
    assert {how for how, _ in seen} == {"same", "swap", "drop", "rename", "move"}
    assert min(lengths[None], 600 - lengths[None]) > 200, lengths
    assert max(length for length in lengths if length is not None) < MOST_ORDERS  # so the bound cuts nothing off
