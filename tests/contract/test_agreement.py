"""One contract for three readings of a ladder: Boolean, network, timeline.

* network: in every position of every device, a load gets its pull-in voltage exactly where the Boolean reading says
  that its rung conducts, and next to nothing where not;
* timeline: after any sequence of orders the panel with real, unequally quick parts rests in a state that the untimed
  panel allows.
"""

import random
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from contract.circuits import CIRCUITS, build
from rungbook import NC, NO, Device, Ladder, coil
from rungbook.behaviour import MICRO, Panel, Timeline, conducts, possible_steps, read_script
from rungbook.behaviour.board import Board
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.electrics import Electrics
from rungbook.circuit import Contact, Part, Wired
from strategies import ladders, trees

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
    timeline = Timeline(ladder)
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


def check_board_panel(ladder: Ladder, most: int = 200) -> None:
    """From every reachable state (up to `most`), both panels rest in the same states after every step."""
    boolean, network = Panel(ladder), BoardPanel(Board.of(ladder))
    assert [device.tag for device in boolean.inputs] == [device.tag for device in network.inputs]
    assert boolean.coils == network.coils
    assert network.rest(network.start) == boolean.rest(boolean.start)
    waiting = list(boolean.rest(boolean.start).states)  # `after` asks for a state at rest
    seen = set(waiting)
    while waiting and len(seen) < most:
        state = waiting.pop(0)
        for step in boolean.steps:
            if not boolean.can(step, state):
                continue
            rest = boolean.after(step, state)
            assert network.after(step, state) == rest, (state, step.order)
            for there in rest.states:
                assert [boolean.is_on(tag, there) for tag in boolean.lamps] == [
                    network.is_on(tag, there) for tag in network.lamps
                ]
                if there not in seen:
                    seen.add(there)
                    waiting.append(there)


@pytest.mark.parametrize("name", CIRCUITS)
class TestNamedCircuits:
    def test_network_and_boolean_reading_agree(self, name: str) -> None:
        check_network(build(name))

    def test_panel_of_the_network_rests_where_the_boolean_panel_rests(self, name: str) -> None:
        check_board_panel(build(name))

    def test_timeline_rests_where_the_panel_may_rest(self, name: str) -> None:
        for seed in range(5):
            check_timeline(build(name), 30, seed)


class TestRandomLadders:
    @given(ladders())
    def test_network_and_boolean_reading_agree(self, ladder: Ladder) -> None:
        check_network(ladder)

    @given(ladders())
    def test_panel_of_the_network_rests_where_the_boolean_panel_rests(self, ladder: Ladder) -> None:
        check_board_panel(ladder)

    @given(ladders(), st.integers(0, 1000))
    def test_timeline_rests_where_the_panel_may_rest(self, ladder: Ladder, seed: int) -> None:
        check_timeline(ladder, 15, seed)


@st.composite
def changeovers(draw: st.DrawFn) -> Ladder:
    """Two or three relays behind two buttons, each with contacts of both kinds in many places."""
    coils = ("Q1", "K1", "K2")[: draw(st.integers(2, 3))]
    ladder = Ladder("", [Device("S1"), Device("S2"), *map(Device, coils)])
    for tag in coils:
        ladder.rung(draw(trees(("S1", "S2", *coils), 6)), coil(tag))
    return ladder


class TestButtonsWithBothContacts:
    @settings(max_examples=120)
    @given(changeovers(), st.integers(0, 1000))
    def test_timeline_rests_where_the_panel_may_rest(self, ladder: Ladder, seed: int) -> None:
        check_timeline(ladder, 12, seed)

    @settings(max_examples=150)
    @given(changeovers())
    def test_panel_of_the_network_rests_where_the_boolean_panel_rests(self, ladder: Ladder) -> None:
        check_board_panel(ladder)


def test_there_are_sixty_circuits_and_more() -> None:
    assert len(CIRCUITS) >= 60


