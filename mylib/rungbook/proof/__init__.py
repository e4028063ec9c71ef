"""What holds in every case: truth tables, rules over all sequences of orders, comparison of two ladders.

Enters: a `Ladder` and rules. Leaves: tables, verdicts and the shortest sequences of bench orders that show a fault.
No units: everything here is positions and order, not time. Imports `kit`, `circuit`, `behaviour`.
"""

from rungbook.proof.compare import Comparison, compare, panel_devices
from rungbook.proof.explore import MAX_STATES, Edge, Exploration, TooMany
from rungbook.proof.power_rules import motor_never_turns, motor_stands_while, motor_turns, no_short_between_phases
from rungbook.proof.practice import PracticeFinding, Review, review
from rungbook.proof.prove import Proof, Verdict, decide, prove
from rungbook.proof.rules import Rule, does_not_start, follows, holds_in, off_while, pulls_in
from rungbook.proof.single_faults import FaultEffect, FaultTable, try_faults
from rungbook.proof.truth_table import MAX_INPUTS, TruthTable, truth_table

__all__ = [
    "MAX_INPUTS",
    "MAX_STATES",
    "Comparison",
    "Edge",
    "Exploration",
    "FaultEffect",
    "FaultTable",
    "PracticeFinding",
    "Proof",
    "Review",
    "Rule",
    "TooMany",
    "TruthTable",
    "Verdict",
    "compare",
    "decide",
    "does_not_start",
    "follows",
    "holds_in",
    "motor_never_turns",
    "motor_stands_while",
    "motor_turns",
    "no_short_between_phases",
    "off_while",
    "panel_devices",
    "prove",
    "pulls_in",
    "review",
    "truth_table",
    "try_faults",
]
