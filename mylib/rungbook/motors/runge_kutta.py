"""One differential equation y' = f(t, y), integrated with the standard library alone: for where there is no scipy.

Steps and error: Dormand & Prince, "A family of embedded Runge–Kutta formulae", J. Comput. Appl. Math. 6 (1980), pair
5(4), seven stages. Between two steps: their continuous extension as in Hairer, Nørsett & Wanner, "Solving Ordinary
Differential Equations I", section II.6 (the code DOPRI5); first step: the same, section II.4.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass

Function = Callable[[float, float], float]

# Stages after the first: where, and the weights of the stages before. The last one is the step itself.
_STAGES: tuple[tuple[float, tuple[float, ...]], ...] = (
    (1 / 5, (1 / 5,)),
    (3 / 10, (3 / 40, 9 / 40)),
    (4 / 5, (44 / 45, -56 / 15, 32 / 9)),
    (8 / 9, (19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729)),
    (1.0, (9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656)),
    (1.0, (35 / 384, 0.0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84)),
)
# Fifth order minus fourth, and the highest term of the extension.
_ERROR = (71 / 57600, 0.0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40)
_HIGHEST = (
    -12715105075 / 11282082432,
    0.0,
    87487479700 / 32700410799,
    -10690763975 / 1880347072,
    701980252875 / 199316789632,
    -1453857185 / 822651844,
    69997945 / 29380423,
)
_SAFETY, _SHRINK, _GROW = 0.9, 0.2, 10.0  # of one step to the next
_HALVINGS = 60  # to find an end within a step


@dataclass(frozen=True)
class Step:
    """One step from `start`, `length` long, and the coefficients of the curve within it."""

    start: float
    length: float
    terms: tuple[float, float, float, float, float]

    def at(self, when: float) -> float:
        """The solution at `when`, from the start of the step to its end."""
        share = (when - self.start) / self.length
        rest = 1 - share
        first, second, third, fourth, fifth = self.terms
        return first + share * (second + rest * (third + share * (fourth + rest * fifth)))


@dataclass(frozen=True)
class Solution:
    """steps: from the start to `last`. end: number of the function that ended it there, None: it came to the limit."""

    steps: tuple[Step, ...]
    last: float
    end: int | None

    def at(self, when: float) -> float:
        """The solution at `when`, from the start to `last`."""
        place = bisect_left(self.steps, when, key=lambda step: step.start) - 1
        return self.steps[max(place, 0)].at(when)


def solve(
    rate: Function,
    start: float,
    value: float,
    until: float,
    ends: Sequence[Function] = (),
    longest: float = float("inf"),
    relative: float = 1e-7,
    absolute: float = 1e-9,
) -> Solution:
    """Return y of y' = `rate`(t, y) with y(`start`) = `value`, up to `until` > `start`.

    ends: functions of (t, y); it ends where the first of them rises through zero. longest: step. relative, absolute:
    error of one step that is let pass, of |y| and beside it.
    """
    when, slope = start, rate(start, value)
    length = _first(rate, start, value, slope, until, longest, relative, absolute)
    steps: list[Step] = []
    before = [end(when, value) for end in ends]
    refused = False
    while when < until:
        length = max(min(length, longest), 1e-14 * max(abs(when), 1e-3))
        following = when + length
        if following >= until:
            following, length = until, until - when
        slopes = _slopes(rate, when, value, slope, length)
        gain = length * _weighted(_STAGES[-1][1], slopes)
        allowed = absolute + relative * max(abs(value), abs(value + gain))
        error = abs(length * _weighted(_ERROR, slopes)) / allowed
        factor = _GROW if error == 0 else _SAFETY * error**-0.2
        if error >= 1 and length > 1e-13 * max(abs(when), 1e-3):
            length *= max(_SHRINK, factor)
            refused = True
            continue
        over = length * slope - gain
        terms = (value, gain, over, gain - length * slopes[-1] - over, length * _weighted(_HIGHEST, slopes))
        steps.append(Step(when, length, terms))
        after = [end(following, value + gain) for end in ends]
        crossed = [
            (_root(ends[number], steps[-1], following), number)
            for number, (old, new) in enumerate(zip(before, after, strict=True))
            if old <= 0 <= new
        ]
        if crossed:
            last, number = min(crossed)
            return Solution(tuple(steps), last, number)
        when, value, slope, before = following, value + gain, slopes[-1], after
        length *= min(1.0 if refused else _GROW, factor)
        refused = False
    return Solution(tuple(steps), until, None)


def _weighted(weights: Sequence[float], slopes: Sequence[float]) -> float:
    return sum(weight * slope for weight, slope in zip(weights, slopes, strict=False))


def _slopes(rate: Function, when: float, value: float, slope: float, length: float) -> list[float]:
    """The slopes of the seven stages; the last one is that at the end of the step."""
    slopes = [slope]
    for share, weights in _STAGES:
        slopes.append(rate(when + share * length, value + length * _weighted(weights, slopes)))
    return slopes


def _root(end: Function, step: Step, following: float) -> float:
    """When, within the step up to `following`, `end` is zero: it is not above before, not below after."""
    low, high = step.start, following
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if end(middle, step.at(middle)) < 0:
            low = middle
        else:
            high = middle
    return high


def _first(
    rate: Function,
    start: float,
    value: float,
    slope: float,
    until: float,
    longest: float,
    relative: float,
    absolute: float,
) -> float:
    """Length of the first step to try."""
    allowed = absolute + relative * abs(value)
    size, rise = abs(value) / allowed, abs(slope) / allowed
    trial = min(1e-6 if size < 1e-5 or rise < 1e-5 else 0.01 * size / rise, until - start)
    bend = abs(rate(start + trial, value + trial * slope) - slope) / allowed / trial
    most = max(rise, bend)
    second = max(1e-6, trial * 1e-3) if most <= 1e-15 else (0.01 / most) ** 0.2
    return min(100 * trial, second, until - start, longest)
