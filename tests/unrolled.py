"""Two ladders as clauses for a satisfiability solver, made for the tests alone, from the ladders as written.

Supply, operated devices of two positions, the coils of both ladders. In each order exactly one device moves; then the
coils of each ladder move one at a time, a coil only if it does not agree with its rung, and at the end all agree. The
solver picks the order of the coils, so a race counts as it does in `compare`. Coils that chatter are not covered.

A device that has just moved is between its contacts, all open, until the solver lets it arrive, in each ladder by
itself; one whose contacts here are all of one kind is never between.
"""

from itertools import combinations

from pysat.solvers import Solver

from rungbook.circuit import Contact, Ladder, Part, Series


class Unrolled:
    """Both ladders over some orders, as clauses. `differs[n]` is true if a load differs after n orders.

    moves: most moves after an order, for each ladder; left out, one less than it has moments: no way to rest without a
    loop has more.
    """

    def __init__(
        self,
        mine: Ladder,
        asked: Ladder,
        orders: int,
        operated: tuple[str, ...],
        moves: int | None = None,
    ) -> None:
        self.operated, self.moves = operated, moves
        self.solver = Solver(name="cadical153")
        self._last = 0
        self.differs: list[int] = []
        outputs = (*asked.coils(), *asked.lamps())
        inputs = [self.new() for _ in (*operated, "supply")]
        self.add(*([-one] for one in inputs[:-1]), [inputs[-1]])
        coils = [{tag: self.new() for tag in ladder.coils()} for ladder in (mine, asked)]
        self.add(*([-one] for side in coils for one in side.values()))
        moved: dict[str, int] = {}
        for number in range(orders + 1):
            if number:
                inputs, moved = self._one_moves(inputs)
            coils = [
                self._settled(ladder, inputs, side, moved) for ladder, side in zip((mine, asked), coils, strict=True)
            ]
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

    def _one_moves(self, before: list[int]) -> tuple[list[int], dict[str, int]]:
        after = [self.new() for _ in before]
        moved = [self.unequal(a, b) for a, b in zip(before, after, strict=True)]
        self.add(moved, *([-a, -b] for a, b in combinations(moved, 2)))
        return after, dict(zip(self.operated, moved, strict=False))

    def _way(self, part: Part | None, at: dict[str, int], between: dict[str, int]) -> int:
        if part is None:
            return self.all([])
        if isinstance(part, Contact):
            tag = part.device
            closed = at[tag] if part.kind == "NO" else -at[tag]
            return self.all([closed, -between[tag]]) if tag in between else closed
        inner = [self._way(member, at, between) for member in part.parts]
        return self.all(inner) if isinstance(part, Series) else self.any(inner)

    def _alive(
        self,
        ladder: Ladder,
        tag: str,
        inputs: list[int],
        coils: dict[str, int],
        between: dict[str, int] | None = None,
    ) -> int:
        at = dict(zip(self.operated, inputs, strict=False)) | coils
        rung = next(rung for rung in ladder.rungs if any(load.device == tag for load in rung.loads))
        return self.all([inputs[-1], self._way(rung.contacts, at, between or {})])

    def _on(self, ladder: Ladder, tag: str, inputs: list[int], coils: dict[str, int]) -> int:
        return coils[tag] if tag in coils else self._alive(ladder, tag, inputs, coils)

    def _settled(
        self, ladder: Ladder, inputs: list[int], coils: dict[str, int], moved: dict[str, int]
    ) -> dict[str, int]:
        """The coils at rest."""
        kinds: dict[str, set[str]] = {}
        for rung in ladder.rungs:
            for contact in rung.all_contacts():
                kinds.setdefault(contact.device, set()).add(contact.kind)
        between = {tag: one for tag, one in moved.items() if len(kinds.get(tag, ())) == 2}
        moments = 2 ** (len(coils) + bool(between))
        for _ in range(moments - 1 if self.moves is None else self.moves):
            alive = {tag: self._alive(ladder, tag, inputs, coils, between) for tag in coils}
            after = [{tag: self.new() for tag in side} for side in (coils, between)]
            moves = [
                {tag: self.unequal(one[tag], other[tag]) for tag in one}
                for one, other in zip((coils, between), after, strict=True)
            ]
            self.add(*([-a, -b] for a, b in combinations([one for side in moves for one in side.values()], 2)))
            for tag, move in moves[0].items():
                self.add([-move, coils[tag], alive[tag]], [-move, -coils[tag], -alive[tag]])
            for tag, move in moves[1].items():
                self.add([-move, between[tag]])
            coils, between = after
        self.add(*([-one] for one in between.values()))
        for tag, one in coils.items():
            self.add([-self.unequal(one, self._alive(ladder, tag, inputs, coils))])
        return coils

    def can_differ(self, after: int) -> bool:
        """True if some sequence of exactly `after` orders ends with a difference."""
        return bool(self.solver.solve(assumptions=[self.differs[after]]))
