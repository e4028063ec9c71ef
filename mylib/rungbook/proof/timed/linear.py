"""A small exact linear program: the widest margin and the earliest times at which a sequence can be done.

Simplex with fractions and Bland's rule, which never cycles; a handful of unknowns, one an order (the method: Dantzig
1951, the rule: Bland 1977, both from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction


def maximise(gain: Sequence[int], rows: Sequence[tuple[Sequence[int], int]]) -> list[Fraction] | None:
    """Return x >= 0 with the greatest sum of `gain` times x, where each row (a, b) asks that a times x be at most b.

    Every b is 0 or more, so that x = 0 is allowed. None if the sum has no end.
    """
    count, unknowns = len(rows), len(gain)
    table = [
        [*map(Fraction, a), *(Fraction(int(k == place)) for k in range(count)), Fraction(b)]
        for place, (a, b) in enumerate(rows)
    ]
    goal = [*(Fraction(-one) for one in gain), *(Fraction(0) for _ in range(count + 1))]
    basis = [unknowns + place for place in range(count)]
    while True:
        enter = next((k for k in range(unknowns + count) if goal[k] < 0), None)
        if enter is None:
            break
        ratios = [(row[-1] / row[enter], basis[place], place) for place, row in enumerate(table) if row[enter] > 0]
        if not ratios:
            return None
        place = min(ratios)[2]
        pivot = table[place][enter]
        table[place] = [value / pivot if value else value for value in table[place]]
        chosen = [(k, value) for k, value in enumerate(table[place]) if value]
        for row in (*table[:place], *table[place + 1 :], goal):
            factor = row[enter]
            if factor:
                for k, value in chosen:
                    row[k] -= factor * value
        basis[place] = enter
    found = [Fraction(0)] * (unknowns + count)
    for place, unknown in enumerate(basis):
        found[unknown] = table[place][-1]
    return found[:unknowns]
