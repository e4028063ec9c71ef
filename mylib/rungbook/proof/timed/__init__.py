"""Proofs with timers and counters: over all sequences of orders and all instants at which they can be given.

From the inside out: `zones` (times that clocks can stand at), `walk` (all states with their times), `schedule` (the
instants that show what was found, and their words; `linear` finds them), and what is decided with them: every rule on
`explore`, rules about times in `rules` and `within`, two ladders in `pairs` (with `many`, counts without an end).

Relays are quick against timers: they move in no time (`behaviour.timed_panel`). An order comes strictly between two
ends of periods, for a hand never hits the microsecond; periods that end together by construction end in every order.
"""

from rungbook.proof.timed.explore import TimedExploration
from rungbook.proof.timed.pairs import first_difference_in_time
from rungbook.proof.timed.rules import TimedRule, comes_within, goes_off_within, stays_off_for, stays_on_for
from rungbook.proof.timed.within import decide_in_time

__all__ = [
    "TimedExploration",
    "TimedRule",
    "comes_within",
    "decide_in_time",
    "first_difference_in_time",
    "goes_off_within",
    "stays_off_for",
    "stays_on_for",
]
