"""Verdicts on random ladders: what is broken is done again at the instants told, what holds is tried at random ones."""

import random
from collections.abc import Callable
from copy import deepcopy

import pytest

from mutants import with_way
from rungbook import Device, Ladder, LadderError, compare, prove
from rungbook.behaviour import MICRO, Step, read_timed, tell
from rungbook.behaviour.blocks import TimerBlock
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.proof import TimedRule, Verdict, comes_within, goes_off_within, stays_off_for, stays_on_for
from rungbook.proof.limits import TooMany
from rungbook.proof.slices import Cones
from rungbook.proof.timed import first_difference_in_time
from timed_ladders import FUNCTIONS, random_ladder
from timed_replay import Replay

EVERY = (*FUNCTIONS, "cumulative on-delay")
LOADS = ("Q1", "P1")


def shows(replay: Replay, tag: str) -> set[bool]:
    return {replay.panel.shows(tag, word) for word, _, _ in replay.states}


def done(panel: TimedPanel, steps: tuple[Step, ...]) -> Replay:
    """The panel at the end of what is told."""
    todo, end = read_timed(tell(steps), {tag: d for tag, d in panel.devices.items() if d.spec.operated})
    replay = Replay(panel)
    for one in todo:
        replay.advance(one.time)
        if one.step is not None:
            replay.do(one.step)
    replay.advance(end)
    return replay


def changed(ladder: Ladder, chance: random.Random) -> Ladder:
    """The same with other settings of a timer, or other contacts before a load."""
    if chance.random() < 0.6:
        devices = [
            Device(d.tag, d.kind, setting=f"{chance.choice(EVERY)} {chance.randint(1, 3)} s")
            if d.kind == "timer relay" and chance.random() < 0.7
            else d
            for d in ladder.declared or ()
        ]
        new = Ladder("other", devices)
        for rung in ladder.rungs:
            new.rung(*(() if rung.contacts is None else (rung.contacts,)), *rung.loads)
        return new
    number = chance.randrange(len(ladder.rungs))
    other = chance.choice([rung.contacts for rung in ladder.rungs])
    return with_way(ladder, number, other)


OUTCOMES: dict[str, int] = {}


@pytest.mark.parametrize("seed", range(150))
def test_two_ladders_differ_where_they_are_said_to_and_nowhere_else(seed: int) -> None:
    chance = random.Random(seed)
    asked = random_ladder(seed, EVERY)
    try:
        mine = changed(asked, chance)
        found = compare(mine, asked, LOADS, limit=5000)
    except LadderError:  # contacts that stand twice, or an asked ladder with a race
        return
    OUTCOMES[found.outcome] = OUTCOMES.get(found.outcome, 0) + 1
    devices = asked.declared or ()
    panels = TimedPanel(mine, mine.declared or ()), TimedPanel(asked, devices)
    if found.outcome == "different":
        yours, theirs = (done(panel, found.steps) for panel in panels)
        assert yours.chatter or any(shows(yours, tag) != shows(theirs, tag) for tag in LOADS), found
    if found.outcome == "same":
        for _ in range(4):
            both = [Replay(panel) for panel in panels]
            for _ in range(8):
                now = both[0].now + chance.randint(1, 4 * MICRO)
                word = next(iter(both[0].states))[0]
                steps = [step for step, field, start, _ in panels[0].turns if word & field == start]
                step = chance.choice(steps)
                for one in both:
                    one.advance(now)
                    assert not one.chatter
                for tag in LOADS:
                    assert shows(both[0], tag) == shows(both[1], tag), (mine, asked)
                for one in both:
                    one.do(step)


@pytest.mark.parametrize("seed", range(60))
def test_compared_part_by_part_they_differ_where_they_do_on_the_whole(seed: int) -> None:
    chance = random.Random(seed)
    asked = random_ladder(seed, EVERY)
    try:
        mine = changed(asked, chance)
        panels = TimedPanel(mine, mine.declared or ()), TimedPanel(asked, asked.declared or ())
        whole = first_difference_in_time(*panels, LOADS, limit=5000)
        found = compare(mine, asked, LOADS, limit=5000)
    except (LadderError, TooMany):
        return
    assert found.outcome == ("same" if whole is None else "different")
    if whole is not None:
        orders = [[step.order for step in steps if step.device != "time"] for steps in (found.steps, whole[0])]
        assert len(orders[0]) == len(orders[1])
    PARTS[found.outcome] = PARTS.get(found.outcome, 0) + 1


PARTS: dict[str, int] = {}


