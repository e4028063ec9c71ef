import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.behaviour import fuse
from rungbook.behaviour.fuse import Fuse, FuseState

US = 1_000_000


def melting(amps, element=Fuse()):  # noqa: B008
    """Seconds until a cold fuse melts, None for never."""
    instant = fuse.due(fuse.step(FuseState(element), 0, amps))
    return None if instant is None else instant / US


class TestMelting:
    def test_a_large_current_melts_it_after_i_squared_t(self):
        assert melting(60) == pytest.approx(6 / 60**2, rel=0.002)  # 1.67 ms
        assert melting(600) == 0.000_017

    def test_a_smaller_current_takes_longer_than_i_squared_t(self):
        assert melting(6) == pytest.approx(0.191788, abs=2e-6)  # 2/3 s × ln(4 / 3); I²t / I² would be 0.167 s

    def test_the_rated_and_the_minimum_fusing_current_never_melt_it(self):
        assert [melting(2), melting(3)] == [None, None]
        assert melting(3.01) > 2

    def test_it_melts_at_the_instant_that_was_due_and_not_a_microsecond_before(self):
        state = fuse.step(FuseState(Fuse()), 0, 6)
        instant = fuse.due(state)
        assert not fuse.output(fuse.step(state, instant - 1, 6))
        assert fuse.output(fuse.step(state, instant, 0))

    def test_overloads_in_quick_succession_add_up_and_are_forgotten_in_time(self):
        state = fuse.step(fuse.step(FuseState(Fuse()), 0, 6), 150_000, 0)
        at_once, later = fuse.step(state, 160_000, 6), fuse.step(state, 60 * US, 6)
        assert fuse.due(at_once) - 160_000 < 50_000
        assert fuse.due(later) - 60 * US == 191_789

    def test_it_never_resets(self):
        state = fuse.step(FuseState(Fuse()), 0, 600)
        for now, amps in ((US, 0), (3600 * US, 600), (7200 * US, 0)):
            state = fuse.step(state, now, amps)
            assert (fuse.output(state), fuse.due(state), state.current) == (True, None, 0)


class TestBadInput:
    @pytest.mark.parametrize("amps", [-1, math.nan, math.inf, 2e6, True, "6", None], ids=repr)
    def test_a_current_that_is_none_is_refused(self, amps):
        with pytest.raises(LadderError, match="Fuse current"):
            fuse.step(FuseState(Fuse()), 0, amps)

    @pytest.mark.parametrize(
        ("values", "thing"),
        [
            ({"rating": 0}, "Fuse rating"),
            ({"rating": math.nan}, "Fuse rating"),
            ({"i2t": 0}, "Fuse I²t"),
            ({"factor": 1}, "Fuse factor"),
            ({"factor": "1.5"}, "Fuse factor"),
        ],
    )
    def test_a_fuse_that_cannot_be_is_refused(self, values, thing):
        with pytest.raises(LadderError, match=thing):
            Fuse(**values)

    def test_time_does_not_run_back(self):
        with pytest.raises(LadderError, match="the last instant was 10 µs"):
            fuse.step(fuse.step(FuseState(Fuse()), 10, 1), 9, 1)


@given(st.floats(3.1, 1000), st.floats(0, 1))
def test_a_look_in_between_moves_the_melting_by_at_most_a_microsecond(amps, share):
    state = fuse.step(FuseState(Fuse()), 0, amps)
    instant = fuse.due(state)
    assume(instant > 1)
    between = fuse.step(state, int(share * (instant - 1)), amps)
    assert not between.blown
    assert abs(fuse.due(between) - instant) <= 1


@given(st.floats(3.001, 1000), st.floats(3.001, 1000))
def test_more_current_never_melts_it_later_nor_sooner_than_i_squared_t(one, other):
    less, more = sorted((one, other))
    assert melting(more) <= melting(less)
    assert melting(more) >= 6 / more**2
