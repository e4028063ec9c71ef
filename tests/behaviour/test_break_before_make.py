"""What a hand's move opens, opens before it closes what it closes: on all small ladders, and on random ones.

The second reading (`oracle.py`) has the contacts of every button apart. The panel has them apart only where it can
matter (`late.py`); both must give the same rests, chatter, and states passed through.
"""

import random
from itertools import combinations_with_replacement, product

import pytest

from oracle import START, Bench
from rungbook import NC, NO, Device, Ladder, coil, reset
from rungbook.behaviour import Panel, run
from rungbook.behaviour import late as late_module
from rungbook.behaviour.board import Board
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.circuit import Contact
from rungbook.proof import compare, holds_in, no_races, off_while, prove
from rungbook.proof.timed import TimedExploration
from timed_ladders import FUNCTIONS


def words(panel, state):
    found = {device.tag for device, place in zip(panel.inputs, state.positions, strict=True) if place}
    found |= {tag for k, tag in enumerate(panel.coils) if state.pulled >> k & 1}
    return frozenset(found | ({"supply"} if state.supply else set()))


def check(ladder):
    """Compare both from every reachable state; return how many steps had a race, and devices with late contacts."""
    panel, bench, races = Panel(ladder), Bench(ladder, ladder.inputs()), 0
    rest, (calm, stuck) = panel.rest(panel.start), bench.rests(START)
    assert ({words(panel, one) for one in rest.states}, rest.chatter) == (calm, stuck), ladder
    seen, waiting = set(rest.states), list(rest.states)
    while waiting:
        state = waiting.pop()
        for step, rest in panel.onward(state):
            begin = words(panel, state) ^ {step.device}
            calm, stuck = bench.rests(begin, step.device)
            found = {words(panel, one) for one in rest.states}
            assert (found, rest.chatter) == (calm, stuck), (ladder, sorted(words(panel, state)), step.order)
            passed = {words(panel, one) for one in rest.passed}
            assert passed == bench.passes(begin, step.device), (ladder, sorted(words(panel, state)), step.order)
            assert panel.after(step, state) == rest
            races += len(calm) > 1
            waiting += [one for one in rest.states if one not in seen]
            seen.update(rest.states)
    return races, len(panel._late)


def ways(tags):
    """Every way of one or two contacts, and the holding circuit that changes over, with each pair of devices."""
    contacts = [make(tag) for tag in tags for make in (NO, NC)]
    pairs = list(combinations_with_replacement(contacts, 2))
    return contacts + [a & b for a, b in pairs] + [a | b for a, b in pairs]


def test_every_pair_of_rungs_of_one_or_two_contacts_of_a_button_and_both_relays():
    found = ways(("S1", "K1", "K2"))
    races = late = count = 0
    for one, other in product(found, found):
        ladder = Ladder()
        ladder.rung(one, coil("K1"))
        ladder.rung(other, coil("K2"))
        more, followers = check(ladder)
        races, late, count = races + bool(more), late + bool(followers), count + 1
    assert count == len(found) ** 2 == 2304
    assert min(races, late, count - late) > 50, (races, late, count)


def random_way(chance, tags, own):
    way = None
    for _ in range(chance.randint(1, 5)):
        one = chance.choice((NO, NC))(chance.choice(tags))
        way = one if way is None else way & one if chance.random() < 0.5 else way | one
    return way | NO(own) if chance.random() < 0.3 else way


def random_ladder(chance, coils=("K1", "K2", "K3"), inputs=("S1", "S2")):
    ladder = Ladder()
    coils = coils[: chance.randint(1, len(coils))]
    for tag in coils:
        ladder.rung(random_way(chance, (*inputs, *inputs, *coils), tag), coil(tag))
    return ladder


def test_random_ladders_of_up_to_three_relays():
    chance, races, late = random.Random(5), 0, 0
    for _ in range(2000):
        more, followers = check(random_ladder(chance))
        races, late = races + bool(more), late + bool(followers)
    assert min(races, late, 2000 - late) > 100, (races, late)


CHARTED = (
    Device("S1", "three-position selector"),
    Device("Q9", "manual motor starter"),
    Device("S2"),
)
CHART = {"S1": ("13-14", "23-24", "31-32", "41-42"), "Q9": ("97-98", "95-96"), "S2": ()}


