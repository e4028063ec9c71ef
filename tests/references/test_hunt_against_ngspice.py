"""What the meter of a hunt reads, against ngspice, for boards with a fault.

Source: ngspice. Volts: a.c. analysis at 60 Hz with 10 Mohm between the leads. Ohms: the supply off and 1 mA through the
leads at a thousandth of a hertz, at which a coil is its resistance (`tests/spice.py` for the circuit).
"""

import os

import pytest

import spice
from hunting import faulty, wash_case
from rungbook.behaviour.actions import read_script
from rungbook.proof.hunt import Rig

VOLTS = [
    (("supply", "wire at X2 is open"), "press S2", "Q1:A2", "X2"),  # the phantom of an open neutral
    (("supply", "wire at X2 is open"), "press S2", "Q1:A2", "X1"),
    (("P1", "wire at X2 is open"), "press S2, let S2 go", "P1:X2", "X2"),
    (("Q1", "wire at A2 is open"), "press S2", "S2:13", "Q1:A2"),
    (("F1", "wire at 95 is open"), "press S2", "S2:14", "F1:95"),
    (("P1", "lamp is burnt out"), "press S2", "P1:X1", "P1:X2"),
    (None, "press S2, let S2 go", "Q1:A1", "Q1:A2"),
    (None, "press S2", "X1", "Q1:A1"),
]
OHMS = [
    (None, "press S2", "S1:11", "X2", 168.0),
    (None, "", "P1:X1", "X2", 7200.0),
    (None, "press S2", "P1:X1", "S2:13", 7200.0 + 168.0),
    (("supply", "wire at X2 is open"), "press S2", "S1:11", "P1:X1", 7200.0 + 168.0),
    (("wire 6", "touches ground"), "press S2", "Q1:24", "S1:12", 168.0),
    (("Q1", "armature stays in"), "", "X1", "X2", 7200.0 * 540 / (7200 + 540)),
    (("Q1", "coil is open"), "press S2", "S1:11", "X2", None),
]


@pytest.fixture(scope="module")
def program():
    found = spice.find_ngspice()
    if found is None:
        told = f"no ngspice at {os.environ.get('NGSPICE', 'any usual place')}; install it, or set NGSPICE to its path"
        if os.environ.get("CI"):
            pytest.fail(told)
        pytest.skip(told)
    return found


def rig_at(fault, script):
    rig = Rig(wash_case().board, wash_case().leads) if fault is None else faulty(*fault)
    for step in read_script(script, rig.panel.devices):
        rig.do(step)
    return rig


def node(rig, lead, ground):
    return "0" if rig.node(lead) == ground else f"c_{rig.node(lead)}"


@pytest.mark.parametrize(("fault", "script", "a", "b"), VOLTS, ids=str)
def test_volts_are_within_a_thousandth(program, fault, script, a, b):
    rig = rig_at(fault, script)
    ground = rig.node(b)
    lines = spice.elements(rig.network, rig.closed(), rig.sealed(), ground, "c")
    lines.append(f"rmeter {node(rig, a, ground)} 0 10e6")
    said = spice.run_ngspice(program, spice.netlist(lines, [f"ac lin 1 {spice.HERTZ:g} {spice.HERTZ:g}", "print all"]))
    wanted = abs(spice.ac_values(said)[node(rig, a, ground)])
    assert rig.read("volts", a, b).value == pytest.approx(wanted, rel=1e-3, abs=1e-3)


@pytest.mark.parametrize(("fault", "script", "a", "b", "literal"), OHMS, ids=str)
def test_ohms_are_within_a_thousandth(program, fault, script, a, b, literal):
    rig = rig_at(fault, "switch the supply off" + (f", {script}" if script else ""))
    ground = rig.node(b)
    lines = spice.elements(rig.network, rig.closed(), rig.sealed(), ground, "c")
    lines = [line for line in lines if "c_e0" not in line]  # the source, behind its open switch
    parts = {rig.node(lead) for lead in ("X1", "X2", *rig.leads.names)} - {ground}
    lines += [f"rfloat{k} c_{k} 0 1e9" for k in parts]  # a part that nothing joins to the leads needs a potential
    lines.append(f"imeter 0 {node(rig, a, ground)} dc 0 ac 1e-3")
    said = spice.run_ngspice(program, spice.netlist(lines, ["ac lin 1 1e-3 1e-3", "print all"]))
    ohms = abs(spice.ac_values(said)[node(rig, a, ground)]) / 1e-3
    found = rig.read("ohms", a, b).value
    if literal is None:
        assert found is None
        assert ohms > 40e6
    else:
        assert found == pytest.approx(literal, rel=1e-6)
        assert found == pytest.approx(ohms, rel=1e-3)
