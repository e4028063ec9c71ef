import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.motors import (
    Load,
    Nameplate,
    at_rest,
    autotransformer,
    compare_starting,
    curve_of,
    direct,
    drive,
    run_up,
    soft_starter,
    star_delta,
)
from rungbook.motors.run_up import NEAR

MILL = Nameplate("10 hp", 460, 13.2, 1740)
FAN, ELEVATOR = Load(30, "square", 1.5), Load(30, "constant", 1.0)


class TestAgainstFormulas:
    def test_without_load_kloss_motor_takes_the_time_of_the_closed_formula(self):
        # integral of ds / T(s) for Kloss: t = J ω_s / (2 T_b) · ((1 - s²) / (2 s_b) + s_b ln(1 / s))
        at = (1 / 30) * (3 + math.sqrt(8))
        plate = Nameplate("10 hp", 460, 13.2, 1740, locked_torque=6 / (1 / at + at), inertia=0.5)
        final = 1 - NEAR * 1.0
        factor = 0.5 * (2 * math.pi * 30) / (2 * 3 * plate.torque)
        expected = factor * ((1 - final**2) / (2 * at) + at * math.log(1 / final))
        assert run_up(plate, Load(0, inertia=0), direct()).seconds == pytest.approx(expected, rel=1e-4)

    def test_a_drive_takes_the_time_of_its_ramp(self):
        found = run_up(MILL, Load(10, inertia=0.1), drive(4))
        speed = found.samples[-1].rpm
        assert found.seconds == pytest.approx(4 * speed / 1740, rel=1e-6)
        alpha = 2 * math.pi * 29 / 4  # 1740 rpm in 4 s [rad/s²]
        assert found.samples[50].torque == pytest.approx(10 + 0.13 * alpha, rel=1e-6)

    def test_a_drive_waits_at_its_torque_limit(self):
        found = run_up(MILL, Load(30, inertia=6.0), drive(2, limit=1.5))
        assert max(sample.torque for sample in found.samples) == pytest.approx(1.5 * MILL.torque)
        alpha = (1.5 * MILL.torque - 30) / 6.03
        end = found.samples[-1].rpm * 2 * math.pi / 60
        assert found.seconds == pytest.approx(end / alpha, rel=1e-6)

    @given(st.floats(0.1, 5), st.floats(0, 40))
    @settings(max_examples=8)
    def test_the_work_of_the_torque_is_the_energy_of_motion(self, inertia, torque):
        found = run_up(MILL, Load(torque, "square", inertia), direct())
        work = sum(
            (b.seconds - a.seconds) / 2 * ((a.torque - a.load) * a.rpm + (b.torque - b.load) * b.rpm)
            for a, b in pairwise(found.samples)
        )
        energy = (inertia + 0.03) / 2 * (found.samples[-1].rpm * 2 * math.pi / 60) ** 2
        assert work * 2 * math.pi / 60 == pytest.approx(energy, rel=2e-3)

    def test_twice_the_inertia_is_twice_the_time(self):
        once, twice = (run_up(MILL, Load(20, inertia=inertia), direct()).seconds for inertia in (0.97, 1.97))
        assert twice / once == pytest.approx(2, rel=1e-5)


