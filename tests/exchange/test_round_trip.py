"""Out and back: the ladder that is read is the one that was written, to the last plate; and proved to do the same."""

import random
import re
from collections import Counter

import pytest
from hypothesis import given

from exchange.samples import at_random, of_labs, of_the_trade
from rungbook import Ladder, LadderError, compare
from rungbook.exchange import ladder_xml, read_ladder_xml, read_structured_text, structured_text
from rungbook.proof.limits import MAX_STATES
from strategies import ladders

WAYS = {"text": (structured_text, read_structured_text), "xml": (ladder_xml, read_ladder_xml)}
LABS = of_labs()
NOTHING_DEFINITE = "the asked ladder has a race or chatters, so nothing definite is asked"
PLAIN = [ladder for ladder in (*LABS, *of_the_trade()) if not any(d.spec.timed for d in ladder.devices.values())]


def there_and_back(ladder: Ladder, way: str) -> Ladder:
    write, read = WAYS[way]
    return read(write(ladder))


def compared(mine: Ladder, asked: Ladder, limit: int = MAX_STATES, seconds: float = 20) -> str:
    """The outcome of a comparison, or why it has none."""
    try:
        return compare(mine, asked, limit=limit, seconds=seconds).outcome
    except LadderError as odd:
        return odd.rule


def test_the_labs_have_ladders() -> None:
    assert len(LABS) >= 12


@pytest.mark.parametrize("way", WAYS)
class TestNothingIsLost:
    def test_ladders_of_every_lab(self, way: str) -> None:
        for ladder in LABS:
            assert there_and_back(ladder, way) == ladder

    def test_circuits_of_the_trade(self, way: str) -> None:
        for ladder in of_the_trade():
            assert there_and_back(ladder, way) == ladder

    def test_two_hundred_random_ladders_with_timers(self, way: str) -> None:
        for ladder in at_random():
            assert there_and_back(ladder, way) == ladder

    @given(ladder=ladders())
    def test_terminals_notes_plates_and_lenses(self, way: str, ladder: Ladder) -> None:
        assert there_and_back(ladder, way) == ladder


@pytest.mark.parametrize("way", WAYS)
def test_the_proof_engine_finds_what_comes_back_the_same(way: str) -> None:
    """Every ladder of the labs; of all the others, those that ask something definite (no race, no chatter)."""
    decided = 0
    for ladder in PLAIN:
        outcome = compared(there_and_back(ladder, way), ladder)
        assert outcome in ("same", NOTHING_DEFINITE), f"{ladder.title}: {outcome}"
        decided += outcome == "same"
    assert decided >= len(LABS)


@pytest.mark.parametrize("way", WAYS)
def test_the_proof_engine_finds_random_ladders_with_timers_the_same(way: str) -> None:
    """The two hundred, in so many states as a second or two decide; how many are decided is counted."""
    outcomes = Counter(compared(there_and_back(ladder, way), ladder, 300, 0.5) for ladder in at_random())
    assert outcomes.keys() <= {"same", "not decided", NOTHING_DEFINITE}, outcomes
    assert outcomes["same"] >= 50, outcomes


def test_a_contact_changed_on_the_way_is_seen_by_the_proof() -> None:
    """The check above can fail: with one NOT more, the ladder that comes back is another."""
    chance = random.Random(1)
    differ = 0
    for ladder in LABS:
        text = structured_text(ladder)
        inputs = [line.split()[0] for line in text.splitlines() if " AT %I" in line]
        name = chance.choice(inputs)
        turned = re.sub(rf"(?<!NOT) {name} AND", f" NOT {name} AND", text, count=1)
        if turned != text:
            differ += compare(read_structured_text(turned), ladder).outcome == "different"
    assert differ >= 5


@pytest.mark.parametrize("way", WAYS)
def test_writing_is_deterministic(way: str) -> None:
    write, _ = WAYS[way]
    for ladder in of_the_trade():
        assert write(ladder) == write(ladder)
