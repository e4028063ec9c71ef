"""The cage motor against *Lessons in Electric Circuits*, T. Kuphaldt, vol. II, chapters 10 and 13; within 15 %."""

import pytest

from rungbook.behaviour import motor
from rungbook.behaviour.motor import Motor, MotorState


def at_slip(percent):
    return MotorState(Motor(), feed="forward", speed=1 - percent / 100)


def test_locked_rotor_torque_is_about_175_per_cent():  # [L2-13]
    assert motor.torque(at_slip(100)) == pytest.approx(1.75, rel=0.15)


def test_locked_rotor_current_is_about_500_per_cent():  # [L2-13]
    assert motor.current(at_slip(100)) == pytest.approx(5.0, rel=0.15)


def test_breakdown_is_about_300_per_cent_near_20_per_cent_slip():  # [L2-13]
    slip = max(range(101), key=lambda percent: motor.torque(at_slip(percent)))
    assert motor.torque(at_slip(slip)) == pytest.approx(3.0, rel=0.15)
    assert slip == pytest.approx(20, rel=0.15)


def test_rated_torque_and_rated_current_come_together():  # by definition of rated
    rated = MotorState(Motor(), feed="forward", speed=motor.RATED_SPEED)
    assert (motor.torque(rated), motor.current(rated)) == (pytest.approx(1.0), pytest.approx(1.0))


def test_swapping_two_lines_reverses_the_torque_of_a_motor_at_rest():  # [L2-10]
    forward, reverse = (motor.torque(MotorState(Motor(), feed=feed)) for feed in ("forward", "reverse"))
    assert (forward, reverse) == (1.75, -1.75)
