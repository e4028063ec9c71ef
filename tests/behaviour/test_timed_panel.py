"""What a panel with timers and counters does in no time."""

from typing import Any

import pytest

from proof.timed.circuits import batch, one, staggered, timer
from rungbook import NC, NO, Device, Ladder, LadderError, coil, reset
from rungbook.behaviour import timed_settle
from rungbook.behaviour.blocks import Clock, TimerBlock
from rungbook.behaviour.settle import every_order
from rungbook.behaviour.timed_panel import TimedPanel, works_in_time
from timed_ladders import FUNCTIONS, random_ladder


def pressed(panel: TimedPanel, *orders: str) -> list[dict[str, str]]:
    """Positions after `orders`, given without any time between; several after a race."""
    steps = {step.order: step for step in panel.steps}
    words = [panel.packed(state) for state in panel.rest(panel.start).states]
    for order in orders:
        states = [panel.moved(steps[order], panel.unpacked(word)) for word in words]
        words = [panel.settling.settled(end) for state in states for end in panel.settle(panel.packed(state)).words]
    return [{tag: panel.position(tag, panel.unpacked(word)) for tag in panel.devices} for word in words]


class TestTimers:
    def test_an_on_delay_begins_and_does_not_operate_yet(self) -> None:
        panel = TimedPanel(staggered())
        (seen,) = pressed(panel, "press S2")
        assert (seen["Q1"], seen["K1"], seen["Q2"]) == ("in", "out", "out")

    def test_its_clock_begins_at_nothing_and_runs_on_afterwards(self) -> None:
        panel = TimedPanel(staggered())
        (seat,) = panel.seats
        assert isinstance(seat.block, TimerBlock)
        (step,) = (step for step in panel.steps if step.order == "press S2")
        (word,) = panel.settle(panel.packed(panel.moved(step, panel.start))).words
        assert seat.block.clock(seat.code(word)) is Clock.ZERO
        assert seat.block.clock(seat.code(panel.settling.settled(word))) is Clock.RUNS
        (end,) = panel.settle(panel.ripe(panel.settling.settled(word), seat)).words
        assert panel.is_on("Q2", panel.unpacked(end))
        assert seat.block.clock(seat.code(end)) is Clock.NONE

    def test_an_off_delay_operates_at_once(self) -> None:
        (seen,) = pressed(TimedPanel(one("off-delay 3 s")), "press S1")
        assert (seen["K1"], seen["P1"]) == ("in", "lit")

    def test_an_off_delay_stays_when_the_supply_goes(self) -> None:
        (seen,) = pressed(TimedPanel(one("off-delay 3 s")), "press S1", "switch the supply off")
        assert (seen["K1"], seen["P1"]) == ("in", "dark")

    def test_an_instantaneous_contact_goes_with_the_coil(self) -> None:
        ladder = Ladder("Both contacts", [Device("S1"), timer("K1", "on-delay 3 s"), Device("Q1"), Device("Q2")])
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("K1", "13-14"), coil("Q1"))
        ladder.rung(NO("K1", "67-68"), coil("Q2"))
        (seen,) = pressed(TimedPanel(ladder), "press S1")
        assert (seen["K1"], seen["Q1"], seen["Q2"]) == ("out", "in", "out")


class TestCounters:
    def test_it_counts_edges_and_keeps_the_value_without_supply(self) -> None:
        orders = ["reach B1", "leave B1", "reach B1", "leave B1", "switch the supply off", "switch the supply on"]
        assert [seen["K5"] for seen in pressed(TimedPanel(batch()), *orders)] == ["out"]
        assert [seen["K5"] for seen in pressed(TimedPanel(batch()), *orders, "reach B1")] == ["in"]

    def test_voltage_that_comes_back_is_one_more_edge(self) -> None:
        orders = ["reach B1", "switch the supply off", "switch the supply on"]
        assert [seen["K5"] for seen in pressed(TimedPanel(batch("up 2")), *orders)] == ["in"]

    def test_a_down_counter_is_operated_out_of_the_box(self) -> None:
        assert pressed(TimedPanel(batch("down 3")))[0]["K5"] == "in"


