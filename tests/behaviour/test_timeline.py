"""Traces as literal lists of (milliseconds, device, state): exact times, in the order in which they happen."""

import pytest

import playing
from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.behaviour.timeline import Timeline
from rungbook.kit.ratings import CONTACTOR_COIL, SupplyRating


def ladder_of(*rungs):
    ladder = Ladder("Mill")
    for rung in rungs:
        ladder.rung(*rung)
    return ladder


def play(ladder, script, **options):
    return playing.play(Timeline(ladder, **options), script)


def changes(timeline):
    return [(change.time / 1000, change.device, change.state) for change in timeline.changes]


PUMP = ladder_of((NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1")), (NO("Q1"), lamp("P1")))


class TestMechanics:
    def test_a_button_closes_its_contact_after_its_travel_and_the_coil_takes_its_time(self):
        assert changes(play(PUMP, "press S2")) == [
            (1000, "S2", "pressed"),
            (1020, "Q1", "in"),  # 4 ms of travel, 16 ms of armature
            (1020, "P1", "lit"),
        ]

    def test_a_tap_shorter_than_the_travel_closes_nothing(self):
        assert changes(play(PUMP, "press S2, wait 3 ms, let S2 go, wait 1 s")) == [
            (1000, "S2", "pressed"),
            (1003, "S2", "released"),
        ]

    def test_a_tap_that_ends_before_the_holding_contact_closes_does_not_hold(self):
        timeline = play(PUMP, "press S2, wait 12 ms, let S2 go, wait 1 s")
        assert ("Q1", "in") not in {(change.device, change.state) for change in timeline.changes}

    def test_nc_opens_before_no_closes(self):
        ladder = ladder_of((NO("S1"), coil("Q1")), (NO("Q1"), lamp("P1")), (NC("Q1"), lamp("P2")))
        assert changes(play(ladder, "press S1, let S1 go")) == [
            (0, "P2", "lit"),
            (1000, "S1", "pressed"),
            (1018, "P2", "dark"),
            (1020, "Q1", "in"),
            (1020, "P1", "lit"),
            (2000, "S1", "released"),
            (2006, "Q1", "out"),
            (2006, "P1", "dark"),
            (2008, "P2", "lit"),
        ]

    def test_a_gap_shorter_than_the_release_time_does_not_drop_it_out(self):
        script = "press S2, let S2 go, press S1, wait 0 s, let S1 go, wait 1 s"
        timeline = play(PUMP, script)
        assert timeline.position("Q1") == "in"
        assert ("Q1", "out") not in {(change.device, change.state) for change in timeline.changes}


class TestVoltage:
    @pytest.mark.parametrize(("percent", "state"), [(60, "out"), (84, "out"), (88, "in"), (110, "in")])
    def test_a_coil_pulls_in_from_85_percent_of_its_rated_voltage(self, percent, state):
        # IEC 60947-4-1, 8.2.1.2 (from memory): close range 85 % to 110 %; 3 % more for the drop of the supply
        assert play(PUMP, f"set the supply to {percent} %, press S2").position("Q1") == state

    @pytest.mark.parametrize(("percent", "state"), [(55, "in"), (45, "out")])
    def test_once_in_it_holds_down_to_its_drop_out_voltage(self, percent, state):
        assert CONTACTOR_COIL.drop_out == 0.5
        assert play(PUMP, f"press S2, let S2 go, set the supply to {percent} %").position("Q1") == state

    def test_a_weak_supply_sags_under_the_inrush_and_the_coil_does_not_pull_in(self):
        weak = SupplyRating(ohms=60 + 0j)
        assert play(PUMP, "press S2", supply=weak).position("Q1") == "out"
        assert play(PUMP, "press S2", supply=SupplyRating(ohms=1 + 0j)).position("Q1") == "in"


class TestChatter:
    def test_a_buzzer_is_found_with_its_period_and_an_hour_of_it_costs_nothing(self):
        timeline = play(ladder_of((NC("Q1"), coil("Q1"))), "wait 1 h")
        assert [(found.devices, found.period) for found in timeline.chatters] == [(("Q1",), 24_000)]
        assert timeline.now == 3_600_000_000 + 0
        # 16 ms to operate, 6 ms to release, 2 ms until the NC contact is closed again
        assert changes(timeline) == [
            (16, "Q1", "in"),
            (22, "Q1", "out"),
            (3_599_992, "Q1", "in"),
            (3_599_998, "Q1", "out"),
        ]

    def test_a_ring_of_three_relays_is_one_finding(self):
        ring = ladder_of((NC("K3"), coil("K1")), (NO("K1"), coil("K2")), (NO("K2"), coil("K3")))
        timeline = play(ring, "wait 10 min")
        assert [found.devices for found in timeline.chatters] == [("K1", "K2", "K3")]
        assert 50_000 < timeline.chatters[0].period < 70_000

    def test_a_race_of_equals_is_won_by_the_first_coil(self):
        race = ladder_of((NO("S1") & NC("K2"), coil("K1")), (NO("S1") & NC("K1"), coil("K2")))
        timeline = play(race, "press S1")
        assert (timeline.position("K1"), timeline.position("K2")) == ("in", "out")
        assert timeline.chatters == []


class TestOverlap:
    def test_without_an_interlock_of_its_own_the_second_is_in_before_the_first_drops_out(self):
        ladder = ladder_of(((NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1")), ((NO("S3") | NO("Q2")), coil("Q2")))
        trace = changes(play(ladder, "press S2, let S2 go, press S3"))
        assert trace[-3:] == [(3000, "S3", "pressed"), (3020.1, "Q2", "in"), (3024.1, "Q1", "out")]
