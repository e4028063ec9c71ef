"""Up-down counters: "many" stands for every count, and decides what a walk over all of them decides."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook import NC, NO, Device, Ladder, LadderError, coil, compare, lamp
from rungbook import reset as reset_input
from rungbook.behaviour import counters
from rungbook.circuit import Part, count_down
from rungbook.exchange.scan_panel import ScanPanel
from rungbook.proof import TooMany, follows, off_while, prove, pulls_in
from rungbook.proof.timed import explore, first_difference_in_time, pairs

RUNGS = ("up", "down", "reset", "relay", "light")
CONTACTS = st.sampled_from([NO("S1"), NC("S1"), NO("S2"), NC("S2"), NO("K1"), NC("K1"), NO("K2"), NC("K2")])
PARTS = st.one_of(
    CONTACTS, st.builds(lambda a, b: a & b, CONTACTS, CONTACTS), st.builds(lambda a, b: a | b, CONTACTS, CONTACTS)
)


def cider(preset: int, up: Part, down: Part, reset: Part | None, relay: Part, light: Part) -> Ladder:
    """Bottles in and out, and whatever hangs on the count."""
    counter = Device("K1", "counter", setting=f"up-down {preset}")
    ladder = Ladder("Bottles", [Device("S1"), Device("S2"), Device("S3"), counter, Device("K2"), Device("P1")])
    ladder.rung(up, coil("K1"))
    ladder.rung(down, count_down("K1"))
    if reset is not None:
        ladder.rung(reset, reset_input("K1"))
    ladder.rung(relay, coil("K2"))
    ladder.rung(light, lamp("P1"))
    return ladder


PLAIN = (NO("S1"), NO("S2"), NO("S3"), NO("K1"), NO("K2"))


class TestDecided:
    @pytest.mark.parametrize("preset", [1, 3, 40])
    def test_a_ladder_and_itself_over_every_count(self, preset: int) -> None:
        assert compare(cider(preset, *PLAIN), cider(preset, *PLAIN)).outcome == "same"

    def test_the_same_in_other_words(self) -> None:
        mine = cider(2, NO("S1"), NO("S2"), NO("S3"), NO("K1") | (NO("K1") & NO("S1")), NO("K1"))
        assert compare(mine, cider(2, *PLAIN), ["P1"]).outcome == "same"

    def test_one_count_more_is_told(self) -> None:
        found = compare(cider(3, *PLAIN), cider(2, *PLAIN))
        assert found.outcome == "different"
        assert found.asked == "K1 pulls in"

    def test_a_counter_that_loses_an_edge_above_its_preset_is_told(self) -> None:
        """The count stops two above the preset of the relay that inhibits it, and so comes down sooner."""
        mine = cider(2, NO("S1") & NC("K2"), NO("S2"), NO("S3"), NO("K1"), NO("K1"))
        assert compare(mine, cider(2, *PLAIN), ["P1"]).outcome == "different"


def test_what_only_many_counts_can_bring_about_is_not_decided_and_not_called_the_same() -> None:
    """Six bottles out while the count stays at its preset: it must have been at six above it."""
    panel = [Device("S1"), Device("S2"), Device("P1")]
    panel += [Device("K1", "counter", setting="up-down 1"), Device("K3", "counter", setting="up 6")]

    def with_lamp(light: Part) -> Ladder:
        ladder = Ladder("Bottles", panel)
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("S2"), count_down("K1"))
        ladder.rung(NO("S2"), coil("K3"))
        ladder.rung(NC("K1") | NO("S1"), reset_input("K3"))
        ladder.rung(light, lamp("P1"))
        return ladder

    found = compare(with_lamp(NO("K3")), with_lamp(NO("K3") & NC("K3")), ["P1"])
    assert str(found).startswith("not decided: an up-down counter counts far above its preset")
    near = compare(with_lamp(NO("K1")), with_lamp(NO("K1") & NC("K3")), ["P1"])
    assert near.outcome == "not decided"


def test_a_count_that_runs_down_from_many_in_one_event_is_not_decided() -> None:
    """While S3 is pressed K2 goes on and off from scan to scan and takes one away each time, until K1 is off."""
    drained = ScanPanel(cider(1, NO("S1"), NO("K2"), None, NO("S3") & NO("K1") & NC("K2"), NO("K1")))
    with pytest.raises(TooMany, match=r"^K1 counts from many to below its preset at once$"):
        first_difference_in_time(drained, drained, ("P1",))


def test_counts_that_go_apart_are_not_followed_for_ever() -> None:
    never = NO("K1") & NC("K1") | NO("S1")
    mine, asked = (cider(1, NO("S1"), down, None, NO("K1"), never) for down in (NO("S2"), NO("S3")))
    assert str(compare(mine, asked, ["P1"])) == (
        "not decided: K1 counts above 5, and otherwise in the two ladders; an instructor will look."
    )


class NotAtAll:
    """In place of `Many`: every count is walked over."""

    def __init__(self, panels: object) -> None:
        pass

    def is_sure(self, arrival: object) -> bool:
        return True

    must_be_sure = spread = lambda self, arrival: None


def found(mine: Ladder, asked: Ladder) -> str:
    """What `compare` says; "refused" where the asked ladder has a race or chatters."""
    try:
        return str(compare(mine, asked, ["P1"], seconds=60))
    except LadderError:
        return "refused"


def proved(ladder: Ladder) -> str:
    """What `prove` says of some claims, true or not."""
    claims = (off_while("P1", "S2", "pressed"), follows("P1", "K1", "in"), pulls_in("P1", when="press S1"))
    return "\n".join(f"{one.outcome} {one}" for one in prove(ladder, *claims).verdicts)


def over_every_count(find: Callable[..., str], *ladders: Ladder, most: int) -> str:
    """What `find` says with counters that stop at `most`, each count walked over."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(counters, "MAX_COUNT", most)
        patch.setattr(pairs, "Many", NotAtAll)
        patch.setattr(explore, "Many", NotAtAll)
        return find(*ladders)


