"""Every single mistake on the power side shows in the dead tests, and is named."""

import pytest

from rungbook import LadderError
from rungbook.circuit.power import PowerCircuit, direct, reversing, star_delta
from rungbook.circuit.power_wires import PowerWiring, read_power_wires, wire_power
from rungbook.proof.wiring_check import MainMistake, check_power_wiring, main_mistakes, main_tests
from rungbook.proof.wiring_check.main_terminals import MainTerminals

OHMS = 17.0  # R of the motor on the bench [ohm]
WIRINGS = {
    "direct": wire_power(direct()),
    "reversing": wire_power(reversing(fuses="")),
    "star-delta": wire_power(star_delta(fuses="", main="Q3", star="Q1", delta="Q2")),
}


TESTS = {name: main_tests(wiring).tests for name, wiring in WIRINGS.items()}


def readings(name, wires, ohms=OHMS):
    """What a person would read on a board wired with `wires`."""
    board = MainTerminals(WIRINGS[name], {"M1": ohms}).wired(wires)
    return {
        test.number: "OL" if value is None else value
        for test in TESTS[name]
        for value in [board.ohms(test.positions, test.stage == "connected", test.a, test.b)]
    }


def named(report):
    """All mistakes that the report names, in order, those not told apart together."""
    return [(one.mistake.told, *(other.told for other in one.alike)) for one in report.likely]


def mistake(wiring: PowerWiring, told: str) -> MainMistake:
    (found,) = [one for one in main_mistakes(wiring) if one.told == told]
    return found


class TestList:
    def test_has_the_kinds_the_commonest_first(self):
        found = main_mistakes(WIRINGS["reversing"])
        assert list(dict.fromkeys(one.kind for one in found)) == ["missing wire", "exchanged wires", "wrong terminal"]
        words = {one.told for one in found}
        assert "Wire 1T2 from Q1:4/T2 to Q2:4/T2 is missing or loose." in words
        assert "Wires L1 and L2 are exchanged at the supply: L1 and L2." in words
        assert "Wires U1 and V1 are exchanged at M1: M1:U1 and V1." in words
        assert "Wires U1 and PE are exchanged at M1: M1:U1 and PE." in words
        assert "Wires 1T3 and 1T1 are exchanged at Q2: Q2:2/T1 and 6/T3." in words
        assert "Two wires are exchanged at Q1, Q1:1/L1 and 3/L2: Q9:2/T1 – Q1:1/L1 and Q9:4/T2 – Q1:3/L2." in words
        assert "Wire 1L1 is on Q1:3/L2 instead of Q1:1/L1." in words

    @pytest.mark.parametrize("name", WIRINGS)
    def test_has_no_two_that_exchange_the_same(self, name):
        found = [one for one in main_mistakes(WIRINGS[name]) if one.kind == "exchanged wires"]
        assert len({one.told for one in found}) == len(found)
        assert all(one.wires != WIRINGS[name].wires for one in found)

    @pytest.mark.parametrize("name", WIRINGS)
    def test_each_shows_in_the_tests_but_a_wire_that_passes_the_overload_relay_by(self, name):
        wiring = WIRINGS[name]
        right = readings(name, wiring.wires)
        hidden = {one.told for one in main_mistakes(wiring) if readings(name, one.wires) == right}
        poles = [("1T1", "U1", "1/L1", "2/T1"), ("1T2", "V1", "3/L2", "4/T2"), ("1T3", "W1", "5/L3", "6/T3")]
        assert hidden == {
            told
            for above, below, upper, lower in poles
            for told in (
                f"Wires {above} and {below} are exchanged at F1: F1:{upper} and {lower}.",
                f"Wire {above} is on F1:{lower} instead of F1:{upper}.",
                f"Wire {below} is on F1:{upper} instead of F1:{lower}.",
            )
        }


