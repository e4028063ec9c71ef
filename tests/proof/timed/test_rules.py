"""Rules about times, and rules that know none, on circuits with timers and counters."""

import pytest

from proof.timed.circuits import batch, one, run_on, staggered, star_delta, timer
from rungbook import NC, NO, Device, Ladder, LadderError, coil, count_down, lamp, prove, reset, run
from rungbook.behaviour import tell
from rungbook.proof import (
    Rule,
    Verdict,
    comes_within,
    does_not_start,
    follows,
    goes_off_within,
    holds_in,
    off_while,
    pulls_in,
    stays_off_for,
    stays_on_for,
)


def verdict(ladder: Ladder, rule: Rule, **limits: float) -> Verdict:
    (found,) = prove(ladder, rule, **limits).verdicts  # type: ignore[arg-type]
    return found


def outcomes(ladder: Ladder, *rules: Rule) -> list[str]:
    return [found.outcome for found in prove(ladder, *rules).verdicts]


class TestStaggeredStart:
    def test_the_second_motor_follows_within_the_set_time_and_not_before(self) -> None:
        rules = comes_within("Q2", 5, after="press S2"), stays_off_for("Q2", 5, after="press S2")
        assert outcomes(staggered(), *rules) == ["holds", "holds"]

    def test_a_shorter_time_is_broken_with_a_wait_that_can_be_done(self) -> None:
        found = verdict(staggered(), comes_within("Q2", 4, after="press S2"))
        assert found.outcome == "broken"
        assert tell(found.steps) == "Press S2. Wait 4.5 s."
        assert (found.seen, found.expected) == ("Q2 stays out", "Q2 pulls in within 4 s")
        assert run(staggered(), tell(found.steps))[-1].positions["Q2"] == "out"

    def test_a_longer_time_of_rest_is_broken_when_the_time_has_run_out(self) -> None:
        found = verdict(staggered(), stays_off_for("Q2", 6, after="press S2"))
        assert tell(found.steps) == "Press S2. Wait 5.5 s."
        assert (found.seen, found.expected) == ("Q2 pulls in", "Q2 stays out for at least 6 s")
        assert found.why == ("Current flows through NO K1 to Q2. NO K1 (wires 1–5) closed when the time of K1 ran out.")

    def test_the_sentence_has_the_plates(self) -> None:
        found = verdict(staggered(), comes_within("Q2", 5, after="press S2"))
        assert found.sentence == "Q2 pulls in within 5 s after you press S2 (start)."

    def test_without_a_seal_letting_go_breaks_it(self) -> None:
        found = verdict(one("on-delay 2 s"), comes_within("P1", 2, after="press S1"))
        assert tell(found.steps) == "Press S1. Let S1 go. Wait 2 s."
        assert found.seen == "P1 stays dark"

    def test_rules_that_know_no_time_are_decided_over_all_instants(self) -> None:
        rules = off_while("Q2", "S1", "pressed"), pulls_in("Q1", when="press S2"), holds_in("Q2", after="let S2 go")
        assert outcomes(staggered(), *rules) == ["holds", "holds", "holds"]

    def test_an_interlock_that_only_time_breaks_is_found(self) -> None:
        found = verdict(staggered(), off_while("Q2", "Q1", "in"))
        assert tell(found.steps) == "Press S2. Wait 6 s."
        assert run(staggered(), tell(found.steps))[-1].positions["Q2"] == "in"

    def test_a_dead_circuit_is_not_shown(self) -> None:
        ladder = Ladder("dead", [Device("S1"), Device("S2"), Device("Q1"), Device("Q2"), timer("K1", "on-delay 5 s")])
        ladder.rung(NO("S2") & NC("S2"), coil("K1"))
        ladder.rung(NO("K1"), coil("Q2"))
        assert outcomes(ladder, stays_off_for("Q2", 5, after="press S2")) == ["not shown"]
        assert outcomes(ladder, comes_within("Q1", 5, after="press S2")) == ["not shown"]


