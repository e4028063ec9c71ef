"""What the power side must show before it is energised."""

from itertools import product

import pytest

from power_circuits import pump_and_mill
from rungbook import LadderError
from rungbook.behaviour.power import energise
from rungbook.circuit.power import LINES, PowerCircuit, direct, reversing, star_delta
from rungbook.circuit.power_wires import wire_power
from rungbook.proof.wiring_check import main_tests, must_stay_apart
from rungbook.proof.wiring_check.main_terminals import MainTerminals

STAR_DELTA = star_delta(fuses="", main="Q3", star="Q1", delta="Q2")


CIRCUITS = {
    "direct": direct(),
    "reversing": reversing(),
    "star-delta": STAR_DELTA,
    "two motors": pump_and_mill(),
    "without a switch": direct(disconnect="", fuses=""),
}


def table(circuit, stage):
    tests = main_tests(wire_power(circuit)).of_stage(stage)
    return [(test.order, f"{test.a} – {test.b}", test.shown) for test in tests if not test.wire]


class TestPanel:
    def test_each_wire_comes_first_but_those_to_the_motor(self):
        wiring = wire_power(direct())
        tests = [test for test in main_tests(wiring).of_stage("panel") if test.wire]
        assert [(t.number, t.a, t.b) for t in tests] == [
            (n, wire.start, wire.end) for n, wire in enumerate(wiring.wires[:12], 1)
        ]
        assert {test.shown for test in tests} == {"beeps, 0 ohm"}

    def test_then_each_pole_open_and_closed_then_line_against_line_then_where_the_lines_lead(self):
        assert table(direct(fuses=""), "panel") == [
            ("", "Q9:1/L1 – Q9:2/T1", "OL"),
            ("", "Q9:3/L2 – Q9:4/T2", "OL"),
            ("", "Q9:5/L3 – Q9:6/T3", "OL"),
            ("Q9 on", "Q9:1/L1 – Q9:2/T1", "beeps, 0 ohm"),
            ("Q9 on", "Q9:3/L2 – Q9:4/T2", "beeps, 0 ohm"),
            ("Q9 on", "Q9:5/L3 – Q9:6/T3", "beeps, 0 ohm"),
            ("", "Q1:1/L1 – Q1:2/T1", "OL"),
            ("", "Q1:3/L2 – Q1:4/T2", "OL"),
            ("", "Q1:5/L3 – Q1:6/T3", "OL"),
            ("Q1 pushed in", "Q1:1/L1 – Q1:2/T1", "beeps, 0 ohm"),
            ("Q1 pushed in", "Q1:3/L2 – Q1:4/T2", "beeps, 0 ohm"),
            ("Q1 pushed in", "Q1:5/L3 – Q1:6/T3", "beeps, 0 ohm"),
            ("", "F1:1/L1 – F1:2/T1", "beeps, 0 ohm"),
            ("", "F1:3/L2 – F1:4/T2", "beeps, 0 ohm"),
            ("", "F1:5/L3 – F1:6/T3", "beeps, 0 ohm"),
            *(("", f"{a} – {b}", "OL") for a, b in (("L1", "L2"), ("L1", "L3"), ("L2", "L3"))),
            *(("Q9 on", f"{a} – {b}", "OL") for a, b in (("L1", "L2"), ("L1", "L3"), ("L2", "L3"))),
            *(("Q9 on; Q1 pushed in", f"{a} – {b}", "OL") for a, b in (("L1", "L2"), ("L1", "L3"), ("L2", "L3"))),
            ("Q9 on; Q1 pushed in", "L1 – F1:2/T1", "beeps, 0 ohm"),
            ("Q9 on; Q1 pushed in", "L2 – F1:4/T2", "beeps, 0 ohm"),
            ("Q9 on; Q1 pushed in", "L3 – F1:6/T3", "beeps, 0 ohm"),
        ]

    def test_a_reversing_contactor_leads_two_lines_the_other_way(self):
        assert table(reversing(), "panel")[-3:] == [
            ("Q9 on; Q2 pushed in", "L1 – F1:6/T3", "beeps, 0 ohm"),
            ("Q9 on; Q2 pushed in", "L2 – F1:4/T2", "beeps, 0 ohm"),
            ("Q9 on; Q2 pushed in", "L3 – F1:2/T1", "beeps, 0 ohm"),
        ]

    def test_delta_and_star_lead_to_the_far_ends_of_the_windings(self):
        # U2 V2 W2 start at Q1:1/L1, 3/L2, 5/L3; delta puts them on L2 L3 L1, star joins them
        assert table(STAR_DELTA, "panel")[-5:] == [
            ("Q9 on; Q2 pushed in", "L1 – Q1:5/L3", "beeps, 0 ohm"),
            ("Q9 on; Q2 pushed in", "L2 – Q1:1/L1", "beeps, 0 ohm"),
            ("Q9 on; Q2 pushed in", "L3 – Q1:3/L2", "beeps, 0 ohm"),
            ("Q9 on; Q1 pushed in", "Q1:1/L1 – Q1:3/L2", "beeps, 0 ohm"),
            ("Q9 on; Q1 pushed in", "Q1:3/L2 – Q1:5/L3", "beeps, 0 ohm"),
        ]

    @pytest.mark.parametrize("name", CIRCUITS)
    def test_lines_are_joined_exactly_where_the_power_circuit_tells_a_short(self, name):
        """Terminals and wires on the one hand, nodes and poles on the other, in every position of every device."""
        circuit = CIRCUITS[name]
        wiring = wire_power(circuit)
        board = MainTerminals(wiring).wired(wiring.wires)
        tags = [device.tag for device in circuit.devices if device.tag[0] == "Q"]
        for some in product((False, True), repeat=len(tags)):
            closed = [tag for tag, on in zip(tags, some, strict=True) if on]
            shorts = {short.phases for short in energise(circuit, closed).shorts}
            for a, b in (("L1", "L2"), ("L1", "L3"), ("L2", "L3")):
                joined = board.ohms(dict.fromkeys(closed, "in"), False, a, b) == 0
                assert joined == ((a, b) in shorts), (closed, a, b)


