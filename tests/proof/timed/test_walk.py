"""The walk over zones against a graph of regions that shares nothing with it."""

import pytest

from regions import TimedBench
from rungbook.behaviour import State
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.circuit import Ladder
from rungbook.proof.timed import TimedExploration
from timed_ladders import random_ladder

Shown = tuple[frozenset[str], frozenset[str]]
Steps = set[tuple[Shown, str, frozenset[Shown], bool]]


def shown(panel: TimedPanel, state: State) -> Shown:
    operated = {d.tag for d, place in zip(panel.inputs, state.positions, strict=True) if place}
    on = frozenset(tag for tag in panel.loads if panel.is_on(tag, state))
    return frozenset(operated | ({"supply"} if state.supply else set())), on


def steps_of_zones(ladder: Ladder) -> Steps:
    panel = TimedPanel(ladder, ladder.declared or ())
    found = set()
    for edge in TimedExploration(panel).edges():
        device = "" if edge.step is None else edge.step.device
        order = device if device in ("", "supply") or panel.devices[device].spec.operated else "time"
        after = frozenset(shown(panel, state) for state in edge.rest.states)
        found.add((shown(panel, edge.before), order, after, edge.rest.chatter))
    return found


def steps_of_regions(ladder: Ladder) -> Steps:
    operated = tuple(d.tag for d in ladder.declared or () if d.spec.operated)
    bench = TimedBench(ladder, operated)
    found = set()
    for _, before, order, after, chatter in bench.walk():
        found.add((bench.shown(before), order, frozenset(map(bench.shown, after)), chatter))
    return found


# with more rungs the graph, in which every contact moves by itself, has too many states between two rests
SEEDS = [seed for seed in range(400) if len(random_ladder(seed).rungs) <= 5][:200]


@pytest.mark.parametrize("seed", SEEDS)
def test_every_step_of_a_random_ladder_is_one_of_the_region_graph_and_back(seed: int) -> None:
    ladder = random_ladder(seed)
    zones, regions = steps_of_zones(ladder), steps_of_regions(ladder)
    assert zones - regions == set(), ladder
    assert regions - zones == set(), ladder
