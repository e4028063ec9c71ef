"""What a person builds: contacts, series and parallel, rungs, a ladder, its wire numbers, its JSON, its wiring.

Enters: Python expressions such as `NC("S1") & NO("S2")`, JSON text, or a wire list. Leaves: plain frozen data. No
units: a ladder says what is wired, not what flows. Imports `kit` only.
"""

from rungbook.circuit.ladder import Ladder, Rung, check_input
from rungbook.circuit.parts import INPUTS, NC, NO, Contact, Load, Parallel, Part, Series, coil, count_down, lamp, reset
from rungbook.circuit.power import PowerCircuit, direct, reversing, star_delta
from rungbook.circuit.power_store import power_from_json, power_to_json
from rungbook.circuit.store import from_json, to_json
from rungbook.circuit.wire_list import loose_ends, read_wires
from rungbook.circuit.wires import LEFT_RAIL, RIGHT_RAIL, Wired, WiredRung, shared_contacts, wire_numbers, wired_items
from rungbook.circuit.wiring import Wire, Wiring, wire

__all__ = [
    "INPUTS",
    "LEFT_RAIL",
    "NC",
    "NO",
    "RIGHT_RAIL",
    "Contact",
    "Ladder",
    "Load",
    "Parallel",
    "Part",
    "PowerCircuit",
    "Rung",
    "Series",
    "Wire",
    "Wired",
    "WiredRung",
    "Wiring",
    "check_input",
    "coil",
    "count_down",
    "direct",
    "from_json",
    "lamp",
    "loose_ends",
    "power_from_json",
    "power_to_json",
    "read_wires",
    "reset",
    "reversing",
    "shared_contacts",
    "star_delta",
    "to_json",
    "wire",
    "wire_numbers",
    "wired_items",
]
