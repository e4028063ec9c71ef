"""The wire list of the power side: order, chains, parts; and the circuit read back from wires."""

import pytest

from rungbook import LadderError
from rungbook.circuit.power import LINES, PowerCircuit, direct, reversing, star_delta
from rungbook.circuit.power_wires import MainWire, read_power_wires, wire_power
from rungbook.kit import TRAINING_KIT, Kit, fit


def pairs(wiring):
    return [(wire.start, wire.end, wire.node) for wire in wiring.wires]


def parts(wiring):
    return {part.tag: (part.model, part.extra) for part in wiring.parts}


class TestOrder:
    def test_goes_from_the_supply_to_the_motor_with_its_earth_before_its_leads(self):
        assert pairs(wire_power(reversing(fuses=""))) == [
            ("L1", "Q9:1/L1", "L1"),
            ("L2", "Q9:3/L2", "L2"),
            ("L3", "Q9:5/L3", "L3"),
            ("Q9:2/T1", "Q1:1/L1", "1L1"),
            ("Q9:4/T2", "Q1:3/L2", "1L2"),
            ("Q9:6/T3", "Q1:5/L3", "1L3"),
            ("Q1:1/L1", "Q2:1/L1", "1L1"),
            ("Q1:3/L2", "Q2:3/L2", "1L2"),
            ("Q1:5/L3", "Q2:5/L3", "1L3"),
            ("Q1:6/T3", "Q2:2/T1", "1T3"),  # the reversing link: the outer two exchanged below
            ("Q1:4/T2", "Q2:4/T2", "1T2"),
            ("Q1:2/T1", "Q2:6/T3", "1T1"),
            ("Q2:6/T3", "F1:1/L1", "1T1"),
            ("Q2:4/T2", "F1:3/L2", "1T2"),
            ("Q2:2/T1", "F1:5/L3", "1T3"),
            ("PE", "M1:PE", "PE"),
            ("F1:2/T1", "M1:U1", "U1"),
            ("F1:4/T2", "M1:V1", "V1"),
            ("F1:6/T3", "M1:W1", "W1"),
        ]

    def test_bridges_the_star_in_a_chain(self):
        assert [pair for pair in pairs(wire_power(star_delta())) if pair[2] == "star"] == [
            ("Q2:2/T1", "Q2:4/T2", "star"),
            ("Q2:4/T2", "Q2:6/T3", "star"),
        ]

    def test_does_not_depend_on_the_order_in_which_the_circuit_was_written(self):
        written = direct()
        turned = PowerCircuit()
        for element in reversed(written.elements):
            turned.add(element)
        assert pairs(wire_power(turned)) == pairs(wire_power(written))

    def test_marks_what_goes_to_a_motor(self):
        wiring = wire_power(direct())
        assert [wire.end for wire in wiring.wires if wire.motor] == ["M1:PE", "M1:U1", "M1:V1", "M1:W1"]
        assert wiring.on_panel == 12

    def test_numbers_fuses_by_their_own_terminals(self):
        ends = {end for wire in wire_power(direct()).wires for end in (wire.start, wire.end) if end[:2] == "F9"}
        assert ends == {"F9:1", "F9:2", "F9:3", "F9:4", "F9:5", "F9:6"}

    def test_shows_itself_as_a_table(self):
        wiring = wire_power(direct("Wash pump"))
        assert str(wiring).splitlines()[0].split() == ["from", "to", "wire", "number"]
        assert "Wire list of the power side: Wash pump" in wiring._repr_html_()