class TestRunOn:
    def test_the_fan_runs_on_for_the_set_time_and_then_stops(self) -> None:
        rules = stays_on_for("Q2", 10, after="press S1"), goes_off_within("Q2", 10, after="press S1")
        assert outcomes(run_on(), *rules) == ["holds", "holds"]

    def test_other_times_are_broken(self) -> None:
        early, late = prove(
            run_on(), goes_off_within("Q2", 9, after="press S1"), stays_on_for("Q2", 11, after="press S1")
        ).verdicts
        assert tell(early.steps) == "Press S2. Let S2 go. Press S1. Wait 9.5 s."
        assert tell(late.steps) == "Press S2. Let S2 go. Press S1. Wait 10.5 s."
        assert run(run_on(), tell(early.steps))[-1].positions["Q2"] == "in"
        assert run(run_on(), tell(late.steps))[-1].positions["Q2"] == "out"

    def test_stopped_again_and_again_it_runs_on_only_from_the_first_time(self) -> None:
        assert outcomes(run_on(), goes_off_within("Q2", 10, after="let S1 go")) == ["holds"]


class TestEachFunction:
    def test_off_delay(self) -> None:
        assert outcomes(one("off-delay 3 s"), pulls_in("P1", when="press S1")) == ["holds"]
        rules = goes_off_within("P1", 3, after="let S1 go"), stays_on_for("P1", 3, after="let S1 go")
        assert outcomes(one("off-delay 3 s"), *rules) == ["holds", "holds"]

    def test_on_and_off_delay(self) -> None:
        found = verdict(one("on-and-off delay 3 s"), off_while("P1", "S1", "released"))
        assert tell(found.steps) == "Press S1. Wait 4 s. Let S1 go."
        rules = goes_off_within("P1", 3, after="let S1 go"), stays_on_for("P1", 3, after="let S1 go")
        assert outcomes(one("on-and-off delay 3 s"), *rules) == ["holds", "holds"]

    def test_a_one_shot_gives_one_pulse_however_long_it_is_pressed(self) -> None:
        rules = stays_off_for("P1", 1, after="press S1"), pulls_in("P1", when="press S1")
        assert outcomes(one("one-shot on rising edge 2 s"), *rules) == ["broken", "holds"]
        found = verdict(one("one-shot on rising edge 2 s"), follows("P1", "S1", "pressed"))
        assert tell(found.steps) == "Press S1. Wait 3 s."

    def test_a_one_shot_on_the_falling_edge_comes_when_the_button_is_let_go(self) -> None:
        ladder = one("one-shot on falling edge 2 s")
        rules = pulls_in("P1", when="let S1 go"), goes_off_within("P1", 2, after="press S1")
        assert outcomes(ladder, *rules) == ["holds", "holds"]

    def test_a_flasher_goes_off_and_on_again(self) -> None:
        rules = pulls_in("P1", when="press S1"), off_while("P1", "S1", "released")
        assert outcomes(one("flash 1 s"), *rules) == ["holds", "holds"]
        found = verdict(one("flash 1 s"), follows("P1", "S1", "pressed"))
        assert tell(found.steps) == "Press S1. Wait 1.5 s."
        assert run(one("flash 1 s"), tell(found.steps))[-1].positions["P1"] == "dark"

    def test_a_cumulative_timer_keeps_its_time_while_it_is_paused(self) -> None:
        found = verdict(one("cumulative on-delay 3 s"), off_while("P1", "S1", "pressed"))
        assert tell(found.steps) == "Press S1. Wait 4 s."
        paused = verdict(one("cumulative on-delay 3 s"), stays_off_for("P1", 3, after="press S1"))
        assert paused.outcome == "broken"
        assert tell(paused.steps) == "Press S1. Wait 2 s. Let S1 go. Press S1. Wait 2 s."
        assert run(one("cumulative on-delay 3 s"), tell(paused.steps))[-1].positions["P1"] == "lit"

    def test_a_timer_without_a_setting_is_refused(self) -> None:
        ladder = Ladder("no time", [Device("S1"), Device("K1", "timer relay"), Device("Q1")])
        ladder.rung(NO("S1"), coil("K1"))
        with pytest.raises(LadderError, match="Device K1: a timer relay needs its function and time"):
            prove(ladder, off_while("Q1", "S1", "pressed"))

    def test_the_exercise_may_leave_the_time_to_the_student(self) -> None:
        panel = [Device("K1", "timer relay")]
        (found,) = prove(staggered(), comes_within("Q2", 5, after="press S2"), devices=panel).verdicts
        assert found.outcome == "holds"


