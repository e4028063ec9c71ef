"""One contract for three readings of a ladder: Boolean, network, timeline.

* network: in every position of every device, a load gets its pull-in voltage exactly where the Boolean reading says
  that its rung conducts, and next to nothing where not;
* timeline: after any sequence of orders the panel with real, unequally quick parts rests in a state that the untimed
  panel allows.
"""

import random
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from contract.circuits import CIRCUITS, build
from rungbook import NC, NO, Ladder, coil
from rungbook.behaviour import Panel, conducts, read_script
from rungbook.behaviour.board import Board
from rungbook.behaviour.electrics import Electrics
from rungbook.behaviour.timeline import MICRO, Timeline
from rungbook.circuit import Contact
from rungbook.kit.ratings import CoilRating
from strategies import ladders

# NC opens and NO closes in one instant: the untimed panel knows nothing of the moment between them (see TestTheGap)
AT_ONCE = CoilRating(nc_opens=0.014, operates=0.014, no_opens=0.010, releases=0.010)
MOST = 4096  # positions of all devices looked at one by one; beyond that a sample


def check_network(ladder: Ladder) -> None:
    electrics = Electrics(Board.of(ladder))
    devices = list(dict.fromkeys(contact.device for contact in electrics.contacts))
    cases = product((False, True), repeat=len(devices))
    if 2 ** len(devices) > MOST:
        chance = random.Random(len(devices))
        cases = ([chance.random() < 0.5 for _ in devices] for _ in range(MOST // 4))
    for case in cases:
        away = dict(zip(devices, case, strict=True))

        def closed(contact: Contact, away: dict[str, bool] = away) -> int:
            return int(away[contact.device] == (contact.kind == "NO"))

        mask = sum(1 << k for k, contact in enumerate(electrics.contacts) if closed(contact))
        shares = dict(zip((load.device for load in electrics.loads), electrics.shares(mask, 0), strict=True))
        for rung in ladder.rungs:
            wanted = conducts(rung.contacts, closed)
            for load in rung.loads:
                share = shares[load.device]
                assert (share >= 0.85) if wanted else (share < 1e-9), (load, away, share)


def check_timeline(ladder: Ladder, orders: int, seed: int) -> None:
    chance = random.Random(seed)
    panel = Panel(ladder)
    timeline = Timeline(replace(Board.of(ladder), ratings=dict.fromkeys(ladder.coils(), AT_ONCE)))
    state, done = panel.start, ["(at rest)"]
    timeline.advance(MICRO)
    rest = panel.rest(state)
    for _ in range(orders + 1):
        if rest.chatter or timeline.chatters:
            # a flutter may end or not, by the quickness of relays; but none is found where the panel knows of none
            assert rest.chatter or len(rest.states) > 1, (done, [str(found) for found in timeline.chatters])
            return
        places = tuple(d.spec.positions.index(timeline.position(d.tag)) for d in panel.inputs)
        pulled = sum(1 << bit for bit, tag in enumerate(panel.coils) if timeline.position(tag) == "in")
        state = type(panel.start)(timeline.supply_on, places, pulled)
        assert state in rest.states, (done, state, rest.states)
        for tag in panel.lamps:
            assert (timeline.position(tag) == "lit") == panel.is_on(tag, state), (done, tag)
        step = chance.choice([step for step in panel.steps if panel.can(step, state)])
        done.append(step.order)
        rest = panel.after(step, state)
        timeline.do(step)
        timeline.advance(timeline.now + MICRO)


@pytest.mark.parametrize("name", CIRCUITS)
class TestNamedCircuits:
    def test_network_and_boolean_reading_agree(self, name: str) -> None:
        check_network(build(name))

    def test_timeline_rests_where_the_panel_may_rest(self, name: str) -> None:
        for seed in range(5):
            check_timeline(build(name), 30, seed)


class TestRandomLadders:
    @given(ladders())
    def test_network_and_boolean_reading_agree(self, ladder: Ladder) -> None:
        check_network(ladder)

    @given(ladders(), st.integers(0, 1000))
    def test_timeline_rests_where_the_panel_may_rest(self, ladder: Ladder, seed: int) -> None:
        check_timeline(ladder, 15, seed)


def test_there_are_sixty_circuits_and_more() -> None:
    assert len(CIRCUITS) >= 60


class TestTheGap:
    """What the timeline alone can see: while a relay changes over, neither of its contacts is closed."""

    def test_a_coil_fed_through_its_own_changeover_chatters(self) -> None:
        ladder = Ladder("Mill")
        ladder.rung(NO("S1") & (NC("K1") | NO("K1")), coil("K1"))
        panel = Panel(ladder)
        (step,) = read_script("press S1", panel.devices)
        assert not panel.after(step, panel.start).chatter
        timeline = Timeline(ladder)
        timeline.do(step)
        timeline.advance(MICRO)
        assert [found.devices for found in timeline.chatters] == [("K1",)]
