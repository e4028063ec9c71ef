import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.behaviour import overload
from rungbook.behaviour.overload import RESET_LEVEL, TRIP_CLASSES, WARM, Overload, OverloadState

US = 1_000_000


def tripped_relay(reset="manual", trip_class="10"):
    """A relay that has just tripped at 6 times its setting, and the instant; its current is then gone."""
    state = overload.step(OverloadState(Overload(trip_class, reset)), 0, 6.0)
    instant = overload.due(state)
    return overload.step(state, instant, 0.0), instant


class TestTrip:
    def test_it_trips_at_the_instant_that_was_due_and_not_a_microsecond_before(self):
        state = overload.step(OverloadState(Overload("10")), 0, 6.0)
        instant = overload.due(state)
        assert instant == 9_142_617
        assert not overload.output(overload.step(state, instant - 1, 6.0))
        assert overload.output(overload.step(state, instant, 6.0))

    def test_it_comes_to_the_same_instant_by_small_steps(self):
        """Computed the dull way: heat in steps of 1 ms of d(heat)/dt = (end - heat) / tau."""
        heat, steps = 0.0, 0
        while heat < 1:
            heat += ((3 / 1.16) ** 2 - heat) * 0.001 / 240
            steps += 1
        assert overload.trip_time("10", 3.0) == pytest.approx(steps * 0.001, abs=0.002)

    def test_a_warm_relay_trips_sooner(self):
        assert overload.trip_time("10", 1.5, WARM) == pytest.approx(77.671, abs=0.001)
        assert overload.trip_time("10", 1.5) == pytest.approx(218.739, abs=0.001)

    def test_the_ultimate_current_never_trips_and_a_hair_more_does(self):
        assert overload.trip_time("10", 1.16) is None
        assert overload.trip_time("10", math.nextafter(1.16, 2)) > 7200

    def test_a_current_that_falls_exactly_when_due_was_too_long(self):
        assert overload.output(tripped_relay()[0])

    def test_short_starts_add_up(self):
        """Four starts of 2 s at 6 times the setting, 4 s apart, are carried; the fifth trips class 10."""
        state, now = OverloadState(Overload("10")), 0
        for _ in range(4):
            state = overload.step(overload.step(state, now, 6.0), now + 2 * US, 0.0)
            now += 6 * US
        assert not state.tripped
        assert overload.output(overload.step(overload.step(state, now, 6.0), now + 2 * US, 0.0))

    def test_the_curve_has_a_time_for_each_multiple_and_none_for_never(self):
        curve = overload.trip_curve("20", [1.0, 1.5, 7.2])
        assert curve == (None, pytest.approx(437.479, abs=0.001), pytest.approx(12.624, abs=0.001))


class TestManualReset:
    def test_it_is_refused_until_the_relay_is_cool(self):
        state, instant = tripped_relay()
        assert overload.due(state) is None
        cool = overload.cool(state)
        assert (cool - instant) / US == pytest.approx(85.602, abs=0.001)  # 240 s × ln(1 / 0.7)
        assert overload.output(overload.reset(state, cool - 1))
        assert not overload.output(overload.reset(state, cool))
        assert [overload.can_reset(state, now) for now in (cool - 1, cool)] == [False, True]

    def test_a_button_pressed_too_soon_is_not_remembered(self):
        state, instant = tripped_relay()
        state = overload.reset(state, instant + US)
        assert overload.output(overload.step(state, instant + 3600 * US, 0.0))

    def test_a_relay_that_is_not_tripped_has_nothing_to_reset(self):
        state = OverloadState(Overload())
        assert not overload.can_reset(state, 5)
        assert overload.reset(state, 5) == OverloadState(Overload(), at=5)

    def test_a_current_that_goes_on_keeps_it_hot(self):
        state = overload.step(OverloadState(Overload("10")), 0, 6.0)
        state = overload.step(state, overload.due(state), 1.0)  # welded contactor
        assert overload.cool(state) is None
        assert overload.output(overload.reset(state, 36_000 * US))


