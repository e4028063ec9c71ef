"""Rules an instructor can read, each decided over every sequence of bench orders.

A rule holds only if it was put to the test: a circuit that never runs keeps no stop button's promise. Conditions
"at rest" mean: supply on, every other operated device in its position at rest.
"""

from rungbook.proof.rules.course import can_be_stopped, no_races, starts_only_after
from rungbook.proof.rules.orders import does_not_start, holds_in, needs_a_fresh_start, pulls_in, stays_off
from rungbook.proof.rules.rule import AnyPanel, Rule, Telling, Tells, all_of, any_of, arrives, never
from rungbook.proof.rules.states import follows, never_together, off_while, only_one
from rungbook.proof.rules.words import check_position

__all__ = [
    "AnyPanel",
    "Rule",
    "Telling",
    "Tells",
    "all_of",
    "any_of",
    "arrives",
    "can_be_stopped",
    "check_position",
    "does_not_start",
    "follows",
    "holds_in",
    "needs_a_fresh_start",
    "never",
    "never_together",
    "no_races",
    "off_while",
    "only_one",
    "pulls_in",
    "starts_only_after",
    "stays_off",
]