class TestWays:
    def test_the_final_speed_is_where_motor_and_load_agree(self):
        last = run_up(MILL, FAN, direct()).samples[-1]
        slip = 1 - last.rpm / NEAR / 1800
        assert curve_of(MILL).torque(slip) * MILL.torque == pytest.approx(FAN.torque_at((1 - slip) * 1800 / 1740))

    @pytest.mark.parametrize("way", [star_delta(), autotransformer(), star_delta(3), autotransformer(0.8, 2)])
    def test_a_changeover_brings_full_voltage_at_the_same_speed(self, way):
        found = run_up(MILL, FAN, way)
        before, after = next((a, b) for a, b in pairwise(found.samples) if b.seconds == found.changeover == a.seconds)
        assert before.rpm == pytest.approx(after.rpm)
        assert after.torque / before.torque == pytest.approx(1 / way.share**2)
        assert found.samples[-1].rpm == pytest.approx(run_up(MILL, FAN, direct()).samples[-1].rpm, rel=1e-4)

    def test_the_timer_decides_when(self):
        assert run_up(MILL, FAN, star_delta(3)).changeover == 3
        late = run_up(MILL, FAN, star_delta(30))
        assert (late.changeover, late.samples[-1].seconds > 30) == (30, True)
        waits, goes_on = (sample for sample in late.samples if sample.seconds == 30)  # it runs in star until then
        assert waits.rpm == goes_on.rpm
        assert goes_on.motor_amps / waits.motor_amps == pytest.approx(3)

    def test_a_changeover_too_early_draws_nearly_the_current_of_a_direct_start(self):
        early, right = run_up(MILL, FAN, star_delta(1)), run_up(MILL, FAN, star_delta())
        assert early.line_peak > 4.5 * 13.2
        assert right.line_peak < 2.5 * 13.2

    def test_star_does_not_start_a_load_that_holds_more_than_a_third(self):
        found = run_up(MILL, ELEVATOR, star_delta())
        assert found.seconds is None
        assert found.why == "does not start in star: the load's torque at rest is larger than the motor's"
        assert {sample.rpm for sample in found.samples} == {0.0}
        assert found.samples[0].line_amps == pytest.approx(5 * 13.2 / 3)

    def test_with_a_timer_it_then_starts_in_delta(self):
        found = run_up(MILL, ELEVATOR, star_delta(2))
        assert found.seconds == pytest.approx(2 + run_up(MILL, ELEVATOR, direct()).seconds, rel=1e-4)

    def test_a_fan_with_too_much_torque_hangs_in_star_below_its_speed(self):
        found = run_up(MILL, Load(40, "square", 1.0), star_delta(60), longest=40)
        assert (found.seconds, found.changeover) == (None, None)
        assert found.why == "not changed over within 40 s: the timer is set to 60 s"
        assert found.samples[-1].rpm == pytest.approx(1610, abs=1)
        light = run_up(MILL, Load(1, "square", 0.1), star_delta(60), longest=40)  # as fast in star as in delta
        assert (light.seconds, light.changeover) == (None, None)
        assert run_up(MILL, Load(40, "square", 1.0), autotransformer(0.5)).seconds is not None
        assert run_up(MILL, Load(40, "square", 1.0), star_delta(30), longest=40).seconds > 30

    def test_a_soft_starter_stands_until_its_voltage_is_enough(self):
        found = run_up(MILL, Load(30, inertia=0.5), soft_starter(0.4, 5))
        moves = next(sample.seconds for sample in found.samples if sample.rpm > 0.01)
        # u² · 1.75 · rated = load: u = 0.647, after (0.647 - 0.4) / 0.6 · 5 s
        enough = (math.sqrt(30 / MILL.torque / 1.75) - 0.4) / 0.6 * 5
        assert enough < moves < enough + 0.05

    def test_a_current_limit_is_kept(self):
        free, held = (run_up(MILL, FAN, soft_starter(0.4, 3, limit=limit)) for limit in (None, 3))
        assert free.line_peak > 3.5 * 13.2
        assert held.line_peak == pytest.approx(3 * 13.2)
        assert held.seconds > free.seconds

    def test_an_autotransformer_takes_the_square_of_its_tap_from_the_line(self):
        first = at_rest(MILL, autotransformer(0.5))
        assert (first.motor, first.line, first.torque) == pytest.approx((2.5, 1.25, 1.75 / 4))

    def test_a_breakaway_torque_holds_at_rest_only(self):
        assert run_up(MILL, Load(5, "square", 0.5, breakaway=80), direct()).why.startswith("does not start")
        assert run_up(MILL, Load(5, "square", 0.5, breakaway=60), direct()).seconds is not None
        assert Load(5, "square", breakaway=60).torque_at(0.1) == pytest.approx(0.05)

    def test_time_runs_out_while_it_still_speeds_up(self):
        found = run_up(MILL, Load(30, "square", 50), direct(), longest=5)
        assert found.seconds is None
        assert found.why.startswith("not up to speed within 5 s, ")


class TestBadInput:
    def test_a_load_above_what_the_motor_can_give(self):
        with pytest.raises(LadderError, match=r"above what this motor can ever give, 122\.8 N·m"):
            run_up(MILL, Load(130), direct())

    @pytest.mark.parametrize(
        "make",
        [
            lambda: Load(-1),
            lambda: Load(1, "cubic"),
            lambda: Load("30"),
            lambda: autotransformer(0),
            lambda: autotransformer("120 %"),
            lambda: star_delta(0),
            lambda: soft_starter(0.4, -1),
            lambda: soft_starter(limit=0.5),
            lambda: drive(limit=0),
            lambda: run_up(MILL, FAN, direct(), longest=0),
            lambda: compare_starting(MILL, FAN, ("direct",)),
        ],
    )
    def test_is_refused(self, make):
        with pytest.raises(LadderError):
            make()


class TestComparison:
    def test_the_five_ways_in_one_table(self):
        found = compare_starting(MILL, FAN)
        assert [way.starter.name for way in found.ways] == [
            "direct",
            "star-delta",
            "autotransformer 65 %",
            "soft starter 40 %, 5 s",
            "drive, 5 s, at most 1.5 × torque",
        ]
        assert str(found).splitlines()[2].split()[:5] == ["direct", "66", "5", "66", "71.62"]
        assert found._repr_html_().count("<tr>") == 6

    def test_a_time_that_is_set_is_part_of_the_name(self):
        assert star_delta(3).name == "star-delta, 3 s"
        assert autotransformer(0.8, 2).name == "autotransformer 80 %, 2 s"
        assert soft_starter(0.4, 5, limit=3).name == "soft starter 40 %, 5 s, at most 3 × current"

    def test_one_that_never_starts_says_why(self):
        assert "never: does not start in star" in str(compare_starting(MILL, ELEVATOR, (star_delta(),)))
