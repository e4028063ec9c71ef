"""Faults to inject: each is a small record that turns a board, or a power circuit, into one with that fault.

    fault = welded_contact(board, 2)
    fault.sentence            "the contact NO Q1 at wires 3–4 is welded"
    Timeline(fault.apply(board))

A fault is made for a board by one of the functions below, which refuse what cannot be; its sentence speaks of the wires
of that board. `apply` is pure, so a faulty board can get a second fault. Wire numbers: left rail 1, right rail 2 (the
grounded conductor).
"""

from rungbook.behaviour.faults.catalogue import single_faults
from rungbook.behaviour.faults.makers import (
    blown_fuse,
    broken_interlock,
    dead_contact,
    open_load,
    open_rail,
    open_wire,
    shorted_coil,
    stuck_device,
    welded_contact,
    welded_contactor,
    wire_to_ground,
    wrong_coil,
    wrong_contact,
    wrong_setting,
    wrong_terminal,
)
from rungbook.behaviour.faults.power import (
    PowerFault,
    blown_phase_fuse,
    lost_phase,
    open_pole,
    single_power_faults,
    swapped_leads,
    swapped_phases,
    welded_pole,
    welded_poles,
)
from rungbook.behaviour.faults.records import (
    ENDS,
    BlownFuse,
    BrokenInterlock,
    End,
    Fault,
    GroundedNode,
    HeldContact,
    MovedEnd,
    OpenLoad,
    OpenRail,
    OtherContact,
    StuckDevice,
    WrongCoil,
    WrongSetting,
)

__all__ = [
    "ENDS",
    "BlownFuse",
    "BrokenInterlock",
    "End",
    "Fault",
    "GroundedNode",
    "HeldContact",
    "MovedEnd",
    "OpenLoad",
    "OpenRail",
    "OtherContact",
    "PowerFault",
    "StuckDevice",
    "WrongCoil",
    "WrongSetting",
    "blown_fuse",
    "blown_phase_fuse",
    "broken_interlock",
    "dead_contact",
    "lost_phase",
    "open_load",
    "open_pole",
    "open_rail",
    "open_wire",
    "shorted_coil",
    "single_faults",
    "single_power_faults",
    "stuck_device",
    "swapped_leads",
    "swapped_phases",
    "welded_contact",
    "welded_contactor",
    "welded_pole",
    "welded_poles",
    "wire_to_ground",
    "wrong_coil",
    "wrong_contact",
    "wrong_setting",
    "wrong_terminal",
]