def charted_contact(chance, tags):
    tag = chance.choice(tags)
    terminals = chance.choice((*CHART[tag], "", "")) if tag in CHART else ""
    kind = chance.choice(("NO", "NC"))
    if terminals:
        kind = "NC" if terminals[1] in "125" and terminals != "13-14" else "NO"
    return Contact(tag, kind, terminals)


def charted_ladder(chance):
    """Relays behind selectors and starters with three positions, whose contacts fall into several groups."""
    ladder = Ladder("", [*CHARTED, Device("K1"), Device("K2")])
    coils = ("K1", "K2")[: chance.randint(1, 2)]
    used = set()
    for tag in coils:
        way = None
        for _ in range(chance.randint(2, 5)):
            one = charted_contact(chance, (*CHART, "S1", *coils))
            if one.terminals and (one.device, one.terminals) in used:
                one = Contact(one.device, one.kind, "")
            used.add((one.device, one.terminals))
            way = one if way is None else way & one if chance.random() < 0.5 else way | one
        ladder.rung(way, coil(tag))
    return ladder


def test_contacts_of_several_groups_are_apart_where_it_matters(monkeypatch):
    chance, fewer, ladders = random.Random(3), 0, []
    for _ in range(400):
        ladder = charted_ladder(chance)
        ladders.append((ladder, Panel(ladder, CHARTED)))
    monkeypatch.setattr(late_module, "late_matters", lambda *_: True)
    for ladder, panel in ladders:
        whole = Panel(ladder, CHARTED)
        fewer += len(panel._late) < len(whole._late)
        network = BoardPanel(Board.of(ladder, CHARTED))
        seen = set(panel.rest(panel.start).states)
        waiting = list(seen)
        while waiting:
            state = waiting.pop()
            for step, rest in panel.onward(state):
                assert rest == whole.after(step, state), (ladder, state, step.order)
                here = network.after(step, state)
                assert here == rest, (ladder, state, step.order)
                waiting += [one for one in rest.states if one not in seen]
                seen.update(rest.states)
    assert 50 < fewer < 400


@pytest.mark.parametrize("make", [Panel, lambda ladder: BoardPanel(Board.of(ladder, ladder.declared))])
def test_of_two_contacts_that_one_move_closes_either_may_be_late(make):
    # turned back from left, 31-32 and the NC contact that is closed in the middle alone close, unequally late
    ladder = Ladder("Filling line", [Device("S1", "three-position selector"), *map(Device, ("S2", "K1", "K2"))])
    ladder.rung(Contact("S1", "NC", "31-32"), coil("K1"))
    ladder.rung((NC("K1") | NC("S1")) & (NO("S2") | NO("K2")), coil("K2"))
    panel = make(ladder)
    (state,) = panel.rest(panel.start).states
    for order in ("turn S1 left", "press S2", "let S2 go"):
        (state,) = panel.after(next(step for step in panel.steps if step.order == order), state).states
    assert state.pulled == 2
    back = next(step for step in panel.steps if step.order == "turn S1 back from left")
    assert [one.pulled for one in panel.after(back, state).states] == [1, 3]


def jog():
    """A jog button whose NC contact stands in the holding path, and its NO contact beside it."""
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("S3") | NC("S3") & NO("Q1")), coil("Q1"))
    return ladder


class TestJogButton:
    def test_whether_the_contactor_holds_when_it_is_let_go_is_a_race(self):
        panel = Panel(jog())
        press, release = (step for step in panel.steps if step.device == "S3")
        (held,) = panel.after(press, panel.start).states
        assert [state.pulled for state in panel.after(release, held).states] == [0, 1]

    def test_pressed_while_the_pump_runs_it_is_none_if_the_contactor_drops_out_for_a_moment(self):
        panel = Panel(jog())
        press = next(step for step in panel.steps if step.order == "press S3")
        running = panel.start._replace(pulled=1)
        rest = panel.after(press, running)
        assert [state.pulled for state in rest.states] == [1]
        assert {state.pulled for state in rest.passed} == {0}

    def test_a_rule_that_hangs_on_it_is_broken_and_says_so(self):
        (verdict,) = prove(jog(), holds_in("Q1", after="let S3 go")).verdicts
        assert (verdict.outcome, [step.order for step in verdict.steps]) == ("broken", ["press S3", "let S3 go"])
        assert verdict.why.startswith("It depends on which relay is quicker.")

    def test_compared_with_a_jog_through_a_relay_it_differs_when_the_button_is_let_go(self):
        asked = Ladder("Wash pump")
        asked.rung(NC("S1") & (NO("S2") | NO("K1")) & NC("S3"), coil("K1"))
        asked.rung(NC("S1") & (NO("K1") | NO("S3")), coil("Q1"))
        found = compare(jog(), asked, ["Q1"])
        assert found.outcome == "different"

    def test_run_notes_the_race(self):
        trace = run(jog(), "press S3, let S3 go")
        assert [moment.note for moment in trace.moments] == [
            "",
            "",
            "a race: the outcome depends on which relay is quicker",
        ]