class TestReport:
    @pytest.mark.parametrize("name", WIRINGS)
    def test_of_a_board_wired_as_listed_is_content(self, name):
        wiring = WIRINGS[name]
        report = check_power_wiring(wiring, readings(name, wiring.wires))
        assert report.as_expected
        assert report.told == (f"All {len(report.rows)} readings are as expected.",)

    @pytest.mark.parametrize(
        ("name", "told"),
        [
            ("direct", "Wire 1T2 from Q1:4/T2 to F1:3/L2 is missing or loose."),  # a missing pole
            ("direct", "Wires U1 and V1 are exchanged at M1: M1:U1 and V1."),  # two lines swapped at the motor
            ("direct", "Wires L1 and L3 are exchanged at the supply: L1 and L3."),
            ("direct", "Wires U1 and PE are exchanged at M1: M1:U1 and PE."),
            ("reversing", "Wires 1T3 and 1T1 are exchanged at Q2: Q2:2/T1 and 6/T3."),  # links straight down
            ("reversing", "Wire 1L2 from Q1:3/L2 to Q2:3/L2 is missing or loose."),
            ("star-delta", "Wires U2 and V2 are exchanged at M1: M1:U2 and V2."),
            ("star-delta", "Wire star from Q1:4/T2 to Q1:6/T3 is missing or loose."),
            ("star-delta", "Wires 1L2 and 1L3 are exchanged at Q2: Q2:1/L1 and 3/L2."),
        ],
    )
    def test_names_the_mistake(self, name, told):
        wiring = WIRINGS[name]
        made = mistake(wiring, told)
        report = check_power_wiring(wiring, readings(name, made.wires))
        assert told in named(report)[0]
        assert report.likely[0].wrong == 0
        assert report.told[-1] == "Do not energise."

    def test_every_seventeenth_mistake_of_a_direct_starter_is_in_the_first_place(self):
        name, missed = "direct", []
        wiring = WIRINGS[name]
        for made in main_mistakes(wiring)[::17]:
            report = check_power_wiring(wiring, readings(name, made.wires))
            if not report.as_expected and made.told not in named(report)[0]:
                missed.append(made.told)
        assert missed == []

    def test_a_winding_that_is_not_like_the_others_is_no_fault_of_the_wires(self):
        wiring = WIRINGS["direct"]
        report = check_power_wiring(wiring, {43: 17.0, 44: 17.1, 45: 21.0})
        assert [test.number for test, _, good in report.rows if not good] == [43, 44, 45]
        assert report.likely == ()

    def test_windings_within_five_percent_are_alike(self):
        # mean 100 ohm: 5 % and 0.3 ohm of the meter make 5.3
        report = check_power_wiring(WIRINGS["direct"], {43: 105.2, 44: "100 ohm", 45: 94.8})
        assert all(good for *_, good in report.rows)
        report = check_power_wiring(WIRINGS["direct"], {43: 105.4, 44: 100, 45: 94.6})
        assert [good for *_, good in report.rows] == [False, True, False]

    def test_an_open_winding_is_told(self):
        report = check_power_wiring(WIRINGS["direct"], {43: 17.0, 44: "OL", 45: "OL"})
        assert [test.number for test, _, good in report.rows if not good] == [44, 45]

    def test_a_motor_of_few_ohms_hides_an_exchange_of_its_wires(self):
        """As the docstring says: an ohmmeter cannot tell 2 ohm from a joint; the direction will."""
        wiring = WIRINGS["direct"]
        made = mistake(wiring, "Wires U1 and V1 are exchanged at M1: M1:U1 and V1.")
        assert check_power_wiring(wiring, readings("direct", made.wires, 2.0)).as_expected

    def test_readings_that_are_missing_are_counted(self):
        report = check_power_wiring(WIRINGS["direct"], {1: 0, 31: "OL"})
        assert report.left_out == 51
        assert "51 tests have no reading yet." in report.told


class TestRefused:
    WIRING = WIRINGS["direct"]

    @pytest.mark.parametrize("given", [{}, [1, 2], None])
    def test_no_readings(self, given):
        with pytest.raises(LadderError, match="readings are given by number of test"):
            check_power_wiring(self.WIRING, given)

    @pytest.mark.parametrize("number", [0, 54, True, "1"])
    def test_a_test_that_is_none(self, number):
        with pytest.raises(LadderError, match="there are tests 1 to 53"):
            check_power_wiring(self.WIRING, {number: 0})

    def test_a_reading_that_is_none(self):
        with pytest.raises(LadderError, match="Reading 1: is a resistance in ohm, or open"):
            check_power_wiring(self.WIRING, {1: "fine"})

    def test_readings_through_a_motor_that_has_not_been_measured(self):
        with pytest.raises(LadderError, match=r"what M1 shows .* read tests 43 to 45 first"):
            check_power_wiring(self.WIRING, {51: 17})


def test_exchanged_wires_make_the_motor_turn_the_other_way():
    """The mistake as wires, read back as a power circuit, does what the trade says."""
    from rungbook.behaviour.power import energise

    wiring = WIRINGS["direct"]
    made = mistake(wiring, "Wires U1 and V1 are exchanged at M1: M1:U1 and V1.")
    circuit: PowerCircuit = read_power_wires(wiring, made.wires)
    assert energise(circuit, ["Q9", "Q1"])["M1"].direction == -1
    assert energise(read_power_wires(wiring), ["Q9", "Q1"])["M1"].direction == 1
