"""Timers and counters: the timeline with real parts, the panel that moves in no time, and the walk over all times."""

import random
from dataclasses import replace
from itertools import pairwise

import pytest

from rungbook.behaviour import MICRO, Board, Step, Timeline
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.circuit import Ladder
from rungbook.kit.ratings import CoilRating
from rungbook.proof.timed import TimedExploration
from timed_ladders import FUNCTIONS, random_ladder
from timed_replay import Replay

# for a timer or counter behind both kinds of contacts of one relay: on the timeline it notes the gap between them
AT_ONCE = CoilRating(nc_opens=0.014, operates=0.014, no_opens=0.010, releases=0.010)
NEAR = MICRO // 5  # closer than this, relays' own times may decide [us]
EVERY = (*FUNCTIONS, "cumulative on-delay")


def clear(replay: Replay, until: int) -> bool:
    """True if no two ends of periods lie close to each other, or to `until`, by chance."""
    there = sorted({*(end for end in replay.ends() if end < until + NEAR), until})
    return all(b - a >= NEAR for a, b in pairwise(there))


def advance(replay: Replay, timeline: Timeline, until: int) -> bool:
    """Let time pass in both, end by end; False if something comes too close to say."""
    while True:
        ends = [end for end in replay.ends() if end <= until]
        if not clear(replay, until):
            return False
        if not ends:
            break
        replay.advance(min(ends))
    replay.advance(until)
    timeline.advance(until)
    return True


def sees_a_gap(ladder: Ladder) -> bool:
    """True if a timer or counter stands behind NO and NC contacts of one device that changes over by a magnet."""
    for rung in ladder.rungs:
        kinds: dict[str, set[str]] = {}
        for contact in rung.all_contacts():
            if contact.device in ladder.coils():
                kinds.setdefault(contact.device, set()).add(contact.kind)
        timed = any(ladder.devices[load.device].spec.timed for load in rung.loads)
        if timed and any(len(both) == 2 for both in kinds.values()):
            return True
    return False


def check(ladder: Ladder, seed: int, orders: int = 12) -> int:
    """Random orders at random instants; returns how many of them could be compared."""
    chance = random.Random(seed)
    panel = TimedPanel(ladder, ladder.declared or ())
    reachable = {(edge.before, after) for edge in TimedExploration(panel).edges() for after in edge.rest.states}
    known = {state for pair in reachable for state in pair}
    board = Board.of(ladder, ladder.declared or ())
    if sees_a_gap(ladder):
        board = replace(board, ratings=dict.fromkeys(ladder.coils(), AT_ONCE))
    timeline = Timeline(board)
    replay, now, done = Replay(panel), 0, ["(at rest)"]
    for number in range(orders):
        now += chance.randint(MICRO // 3, 4 * MICRO)
        if not advance(replay, timeline, now) or replay.chatter or timeline.chatters:
            return number
        done.append(f"at {now / MICRO} s")
        seen = {tag: timeline.position(tag) for tag in panel.devices}
        states = [panel.unpacked(word) for word, _, _ in replay.states]
        assert seen in [{tag: panel.position(tag, state) for tag in panel.devices} for state in states], (ladder, done)
        assert known.issuperset(states), (ladder, done)
        if len({panel.unpacked(word).pulled for word, _, _ in replay.states}) > 1:
            return number  # a race, which the two need not run alike
        steps: list[Step] = [step for step in panel.steps if panel.can(step, states[0])]
        step = chance.choice(steps)
        done.append(step.order)
        replay.do(step)
        timeline.do(step)
    return orders


@pytest.mark.parametrize("seed", range(60))
def test_the_timeline_is_always_where_the_panel_may_be_and_that_is_reachable(seed: int) -> None:
    check(random_ladder(seed, EVERY), seed)


def test_most_orders_can_be_compared() -> None:
    assert sum(check(random_ladder(seed, EVERY), seed + 1000) for seed in range(20)) > 60


def test_most_ladders_run_with_the_ratings_of_the_kit() -> None:
    assert sum(not sees_a_gap(random_ladder(seed, EVERY)) for seed in range(60)) > 40