def step_chain():
    """Each step is set by the one before and its limit switch, drops it, and holds itself."""
    ladder = Ladder("Filling line")
    ladder.rung(NC("S1") & (NO("S2") | NO("K1")) & NC("K2") & NC("K3"), coil("K1"))
    ladder.rung(NC("S1") & (NO("K1") & NO("B1") | NO("K2")) & NC("K3"), coil("K2"))
    ladder.rung(NC("S1") & (NO("K2") & NO("B2") | NO("K3")), coil("K3"))
    return ladder


STORY = {
    "press S2": "K1",
    "let S2 go": "K1",
    "reach B1": "K2",
    "leave B1": "K2",
    "reach B2": "K3",
    "leave B2": "K3",
    "press S1": "",
    "let S1 go": "",
}


class TestStepChain:
    @pytest.mark.parametrize("make", [Panel, lambda ladder: BoardPanel(Board.of(ladder))])
    def test_every_order_has_one_end_on_the_panel(self, make):
        panel = make(step_chain())
        state = panel.start
        for order, wanted in STORY.items():
            (step,) = (step for step in panel.steps if step.order == order)
            rest = panel.after(step, state)
            (state,) = rest.states
            assert not rest.chatter
            assert " ".join(tag for tag in panel.coils if panel.is_on(tag, state)) == wanted, order

    def test_there_is_no_race_in_any_sequence(self):
        assert prove(step_chain(), no_races())

    def test_the_next_step_is_in_before_the_one_before_is_out_on_the_timeline(self):
        trace = run(step_chain(), list(STORY))
        assert [moment.note for moment in trace.moments] == [""] * 9
        coils = [(round(time * 1000, 1), tag, word) for time, tag, word in trace.changes if tag.startswith("K")]
        assert coils == [
            (1018.0, "K1", "in"),  # 4 ms of travel, 14 ms of armature
            (3018.1, "K2", "in"),
            (3021.1, "K1", "out"),  # the NC contact of K2 opens 2 ms before that, and K1 takes 5 ms
            (5018.2, "K3", "in"),
            (5021.3, "K2", "out"),
            (7005.2, "K3", "out"),
        ]

    def test_with_all_limit_switches_reached_it_runs_through(self):
        trace = run(step_chain(), "reach B1, reach B2, press S2, let S2 go")
        assert [trace[-1].positions[tag] for tag in ("K1", "K2", "K3")] == ["out", "out", "in"]


class TestRelays:
    def test_two_contactors_that_change_over_are_both_in_for_a_moment(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NO("S2"), coil("Q1"))
        ladder.rung(NC("Q1"), coil("Q2"))
        panel = Panel(ladder)
        step = next(step for step in panel.steps if step.order == "press S2")
        rest = panel.after(step, panel.start._replace(pulled=2))
        assert [state.pulled for state in rest.states] == [1]
        assert {state.pulled for state in rest.passed} == {2, 3}
        assert not prove(ladder, off_while("Q2", "Q1", "in"))


class TestOrdinaryCircuits:
    def test_button_interlocks_of_a_reversing_circuit_need_no_late_contacts(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("S3") & NC("Q2"), coil("Q1"))
        ladder.rung(NC("S1") & (NO("S3") | NO("Q2")) & NC("S2") & NC("Q1"), coil("Q2"))
        panel = Panel(ladder)
        assert panel._late == ()
        check(ladder)


