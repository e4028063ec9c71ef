"""Truth tables of one rung with many inputs: every row, from the ladder to the columns."""

from __future__ import annotations

from time import perf_counter

from tests.benchmarks import Run, measure

from rungbook.circuit import NC, NO, Ladder, Part, Rung, coil
from rungbook.proof import truth_table


def ladder_rung(inputs: int) -> Rung:
    """A rung with two contacts of each of `inputs` buttons: pairs in parallel, pairs in series, mixed."""
    way: Part | None = None
    for n in range(1, inputs + 1, 2):
        one = (NO(f"S{n}") & NC(f"S{n + 1}")) | (NC(f"S{n}") & NO(f"S{n + 1}"))
        way = one if way is None else (way & one if n % 4 == 1 else way | one)
    ladder = Ladder(f"{inputs} inputs")
    return ladder.rung(way, coil("Q1")) if way is not None else ladder.rung(coil("Q1"))


def _table(inputs: int) -> Run:
    rung = ladder_rung(inputs)

    def run() -> float:
        start = perf_counter()
        table = truth_table(rung)
        seconds = perf_counter() - start
        assert len(table) == 1 << inputs
        return seconds

    return run


@measure("truth table, 20 inputs, 40 contacts", "s", at_most=0.25)
def twenty() -> Run:
    """2**20 rows."""
    return _table(20)


@measure("truth table, 24 inputs, 48 contacts", "s", at_most=1)
def twenty_four() -> Run:
    """2**24 rows."""
    return _table(24)
