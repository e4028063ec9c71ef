"""What holds in every case: truth tables, rules over all sequences of orders, comparison of two ladders.

Enters: a `Ladder` and rules. Leaves: tables, verdicts and the shortest sequences of bench orders that show a fault.
Positions and order, and with timers (`timed`) times in seconds [s]; `symbolic` runs code on numbers that are not known.
Imports `kit`, `circuit`, `behaviour`.
"""

from rungbook.proof.compare import Comparison, compare, panel_devices
from rungbook.proof.explore import Edge, Exploration
from rungbook.proof.fault_table import FaultEffect, FaultTable
from rungbook.proof.limits import MAX_SECONDS, MAX_STATES, Deadline, TooMany
from rungbook.proof.power_rules import motor_never_turns, motor_stands_while, motor_turns, no_short_between_phases
from rungbook.proof.practice import PracticeFinding, Review, review
from rungbook.proof.prove import Proof, decide, prove
from rungbook.proof.rules import (
    Rule,
    all_of,
    any_of,
    can_be_stopped,
    does_not_start,
    follows,
    holds_in,
    needs_a_fresh_start,
    never_together,
    no_races,
    off_while,
    only_one,
    pulls_in,
    starts_only_after,
    stays_off,
)
from rungbook.proof.single_faults import try_faults
from rungbook.proof.timed import TimedRule, comes_within, goes_off_within, stays_off_for, stays_on_for
from rungbook.proof.truth_table import MAX_INPUTS, TruthTable, truth_table
from rungbook.proof.verdict import Verdict

__all__ = [
    "MAX_INPUTS",
    "MAX_SECONDS",
    "MAX_STATES",
    "Comparison",
    "Deadline",
    "Edge",
    "Exploration",
    "FaultEffect",
    "FaultTable",
    "PracticeFinding",
    "Proof",
    "Review",
    "Rule",
    "TimedRule",
    "TooMany",
    "TruthTable",
    "Verdict",
    "all_of",
    "any_of",
    "can_be_stopped",
    "comes_within",
    "compare",
    "decide",
    "does_not_start",
    "follows",
    "goes_off_within",
    "holds_in",
    "motor_never_turns",
    "motor_stands_while",
    "motor_turns",
    "needs_a_fresh_start",
    "never_together",
    "no_races",
    "no_short_between_phases",
    "off_while",
    "only_one",
    "panel_devices",
    "prove",
    "pulls_in",
    "review",
    "starts_only_after",
    "stays_off",
    "stays_off_for",
    "stays_on_for",
    "truth_table",
    "try_faults",
]
