import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.behaviour import timers
from rungbook.behaviour.timers import TIMER_FUNCTIONS, Timer, TimerState

SECOND = 1_000_000
MAX_US = 360_000 * SECOND


def changes(function, preset, edges, until):
    """(time [s], output) at every change of the contacts. `edges`: times [s] at which the input changes, off at 0."""
    state, seen = TimerState(Timer(function, preset)), []
    plan = [round(edge * SECOND) for edge in edges]
    level = False
    while True:
        instant = min((time for time in (timers.due(state), *plan[:1]) if time is not None), default=None)
        if instant is None or instant > until * SECOND:
            return seen
        while plan and plan[0] == instant:
            level = not level
            plan.pop(0)
        before = timers.output(state)
        state = timers.step(state, instant, level)
        assert timers.due(state) is None or timers.due(state) > instant, f"the change due at {instant} µs was not made"
        if timers.output(state) != before:
            seen.append((instant / SECOND, timers.output(state)))


class TestOnDelay:
    def test_it_operates_when_the_preset_has_run_out_and_releases_at_once(self):
        assert changes("on-delay", 5, [1, 9], 20) == [(6.0, True), (9.0, False)]

    def test_an_input_shorter_than_the_preset_does_nothing(self):
        assert changes("on-delay", 5, [1, 5.999999, 6, 7], 20) == []

    def test_an_input_that_falls_exactly_when_due_leaves_it_at_rest(self):
        assert changes("on-delay", 5, [1, 6], 20) == []

    def test_its_phases(self):
        state = TimerState(Timer("on-delay", 2))
        seen = [timers.phase(state)]
        for now, level in ((0, True), (2 * SECOND, True), (3 * SECOND, False)):
            state = timers.step(state, now, level)
            seen.append(timers.phase(state))
        assert seen == ["idle", "timing", "done", "idle"]

    def test_the_time_that_remains(self):
        state = timers.step(TimerState(Timer("on-delay", 2)), 100, True)
        assert [timers.remaining(state, now) for now in (100, SECOND, 3 * SECOND)] == [2_000_000, 1_000_100, 0]
        assert timers.remaining(timers.step(state, 200, False), 300) is None


class TestOffDelay:
    def test_it_operates_at_once_and_releases_when_the_preset_has_run_out(self):
        assert changes("off-delay", 5, [1, 3], 20) == [(1.0, True), (8.0, False)]

    def test_a_return_of_the_input_starts_the_time_anew(self):
        assert changes("off-delay", 5, [1, 3, 7, 8], 20) == [(1.0, True), (13.0, False)]

    def test_an_input_that_returns_exactly_when_due_keeps_it_operated(self):
        assert changes("off-delay", 5, [1, 3, 8, 9], 20) == [(1.0, True), (14.0, False)]

    def test_an_input_of_no_length_counts(self):
        assert changes("off-delay", 5, [1], 20) == [(1.0, True)]
        state = timers.step(timers.step(TimerState(Timer("off-delay", 5)), 7, True), 7, False)
        assert (timers.output(state), timers.due(state)) == (True, 5_000_007)


class TestOnAndOffDelay:
    def test_both_changes_come_late(self):
        assert changes("on-and-off delay", 5, [1, 10], 20) == [(6.0, True), (15.0, False)]

    def test_an_input_that_goes_back_in_time_changes_nothing(self):
        assert changes("on-and-off delay", 5, [1, 4, 10, 16, 19, 30], 40) == [(15.0, True), (35.0, False)]


class TestOneShot:
    def test_the_rising_edge_gives_one_pulse_exactly_as_long_as_the_preset(self):
        assert changes("one-shot on rising edge", 2, [1, 9], 20) == [(1.0, True), (3.0, False)]
        assert changes("one-shot on rising edge", 2, [1, 1.5], 20) == [(1.0, True), (3.0, False)]

    def test_a_second_edge_during_the_pulse_is_ignored(self):
        assert changes("one-shot on rising edge", 2, [1, 1.5, 2, 2.5], 20) == [(1.0, True), (3.0, False)]

    def test_an_edge_exactly_at_the_end_starts_a_pulse_without_a_gap(self):
        assert changes("one-shot on rising edge", 2, [1, 2, 3, 4], 20) == [(1.0, True), (5.0, False)]

    def test_the_falling_edge_gives_the_pulse_of_the_other_kind(self):
        assert changes("one-shot on falling edge", 2, [1, 4, 5, 5.5, 8, 9], 20) == [
            (4.0, True),
            (6.0, False),
            (9.0, True),
            (11.0, False),
        ]


class TestFlash:
    def test_it_starts_on_and_has_equal_times(self):
        assert changes("flash", 0.5, [1, 2.75], 9) == [(1.0, True), (1.5, False), (2.0, True), (2.5, False)]

    def test_it_goes_out_with_its_input(self):
        assert changes("flash", 0.5, [1, 2.25], 9)[-1] == (2.25, False)

    def test_eight_hours_of_it_do_not_drift(self):
        state = timers.step(TimerState(Timer("flash", 0.5)), 0, True)
        for _ in range(57_600):
            state = timers.step(state, timers.due(state), True)
        assert (state.at, timers.output(state), timers.due(state)) == (28_800_000_000, True, 28_800_500_000)

    def test_a_third_of_a_second_does_not_drift_either(self):
        state = timers.step(TimerState(Timer("flash", 1 / 3)), 0, True)
        for _ in range(1000):
            state = timers.step(state, timers.due(state), True)
        assert state.at == 1000 * 333_333

    def test_periods_that_were_not_asked_for_are_made_up_for(self):
        state = timers.step(TimerState(Timer("flash", 0.5)), 0, True)
        late = timers.step(state, 3_750_000, True)
        assert (timers.output(late), timers.due(late)) == (False, 4_000_000)


