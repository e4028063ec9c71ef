"""What a circuit does: the Boolean reading of its contacts, the states of a panel, and a run of bench orders.

Enters: a `Ladder` and orders in the words of the bench. Leaves: states, and traces of words. No times yet: a
state is where the panel comes to rest after an order. Imports `kit` and `circuit`.
"""

from rungbook.behaviour.actions import SUPPLY, Step, possible_steps, read_script, tell
from rungbook.behaviour.panel import Panel, Rest, State
from rungbook.behaviour.reading import bridging, closed_way, conducts
from rungbook.behaviour.run import Moment, Trace, run

__all__ = [
    "SUPPLY",
    "Moment",
    "Panel",
    "Rest",
    "State",
    "Step",
    "Trace",
    "bridging",
    "closed_way",
    "conducts",
    "possible_steps",
    "read_script",
    "run",
    "tell",
]