class TestCounters:
    def test_the_third_crate_stops_the_line(self) -> None:
        reached = verdict(batch(), off_while("K5", "B1", "reached"))
        assert tell(reached.steps) == "Reach B1. Leave B1. Reach B1. Leave B1. Reach B1."
        assert reached.why == "K5 (up 3) stands at 3."
        assert run(batch(), tell(reached.steps))[-1].positions["Q1"] == "out"

    def test_the_line_runs_exactly_while_the_count_is_not_reached(self) -> None:
        assert outcomes(batch(), follows("Q1", "K5", "out")) == ["holds"]

    def test_a_reset_without_supply_does_nothing(self) -> None:
        found = verdict(batch("up 1"), off_while("K5", "S1", "pressed"))
        assert tell(found.steps) == "Reach B1. Switch the supply off. Press S1."
        assert run(batch("up 1"), tell(found.steps))[-1].positions["K5"] == "in"

    def test_a_down_counter_is_operated_until_it_is_loaded(self) -> None:
        found = verdict(batch("down 3"), pulls_in("Q1", when="press S1"))
        assert found.outcome == "holds"
        reached = verdict(batch("down 3"), off_while("Q1", "B1", "reached"))
        assert tell(reached.steps) == "Reach B1. Press S1."

    def test_a_count_outlives_the_supply(self) -> None:
        found = verdict(batch("up 1"), pulls_in("Q1", when="switch the supply on"))
        assert found.outcome == "broken"
        found = verdict(batch("up 1"), does_not_start("Q1", by="switch the supply on"))
        assert tell(found.steps) == "Switch the supply off. Switch the supply on."

    def test_an_up_down_counter_has_no_end_and_is_decided(self) -> None:
        tags = ("S1", "S2", "Q1", "Q2")
        ladder = Ladder("Vat", [*map(Device, tags), Device("K5", "counter", setting="up-down 2")])
        ladder.rung(NO("S1"), coil("K5"))
        ladder.rung(NO("S2"), count_down("K5"))
        ladder.rung(NO("K5"), coil("Q1"))
        assert verdict(ladder, follows("Q1", "K5", "in"), limit=500).outcome == "holds"
        found = verdict(ladder, off_while("Q1", "S2", "pressed"), limit=500)
        assert tell(found.steps) == "Press S2. Press S1. Let S1 go. Press S1."

    def test_a_counter_that_resets_itself_is_a_race_against_what_its_contact_holds(self) -> None:
        devices = [Device("B1"), Device("S1"), Device("Q1"), Device("K5", "counter", setting="up 2")]
        ladder = Ladder("Self-reset", devices)
        ladder.rung(NO("B1"), coil("K5"))
        ladder.rung(NO("K5"), reset("K5"))
        ladder.rung(NC("S1") & (NO("K5") | NO("Q1")), coil("Q1"))
        found = verdict(ladder, off_while("Q1", "B1", "reached"))
        assert tell(found.steps) == "Reach B1. Leave B1. Reach B1."
        assert found.why.startswith("It depends on which relay is quicker.")