class TestCumulativeOnDelay:
    def test_it_gathers_the_time_of_several_inputs_and_stays_operated(self):
        assert changes("cumulative on-delay", 5, [1, 3, 10, 12, 20, 22], 40) == [(21.0, True)]

    def test_a_pause_holds_the_time(self):
        state = timers.step(TimerState(Timer("cumulative on-delay", 5)), 0, True)
        state = timers.step(state, 2 * SECOND, False)
        assert (timers.elapsed(state, 9 * SECOND), timers.due(state)) == (2_000_000, None)
        assert timers.due(timers.step(state, 10 * SECOND, True)) == 13_000_000

    def test_the_reset_puts_it_at_rest_and_the_time_to_nothing(self):
        state = timers.step(TimerState(Timer("cumulative on-delay", 5)), 0, True)
        state = timers.reset(timers.step(state, 6 * SECOND, False), 7 * SECOND)
        assert (timers.output(state), timers.elapsed(state, 8 * SECOND), timers.due(state)) == (False, 0, None)

    def test_a_reset_while_energised_starts_the_time_anew(self):
        state = timers.step(TimerState(Timer("cumulative on-delay", 5)), 0, True)
        assert timers.due(timers.reset(state, 4 * SECOND)) == 9_000_000

    def test_the_reset_wins_over_the_change_due_at_the_same_instant(self):
        state = timers.step(TimerState(Timer("cumulative on-delay", 5)), 0, True)
        assert not timers.output(timers.reset(state, 5 * SECOND))

    def test_an_input_that_falls_exactly_when_due_has_been_long_enough(self):
        assert changes("cumulative on-delay", 5, [1, 6], 20) == [(6.0, True)]


class TestLossOfSupply:
    @pytest.mark.parametrize("function", ["off-delay", "one-shot on rising edge", "flash"])
    def test_the_contacts_fall_back_at_once(self, function):
        state = timers.lose_supply(timers.step(TimerState(Timer(function, 5)), 0, True), SECOND)
        assert (timers.output(state), timers.due(state), state.energised) == (False, None, False)

    def test_a_cumulative_one_keeps_its_time(self):
        state = timers.step(TimerState(Timer("cumulative on-delay", 5)), 0, True)
        state = timers.lose_supply(state, 2 * SECOND)
        assert timers.due(timers.step(state, 60 * SECOND, True)) == 63_000_000

    def test_a_cumulative_one_that_had_run_out_operates_when_energised_again(self):
        state = timers.step(TimerState(Timer("cumulative on-delay", 5)), 0, True)
        state = timers.lose_supply(state, 9 * SECOND)
        assert not timers.output(state)
        again = timers.step(state, 10 * SECOND, True)
        assert (timers.output(again), timers.phase(again)) == (True, "done")


class TestBadInput:
    def test_an_unknown_function_is_named_with_the_functions_there_are(self):
        with pytest.raises(LadderError) as caught:
            Timer("delay", 5)
        assert (caught.value.value, caught.value.choices) == ("delay", TIMER_FUNCTIONS)

    @pytest.mark.parametrize(
        "preset", [0, -1, 1e-7, 360_000.1, float("nan"), float("inf"), 10**400, True, "5", None], ids=repr
    )
    def test_a_preset_out_of_range_is_refused(self, preset):
        with pytest.raises(LadderError, match="Timer preset") as caught:
            Timer("on-delay", preset)
        assert caught.value.value is preset

    def test_the_ends_of_the_range_are_allowed(self):
        starts = (timers.step(TimerState(Timer("on-delay", preset)), 0, True) for preset in (1e-6, 360_000))
        assert [timers.due(state) for state in starts] == [1, 360_000_000_000]

    @pytest.mark.parametrize("call", [timers.elapsed, timers.remaining, timers.lose_supply])
    def test_time_does_not_run_back(self, call):
        state = timers.step(TimerState(Timer("on-delay", 5)), 10, True)
        with pytest.raises(LadderError, match="the last instant was 10 µs"):
            call(state, 9)
        with pytest.raises(LadderError, match="the last instant was 10 µs"):
            timers.step(state, 9, True)

    def test_an_instant_in_seconds_is_refused(self):
        with pytest.raises(LadderError, match="a whole number of microseconds"):
            timers.step(TimerState(Timer("on-delay", 5)), 1.5, True)

    @pytest.mark.parametrize("function", [name for name in TIMER_FUNCTIONS if name != "cumulative on-delay"])
    def test_only_the_cumulative_one_has_a_reset_input(self, function):
        with pytest.raises(LadderError, match="no reset input with this function"):
            timers.reset(TimerState(Timer(function, 5)), 0)


@given(
    st.sampled_from(TIMER_FUNCTIONS),
    st.integers(1, 9),
    st.lists(st.tuples(st.integers(0, 12), st.booleans()), min_size=1, max_size=20),
)
def test_due_is_exactly_when_the_contacts_change_and_looking_in_between_changes_nothing(function, preset, steps):
    state = TimerState(Timer(function, preset / SECOND))
    now = 0
    for gap, level in steps:
        state, asked_once = timers.step(state, now, level), timers.step(state, now, level)
        for instant in range(now + 1, now + gap + 1):
            before, expected = timers.output(state), timers.due(state)
            state = timers.step(state, instant, level)
            assert (timers.output(state) != before) == (instant == expected)
        now += gap
        assert timers.step(asked_once, now, level) == timers.step(state, now, level)


@given(st.integers(1, MAX_US))
def test_a_preset_in_seconds_is_kept_to_the_microsecond(preset):
    assert timers.due(timers.step(TimerState(Timer("on-delay", preset / SECOND)), 0, True)) == preset
