"""A differential equation integrated: by scipy where it is, else by `runge_kutta`, the same method."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rungbook.motors import runge_kutta
from rungbook.motors.libraries import library
from rungbook.motors.runge_kutta import Function


@dataclass(frozen=True)
class Course:
    """A solution: `at(t)` up to `last`; end: number of the function that ended it there, None: the limit did."""

    at: Callable[[float], float]
    last: float
    end: int | None


def integrate(
    rate: Function, start: float, value: float, until: float, ends: Sequence[Function], longest: float
) -> Course:
    """Return y of y' = `rate`(t, y), y(`start`) = `value`, up to `until`, or where one of `ends` rises through zero.

    longest: step. Error of a step: 1e-7 of |y| and 1e-9.
    """
    scipy = library("scipy.integrate")
    if scipy is None:
        solved = runge_kutta.solve(rate, start, value, until, ends, longest)
        return Course(solved.at, solved.last, solved.end)

    def event(end: Function) -> Callable[[float, Sequence[float]], float]:
        def crossing(when: float, state: Sequence[float]) -> float:
            return end(when, state[0])

        crossing.terminal, crossing.direction = True, 1  # type: ignore[attr-defined]
        return crossing

    found = scipy.solve_ivp(
        lambda when, state: [rate(when, state[0])],
        (start, until),
        [value],
        events=[event(end) for end in ends],
        max_step=longest,
        rtol=1e-7,
        atol=1e-9,
        dense_output=True,
    )
    number = next((number for number, times in enumerate(found.t_events) if len(times)), None)
    return Course(lambda when: float(found.sol(when)[0]), float(found.t[-1]), number)
