"""A number that is not known, and code that is run on it: where a comparison is open, it is run once each way."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeVar

from rungbook.proof.symbolic.inequalities import Inequality, Known, inequality, possible

T = TypeVar("T")


class Assumptions:
    """What is known while code runs: `known`, and more with each comparison that it does not decide.

    plan: how the first such comparisons go; those after it are taken to be true, and noted in `taken`. whole: the
    numbers are whole ones.
    """

    def __init__(self, known: Known, plan: tuple[bool, ...] = (), *, whole: bool = False) -> None:
        self.known = known
        self.plan = plan
        self.whole = whole
        self.taken: list[bool] = []

    def decide(self, one: Inequality) -> bool:
        """Whether `one` holds: as it follows, or as the plan says, which is then known too."""
        other = ~one
        if self.whole:
            one, other = one.whole, other.whole
        if not possible([*self.known, other]):
            return True
        if not possible([*self.known, one]):
            return False
        place = len(self.taken)
        answer = self.plan[place] if place < len(self.plan) else True
        self.taken.append(answer)
        self.known |= {one if answer else other}
        return answer


class Unknown:
    """A sum of named numbers and a constant. It adds, subtracts and compares; a comparison is asked of `under`."""

    __hash__ = None  # type: ignore[assignment]

    def __init__(self, under: Assumptions, terms: dict[str, int], constant: int = 0) -> None:
        self.under = under
        self.terms = {name: factor for name, factor in terms.items() if factor}
        self.constant = constant

    def _plus(self, other: object, sign: int) -> Unknown:
        terms, constant = form_of(other)
        names = {*self.terms, *terms}
        summed = {name: self.terms.get(name, 0) + sign * terms.get(name, 0) for name in names}
        return Unknown(self.under, summed, self.constant + sign * constant)

    def _above(self, other: object, *, strict: bool) -> bool:
        """Whether this is `other` or more; strict: more than it."""
        less = self._plus(other, -1)
        return self.under.decide(inequality(less.terms, less.constant, strict=strict))

    def __add__(self, other: object) -> Unknown:
        return self._plus(other, 1)

    __radd__ = __add__

    def __sub__(self, other: object) -> Unknown:
        return self._plus(other, -1)

    def __rsub__(self, other: object) -> Unknown:
        return Unknown(self.under, *form_of(other))._plus(self, -1)

    def __ge__(self, other: object) -> bool:
        return self._above(other, strict=False)

    def __gt__(self, other: object) -> bool:
        return self._above(other, strict=True)

    def __le__(self, other: object) -> bool:
        return not self._above(other, strict=True)

    def __lt__(self, other: object) -> bool:
        return not self._above(other, strict=False)

    def __eq__(self, other: object) -> bool:
        return self >= other and self <= other

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __bool__(self) -> bool:
        return self != 0

    def __repr__(self) -> str:
        return " + ".join([*(f"{factor} {name}" for name, factor in self.terms.items()), str(self.constant)])


def form_of(value: object) -> tuple[dict[str, int], int]:
    """Terms and constant of an `Unknown` or a whole number. Raises TypeError for anything else."""
    if isinstance(value, Unknown):
        return value.terms, value.constant
    if isinstance(value, int):
        return {}, int(value)
    raise TypeError(f"a whole number or an Unknown, not {value!r}")


def ways(known: Known, run: Callable[[Assumptions], T], *, whole: bool = False) -> Iterator[tuple[Assumptions, T]]:
    """Yield every way that `run` can take under `known`: what is then known, and what it returned.

    whole: as in `Assumptions`. `run` must depend on nothing else, for it is run again and again.
    """
    waiting: list[tuple[bool, ...]] = [()]
    while waiting:
        under = Assumptions(known, waiting.pop(), whole=whole)
        found = run(under)
        for place in range(len(under.plan), len(under.taken)):
            waiting.append((*under.taken[:place], False))
        yield under, found