def test_both_outcomes_of_parts_were_met() -> None:
    assert min(PARTS.get(outcome, 0) for outcome in ("same", "different")) > 5, PARTS


def triggered(replay: Replay, rule: TimedRule) -> bool:
    """True if the order may be given now, in every state in which the panel may be."""
    panel = replay.panel
    for word, running, _ in replay.states:
        state = panel.unpacked(word)
        others = [p for d, p in zip(panel.inputs, state.positions, strict=True) if d.tag != rule.device]
        step = next(step for step in panel.steps if step.order == rule.order)
        if not state.supply or any(others) or panel.is_on(rule.output, state) == rule.on or not panel.can(step, state):
            return False
        blocks = [panel.seats[place].block for place, _ in running]
        if rule.early and any(isinstance(block, TimerBlock) and block.once for block in blocks):
            return False
    return True


def keeps(replay: Replay, rule: TimedRule, chance: random.Random) -> bool:
    """True if the order, given now, is followed as the rule says; a button is let go at times."""
    panel, begin = replay.panel, replay.now
    steps = {step.order: step for step in panel.steps}
    replay.do(steps[rule.order])
    let_go = begin + chance.randint(1, 4 * MICRO) if rule.order == "press S1" and chance.random() < 0.5 else None
    end = begin + rule.micro
    moments = sorted({*(m for m in (let_go,) if m is not None and m < end), *range(begin, end, MICRO // 7), end})
    reached: list[bool] = []
    for moment in moments:
        replay.advance(moment)
        if moment == let_go:
            replay.do(steps["let S1 go"])
        if moment < end or not rule.early:
            reached.append(rule.on in shows(replay, rule.output))
            if not rule.early and shows(replay, rule.output) == {rule.on}:
                return True
    if rule.early:
        return not any(reached)
    return any(reached) and len(replay.states) > 1  # a race: each way may have been in time


MAKERS: tuple[Callable[..., TimedRule], ...] = (comes_within, stays_off_for, goes_off_within, stays_on_for)


@pytest.mark.parametrize("seed", range(150))
def test_rules_about_times_are_kept_or_broken_as_it_is_said(seed: int) -> None:
    chance = random.Random(seed)
    ladder = random_ladder(seed, EVERY)
    whole, cones = TimedPanel(ladder, ladder.declared or ()), Cones(ladder)
    rules = [
        make(tag, seconds, after=order)
        for make in MAKERS
        for tag in LOADS
        for order in ("press S1", "let S1 go")
        for seconds in (chance.choice((0.5, 1, 2, 3)),)
    ]
    for rule in rules:
        panel = whole.only(cones.of((rule.output, *rule.names)))  # chatter elsewhere does not count
        (found,) = prove(ladder, rule, limit=5000).verdicts
        key = f"{rule.sentence.split(' S')[0].split(' after')[0].split(' ', 1)[1]} {found.outcome}"
        OUTCOMES[key] = OUTCOMES.get(key, 0) + 1
        if found.outcome == "broken" and not found.chatter:
            check_broken(done(panel, found.steps), rule, found)
        if found.outcome == "holds":
            for _ in range(4):
                replay = Replay(panel)
                for _ in range(8):
                    replay.advance(replay.now + chance.randint(1, 3 * MICRO))
                    if replay.chatter or len(replay.states) > 1:
                        break
                    if triggered(replay, rule):
                        assert keeps(deepcopy_of(replay), rule, chance), (ladder, rule.sentence)
                    word = next(iter(replay.states))[0]
                    steps = [step for step, field, start, _ in panel.turns if word & field == start]
                    replay.do(chance.choice(steps))


def check_broken(replay: Replay, rule: TimedRule, found: Verdict) -> None:
    wrong = rule.on if rule.early else not rule.on
    assert wrong in shows(replay, rule.output), (rule.sentence, tell(found.steps))


def deepcopy_of(replay: Replay) -> Replay:
    new = Replay(replay.panel)
    new.now, new.chatter, new.states = replay.now, replay.chatter, deepcopy(replay.states)
    return new


def test_each_outcome_was_among_them() -> None:
    for seed in range(12):
        test_two_ladders_differ_where_they_are_said_to_and_nowhere_else(seed)
        test_rules_about_times_are_kept_or_broken_as_it_is_said(seed)
    assert {"same", "different"} <= OUTCOMES.keys()
    assert sum(count for key, count in OUTCOMES.items() if key.endswith("holds")) > 20
    assert sum(count for key, count in OUTCOMES.items() if key.endswith("broken")) > 20
