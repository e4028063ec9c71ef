"""Two ladders with timers or counters compared."""

import pytest

from proof.timed.circuits import batch, one, run_circuit, run_on, staggered, star_delta, timer
from rungbook import NC, NO, Device, Ladder, LadderError, coil, compare, lamp, run
from rungbook.behaviour import tell


@pytest.mark.parametrize("make", [staggered, run_on, batch, star_delta])
def test_a_ladder_does_the_same_as_itself(make: type) -> None:
    assert compare(make(), make())


def test_another_time_is_told_by_a_wait_between_the_two() -> None:
    found = compare(staggered("on-delay 7 s"), staggered("on-delay 5 s"), ["Q2"])
    assert tell(found.steps) == "Press S2. Wait 6 s."
    assert (found.yours, found.asked) == ("Q2 stays out", "Q2 pulls in")
    assert found.why == "The way is interrupted: NO K1 (wires 1–5) is open while K1 is out."
    assert run(staggered("on-delay 7 s"), tell(found.steps))[-1].positions["Q2"] == "out"
    assert run(staggered("on-delay 5 s"), tell(found.steps))[-1].positions["Q2"] == "in"


def test_two_timers_one_after_the_other_do_as_one_of_the_whole_time() -> None:
    ladder = Ladder(
        "Two steps", [*map(Device, ("S1", "S2", "Q1", "Q2")), timer("K1", "on-delay 2 s"), timer("K2", "on-delay 3 s")]
    )
    ladder.rung(run_circuit("Q1"), coil("Q1"), coil("K1"))
    ladder.rung(NO("K1"), coil("K2"))
    ladder.rung(NO("K2"), coil("Q2"))
    assert compare(ladder, staggered(), ["Q1", "Q2"]).outcome == "same"


def test_another_function_is_told_apart() -> None:
    found = compare(one("off-delay 3 s"), one("on-and-off delay 3 s"), ["P1"])
    assert tell(found.steps) == "Press S1."
    assert (found.yours, found.asked) == ("P1 lights", "P1 stays dark")


def test_a_timer_in_place_of_a_relay_is_told_apart() -> None:
    asked = Ladder("plain", [*map(Device, ("S1", "S2", "Q1", "Q2"))])
    asked.rung(run_circuit("Q1"), coil("Q1"), coil("Q2"))
    found = compare(staggered(), asked)
    assert tell(found.steps) == "Press S2."
    assert (found.yours, found.asked) == ("Q2 stays out", "Q2 pulls in")


def test_another_count_is_told_by_counting() -> None:
    found = compare(batch("up 2"), batch("up 3"), ["Q1"])
    assert tell(found.steps) == "Reach B1. Leave B1. Reach B1."
    assert (found.yours, found.asked) == ("Q1 drops out", "Q1 holds in")


def test_a_forgotten_seal_shows_when_the_button_is_let_go() -> None:
    ladder = Ladder("No seal", [*map(Device, ("S1", "S2", "Q1", "Q2")), timer("K1", "on-delay 5 s")])
    ladder.rung(NC("S1") & NO("S2"), coil("Q1"), coil("K1"))
    ladder.rung(NO("K1"), coil("Q2"))
    found = compare(ladder, staggered())
    assert tell(found.steps) == "Press S2. Let S2 go."


def test_what_the_setting_of_the_student_leaves_open_is_the_exercise_s() -> None:
    ladder = Ladder("Nothing set", [*map(Device, ("S1", "S2", "Q1", "Q2")), Device("K1", "timer relay")])
    ladder.rung(run_circuit("Q1"), coil("Q1"), coil("K1"))
    ladder.rung(NO("K1"), coil("Q2"))
    assert compare(ladder, staggered())


def test_an_asked_ladder_with_a_race_of_two_timers_asks_nothing_definite() -> None:
    asked = Ladder(
        "race", [Device("S1"), *map(Device, ("Q1", "Q2")), timer("K1", "on-delay 2 s"), timer("K2", "on-delay 2 s")]
    )
    asked.rung(NO("S1"), coil("K1"), coil("K2"))
    asked.rung(NO("K1") & NC("Q2"), coil("Q1"))
    asked.rung(NO("K2") & NC("Q1"), coil("Q2"))
    with pytest.raises(LadderError, match="the asked ladder has a race"):
        compare(asked, asked)


def test_beyond_the_limit_nothing_is_decided() -> None:
    found = compare(staggered(), staggered(), limit=3)
    assert (found.outcome, found.why) == ("not decided", "more than 3 states can be reached; an instructor will look.")


def side_by_side(*seconds: int, chatter: bool = False) -> Ladder:
    """A button, a timer and a lamp each, that have nothing to do with one another; at times a buzzer besides."""
    numbers = range(1, len(seconds) + 1)
    devices = [Device(f"{letter}{k}") for letter in "SP" for k in numbers]
    timers = [timer(f"K{k}", f"on-and-off delay {time} s") for k, time in zip(numbers, seconds, strict=True)]
    ladder = Ladder("Side by side", [*devices, *timers, Device("K9")])
    for k in numbers:
        ladder.rung(NO(f"S{k}"), coil(f"K{k}"))
        ladder.rung(NO(f"K{k}"), lamp(f"P{k}"))
    if chatter:
        ladder.rung(NO("S1") & NC("K9"), coil("K9"))
    return ladder


class TestParts:
    """Each output is compared on what bears on it alone."""

    def test_eight_timers_side_by_side_are_eight_small_questions(self) -> None:
        ladder = side_by_side(*range(2, 10))
        assert compare(ladder, ladder, limit=100)

    def test_the_one_that_differs_is_told_by_its_own_orders(self) -> None:
        lamps = [f"P{k}" for k in range(1, 5)]
        found = compare(side_by_side(3, 5, 7, 9), side_by_side(3, 5, 4, 9), lamps, limit=100)
        assert tell(found.steps) == "Press S3. Wait 5 s."
        assert (found.yours, found.asked) == ("P3 stays dark", "P3 lights")
        assert run(side_by_side(3, 5, 7, 9), tell(found.steps))[-1].positions["P3"] == "dark"

    def test_of_several_the_one_with_the_fewest_orders_is_told(self) -> None:
        mine, asked = side_by_side(3, 5), side_by_side(3, 5)
        mine.rung(NO("S1") & NO("S2"), coil("K9"))
        asked.rung(NO("S1"), coil("K9"))
        later, sooner = compare(side_by_side(3, 5), side_by_side(3, 6), ["P2"]), compare(mine, asked, ["P2", "K9"])
        assert tell(later.steps) == "Press S2. Wait 5.5 s."
        assert tell(sooner.steps) == "Press S1."

    def test_chatter_that_bears_on_no_output_is_free(self) -> None:
        assert compare(side_by_side(3, 5, chatter=True), side_by_side(3, 5, chatter=True), ["P1", "P2"])
        found = compare(side_by_side(3, 5, chatter=True), side_by_side(3, 5), ["P1", "P2"])
        assert found.outcome == "same"

    def test_a_difference_is_told_whatever_becomes_of_the_others(self) -> None:
        asked = side_by_side(3, 5, chatter=True)
        found = compare(side_by_side(3, 7), asked, ["K9", "P2"])
        assert tell(found.steps) == "Press S2. Wait 6 s."
        with pytest.raises(LadderError, match="the asked ladder has a race or chatters"):
            compare(side_by_side(3, 5), asked, ["K9", "P2"])
