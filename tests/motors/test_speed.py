import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.motors import poles_of, rotor_frequency, slip, slip_of_rotor_frequency, speed_at, synchronous_speed


@given(st.floats(1, 400), st.integers(1, 20), st.floats(0.001, 1))
@example(225.46530558247264, 9, 1.0)  # 100 n / n is above 100 there
def test_slip_speed_and_rotor_frequency_agree(hertz, pairs, share):
    field = synchronous_speed(hertz, 2 * pairs)
    speed = speed_at(share, field)
    found = slip(field, float(speed))
    assert float(found) == pytest.approx(100 * share)
    assert float(slip_of_rotor_frequency(rotor_frequency(found, hertz), hertz)) == pytest.approx(100 * share)


@pytest.mark.parametrize(
    ("hertz", "rpm", "poles"), [(60, 1750, 4), (60, 3450, 2), (60, 1150, 6), (50, 1450, 4), (50, 2920, 2), (60, 875, 8)]
)
def test_poles_from_the_plate(hertz, rpm, poles):
    assert poles_of(hertz, rpm) == poles


@pytest.mark.parametrize("poles", [0, -4, 3, 102, 4.0, True, "4", None])
def test_poles_are_an_even_number(poles):
    with pytest.raises(LadderError, match="an even number from 2 to 100"):
        synchronous_speed(60, poles)


@pytest.mark.parametrize("hertz", [0, -60, 1001])
def test_a_frequency_out_of_range(hertz):
    with pytest.raises(LadderError, match="a number above 0 to 1000 Hz"):
        synchronous_speed(hertz, 4)


def test_a_synchronous_speed_below_the_nameplates_is_refused():
    with pytest.raises(LadderError, match=r"synchronous speed of 1200 rpm; this is above it\. Given: 1750"):
        slip(1200, 1750)


def test_a_slip_above_one_is_refused():
    with pytest.raises(LadderError, match="negative, a slip above one"):
        slip(1800, -10)
    with pytest.raises(LadderError, match=r"^Slip: a number from 0 to 1\. Given: 1\.2"):
        rotor_frequency(1.2, 60)
    with pytest.raises(LadderError, match=r"^Slip: a number from 0 to 1\. Given: '120 %'"):
        speed_at("120 %", 1800)


def test_a_rotor_frequency_above_the_lines_is_refused():
    with pytest.raises(LadderError, match="Rotor frequency: a number from 0 to 60 Hz"):
        slip_of_rotor_frequency(61, 60)


def test_a_plate_with_the_synchronous_speed_is_refused():
    with pytest.raises(LadderError, match=r"with 4 poles is 1800 rpm"):
        poles_of(60, 1800)
    with pytest.raises(LadderError, match="Rated speed"):
        poles_of(60, 3601)
