"""What a circuit does: the Boolean reading of its contacts, its network, its states, and its run in time.

Enters: a `Ladder`, a `Board` (what is really wired) or a `PowerCircuit`, and orders in the words of the bench. Leaves:
voltages [V] and currents [A] as phasors, states, and traces of words at exact times. Time is a whole number of
microseconds inside and seconds [s] in what is shown. Imports `kit` and `circuit`.

From the inside out: `reading` (contacts as true and false), `network` (voltages), `panel` (rest without time),
`timeline` (real parts in time) with `timers`, `counters`, `motor`, `overload`, `fuse` as blocks, `run` (a script).
"""

from rungbook.behaviour.actions import MEND, SUPPLY, Step, possible_steps, read_script, tell
from rungbook.behaviour.board import Board
from rungbook.behaviour.events import MICRO, Change, Chatter
from rungbook.behaviour.flow import Flow, Flowing
from rungbook.behaviour.meter import Reading, measure_continuity, measure_ohms, measure_volts
from rungbook.behaviour.moments import Moment, moment_of, panel_moment
from rungbook.behaviour.neighbours import Neighbour
from rungbook.behaviour.network import Branch, Link, Network, Solution, Source
from rungbook.behaviour.panel import Panel, Rest, State
from rungbook.behaviour.plant import Drive, Plant, drive_of
from rungbook.behaviour.power import MotorFeed, PowerFaults, PowerReading, Short, energise
from rungbook.behaviour.reading import bridging, closed_way, conducts
from rungbook.behaviour.recorder import Running, Warming
from rungbook.behaviour.run import Trace, run
from rungbook.behaviour.script import Timed, read_timed
from rungbook.behaviour.timeline import Timeline
from rungbook.behaviour.wired import WiredNetwork, wire_up

__all__ = [
    "MEND",
    "MICRO",
    "SUPPLY",
    "Board",
    "Branch",
    "Change",
    "Chatter",
    "Drive",
    "Flow",
    "Flowing",
    "Link",
    "Moment",
    "MotorFeed",
    "Neighbour",
    "Network",
    "Panel",
    "Plant",
    "PowerFaults",
    "PowerReading",
    "Reading",
    "Rest",
    "Running",
    "Short",
    "Solution",
    "Source",
    "State",
    "Step",
    "Timed",
    "Timeline",
    "Trace",
    "Warming",
    "WiredNetwork",
    "bridging",
    "closed_way",
    "conducts",
    "drive_of",
    "energise",
    "measure_continuity",
    "measure_ohms",
    "measure_volts",
    "moment_of",
    "panel_moment",
    "possible_steps",
    "read_script",
    "read_timed",
    "run",
    "tell",
    "wire_up",
]
