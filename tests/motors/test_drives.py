import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.motors import drive_voltage, torque_left, volts_per_hertz


@given(st.floats(100, 700), st.floats(40, 100), st.floats(0, 300), st.floats(0, 0.25))
def test_the_voltage_rises_to_the_rated_one_and_stays(volts, hertz, at, share):
    found = float(drive_voltage(volts, hertz, at, share * volts * 0.999))
    assert found <= volts * (1 + 1e-12)
    assert found >= min(at / hertz, 1) * volts * (1 - 1e-12)
    if at >= hertz:
        assert found == volts


def test_the_steps_and_the_boost():
    assert drive_voltage(460, 60, 30, 10).steps == (
        "460 V ÷ 60 Hz = 7.667 V/Hz",
        "7.667 V/Hz × 30 Hz = 230 V",
        "boost 5 V on top: 235 V",
    )
    assert float(drive_voltage(460, 60, 0, 10)) == 10
    assert float(drive_voltage(460, 60, 90, 10)) == 460


def test_above_the_rated_frequency_the_torque_falls_with_it():
    assert [float(torque_left(60, at)) for at in (0, 30, 60, 90, 120)] == pytest.approx(
        [100, 100, 100, 66.667, 50], rel=1e-4
    )


def test_bad_input():
    with pytest.raises(LadderError, match="Boost: a number from 0 to 115 V"):
        drive_voltage(460, 60, 30, 200)
    with pytest.raises(LadderError, match="Rated frequency: a number above 0"):
        volts_per_hertz(460, 0)
    with pytest.raises(LadderError, match="Frequency: a number from 0"):
        torque_left(60, -1)
