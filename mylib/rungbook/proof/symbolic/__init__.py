"""Code run on unknown numbers: the way to prove something for all times and counts at once.

Enters: a function of the program itself, called with `Unknown` numbers in place of some of its values. Leaves: every
way that it can take, each with the inequalities under which it takes it (`ways`). `inequalities` says what follows from
them. Numbers are rational; what holds for all of these holds for whole microseconds.
"""

from rungbook.proof.symbolic.inequalities import Inequality, Known, example, follows, inequality, possible, projected
from rungbook.proof.symbolic.unknown import Assumptions, Unknown, form_of, ways

__all__ = [
    "Assumptions",
    "Inequality",
    "Known",
    "Unknown",
    "example",
    "follows",
    "form_of",
    "inequality",
    "possible",
    "projected",
    "ways",
]