class TestManyMoves:
    """Where more than a few things move, and none takes back another's move, one order stands for all."""

    @pytest.mark.parametrize("seed", range(150))
    def test_it_rests_where_every_order_rests(self, seed: int, monkeypatch: Any) -> None:
        monkeypatch.setattr(timed_settle, "FEW", 0)
        panel = TimedPanel(random_ladder(seed, (*FUNCTIONS, "cumulative on-delay")))
        seen, waiting = set(), [panel.packed(panel.start)]
        while waiting and len(seen) < 150:
            word = waiting.pop()
            stable, chatter, passed = every_order(word, panel.settling.following, panel.settling.what_moved)
            found = panel.settle(word)
            assert (found.words, found.chatter) == (tuple(stable), chatter)
            assert found.passed <= passed
            for end in stable:
                after = panel.settling.settled(end)
                ways = [after ^ flip for _, field, start, flip in panel.turns if after & field == start]
                for seat in panel.seats:
                    block = seat.block
                    if isinstance(block, TimerBlock) and block.clock(seat.code(after)) is Clock.RUNS:
                        ways.append(panel.ripe(after, seat))
                waiting += [way for way in ways if way not in seen]
                seen.update(ways)

    def test_a_count_that_comes_as_the_reset_goes_is_a_race(self, monkeypatch: Any) -> None:
        monkeypatch.setattr(timed_settle, "FEW", 0)
        tags = ("S1", "K1", "K2", "Q1")
        ladder = Ladder("Count or reset", [*map(Device, tags), Device("K5", "counter", setting="up 1")])
        ladder.rung(NO("S1"), coil("K1"), coil("K2"))
        ladder.rung(NO("K1"), coil("K5"))
        ladder.rung(NC("K2"), reset("K5"))
        assert {seen["K5"] for seen in pressed(TimedPanel(ladder), "press S1")} == {"in", "out"}

    def test_thirty_relays_and_a_timer_drop_out_together(self) -> None:
        ladder = Ladder("Long", [Device("S1"), timer("K99", "off-delay 1 s"), *(Device(f"K{k}") for k in range(1, 31))])
        ladder.rung(NO("S1"), coil("K1"), coil("K99"))
        for k in range(2, 31):
            ladder.rung(NO(f"K{k - 1}"), coil(f"K{k}"))
        panel = TimedPanel(ladder)
        (seen,) = pressed(panel, "press S1", "let S1 go")
        assert (seen["K30"], seen["K99"]) == ("out", "in")


class TestChangingOver:
    def test_a_timer_behind_a_button_that_changes_over_may_lose_its_time(self) -> None:
        ladder = Ladder("Changeover", [Device("S1"), timer("K1", "on-delay 3 s"), Device("P1")])
        ladder.rung(NC("S1") | NO("S1"), coil("K1"))
        panel = TimedPanel(ladder)
        (start,) = panel.settle(panel.packed(panel.start)).words
        (step,) = (step for step in panel.steps if step.order == "press S1")
        word = panel.packed(panel.moved(step, panel.unpacked(panel.settling.settled(start))))
        (seat,) = panel.seats
        assert isinstance(seat.block, TimerBlock)
        assert {seat.block.clock(seat.code(end)) for end in panel.settle(word).words} == {Clock.RUNS, Clock.ZERO}

    def test_a_timer_behind_a_relay_that_changes_over_keeps_its_voltage(self) -> None:
        ladder = Ladder("Changeover", [Device("S1"), Device("K2"), timer("K1", "off-delay 3 s")])
        ladder.rung(NO("S1"), coil("K2"))
        ladder.rung(NC("K2") | NO("K2"), coil("K1"))
        panel = TimedPanel(ladder)
        (start,) = panel.settle(panel.packed(panel.start)).words
        (step,) = (step for step in panel.steps if step.order == "press S1")
        word = panel.packed(panel.moved(step, panel.unpacked(panel.settling.settled(start))))
        moments = [panel.unpacked(moment) for moment in (*panel.settle(word).passed, *panel.settle(word).words)]
        assert {panel.is_on("K2", moment) for moment in moments} == {True, False}
        assert all(panel.has_voltage("K1", moment) for moment in moments)


class TestOnly:
    def test_what_is_left_out_does_not_move(self) -> None:
        panel = TimedPanel(staggered()).only({"Q1", "S1", "S2"})
        assert panel.coils == ("Q1",)
        (seen,) = pressed(panel, "press S2")
        assert (seen["Q1"], seen["K1"]) == ("in", "out")
        assert panel.seats == ()


class TestWhatIsRefused:
    def test_a_device_with_a_program_of_its_own(self) -> None:
        ladder = Ladder("Soft", [Device("S1"), Device("Q1", "soft starter")])
        ladder.rung(NO("S1"), coil("Q1"))
        with pytest.raises(LadderError, match="Device Q1: a soft starter works by a program of its own"):
            TimedPanel(ladder)

    def test_a_counter_without_a_count(self) -> None:
        ladder = Ladder("No count", [Device("S1"), Device("K5", "counter")])
        ladder.rung(NC("S1"), coil("K5"))
        with pytest.raises(LadderError, match="Device K5: a counter needs its direction and preset"):
            TimedPanel(ladder)


def test_a_timer_on_the_panel_or_in_the_ladder_makes_it_work_in_time() -> None:
    plain = Ladder("plain")
    plain.rung(NO("S1"), coil("K1"))
    assert not works_in_time(plain, ())
    assert works_in_time(plain, [timer("K1", "flash 1 s")])
    assert works_in_time(staggered(), ())
