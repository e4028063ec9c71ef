"""Settling on packed words against every order listed by a second reading, on ladders of up to six coils."""

import random

import pytest

from oracle import Bench
from rungbook import NC, NO, Ladder, coil
from rungbook.behaviour import Panel
from rungbook.behaviour import settle as settle_module

INPUTS = ("S1", "S2", "S3")


def random_ladder(chance, coils):
    """Rungs of two to five contacts; mostly normally open contacts of the coils, as in real circuits."""
    ladder = Ladder()
    tags = [f"K{k}" for k in range(1, coils + 1)]
    for tag in tags:
        way = None
        for _ in range(chance.randint(2, 5)):
            device = chance.choice((*INPUTS, *tags))
            one = NO(device) if (device[0] == "K" and chance.random() < 0.7) or chance.random() < 0.5 else NC(device)
            way = one if way is None else way & one if chance.random() < 0.5 else way | one
        ladder.rung(way, coil(tag))
    return ladder


def as_words(panel, state):
    found = {device.tag for device, place in zip(panel.inputs, state.positions, strict=True) if place}
    return frozenset(found | {tag for k, tag in enumerate(panel.coils) if state.pulled >> k & 1} | {"supply"})


def stands(states, coils):
    """Every way in which two coils stand together: ((coil, in?), (coil, in?))."""
    return {((a, a in one), (b, b in one)) for one in states for a in coils for b in coils if a < b}


@pytest.mark.parametrize("few", [0, 6])
def test_rests_and_states_passed_through_are_those_of_every_order(few, monkeypatch):
    monkeypatch.setattr(settle_module, "FEW", few)
    chance = random.Random(12)
    one_way = races = chatters = 0
    for _ in range(200):
        ladder = random_ladder(chance, chance.randint(2, 6))
        panel, bench = Panel(ladder), Bench(ladder, INPUTS)
        for _ in range(8):
            state = panel.start._replace(
                positions=tuple(chance.randint(0, 1) for _ in panel.inputs),
                pulled=chance.getrandbits(len(panel.coils)),
            )
            rest, begin = panel.rest(state), as_words(panel, state)
            calm, stuck = bench.rests(begin)
            assert ({as_words(panel, one) for one in rest.states}, rest.chatter) == (calm, stuck), (ladder, begin)
            assert list(rest.states) == sorted(rest.states)
            passed = {as_words(panel, one) for one in rest.passed}
            wanted = bench.passes(begin)
            if few:
                assert passed == wanted, (ladder, begin)
            else:
                assert passed <= wanted, (ladder, begin)
                assert stands(passed | calm, panel.coils) == stands(wanted | calm, panel.coils), (ladder, begin)
            word = panel.packed(state)
            one_way += (panel.settling._one_way(word) or 0).bit_count() > 1
            races += len(calm) > 1
            chatters += stuck
    assert min(one_way, races, chatters) > 50, (one_way, races, chatters)


def test_a_packed_state_unpacks_to_itself():
    ladder = Ladder()
    ladder.rung(NC("S1") & NO("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), coil("Q2"))
    panel = Panel(ladder)
    state = panel.start._replace(positions=(0, 1), pulled=2)
    assert (panel.packed(state), panel.unpacked(0b10101)) == (0b10101, state)


def test_forty_coils_that_drop_out_together_settle_at_once():
    ladder = Ladder()
    for k in range(1, 41):
        ladder.rung(NC("S1") & (NO("S2") | NO(f"K{k}")), coil(f"K{k}"))
    panel = Panel(ladder)
    held = panel.start._replace(positions=(1, 0), pulled=(1 << 40) - 1)
    rest = panel.rest(held)
    assert rest.states == (held._replace(pulled=0),)
    assert len(rest.passed) == 41
