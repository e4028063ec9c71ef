"""Coils of the kit: what their times have to do with each other."""

import pytest

from rungbook.behaviour.timeline import SPREAD, TRAVEL
from rungbook.kit import ratings
from rungbook.kit.ratings import CoilRating

COILS = {name: value for name, value in vars(ratings).items() if isinstance(value, CoilRating)}
QUICKEST = min(rating.no_opens for rating in COILS.values())


def test_contactors_relays_and_timers_are_all_rated():
    assert set(COILS) == {"CONTACTOR_COIL", "RELAY_COIL", "TIMER_COIL"}


@pytest.mark.parametrize("name", COILS)
class TestEveryCoil:
    def test_opens_before_it_closes(self, name):
        rating = COILS[name]
        assert 0 < rating.nc_opens < rating.operates
        assert 0 < rating.no_opens < rating.releases

    def test_its_gap_is_shorter_than_the_quickest_release(self, name):
        # common practice: a gap of some milliseconds. If a coil released in it, a step chain in which the next relay
        # drops the one before and holds itself would be a race; the untimed panel has relays change over at once
        assert COILS[name].gap < QUICKEST
        assert COILS[name].gap + SPREAD / 1e6 < QUICKEST

    def test_a_button_that_is_pressed_briskly_does_not_drop_it_out(self, name):
        assert COILS[name].no_opens > TRAVEL / 1e6


def test_the_gap_is_the_longer_of_the_two_ways():
    assert CoilRating(nc_opens=0.010, operates=0.016, no_opens=0.006, releases=0.011).gap == pytest.approx(0.006)
    assert CoilRating(nc_opens=0.015, operates=0.016, no_opens=0.006, releases=0.011).gap == pytest.approx(0.005)