@pytest.mark.long
@settings(max_examples=150, deadline=None)
@given(st.integers(1, 3), *[PARTS] * 2, st.none() | PARTS, *[PARTS] * 2, st.sampled_from(RUNGS), PARTS)
def test_whatever_is_decided_is_what_a_walk_over_every_count_says(
    preset: int, up: Part, down: Part, reset: Part | None, relay: Part, light: Part, which: str, other: Part
) -> None:
    asked = dict(zip(RUNGS, (up, down, reset, relay, light), strict=True))
    mine = cider(preset, **(asked | {which: other}))
    said = found(mine, cider(preset, **asked))
    if said.startswith("not decided"):
        return
    exact = {over_every_count(found, mine, cider(preset, **asked), most=most) for most in (14, 17)}
    if len(exact) == 1:  # else it is the end of the count that decides
        assert {said} == exact


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 3), *[PARTS] * 2, st.none() | PARTS, *[PARTS] * 2)
def test_whatever_is_proved_is_what_a_walk_over_every_count_says(
    preset: int, up: Part, down: Part, reset: Part | None, relay: Part, light: Part
) -> None:
    ladder = cider(preset, up, down, reset, relay, light)
    said = proved(ladder)
    exact = {over_every_count(proved, ladder, most=most) for most in (14, 17)}
    if "not decided" not in said and len(exact) == 1:
        assert {said} == exact


@pytest.mark.long
def test_of_random_ladders_most_are_decided() -> None:
    """A check of the check above: it would hold of one that decides nothing."""
    chance = Random(4)
    pool = [NO("S1"), NC("S2"), NO("K1"), NC("K1"), NO("K2"), NC("K2"), NO("S2") & NC("K2"), NO("S1") | NO("K2")]
    said = []
    for _ in range(60):
        asked = dict(zip(RUNGS, (chance.choice(pool) for _ in RUNGS), strict=True))
        mine = asked | {chance.choice(RUNGS): chance.choice(pool)}
        said.append(found(cider(2, **mine), cider(2, **asked)).partition(":")[0])
    assert said.count("not decided") < 12
    assert said.count("same") > 8
    assert said.count("different") > 8
