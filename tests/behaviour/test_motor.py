import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.behaviour import motor
from rungbook.behaviour.motor import FEEDS, RUNNING, Motor, MotorState

US = 1_000_000


def fed(state, feed, load=None):
    return motor.step(state, state.at, feed, load)


def settled(state, feed, load=None):
    """The state when nothing changes any more."""
    state = fed(state, feed, load)
    while (instant := motor.due(state)) is not None:
        assert instant > state.at
        state = motor.step(state, instant, feed)
    return state


def events(state, feed):
    """(seconds since `state`, phase, direction) at each event."""
    begin, seen = state.at, []
    state = fed(state, feed)
    while (instant := motor.due(state)) is not None:
        state = motor.step(state, instant, feed)
        seen.append((round((instant - begin) / US, 3), motor.phase(state), motor.direction(state)))
    return seen


@pytest.fixture
def standing():
    return MotorState(Motor())


@pytest.fixture
def running(standing):
    return settled(standing, "forward")


class TestRunUp:
    def test_it_starts_runs_and_settles(self, standing):
        assert motor.phase(motor.step(fed(standing, "forward"), 100_000, "forward")) == "starting"
        assert events(standing, "forward") == [(0.47, "running", 1), (0.84, "running", 1)]

    def test_it_comes_to_the_same_times_by_small_steps(self, standing):
        """Computed the dull way, in steps of 10 µs along the torque curve as the textbook draws it."""
        speed, steps = 0.0, 0
        while speed < 0.9 * 0.95:
            drive = 1.75 + speed / 0.8 * 1.25 if speed < 0.8 else 3.0 - (speed - 0.8) / 0.15 * 2.0
            speed += (drive - 0.5) * 1e-5
            steps += 1
        assert motor.due(fed(standing, "forward")) / US == pytest.approx(steps * 1e-5, abs=5e-5)

    def test_its_final_speed_is_where_torque_and_load_are_equal(self, running):
        assert running.speed == pytest.approx(0.975)
        assert motor.torque(running) == pytest.approx(0.5)
        assert settled(running, "forward", 1.0).speed == pytest.approx(0.95)

    def test_the_current_falls_from_locked_rotor_to_running(self, standing):
        state, seen = fed(standing, "forward"), []
        for now in (0, 200_000, 400_000, 500_000, 2_000_000):
            state = motor.step(state, now, "forward")
            seen.append(round(motor.current(state), 2))
        assert seen == [5.0, 4.45, 3.7, 1.85, 0.7]  # as by small steps

    def test_twice_the_inertia_takes_twice_the_time(self, standing):
        heavy = MotorState(Motor(run_up=2.0))
        assert motor.due(fed(heavy, "forward")) == pytest.approx(2 * motor.due(fed(standing, "forward")), abs=2)

    def test_the_other_phase_order_gives_the_mirror_image(self, standing):
        assert events(standing, "reverse") == [(0.47, "running", -1), (0.84, "running", -1)]
        assert settled(standing, "reverse").speed == pytest.approx(-0.975)


class TestOff:
    def test_it_coasts_to_rest_in_a_finite_time(self, running):
        # 0.975 of speed at 0.5 of rated torque and a run-up time of 1 s
        assert events(running, "off") == [(0.24, "coasting", 1), (1.95, "standing", 0)]

    def test_it_draws_nothing(self, running):
        assert motor.current(fed(running, "off")) == 0

    def test_without_a_load_it_turns_for_ever(self, running):
        state = fed(running, "off", 0)
        assert (motor.due(state), motor.phase(state)) == (None, "coasting")


class TestReversing:
    def test_it_brakes_passes_through_rest_and_starts_the_other_way(self, running):
        times = events(running, "reverse")
        assert [(name, way) for _, name, way in times[:1] + times[2:]] == [
            ("braking", 1),
            ("running", -1),
            ("running", -1),
        ]
        assert times[1][1] in ("standing", "starting")

    def test_it_draws_more_than_a_motor_at_rest(self, running, standing):
        assert motor.current(fed(running, "reverse")) == pytest.approx(5.4875)
        assert motor.current(fed(standing, "reverse")) == pytest.approx(5.0)

    def test_it_stops_sooner_than_by_coasting(self, running):
        def rest(feed):
            return next(seconds for seconds, _, way in events(running, feed) if way <= 0)

        assert rest("reverse") < 0.25 * rest("off")