class TestAutomaticReset:
    def test_it_comes_back_by_itself_when_cool(self):
        state, instant = tripped_relay("automatic")
        back = overload.due(state)
        assert (back - instant) / US == pytest.approx(85.602, abs=0.001)
        assert overload.output(overload.step(state, back - 1, 0.0))
        state = overload.step(state, back, 6.0)
        assert not overload.output(state)
        assert (overload.due(state) - back) / US == pytest.approx(2.780, abs=0.001)  # still at 0.7 of the heat

    def test_a_trip_and_a_reset_on_the_way_are_both_made_up_for(self):
        state, _ = tripped_relay("automatic")
        assert overload.step(state, 3600 * US, 0.0).tripped is False


class TestTestButton:
    def test_it_trips_a_cold_relay_which_can_be_reset_at_once(self):
        state = overload.press_test(OverloadState(Overload()), 5)
        assert overload.output(state)
        assert overload.output(overload.reset(state, 6))  # still held
        state = overload.release_test(state, 7)
        assert overload.output(state)
        assert not overload.output(overload.reset(state, 8))

    def test_an_automatic_relay_goes_back_when_it_is_let_go(self):
        state = overload.press_test(OverloadState(Overload("10", "automatic")), 5)
        assert (overload.output(state), overload.due(state)) == (True, None)
        assert not overload.output(overload.release_test(state, 7))

    def test_an_automatic_relay_that_is_hot_stays_tripped_until_cool(self):
        state, instant = tripped_relay("automatic")
        state = overload.release_test(overload.press_test(state, instant), instant + US)
        assert overload.output(state)
        assert overload.due(state) - instant == pytest.approx(85.602 * US, abs=0.001 * US)

    def test_a_relay_without_one_is_refused(self):
        with pytest.raises(LadderError, match="no test button"):
            overload.press_test(OverloadState(Overload(test=False)), 0)


class TestBadInput:
    @pytest.mark.parametrize("trip_class", ["15", 10, ["10"], None], ids=repr)
    def test_an_unknown_class_is_named_with_the_classes_there_are(self, trip_class):
        with pytest.raises(LadderError, match="Choices: 5, 10A, 10, 20, 30"):
            Overload(trip_class)

    def test_an_unknown_reset_is_refused(self):
        with pytest.raises(LadderError, match="Choices: manual, automatic"):
            Overload("10", "remote")

    @pytest.mark.parametrize("current", [-0.1, 1000.1, 10**400, math.nan, math.inf, True, "6", None], ids=repr)
    def test_a_current_out_of_range_is_refused(self, current):
        with pytest.raises(LadderError, match="a share of the setting, 0 to 1000"):
            overload.step(OverloadState(Overload()), 0, current)

    def test_time_does_not_run_back(self):
        state = overload.step(OverloadState(Overload()), 10, 1.0)
        with pytest.raises(LadderError, match="the last instant was 10 µs"):
            overload.reset(state, 9)


currents = st.floats(0, 20)
heats = st.floats(0, 0.999)


@given(st.sampled_from(list(TRIP_CLASSES)), heats, currents, st.floats(0, 1))
def test_a_look_in_between_moves_the_trip_by_at_most_a_microsecond(trip_class, heat, current, share):
    state = overload.step(OverloadState(Overload(trip_class), heat=heat), 0, current)
    instant = overload.due(state)
    assume(instant is not None and instant < 10**12)
    between = overload.step(state, int(share * (instant - 1)), current)
    assert not between.tripped
    assert abs(overload.due(between) - instant) <= 1
    assert overload.output(overload.step(between, overload.due(between), current))


@given(st.sampled_from(list(TRIP_CLASSES)), heats, currents, currents)
def test_more_current_never_trips_later(trip_class, heat, one, other):
    less, more = sorted((one, other))
    late, soon = (overload.trip_time(trip_class, current, heat) for current in (less, more))
    assert late is None or (soon is not None and soon <= late)


@given(st.sampled_from(["manual", "automatic"]), st.lists(st.tuples(st.integers(1, 400), currents), max_size=12))
def test_events_end_and_a_reset_needs_a_cool_relay(reset, steps):
    state, now = OverloadState(Overload("10", reset)), 0
    for seconds, current in steps:
        state, end, events = overload.step(state, now, current), now + seconds * US, 0
        while (instant := overload.due(state)) is not None and instant <= end:
            state = overload.step(state, instant, current)
            events += 1
            assert events <= 2
            assert state.heat > 0.999999 if state.tripped else state.heat < RESET_LEVEL + 1e-6
        now = end
