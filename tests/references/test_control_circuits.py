"""What control circuits do, against textbooks and manuals. The source stands beside each check.

[L4-6] is *Lessons in Electric Circuits*, T. Kuphaldt, vol. IV, chapter 6. [NV] is NAVEDTRA 14104, chapter 12.
"""

import pytest

from rungbook import NC, NO, Device, Ladder, coil, compare, run
from rungbook.proof import does_not_start, prove


def outcomes(ladder, script, *tags):
    return [tuple(moment.positions[tag] for tag in tags) for moment in run(ladder, script).moments]


@pytest.fixture
def holding():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    return ladder


@pytest.fixture
def two_wire():
    ladder = Ladder("Cellar fan", [Device("S1", "two-position selector"), Device("F1"), Device("Q1")])
    ladder.rung(NO("S1") & NC("F1"), coil("Q1"))
    return ladder


class TestHoldingCircuit:
    """Wiring of [L4-6]; computed from M := not Stop and not OL and (Start or M)."""

    def test_start_turns_it_on_it_holds_and_stop_turns_it_off(self, holding):
        script = "press S2, let S2 go, press S1, let S1 go"
        assert outcomes(holding, script, "Q1") == [("out",), ("in",), ("in",), ("out",), ("out",)]

    @pytest.mark.parametrize("script", ["press S1, press S2", "press S2, press S1"])
    def test_stop_is_stronger_than_start(self, holding, script):
        assert outcomes(holding, script, "Q1")[-1] == ("out",)

    def test_it_agrees_with_the_equation_in_every_state(self, holding):
        for stop in (False, True):
            for overload in (False, True):
                for start in (False, True):
                    for held in (False, True):
                        orders = ["press S2", "let S2 go"] if held else []
                        orders += ["press S2"] * start
                        orders += ["press S1"] * stop + ["trip F1"] * overload
                        m = not stop and not overload and (start or held)
                        assert run(holding, orders)[-1].positions["Q1"] == ("in" if m else "out")


class TestReturnOfPower:
    def test_two_wire_control_restarts_by_itself(self, two_wire):  # [NV] low-voltage release
        script = "turn S1 on, switch the supply off, switch the supply on"
        assert outcomes(two_wire, script, "Q1") == [("out",), ("in",), ("out",), ("in",)]
        assert not prove(two_wire, does_not_start("Q1", by="switch the supply on"))

    def test_three_wire_control_stays_off_until_start_is_pressed(self, holding):  # [NV] low-voltage protection
        script = "press S2, let S2 go, switch the supply off, switch the supply on, press S2"
        assert outcomes(holding, script, "Q1") == [("out",), ("in",), ("in",), ("out",), ("out",), ("in",)]
        assert prove(holding, does_not_start("Q1", by="switch the supply on"))


class TestReversing:
    """[L4-6], reversing starter with a normally closed contact of each contactor in the other's rung."""

    def test_with_the_forward_contactor_in_pressing_reverse_leaves_the_other_out(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("Q2") & NC("F1"), coil("Q1"))
        ladder.rung(NC("S1") & (NO("S3") | NO("Q2")) & NC("Q1") & NC("F1"), coil("Q2"))
        script = "press S2, let S2 go, press S3, let S3 go"
        assert outcomes(ladder, script, "Q1", "Q2") == [("out", "out"), *[("in", "out")] * 4]
        script = "press S3, let S3 go, press S2"
        assert outcomes(ladder, script, "Q1", "Q2")[-1] == ("out", "in")

    def test_without_the_interlock_both_can_be_in_at_once(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
        ladder.rung(NC("S1") & (NO("S3") | NO("Q2")) & NC("F1"), coil("Q2"))
        assert outcomes(ladder, "press S2, press S3", "Q1", "Q2")[-1] == ("in", "in")


class TestLogicForms:
    """[L4-6]: series is AND, parallel OR, a normally closed contact NOT; and the three made of these."""

    @pytest.mark.parametrize(
        ("name", "contacts", "ones"),
        [
            ("and", NO("S1") & NO("S2"), {(1, 1)}),
            ("or", NO("S1") | NO("S2"), {(0, 1), (1, 0), (1, 1)}),
            ("xor", (NC("S1") & NO("S2")) | (NO("S1") & NC("S2")), {(0, 1), (1, 0)}),
            ("nand", NC("S1") | NC("S2"), {(0, 0), (0, 1), (1, 0)}),
            ("nor", NC("S1") & NC("S2"), {(0, 0)}),
        ],
    )
    def test_the_lamp_of_a_two_button_circuit(self, name, contacts, ones):
        ladder = Ladder(name)
        ladder.rung(contacts, coil("Q1"))
        for a in (0, 1):
            for b in (0, 1):
                orders = ["press S1"] * a + ["press S2"] * b
                assert run(ladder, orders)[-1].positions["Q1"] == ("in" if (a, b) in ones else "out"), (a, b)

    def test_a_normally_closed_contact_is_not(self):
        ladder = Ladder()
        ladder.rung(NC("S1"), coil("Q1"))
        assert outcomes(ladder, "press S1", "Q1") == [("in",), ("out",)]

    def test_de_morgan_nand_is_not_and_through_a_helping_relay(self):
        direct, helped = Ladder(), Ladder()
        direct.rung(NC("S1") | NC("S2"), coil("Q1"))
        helped.rung(NO("S1") & NO("S2"), coil("K1"))
        helped.rung(NC("K1"), coil("Q1"))
        assert compare(helped, direct).outcome == "same"