class TestMotor:
    def test_with_three_leads_is_measured_from_lead_to_lead(self):
        assert table(direct(), "motor") == [
            ("", "M1:U1 – M1:V1", "R of M1"),
            ("", "M1:V1 – M1:W1", "R of M1"),
            ("", "M1:W1 – M1:U1", "R of M1"),
            ("", "M1:U1 – M1:PE", "OL"),
        ]

    def test_with_six_leads_winding_by_winding(self):
        shown = table(STAR_DELTA, "motor")
        assert [row[1:] for row in shown[:6]] == [
            ("M1:U1 – M1:U2", "R of M1"),
            ("M1:V1 – M1:V2", "R of M1"),
            ("M1:W1 – M1:W2", "R of M1"),
            ("M1:U1 – M1:V1", "OL"),
            ("M1:V1 – M1:W1", "OL"),
            ("M1:W1 – M1:U1", "OL"),
        ]

    def test_connected_shows_its_windings_in_star_and_in_delta(self):
        # star: two windings in series, 2 R; delta: one beside two in series, 2/3 R; main alone leaves the far ends open
        connected = table(STAR_DELTA, "connected")
        assert {(order, shown) for order, _, shown in connected} == {
            ("Q9 on; Q1 and Q3 pushed in", "2 R of M1"),
            ("Q9 on; Q2 and Q3 pushed in", "0.67 R of M1"),
        }

    def test_of_two_shows_each_behind_its_own_contactor(self):
        connected = table(pump_and_mill(), "connected")
        assert {(order, shown) for order, _, shown in connected} == {
            ("Q9 on; Q1 pushed in", "R of M1"),
            ("Q9 on; Q2 pushed in", "R of M2"),
        }

    def test_two_behind_one_contactor_are_side_by_side(self):
        circuit = direct()
        circuit.motor("M2", ("U1", "V1", "W1"))
        assert {shown for _, _, shown in table(circuit, "connected")} == {"the windings of M1 and M2 side by side"}

    def test_behind_a_manual_starter_alone(self):
        circuit = PowerCircuit()
        circuit.device("Q1", "manual motor starter", LINES, ("U", "V", "W"))
        circuit.motor("M1", ("U", "V", "W"))
        assert {(order, shown) for order, _, shown in table(circuit, "connected")} == {("Q1 on", "R of M1")}
        assert ("Q1 on", "L1 – Q1:2/T1", "beeps, 0 ohm") in table(circuit, "panel")


class TestApart:
    def test_reversing_contactors_would_join_the_outer_lines(self):
        (one,) = must_stay_apart(wire_power(reversing(fuses="")))
        assert one.pair == ("Q1", "Q2")
        assert one.told == "Q1 and Q2 both in join L1 and L3 (Q9 1-2, Q1 1-2, Q2 5-6, Q9 5-6)."

    def test_star_and_delta_would_join_all_three(self):
        (one,) = must_stay_apart(wire_power(STAR_DELTA))
        assert one.pair == ("Q1", "Q2")
        assert [short.phases for short in one.shorts] == [("L1", "L2"), ("L1", "L3"), ("L2", "L3")]

    def test_contactors_of_two_motors_may_be_in_together(self):
        assert must_stay_apart(wire_power(pump_and_mill())) == ()


def test_shows_itself_as_a_table_with_the_pairs_below():
    tests = main_tests(wire_power(reversing("Apple elevator")))
    assert str(tests).splitlines()[-1].startswith("Q1 and Q2 both in join L1 and L3")
    assert "Dead tests of the power side: Apple elevator" in tests._repr_html_()


def test_of_a_circuit_is_refused():
    with pytest.raises(LadderError, match="tests what `wire_power` lists"):
        main_tests(direct())


def test_of_an_unfinished_circuit_is_refused():
    circuit = PowerCircuit("Nothing yet")
    with pytest.raises(LadderError, match="has no devices yet"):
        main_tests(wire_power(circuit))
