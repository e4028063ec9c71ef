"""Counters on the timeline: the filling line counts bottles at limit switch B1 and stops after a batch."""

import pytest

import playing
from rungbook import NC, NO, Device, Ladder, LadderError, coil, count_down, lamp, reset, run
from rungbook.behaviour.board import Board
from rungbook.behaviour.timeline import Timeline

BOTTLE = "reach B1, leave B1, "


def filling_line(setting="up 3"):
    """S1 starts the line Q1, B1 counts, Q1 drops out at the preset, S2 resets."""
    panel = [Device("S1"), Device("S2"), Device("B1"), Device("Q1"), Device("K5", "counter", setting=setting)]
    ladder = Ladder("Filling line", panel)
    ladder.rung((NO("S1") | NO("Q1")) & NC("K5"), coil("Q1"))
    ladder.rung(NO("B1"), coil("K5"))
    ladder.rung(NO("S2"), reset("K5"))
    return ladder


def counter_of(setting, *rungs):
    tags = ("S1", "S2", "S3", "P1")
    ladder = Ladder("Filling line", [*map(Device, tags), Device("K5", "counter", setting=setting)])
    for rung in rungs:
        ladder.rung(*rung)
    ladder.rung(NO("K5"), lamp("P1"))
    return ladder


UP = ((NO("S1"), coil("K5")), (NO("S2"), reset("K5")))
UP_DOWN = ((NO("S1"), coil("K5")), (NO("S2"), count_down("K5")), (NO("S3"), reset("K5")))


def play(ladder, script, board=None):
    return playing.play(Timeline(board or ladder, ladder.declared), script)


def changes(timeline, *tags):
    return [(change.time / 1000, change.device, change.state) for change in timeline.changes if change.device in tags]


def counted(ladder, script):
    timeline = play(ladder, script)
    return timeline.counter("K5"), timeline.position("K5"), timeline.position("P1")


class TestBatch:
    def test_three_bottles_stop_the_line_and_a_reset_lets_it_start_again(self):
        script = f"press S1, let S1 go, {BOTTLE * 3} press S1, let S1 go, press S2, let S2 go, press S1"
        timeline = play(filling_line(), script)
        assert changes(timeline, "Q1", "K5") == [
            (1020, "Q1", "in"),  # 4 ms of travel, 16 ms of armature
            (7004, "K5", "in"),  # the third bottle reaches B1 at 7 s: the contact changes at once
            (7010, "Q1", "out"),  # 6 ms of release; pressing S1 at 9 s does nothing
            (11004, "K5", "out"),
            (13020, "Q1", "in"),
        ]
        assert timeline.counter("K5") == 0

    def test_the_value_is_there_at_every_moment(self):
        script = "press S1, " + BOTTLE
        assert [play(filling_line(), script + BOTTLE * n).counter("K5") for n in range(4)] == [1, 2, 3, 4]

    def test_the_count_goes_on_beyond_the_preset(self):
        assert counted(counter_of("up 3", *UP), "press S1, let S1 go, " * 5) == (5, "in", "lit")

    def test_run_shows_the_counter_among_the_devices(self):
        words = [moment.positions["K5"] for moment in run(filling_line(), f"press S1, {BOTTLE * 3} press S2").moments]
        assert words == ["out"] * 6 + ["in", "in", "out"]


class TestReset:
    def test_while_it_has_voltage_nothing_is_counted_and_the_edge_under_it_is_lost(self):
        script = "press S1, let S1 go, press S2, press S1, let S2 go"
        assert counted(counter_of("up 1", *UP), script) == (0, "out", "dark")

    def test_it_wins_over_a_count_in_the_same_instant(self):
        both = ((NO("S1"), coil("K5"), reset("K5")),)
        assert counted(counter_of("up 1", *both), "press S1, let S1 go, press S1") == (0, "out", "dark")

    def test_a_counter_may_reset_itself_and_then_shows_its_preset_for_no_time(self):
        itself = ((NO("S1"), coil("K5")), (NO("K5"), reset("K5")))
        timeline = play(counter_of("up 2", *itself), "press S1, let S1 go, press S1, let S1 go")
        assert changes(timeline, "K5") == [(3004, "K5", "in"), (3004, "K5", "out")]
        assert timeline.counter("K5") == 0


class TestDirections:
    def test_up_down_counts_both_ways_and_stops_at_0(self):
        ladder = counter_of("up-down 2", *UP_DOWN)
        up, down = "press S1, let S1 go, ", "press S2, let S2 go, "
        assert counted(ladder, up * 2) == (2, "in", "lit")
        assert counted(ladder, up * 2 + down) == (1, "out", "dark")
        assert counted(ladder, up * 2 + down + up * 2) == (3, "in", "lit")
        assert counted(ladder, down + up) == (1, "out", "dark")
        assert counted(ladder, up * 3 + "press S3") == (0, "out", "dark")

    def test_both_edges_in_one_instant_leave_the_count(self):
        both = ((NO("S1"), coil("K5")), (NO("S2") | NO("S1", "23-24"), count_down("K5")))
        assert counted(counter_of("up-down 2", *both), "press S1, let S1 go, press S1") == (0, "out", "dark")

    def test_down_is_operated_at_0_and_its_reset_sets_it_to_the_preset(self):
        ladder = counter_of("down 2", *UP)
        count = "press S1, let S1 go, "
        assert changes(play(ladder, "wait 1 s"), "K5", "P1") == [(0, "K5", "in"), (0, "P1", "lit")]
        assert counted(ladder, "press S2, let S2 go") == (2, "out", "dark")
        assert counted(ladder, "press S2, let S2 go, " + count) == (1, "out", "dark")
        assert counted(ladder, "press S2, let S2 go, " + count * 3) == (0, "in", "lit")


