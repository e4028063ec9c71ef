"""Linear inequalities between named numbers: can they hold together, what follows, what is left without one of them.

Fourier–Motzkin elimination with exact whole numbers (Fourier 1826, Motzkin 1936, from memory): right for rational
numbers, and quick for the handful of names that there are here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, gcd


@dataclass(frozen=True)
class Inequality:
    """The sum of `terms` (name, factor) and `constant` is 0 or more; strict: more than 0. Made by `inequality`."""

    terms: tuple[tuple[str, int], ...]
    constant: int
    strict: bool

    def __invert__(self) -> Inequality:
        """What holds if this does not."""
        return Inequality(tuple((name, -factor) for name, factor in self.terms), -self.constant, not self.strict)

    @property
    def opposite(self) -> Inequality:
        """The other half of an equation: both together say that the sum is 0."""
        return Inequality(tuple((name, -factor) for name, factor in self.terms), -self.constant, self.strict)

    @property
    def whole(self) -> Inequality:
        """The same between whole numbers: more than 0 is 1 or more."""
        return Inequality(self.terms, self.constant - 1, False) if self.strict else self

    def factor(self, name: str) -> int:
        """The factor of `name`, 0 if it does not occur."""
        return dict(self.terms).get(name, 0)


def inequality(terms: Mapping[str, int], constant: int, *, strict: bool) -> Inequality:
    """The sum of `terms` and `constant` is 0 or more, in its shortest form."""
    left = {name: factor for name, factor in terms.items() if factor}
    divisor = gcd(*left.values(), constant) or 1
    return Inequality(tuple(sorted((n, f // divisor) for n, f in left.items())), constant // divisor, strict)


Known = frozenset[Inequality]


def _sum(one: Inequality, times: int, other: Inequality, others: int) -> Inequality:
    terms = {name: factor * times for name, factor in one.terms}
    for name, factor in other.terms:
        terms[name] = terms.get(name, 0) + factor * others
    constant = one.constant * times + other.constant * others
    return inequality(terms, constant, strict=one.strict or other.strict)


def _without(known: Iterable[Inequality], name: str) -> Known:
    """What is known of the others if `name` is any number that fulfils all of it."""
    known = list(known)
    every = set(known)
    same = next((one for one in known if one.factor(name) and not one.strict and one.opposite in every), None)
    if same is not None:  # an equation: put in for `name`
        own = same.factor(name)
        found = [
            one if not one.factor(name) else _sum(one, abs(own), same, -one.factor(name) * (1 if own > 0 else -1))
            for one in known
            if one not in (same, same.opposite)
        ]
        return _trimmed(found)
    found = [one for one in known if not one.factor(name)]
    below = [one for one in known if one.factor(name) > 0]
    above = [one for one in known if one.factor(name) < 0]
    found += [_sum(low, -high.factor(name), high, low.factor(name)) for low in below for high in above]
    return _trimmed(found)


def _trimmed(known: Iterable[Inequality]) -> Known:
    """The same without what always holds and what another one of the same terms says more sharply."""
    best: dict[tuple[tuple[str, int], ...], Inequality] = {}
    for one in known:
        if not one.terms and (one.constant > 0 or (one.constant == 0 and not one.strict)):
            continue
        other = best.get(one.terms)
        if other is None or (one.constant, not one.strict) < (other.constant, not other.strict):
            best[one.terms] = one
    return frozenset(best.values())


def names(known: Iterable[Inequality]) -> set[str]:
    """All names that occur."""
    return {name for one in known for name, _ in one.terms}


def possible(known: Iterable[Inequality]) -> bool:
    """True if there are numbers that fulfil all of it."""
    left = _trimmed(known)
    while True:
        if any(not one.terms for one in left):
            return False  # what is left without names and trimmed does not hold
        rest = names(left)
        if not rest:
            return True
        left = _without(left, min(rest, key=lambda name: (_cost(left, name), name)))


def _cost(known: Iterable[Inequality], name: str) -> int:
    factors = [one.factor(name) for one in known]
    return sum(factor > 0 for factor in factors) * sum(factor < 0 for factor in factors)


def follows(known: Known, one: Inequality) -> bool:
    """True if `one` holds for all numbers that fulfil `known`."""
    return not possible([*known, ~one])


def projected(known: Iterable[Inequality], keep: Iterable[str]) -> Known:
    """What `known` says of the names in `keep`, and nothing that follows from the rest of it."""
    kept, left = set(keep), _trimmed(known)
    while gone := names(left) - kept:
        left = _without(left, min(gone, key=lambda name: (_cost(left, name), name)))
    for one in sorted(left, key=lambda one: (len(one.terms), one.terms, one.constant)):
        if follows(left - {one}, one):
            left -= {one}
    return left


def example(known: Iterable[Inequality]) -> dict[str, Fraction]:
    """Numbers that fulfil `known`, which are possible; round ones where there is room."""
    left = _trimmed(known)
    order, before = sorted(names(left)), [left]
    for name in order:
        left = _without(left, name)
        before.append(left)
    found: dict[str, Fraction] = {}
    for name, system in zip(reversed(order), reversed(before[:-1]), strict=True):
        low: Fraction | None = None
        high: Fraction | None = None
        for one in system:
            factor = one.factor(name)
            if not factor:
                continue
            rest_of = one.constant + sum(f * found[n] for n, f in one.terms if n != name)
            edge = -Fraction(rest_of) / factor
            if factor > 0:
                low = edge if low is None else max(low, edge)
            else:
                high = edge if high is None else min(high, edge)
        found[name] = _between(low, high)
    return found


def _between(low: Fraction | None, high: Fraction | None) -> Fraction:
    """A number between the two, at neither if there is room; a whole one if there is one."""
    if low is None:
        return Fraction(0) if high is None else Fraction(ceil(high) - 1)
    if high is None:
        return Fraction(floor(low) + 1)
    middle = (low + high) / 2
    whole = Fraction(round(middle))
    return whole if low < whole < high else middle