class TestStarDelta:
    def test_star_and_delta_are_never_in_together(self) -> None:
        assert outcomes(star_delta(), off_while("Q2", "Q3", "in"), off_while("Q3", "Q2", "in")) == ["holds", "holds"]

    def test_without_interlocks_they_are_for_a_moment(self) -> None:
        found = verdict(star_delta(interlock=False), off_while("Q2", "Q3", "in"))
        assert found.outcome == "broken"
        assert tell(found.steps) == "Press S2. Wait 5 s."
        assert found.why.startswith("For a moment, while the relays change over:")

    def test_delta_comes_after_the_set_time(self) -> None:
        rules = comes_within("Q3", 4, after="press S2"), stays_off_for("Q3", 4, after="press S2")
        assert outcomes(star_delta(), *rules) == ["holds", "holds"]


class TestTogether:
    """Periods that end together because they began together and are equally long."""

    @staticmethod
    def two(second: str) -> Ladder:
        devices = [Device("S1"), *map(Device, ("Q1", "Q2")), timer("K1", "on-delay 2 s"), timer("K2", second)]
        ladder = Ladder("Two timers", devices)
        ladder.rung(NO("S1"), coil("K1"), coil("K2"))
        ladder.rung(NO("S1") & (NO("K1") | NO("Q1")) & NC("Q2"), coil("Q1"))
        ladder.rung(NO("S1") & (NO("K2") | NO("Q2")) & NC("Q1"), coil("Q2"))
        return ladder

    def test_they_end_in_every_order(self) -> None:
        first, second = prove(
            self.two("on-delay 2 s"), off_while("Q1", "S1", "pressed"), off_while("Q2", "S1", "pressed")
        ).verdicts
        for found in (first, second):
            assert tell(found.steps) == "Press S1. Wait 3 s."
            assert found.why.startswith("It depends on which relay is quicker.")

    def test_with_other_times_the_shorter_one_comes_first(self) -> None:
        assert outcomes(self.two("on-delay 3 s"), follows("Q2", "Q1", "in")) == ["broken"]
        (found,) = prove(self.two("on-delay 3 s"), off_while("Q2", "S1", "pressed")).verdicts
        assert found.outcome == "not shown"


class TestLimits:
    def test_more_work_than_the_limit_is_not_decided(self) -> None:
        rules = follows("Q2", "K1", "in"), comes_within("Q2", 5, after="press S2")
        plain, timed = prove(staggered(), *rules, limit=5).verdicts
        assert (plain.outcome, timed.outcome) == ("not decided", "not decided")
        assert timed.why == "more than 5 states can be reached; an instructor will look."

    def test_more_time_than_the_limit_is_not_decided(self) -> None:
        found = verdict(staggered(), follows("Q2", "K1", "in"), seconds=0.0)
        assert (found.outcome, found.why[:20]) == ("not decided", "it takes more than 0")


class TestWhatIsRefused:
    @pytest.mark.parametrize("seconds", [0, -1, float("nan"), float("inf"), 400_000, True, "5"])
    def test_a_time_out_of_range(self, seconds: float) -> None:
        with pytest.raises(LadderError, match="comes_within: a time is a number of seconds"):
            comes_within("Q1", seconds, after="press S1")

    def test_an_order_that_is_none(self) -> None:
        with pytest.raises(LadderError, match="stays_off_for: no such order"):
            stays_off_for("Q1", 1, after="kick S1")

    def test_a_load_that_is_none(self) -> None:
        with pytest.raises(LadderError, match="goes_off_within: S1 is no load"):
            goes_off_within("S1", 1, after="press S1")


def test_a_lamp_lights_and_goes_dark_in_its_own_words() -> None:
    ladder = Ladder("Lamp", [Device("S1"), timer("K1", "on-delay 1 s"), Device("P1")])
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1", "green"))
    assert comes_within("P1", 1, after="press S1").sentence == "P1 lights within 1 s after you press {S1}."
    assert (
        stays_on_for("P1", 1.5, after="let S1 go").sentence == "P1 stays lit for at least 1.5 s after you let {S1} go."
    )