class TestVoltage:
    def test_the_count_survives_a_loss_of_supply_for_a_battery_keeps_it(self):
        script = "press S1, let S1 go, switch the supply off, wait 1 h, switch the supply on, press S1, let S1 go"
        assert counted(counter_of("up 2", *UP), script) == (2, "in", "lit")

    def test_a_bottle_at_the_sensor_is_counted_again_when_the_supply_returns(self):
        assert counted(counter_of("up 3", *UP), "press S1, switch the supply off, switch the supply on")[0] == 2

    @pytest.mark.parametrize(("low", "value"), [(60, 1), (45, 2)])
    def test_a_sag_counts_only_if_the_input_drops_out_in_it(self, low, value):
        script = f"press S1, set the supply to {low} %, set the supply to 100 %"
        assert counted(counter_of("up 9", *UP), script)[0] == value

    def test_an_input_in_series_with_another_coil_gets_too_little_to_count(self):
        # the coil of a contactor drops nothing worth naming beside 7200 ohm, two inputs share the voltage
        ladder = counter_of("up 1", (NO("S1"), coil("K5")))
        board = Board.of(ladder, ladder.declared)
        assert play(ladder, "press S1", board).counter("K5") == 1
        weak = Board.of(ladder, ladder.declared, supply=type(board.supply)(ohms=7200 + 0j))
        assert play(ladder, "press S1", weak).counter("K5") == 0

    def test_an_input_open_inside_counts_nothing(self):
        ladder = counter_of("up 1", *UP)
        whole = Board.of(ladder, ladder.declared)
        cut = Board(whole.title, whole.items, whole.devices, cut=frozenset({"K5"}))
        assert play(ladder, "press S1", cut).counter("K5") == 0


class TestContacts:
    def test_plain_digits_change_over_with_the_count_coil(self):
        ladder = Ladder("Filling line", [Device("S1"), Device("K5", "counter", setting="up 2"), Device("P1")])
        ladder.rung(NO("S1"), coil("K5"))
        ladder.rung(NO("K5", "23-24"), lamp("P1"))
        assert changes(play(ladder, "press S1, let S1 go"), "P1") == [(1018, "P1", "lit"), (2005, "P1", "dark")]


class TestChatter:
    def buzzing(self, setting):
        tags = ("S1", "K1", "K2", "P1")
        ladder = Ladder("Filling line", [*map(Device, tags), Device("K5", "counter", setting=setting)])
        ladder.rung(NO("S1") & NC("K2"), coil("K1"))
        ladder.rung(NO("K1"), coil("K2"), coil("K5"))
        ladder.rung(NO("K5"), lamp("P1"))
        return ladder

    def test_every_pulse_of_two_buzzing_relays_is_counted_though_its_cycles_are_passed_over(self):
        timeline = play(self.buzzing("up 9999"), "press S1, wait 60 s, let S1 go")
        (found,) = timeline.chatters
        assert 1000 < (pulses := 60_000_000 / found.period) < 9999
        assert abs(timeline.counter("K5") - pulses) <= 1

    def test_it_reaches_its_preset_at_the_pulse_that_makes_it_full(self):
        timeline = play(self.buzzing("up 1000"), "press S1, wait 60 s, let S1 go")
        ((time, _, word),) = changes(timeline, "K5")
        assert word == "in"
        ((first, _, _),) = changes(play(self.buzzing("up 1"), "press S1, wait 60 s, let S1 go"), "K5")
        assert time == pytest.approx(first + 999 * timeline.chatters[0].period / 1000, abs=1e-6)

    def test_a_counter_that_clears_itself_and_counts_on_ends_all_the_same(self):
        ladder = Ladder("Filling line", [Device("S1"), Device("K5", "counter", setting="up 1")])
        ladder.rung(NO("S1") & NC("K5"), coil("K5"))
        ladder.rung(NO("K5"), reset("K5"))
        assert play(ladder, "press S1, wait 1 h").now == 3_601_000_000


class TestErrors:
    def test_a_counter_without_a_preset_is_refused(self):
        with pytest.raises(LadderError, match="a counter needs its direction and preset") as found:
            Timeline(filling_line(""))
        assert found.value.choices == ("up 3", "down 3", "up-down 3")

    def test_an_unknown_counter_lists_those_here(self):
        with pytest.raises(LadderError, match="no such counter") as found:
            Timeline(filling_line()).counter("K1")
        assert found.value.choices == ("K5",)

    def test_inputs_of_a_plain_relay_are_refused(self):
        ladder = Ladder("Filling line")
        ladder.rung(NO("B1"), coil("K5"))
        ladder.rung(NO("S2"), reset("K5"))
        with pytest.raises(LadderError, match="a reset input is that of a counter"):
            Timeline(ladder)
