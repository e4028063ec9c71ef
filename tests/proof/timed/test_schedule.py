"""What is told can be done: every broken verdict on a circuit of the mill is done again with real parts."""

import pytest

from proof.timed.circuits import batch, one, run_on, staggered, star_delta
from rungbook import Ladder, compare, prove, run
from rungbook.behaviour import tell
from rungbook.behaviour.timers import TIMER_FUNCTIONS
from rungbook.proof import (
    Rule,
    comes_within,
    follows,
    goes_off_within,
    holds_in,
    off_while,
    pulls_in,
    stays_off_for,
    stays_on_for,
)
from rungbook.proof.timed.schedule import wait

WORDS = {
    "pulls in": "in",
    "holds in": "in",
    "drops out": "out",
    "stays out": "out",
    "lights": "lit",
    "stays lit": "lit",
    "goes dark": "dark",
    "stays dark": "dark",
}


def rules(output: str, start: str, stop: str, tags: tuple[str, ...]) -> list[Rule]:
    """Rules of every kind about `output`; most circuits break many of them."""
    found: list[Rule] = [pulls_in(output, when=start), holds_in(output, after=stop)]
    for order in (start, stop):
        for seconds in (0.4, 2.5, 4, 20):
            found += [comes_within(output, seconds, after=order), stays_off_for(output, seconds, after=order)]
            found += [goes_off_within(output, seconds, after=order), stays_on_for(output, seconds, after=order)]
    for tag in tags:
        found += [follows(output, tag, "in"), follows(output, tag, "out")]
        found += [off_while(output, tag, "in"), off_while(output, tag, "out")]
    return found


CASES = {
    "staggered": (staggered(), rules("Q2", "press S2", "press S1", ("Q1", "K1"))),
    "run-on": (run_on(), rules("Q2", "press S2", "press S1", ("Q1", "K1"))),
    "star-delta": (star_delta(), rules("Q3", "press S2", "press S1", ("Q1", "Q2", "K1"))),
    "batch": (batch(), rules("Q1", "press S1", "reach B1", ("K5",))),
    **{name: (one(f"{name} 3 s"), rules("P1", "press S1", "let S1 go", ("K1",))) for name in TIMER_FUNCTIONS},
}


@pytest.mark.parametrize("name", CASES)
def test_every_sequence_that_breaks_a_rule_shows_it_on_the_timeline(name: str) -> None:
    ladder, asked = CASES[name]
    broken = [found for found in prove(ladder, *asked).verdicts if found.outcome == "broken"]
    assert len(broken) > 5
    for found in broken:
        if found.why.startswith("For a moment"):
            continue  # not seen at rest
        tag, did = found.seen.split(" ", 1)
        seen = run(ladder, tell(found.steps))[-1].positions[tag]
        assert seen == WORDS.get(did, did.removeprefix("is ")), found


@pytest.mark.parametrize("mine", TIMER_FUNCTIONS)
@pytest.mark.parametrize("asked", TIMER_FUNCTIONS)
def test_two_functions_differ_where_it_is_said(mine: str, asked: str) -> None:
    yours, theirs = one(f"{mine} 3 s"), one(f"{asked} 3 s")
    found = compare(yours, theirs, ["P1"])
    assert found.outcome == ("same" if mine == asked else "different")
    if found.outcome == "different":
        seen = [run(ladder, tell(found.steps))[-1].positions["P1"] for ladder in (yours, theirs)]
        assert seen == [WORDS[text.split(" ", 1)[1]] for text in (found.yours, found.asked)]


@pytest.mark.parametrize(
    ("micro", "words"),
    [
        (5_000_000, "wait 5 s"),
        (500_000, "wait 0.5 s"),
        (120_000_000, "wait 2 min"),
        (90_000_000, "wait 90 s"),
        (1, "wait 0.000001 s"),
    ],
)
def test_a_wait_is_told_as_a_script_reads_it(micro: int, words: str) -> None:
    assert wait(micro).order == words


def test_a_difference_of_a_millisecond_is_told_with_a_fine_wait() -> None:
    found = compare(staggered("on-delay 7 s"), staggered("on-delay 7.001 s"), ["Q2"])
    assert tell(found.steps) == "Press S2. Wait 7.0005 s."


def test_a_time_gathered_in_pieces_is_told_in_pieces() -> None:
    ladder: Ladder = one("cumulative on-delay 3 s")
    (found,) = prove(ladder, stays_off_for("P1", 0.5, after="press S1")).verdicts
    assert tell(found.steps) == "Press S1. Wait 2.7 s. Let S1 go. Press S1. Wait 0.4 s."
    assert run(ladder, tell(found.steps))[-1].positions["P1"] == "lit"
