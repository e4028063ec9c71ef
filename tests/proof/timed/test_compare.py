"""Two ladders with timers or counters compared."""

import pytest

from proof.timed.circuits import batch, one, run_circuit, run_on, staggered, star_delta, timer
from rungbook import NC, NO, Device, Ladder, LadderError, coil, compare, run
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
