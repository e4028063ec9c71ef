import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.motors import Nameplate, curve_of


def plate(rpm=1740.0, locked=1.75, breakdown=3.0, amps=5.0):
    return Nameplate(
        "10 hp", 460, 13.2, rpm, locked_torque=locked, breakdown_torque=breakdown, locked_amps=amps, power_factor=0.85
    )


@given(st.floats(1650, 1785), st.floats(0.5, 3), st.floats(1.8, 3.5), st.floats(4, 8))
def test_it_passes_through_the_points_of_the_plate(rpm, locked, breakdown, amps):
    assume(locked <= breakdown)
    motor = plate(rpm, locked, breakdown, amps)
    curve = curve_of(motor)
    assert curve.torque(motor.slip) == pytest.approx(1)
    assert curve.torque(curve.breakdown_slip) == pytest.approx(breakdown)
    assert curve.torque(1.0) == pytest.approx(locked)
    assert curve.current(motor.slip) == pytest.approx(1)
    assert curve.current(1.0) == pytest.approx(amps)
    assert (curve.torque(0.0), curve.current(0.0)) == (0.0, 0.4)


@given(st.floats(1650, 1785), st.floats(0.5, 3), st.floats(1.8, 3.5), st.floats(4, 8))
def test_no_point_is_above_breakdown_and_the_current_rises_with_the_slip(rpm, locked, breakdown, amps):
    assume(locked <= breakdown)
    curve = curve_of(plate(rpm, locked, breakdown, amps))
    slips = [k / 200 for k in range(201)]
    assert max(curve.torque(slip) for slip in slips) <= breakdown * 1.005
    currents = [curve.current(slip) for slip in slips]
    assert currents == sorted(currents)
    steep = [curve.torque(curve.breakdown_slip * k / 50) for k in range(51)]
    assert steep == sorted(steep)


def test_without_a_correction_it_is_kloss_formula():
    at = (1 / 30) * (3 + math.sqrt(8))
    locked = 2 * 3 / (1 / at + at)
    curve = curve_of(plate(locked=locked))
    for slip in (0.05, 0.2, 0.5, 0.9):
        assert curve.torque(slip) == pytest.approx(6 / (slip / at + at / slip))


@pytest.mark.parametrize("slip", [-0.1, 1.1, "x"])
def test_a_slip_outside_is_refused(slip):
    with pytest.raises(LadderError):
        curve_of(plate()).torque(slip)
    with pytest.raises(LadderError):
        curve_of(plate()).current(slip)


def test_points_that_no_such_curve_has_are_refused():
    with pytest.raises(LadderError, match=r"breakdown would lie at a slip of 1\.07, above one"):
        curve_of(plate(rpm=1470, breakdown=3.0))
    with pytest.raises(LadderError, match=r"Locked-rotor current / rated: with a rated slip of 0\.183 at most"):
        curve_of(plate(rpm=1470, breakdown=2.0, amps=6.0))
