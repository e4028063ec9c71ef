import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.motors.units import DIMENSIONS, convert, read_quantity, show

PAIRS = [(a, b) for units in DIMENSIONS.values() for a in units for b in units]


class TestReading:
    @pytest.mark.parametrize(
        ("text", "numbers", "unit"),
        [
            ("4.6 A", (4.6,), "A"),
            ("4,6 A", (4.6,), "A"),
            ("4.6A", (4.6,), "A"),
            ("  4.6   amps ", (4.6,), "A"),
            ("13 856 W", (13856.0,), "W"),
            ("13,856 W", (13856.0, 13.856), "W"),
            ("0,125 kW", (0.125,), "kW"),
            ("1.500 rpm", (1.5,), "rpm"),
            ("1,234,567 W", (1234567.0,), "W"),
            ("1,500.5 rpm", (1500.5,), "rpm"),
            ("1.500,5 rpm", (1500.5,), "rpm"),
            ("1'500 rpm", (1500.0,), "rpm"),
            ("1e3 W", (1000.0,), "W"),
            ("-3 A", (-3.0,), "A"),
            ("−3 A", (-3.0,), "A"),
            ("2.78 %", (2.78,), "%"),
            ("0.85", (0.85,), ""),
            (".5 hp", (0.5,), "hp"),
            ("1/2 hp", (0.5,), "hp"),
            ("7 1/2 hp", (7.5,), "hp"),
            ("1-1/2HP", (1.5,), "hp"),
            ("7½ hp", (7.5,), "hp"),
            ("⅓ hp", (1 / 3,), "hp"),
            ("−3/4 hp", (-0.75,), "hp"),
            ("1750 1/min", (1750.0,), "rpm"),
        ],
    )
    def test_numbers(self, text, numbers, unit):
        found = read_quantity(text)
        assert found.numbers == pytest.approx(numbers)
        assert found.unit == unit

    @pytest.mark.parametrize(
        ("written", "unit"),
        [
            ("Nm", "N·m"),
            ("N m", "N·m"),
            ("lb-ft", "lb·ft"),
            ("ft-lb", "lb·ft"),
            ("KW", "kW"),
            ("HP", "hp"),
            ("RPM", "rpm"),
            ("r/min", "rpm"),
            ("min⁻¹", "rpm"),
            ("hz", "Hz"),
            ("v", "V"),
            ("ohms", "Ω"),
            ("kva", "kVA"),
            ("mA", "mA"),
            ("sec", "s"),
            ("mm2", "mm²"),
        ],
    )
    def test_other_ways_to_write_a_unit(self, written, unit):
        assert read_quantity(f"2 {written}").unit == unit

    @pytest.mark.parametrize("text", ["MA", "MV"])
    def test_a_million_is_no_thousandth(self, text):
        with pytest.raises(LadderError, match="no such unit"):
            read_quantity(f"2 {text}")

    @pytest.mark.parametrize(
        "text",
        ["", "A", "amps 4", "3/0 hp", "1/2/3 hp", "1.5/2 hp", "4..6 A", "1,2,3 A", "4.6 furlongs", "1e999 A", "9" * 70],
    )
    def test_what_is_no_quantity_is_refused(self, text):
        with pytest.raises(LadderError, match="Motor current: "):
            read_quantity(text, "Motor current")

    @pytest.mark.parametrize("text", ["50/60 Hz", "230/460 V", "26/13 A", "13/6 A", "4-20/2 A"])
    def test_two_ratings_of_one_plate_are_no_quotient(self, text):
        with pytest.raises(LadderError, match="Rating: "):
            read_quantity(text, "Rating")

    def test_an_unknown_unit_lists_the_known_ones(self):
        with pytest.raises(LadderError) as found:
            read_quantity("4 furlongs", "Length")
        assert found.value.value == "furlongs"
        assert {"A", "N·m", "rpm", "hp"} <= set(found.value.choices)


class TestConverting:
    @pytest.mark.parametrize(
        ("value", "unit", "to", "expected"),
        [
            (1, "hp", "W", 745.7),
            (10, "hp", "kW", 7.457),
            (1, "lb·ft", "N·m", 1.3558),
            (12, "lb·in", "lb·ft", 1.0),
            (60, "rpm", "rad/s", 2 * math.pi),
            (2.5, "%", "", 0.025),
            (1, "ft", "m", 0.3048),
            (25.5, "mm", "cm", 2.55),
        ],
    )
    def test_within_a_dimension(self, value, unit, to, expected):
        assert convert(value, unit, to) == pytest.approx(expected, rel=1e-4)

    @given(
        st.floats(-1e6, 1e6), st.sampled_from([(a, b) for units in DIMENSIONS.values() for a in units for b in units])
    )
    def test_there_and_back_is_the_same(self, value, units):
        a, b = units
        assert convert(convert(value, a, b), b, a) == pytest.approx(value, rel=1e-9, abs=1e-12)

    def test_between_dimensions_is_refused(self):
        with pytest.raises(LadderError, match="VA measures apparent power, asked for is power"):
            convert(1, "VA", "W")
        with pytest.raises(LadderError, match="no such unit"):
            convert(1, "A", "furlong")


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [(19.75, "A", "19.75 A"), (13856.4, "W", "13856 W"), (2.7777, "%", "2.778 %"), (40, "", "40"), (0.4, "A", "0.4 A")],
)
def test_a_value_is_shown_with_four_digits_and_its_unit(value, unit, text):
    assert show(value, unit) == text


@given(st.floats(0.001, 1e7), st.sampled_from(["A", "kW", "N·m", "rpm", "%", "Hz"]))
def test_what_is_shown_is_read_again(value, unit):
    read = read_quantity(show(value, unit))
    assert read.unit == unit
    assert read.numbers[0] == pytest.approx(value, rel=6e-4)