def interlocked(chance):
    """Two contactors, a timer and at times a counter, each behind one contact or two of one of two buttons."""
    setting = f"{chance.choice((*FUNCTIONS, 'cumulative on-delay'))} {chance.randint(1, 2)} s"
    tags = ("Q1", "Q2", "K1", *(("K5",) if chance.random() < 0.4 else ()))
    devices = [Device("K1", "timer relay", setting=setting), Device("K5", "counter", setting="up 2")]
    ladder = Ladder("", [*devices, *map(Device, ("S1", "S2", "Q1", "Q2"))])

    def way(tag):
        found = chance.choice((NO, NC))(chance.choice(("S1", "S1", "S2")))
        if chance.random() < 0.4:
            found = found & chance.choice((NO, NC))(chance.choice(tags))
        if chance.random() < 0.4:
            found = (NO("S2") | NO(tag)) & found
        return found

    for tag in tags:
        ladder.rung(way(tag), coil(tag))
    if "K5" in tags and chance.random() < 0.7:
        ladder.rung(way("Q1"), reset("K5"))
    return ladder


def edges(panel):
    """What each step leads to, told by positions and by the codes of blocks, contacts that are late left out."""

    def told(state):
        positions = tuple(panel.position(tag, state) for tag in panel.devices)
        return state.supply, positions, tuple(seat.code(panel.packed(state)) for seat in panel.seats)

    found = {}
    for edge in TimedExploration(panel, 3000).edges():
        key = told(edge.before), edge.step and edge.step.order
        states, chatter, passed = found.setdefault(key, (set(), [], set()))
        states.update(map(told, edge.rest.states))
        chatter.append(edge.rest.chatter)
        passed.update(told(state)[:2] for state in edge.rest.passed)
    return {
        key: (states, any(chatter), passed - {state[:2] for state in states})
        for key, (states, chatter, passed) in found.items()
    }


class TestTimers:
    def test_contacts_are_late_where_it_matters(self, monkeypatch):
        fewer = more = 0
        for seed in range(400):
            ladder = interlocked(random.Random(seed))
            panel = TimedPanel(ladder)
            with monkeypatch.context() as patch:
                patch.setattr(late_module, "late_matters", lambda *_: True)
                whole = TimedPanel(ladder)
            more += bool(panel._late)
            if len(panel._late) < len(whole._late):
                fewer += 1
                assert edges(panel) == edges(whole), ladder
        assert min(more, fewer) > 40, (more, fewer)

    def jog(self):
        timer = Device("K1", "timer relay", setting="on-delay 3 s")
        ladder = Ladder("Wash pump", [timer, *map(Device, ("S1", "S2", "S3", "Q1", "Q2"))])
        for rung in jog().rungs:
            ladder.rung(rung.contacts, *rung.loads)
        ladder.rung(NO("Q1"), coil("K1"))
        ladder.rung(NO("K1"), coil("Q2"))
        return ladder

    def test_a_jog_button_before_a_contactor_with_a_timer_behind_it_is_a_race(self):
        (verdict,) = prove(self.jog(), holds_in("Q1", after="let S3 go")).verdicts
        assert (verdict.outcome, [step.order for step in verdict.steps]) == ("broken", ["press S3", "let S3 go"])
        assert verdict.why.startswith("It depends on which relay is quicker.")

    def test_a_count_and_a_reset_by_one_button_may_come_one_after_the_other(self):
        ladder = Ladder("Filling line", [Device("K5", "counter", setting="up 3"), Device("S1")])
        ladder.rung(NC("S1"), coil("K5"))
        ladder.rung(NO("S1"), reset("K5"))
        assert TimedPanel(ladder)._late

    def test_what_a_timer_lets_go_and_the_same_button_takes_over_may_drop_out_between(self):
        timer = Device("K1", "timer relay", setting="on-delay 3 s")
        ladder = Ladder("Vat agitator", [timer, Device("S1"), Device("Q1")])
        ladder.rung(NC("S1"), coil("K1"))
        ladder.rung(NO("K1") | NO("S1"), coil("Q1"))
        panel = TimedPanel(ladder)
        (word,) = panel.settle(panel.packed(panel.start)).words
        (word,) = panel.settle(panel.ripe(panel.settling.settled(word), panel.seats[0])).words
        state = panel.unpacked(panel.settling.settled(word))
        assert panel.is_on("Q1", state)
        press = next(step for step in panel.steps if step.order == "press S1")
        rest = panel.after(press, state)
        (end,) = rest.states
        assert panel.is_on("Q1", end)
        assert {panel.is_on("Q1", one) for one in rest.passed} == {True, False}