class TestParts:
    def test_come_from_the_box(self):
        assert parts(wire_power(direct())) == {
            "Q9": ("manual motor starter", False),
            "F9": ("power fuses 10 A", False),
            "Q1": ("contactor", False),
            "F1": ("overload relay", False),
            "M1": ("200 W training motor", False),
        }

    def test_that_the_box_lacks_are_to_be_added(self):
        circuit = direct(fuses="")
        circuit.device("Q8", "disconnect", LINES, ("a", "b", "c"))
        circuit.motor("M2", ("a", "b", "c"))
        found = parts(wire_power(circuit))
        assert found["Q9"] == ("manual motor starter", False)
        assert found["Q8"] == ("manual motor starter", True)
        assert found["M2"] == ("200 W training motor", True)

    def test_on_the_panel_are_no_longer_in_the_box(self):
        panel = Kit("panel", {"F5": fit("overload relay"), "Q1": fit("contactor")})
        assert parts(wire_power(direct(), panel))["F1"] == ("overload relay", True)
        assert parts(wire_power(direct(), panel))["Q1"] == ("contactor", False)

    def test_motor_with_six_leads_is_in_no_catalogue(self):
        assert parts(wire_power(star_delta()))["M1"] == ("", True)

    def test_of_another_kind_on_the_panel_is_refused(self):
        panel = Kit("panel", {"Q1": fit("manual motor starter")})
        with pytest.raises(LadderError, match="is a contactor in the power circuit, but the panel has there a manual"):
            wire_power(direct(), panel)

    def test_without_main_poles_is_refused(self):
        panel = Kit("panel", {"F9": fit("control fuse 2 A")})
        with pytest.raises(LadderError, match="F9: is a fuse in the power circuit, but the panel has there a control"):
            wire_power(direct(), panel)


class TestReadBack:
    WIRING = wire_power(reversing(fuses=""))

    def test_is_the_same_circuit_with_nodes_of_its_own(self):
        read = read_power_wires(self.WIRING)
        assert [(str(pole), pole.a, pole.b) for pole in read.poles][3:9] == [
            ("Q1 1-2", "n1", "n4"),
            ("Q1 3-4", "n2", "n5"),
            ("Q1 5-6", "n3", "n6"),
            ("Q2 1-2", "n1", "n6"),
            ("Q2 3-4", "n2", "n5"),
            ("Q2 5-6", "n3", "n4"),
        ]

    def test_is_what_the_wires_say_not_what_the_circuit_said(self):
        pulled = [pair[:2] for pair in pairs(self.WIRING)]
        pulled[9], pulled[11] = ("Q1:2/T1", "Q2:2/T1"), ("Q1:6/T3", "Q2:6/T3")  # straight down, no line exchanged
        pulled[12], pulled[14] = ("Q2:2/T1", "F1:1/L1"), ("Q2:6/T3", "F1:5/L3")
        poles = {str(pole): (pole.a, pole.b) for pole in read_power_wires(self.WIRING, pulled).poles}
        assert [poles[f"Q2 {pole}"] == poles[f"Q1 {pole}"] for pole in ("1-2", "3-4", "5-6")] == [True] * 3

    @pytest.mark.parametrize(
        ("wires", "told"),
        [
            (["L1"], "goes from one terminal to another"),
            ([("L1", "Q7:1/L1")], "no such terminal"),
            ([("L1", "Q9:1/L1"), ("L1", "Q1:1/L1"), ("L1", "Q2:1/L1")], "Terminal L1: at most 2 wires"),
            ([("L1", "Q9:1/L1"), ("Q9:1/L1", "L2")], "the wires alone join L1 and L2"),
            ([("L2", "PE")], "the wires alone join L2 and PE"),
            ([("Q1:1/L1", "Q1:2/T1")], "both ends are on one node"),
        ],
    )
    def test_of_what_cannot_be_is_refused(self, wires, told):
        with pytest.raises(LadderError, match=told):
            read_power_wires(self.WIRING, wires)

    def test_takes_records_too(self):
        read = read_power_wires(self.WIRING, [MainWire("L1", "Q9:1/L1", "L1")])
        assert read.poles[0].a == "L1"


@pytest.mark.parametrize(("circuit", "panel"), [("reversing", None), (reversing(), "kit")])
def test_of_something_else_is_refused(circuit, panel):
    with pytest.raises(LadderError, match="wire_power"):
        wire_power(circuit, panel)


def test_does_not_change_the_box():
    before = dict(TRAINING_KIT.devices)
    wire_power(direct())
    assert dict(TRAINING_KIT.devices) == before