class TestTheGap:
    """While a relay changes over, neither of its contacts is closed; that is too short for anything to drop out."""

    @pytest.mark.parametrize(
        ("ways", "wanted"),
        [
            ((NO("S1") & (NC("K1") | NO("K1")),), "K1"),
            ((NC("K1") | NO("K1") & NC("S2"), NO("Q1") & NO("S1")), "Q1 K1"),
            ((NO("S1"), NC("K1") | NO("K1"), NC("Q1") | NO("Q1")), "K1 Q1 Q2"),
        ],
    )
    def test_a_coil_fed_through_a_changeover_holds(self, ways: tuple[Part, ...], wanted: str) -> None:
        ladder = Ladder("Mill")
        tags = {1: ("K1",), 2: ("Q1", "K1"), 3: ("K1", "Q1", "Q2")}[len(ways)]
        for way, tag in zip(ways, tags, strict=True):
            ladder.rung(way, coil(tag))
        panel, timeline = Panel(ladder), Timeline(ladder)
        timeline.advance(MICRO)
        (before,) = panel.rest(panel.start).states
        (step,) = read_script("press S1", {"S1": panel.devices["S1"]})
        rest = panel.after(step, before)
        timeline.do(step)
        timeline.advance(2 * MICRO)
        (state,) = rest.states
        assert not rest.chatter
        assert " ".join(tag for tag in tags if panel.is_on(tag, state)) == wanted
        assert timeline.chatters == []
        assert " ".join(tag for tag in tags if timeline.position(tag) == "in") == wanted
        for tag in tags[1:]:  # once in it has not let go
            assert [change.state for change in timeline.changes if change.device == tag] == ["in"]

    def test_a_relay_that_opens_its_own_way_still_moves(self) -> None:
        ladder = Ladder("Mill")
        ladder.rung(NC("K1"), coil("K1"))
        ladder.rung(NO("K1"), coil("Q1"))
        assert Panel(ladder).rest(Panel(ladder).start).chatter
        timeline = Timeline(ladder)
        timeline.advance(MICRO)
        assert [found.devices[0] for found in timeline.chatters][:1] == ["K1"]
        assert ("K1", "in") in {(change.device, change.state) for change in timeline.changes}


def reached(edges: list[tuple[int, int]], start: int) -> set[int]:
    """Nodes that closed contacts join to `start`; a search of our own."""
    found, todo = {start}, [start]
    while todo:
        here = todo.pop()
        for one, other in edges:
            for there in (other,) if one == here else (one,) if other == here else ():
                if there not in found:
                    found.add(there)
                    todo.append(there)
    return found


class TestBridges:
    """Contacts between any two nodes, bridges included, which no expression of series and parallel can say."""

    @given(
        st.lists(st.tuples(st.sampled_from((1, 3, 4, 5, 6)), st.sampled_from((3, 4, 5, 6))), min_size=1, max_size=12),
        st.integers(0, 2**12 - 1),
    )
    def test_a_load_has_voltage_where_closed_contacts_join_it_to_the_left_rail(
        self, ends: list[tuple[int, int]], mask: int
    ) -> None:
        contacts = [Wired(NO(f"S{number + 1}"), a, b) for number, (a, b) in enumerate(ends)]
        loads = [Wired(coil(f"Q{node}"), node, 2) for node in (4, 6)]
        devices = {wired.item.device: Device(wired.item.device) for wired in (*contacts, *loads)}
        electrics = Electrics(Board("bridge", (*contacts, *loads), devices))
        live = reached([pair for number, pair in enumerate(ends) if mask >> number & 1], 1)
        shares = electrics.shares(mask & ((1 << len(ends)) - 1), 0)
        for wired, share in zip(loads, shares, strict=True):
            assert (share >= 0.85) if wired.left in live else (share < 1e-9)

    @given(
        st.lists(st.tuples(st.sampled_from((1, 3, 4, 5, 6)), st.sampled_from((3, 4, 5, 6))), min_size=1, max_size=8),
        st.permutations(range(8)),
    )
    def test_the_timeline_follows_as_buttons_are_pressed_and_let_go(
        self, ends: list[tuple[int, int]], order: list[int]
    ) -> None:
        contacts = [Wired(NO(f"S{number + 1}"), a, b) for number, (a, b) in enumerate(ends)]
        loads = [Wired(coil(f"Q{node}"), node, 2) for node in (4, 6)]
        devices = {wired.item.device: Device(wired.item.device) for wired in (*contacts, *loads)}
        timeline = Timeline(Board("bridge", (*contacts, *loads), devices))
        steps = {step.order: step for step in possible_steps(devices.values())}
        pressed: set[int] = set()
        for number in [place for place in (*order, *order) if place < len(ends)]:
            tag = f"S{number + 1}"
            timeline.do(steps[f"let {tag} go" if number in pressed else f"press {tag}"])
            pressed ^= {number}
            timeline.advance(timeline.now + MICRO)
            live = reached([ends[place] for place in pressed], 1)
            assert {node: timeline.position(f"Q{node}") for node in (4, 6)} == {
                node: "in" if node in live else "out" for node in (4, 6)
            }

    def test_a_bridge_conducts_both_ways(self) -> None:
        # the middle contact of a bridge: S3 leads from the upper branch to the lower one, and back
        ways = [(NO("S1"), 1, 3), (NO("S2"), 1, 4), (NO("S3"), 3, 4), (NO("S4"), 3, 5), (NO("S5"), 4, 5)]
        items = (*(Wired(contact, a, b) for contact, a, b in ways), Wired(coil("Q1"), 5, 2))
        electrics = Electrics(Board("bridge", items, {w.item.device: Device(w.item.device) for w in items}))
        on = {mask for mask in range(32) if electrics.shares(mask, 0)[0] >= 0.85}
        assert 0b10101 in on  # S1, S3, S5: across the bridge one way
        assert 0b01110 in on  # S2, S3, S4: and the other
        assert 0b00111 not in on
        assert len(on) == 16
