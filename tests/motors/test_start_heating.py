import math

import pytest

from rungbook import LadderError
from rungbook.behaviour.overload import WARM, trip_time
from rungbook.motors import (
    Load,
    Nameplate,
    RunUp,
    direct,
    full_load_current,
    longest_start,
    run_up,
    soft_starter,
    star_delta,
    start_heating,
)
from rungbook.motors.run_up import Sample

MILL = Nameplate("10 hp", 460, 13.2, 1740)


def start(inertia, way=None):
    return run_up(MILL, Load(38, "square", inertia), way or direct(), longest=120)


def test_a_light_start_holds_and_a_heavy_one_trips_class_10_but_not_class_30():
    assert start_heating(start(1.0), 13.2, "10").holds
    heavy = start(9.0)
    tripped = start_heating(heavy, 13.2, "10")
    assert not tripped
    assert 10 < tripped.trip < heavy.seconds
    assert start_heating(heavy, 13.2, "30").holds


def test_a_motor_that_does_not_start_trips_at_the_time_of_the_trip_curve():
    stuck = run_up(MILL, Load(30), star_delta())  # 5/3 of the rated current without end
    found = start_heating(run_up(MILL, Load(30), star_delta(), longest=600), 13.2, "10")
    assert found.trip == pytest.approx(trip_time("10", 5 / 3), abs=1e-3)
    assert not start_heating(stuck, 13.2, "10").holds  # 60 s are not long enough for a trip, yet nothing holds
    assert str(start_heating(stuck, 13.2, "10")).startswith(
        "class 10 set to 13.2 A, cold: has not tripped yet, and the motor is not up to speed"
    )


def test_warm_it_trips_sooner():
    heavy = start(9.0)
    cold, warm = (start_heating(heavy, 13.2, "10", warm=state) for state in (False, True))
    assert warm.course[0] == (0.0, WARM)
    assert warm.trip < cold.trip


def test_a_higher_setting_heats_less():
    peaks = [start_heating(start(2.0), amps, "10").peak for amps in (13.2, 15.18, 16.5)]
    assert peaks == sorted(peaks, reverse=True)
    assert peaks[0] / peaks[2] == pytest.approx(1.25**2, rel=0.01)


def test_a_slower_start_on_less_current_can_heat_more():
    load = Load(30, inertia=0.3)
    quick = start_heating(run_up(MILL, load, direct()), 13.2, "10")
    slow = start_heating(run_up(MILL, load, soft_starter(0.4, 30)), 13.2, "10")
    assert slow.peak > 3 * quick.peak


def test_the_relay_warms_by_the_mean_square_of_a_current_that_changes_evenly():
    moments = (Sample(0.0, 0.0, 0.0, 0.0, 0.0, 0.0), Sample(10.0, 1740.0, 40.0, 40.0, 60.0, 60.0))
    found = start_heating(RunUp(MILL, direct(), moments, 10.0), 20, "10")
    # mean of (6 t)² over 10 s is 1200 A²; heat: end · (1 - exp(-10 / 240)), end = 1200 / (20 · 1.16)²
    assert found.course[-1] == pytest.approx((10.0, 1200 / 23.2**2 * (1 - math.exp(-10 / 240))))


@pytest.mark.parametrize(("multiple", "trip_class", "seconds"), [(6, "10", 9.14), (7.2, "10", 6.31), (6, "20", 18.29)])
def test_how_long_a_start_may_last(multiple, trip_class, seconds):
    # computed: -tau · ln(1 - (1.16 / multiple)²) with 240 and 480 s
    assert longest_start(multiple, trip_class) == pytest.approx(seconds, abs=0.01)


def test_at_the_setting_it_may_last_for_ever():
    assert longest_start(1.0) is None
    assert longest_start(1.16) is None


def test_bad_input():
    with pytest.raises(LadderError, match="Choices: 5, 10A, 10, 20, 30"):
        start_heating(start(1.0), 13.2, "15")
    with pytest.raises(LadderError, match="not from the table's"):
        start_heating(start(1.0), full_load_current(10, 460))
    with pytest.raises(LadderError, match="Overload setting: a number above 0"):
        start_heating(start(1.0), 0)
    with pytest.raises(LadderError, match="Multiple of the setting: a number from 0 to 1000"):
        longest_start(-1)