class TestSinglePhasing:
    def test_it_does_not_start_from_rest_and_draws_locked_rotor_current(self, standing):
        state = fed(standing, "single-phase")
        assert (motor.blocked(state), motor.due(state), motor.torque(state)) == (True, None, 0)
        assert motor.current(state) == pytest.approx(math.sqrt(3) / 2 * 5.0, abs=0.001)
        assert motor.step(state, 3600 * US, "single-phase").speed == 0

    @pytest.mark.parametrize("feed", ["forward", "reverse"])
    def test_one_that_runs_goes_on_in_its_direction_with_more_current(self, standing, feed):
        before = settled(standing, feed)
        after = settled(before, "single-phase")
        assert (motor.phase(after), motor.direction(after)) == ("running", motor.direction(before))
        assert motor.current(after) / motor.current(before) == pytest.approx(math.sqrt(3), rel=0.01)

    def test_under_a_heavy_load_it_stalls(self, standing):
        state = settled(settled(standing, "forward", 1.7), "single-phase")
        assert (state.speed, motor.blocked(state)) == (0, True)


class TestJam:
    def test_a_load_above_the_torque_at_rest_keeps_it_standing(self):
        state = fed(MotorState(Motor(load=1.8)), "forward")
        assert (motor.blocked(state), motor.phase(state), motor.current(state)) == (True, "standing", 5.0)
        assert not motor.blocked(fed(MotorState(Motor(load=1.7)), "forward"))

    def test_a_running_motor_that_jams_comes_to_rest_and_draws_locked_rotor_current(self, running):
        state = settled(running, "forward", 5.0)
        assert (state.speed, motor.blocked(state), motor.current(state)) == (0, True, 5.0)

    def test_it_goes_on_when_the_jam_is_cleared(self, running):
        jammed = settled(running, "forward", 5.0)
        assert settled(jammed, "forward", 0.5).speed == pytest.approx(0.975)


class TestRmsCurrent:
    @pytest.mark.parametrize("feed", FEEDS)
    @pytest.mark.parametrize("until", [1, 300_000, 1_500_000])
    def test_it_is_that_of_many_samples(self, running, feed, until):
        state, steps = fed(running, feed), 2000
        samples = [
            motor.current(motor.step(state, state.at + round((k + 0.5) * until / steps), feed)) for k in range(steps)
        ]
        expected = math.sqrt(sum(sample**2 for sample in samples) / steps)
        assert motor.rms_current(state, state.at + until) == pytest.approx(expected, rel=1e-5)

    def test_over_no_time_it_is_the_current(self, standing):
        state = fed(standing, "forward")
        assert motor.rms_current(state, 0) == 5.0


class TestBadInput:
    def test_an_unknown_feed_is_named_with_the_feeds_there_are(self, standing):
        with pytest.raises(LadderError, match="Choices: off, forward, reverse, single-phase"):
            motor.step(standing, 0, "backward")

    @pytest.mark.parametrize("load", [-0.1, 101, math.nan, True, "1", None], ids=repr)
    def test_a_load_out_of_range_is_refused(self, load):
        with pytest.raises(LadderError, match="Motor load"):
            Motor(load=load)

    def test_a_motor_without_inertia_is_refused(self):
        with pytest.raises(LadderError, match="Motor run-up time"):
            Motor(run_up=0)

    def test_time_does_not_run_back(self, running):
        for call in (lambda: motor.step(running, 5, "off"), lambda: motor.rms_current(running, 5)):
            with pytest.raises(LadderError, match="time runs forward"):
                call()


MOTORS = st.builds(Motor, load=st.floats(0, 4), run_up=st.floats(0.01, 20))


@given(MOTORS, st.floats(-1, 1), st.sampled_from(FEEDS), st.integers(1, 5 * US), st.floats(0, 1))
def test_a_look_in_between_does_not_change_where_it_gets_to(build, speed, feed, until, share):
    state = MotorState(build, feed=feed, speed=speed)
    between = motor.step(state, int(share * until), feed)
    straight = motor.step(state, until, feed)
    assert motor.step(between, until, feed).speed == pytest.approx(straight.speed, abs=2 * motor.SETTLED)
    assert -1 <= straight.speed <= 1


@given(MOTORS, st.lists(st.sampled_from(FEEDS), min_size=1, max_size=4))
def test_from_any_history_it_settles_after_at_most_six_events(build, feeds):
    state = MotorState(build)
    for feed in feeds:
        state, count = motor.step(state, state.at, feed), 0
        while (instant := motor.due(state)) is not None:
            assert instant > state.at
            state, count = motor.step(state, instant, feed), count + 1
            assert count <= 6, f"still moving at {state.speed}"
            near = min(abs(abs(state.speed) - mark) for mark in (0, RUNNING))
            assert near < 1e-3 or motor.due(state) is None
        assert motor.step(state, state.at + 10 * US, feed).speed == pytest.approx(state.speed, abs=1e-6)
