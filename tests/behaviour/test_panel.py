import pytest
from hypothesis import given
from hypothesis import strategies as st

from oracle import START, Bench, possible_ends
from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, reset
from rungbook.behaviour import Panel
from strategies import ladders

OPERATED = ("S1", "S2", "F1")
DEVICES = tuple(map(Device, OPERATED))


def words(panel, state):
    """A state of the panel as the second reading writes it."""
    found = {device.tag for device, position in zip(panel.inputs, state.positions, strict=True) if position}
    found |= {tag for k, tag in enumerate(panel.coils) if state.pulled >> k & 1}
    return frozenset(found | ({"supply"} if state.supply else set()))


def do(panel, moved):
    """All rests after moving these devices, and whether the last move may chatter: as `possible_ends`, by Panel."""
    rest = panel.rest(panel.start)
    for device in moved:
        found = [
            panel.after(step, state)
            for state in rest.states
            for step in panel.steps
            if step.device == device and panel.can(step, state)
        ]
        rest = type(rest)(tuple(s for one in found for s in one.states), any(one.chatter for one in found))
    return {words(panel, state) for state in rest.states}, rest.chatter


class TestAgainstSecondReading:
    @given(ladders(plain=True), st.lists(st.sampled_from((*OPERATED, "supply")), max_size=6))
    def test_every_possible_rest_after_any_orders_is_the_same(self, ladder, moved):
        assert do(Panel(ladder, DEVICES), moved) == possible_ends(Bench(ladder, OPERATED), moved)

    @given(ladders(plain=True))
    def test_loads_have_voltage_in_the_same_states(self, ladder):
        panel, bench = Panel(ladder, DEVICES), Bench(ladder, OPERATED)
        for positions in range(8):
            for pulled in range(1 << len(panel.coils)):
                state = panel.start._replace(
                    positions=tuple(positions >> k & 1 for k in range(len(panel.inputs))), pulled=pulled
                )
                for tag in (*panel.coils, *panel.lamps):
                    assert panel.has_voltage(tag, state) == bench.alive(tag, words(panel, state))

    def test_it_starts_with_the_supply_on_and_everything_at_rest(self):
        ladder = Ladder()
        ladder.rung(NC("S1"), coil("Q1"))
        assert words(Panel(ladder), Panel(ladder).start) == START


class TestRest:
    def panel(self, *rungs):
        ladder = Ladder()
        for contacts, load in rungs:
            ladder.rung(contacts, load)
        return Panel(ladder)

    def test_a_coil_that_opens_its_own_way_never_rests(self):
        panel = self.panel((NC("K1"), coil("K1")))
        assert (panel.rest(panel.start).states, panel.rest(panel.start).chatter) == ((), True)

    def test_three_relays_in_a_ring_never_rest(self):
        panel = self.panel((NC("K3"), coil("K1")), (NO("K1"), coil("K2")), (NO("K2"), coil("K3")))
        rest = panel.rest(panel.start)
        assert (rest.states, rest.chatter) == ((), True)

    def test_two_relays_that_lock_each_other_out_are_a_race(self):
        panel = self.panel((NC("K2"), coil("K1")), (NC("K1"), coil("K2")))
        rest = panel.rest(panel.start)
        assert [state.pulled for state in rest.states] == [0b01, 0b10]
        assert not rest.chatter

    def test_with_the_supply_off_everything_is_out(self):
        panel = self.panel((NC("K1"), coil("K1")))
        rest = panel.rest(panel.start._replace(supply=False, pulled=1))
        assert (rest.states, rest.chatter) == ((panel.start._replace(supply=False),), False)

    def test_twelve_coils_that_all_answer_one_button_end_in_one_rest(self):
        panel = self.panel(*((NO("S1"), coil(f"K{n}")) for n in range(1, 13)))
        (step,) = (step for step in panel.steps if step.order == "press S1")
        assert [state.pulled for state in panel.after(step, panel.start).states] == [2**12 - 1]


class TestDevices:
    def test_devices_of_the_exercise_decide_the_kind(self):
        ladder = Ladder("", [Device("S2", "two-position selector"), Device("Q1")])
        ladder.rung(NO("S2"), coil("Q1"))
        assert [step.order for step in Panel(ladder).steps][:2] == ["turn S2 on", "turn S2 off"]
        assert [step.order for step in Panel(ladder, [Device("S2")]).steps][:2] == ["press S2", "let S2 go"]

    def test_devices_beyond_the_ladder_can_be_moved_too(self):
        ladder = Ladder()
        ladder.rung(NO("S2"), coil("Q1"))
        orders = [step.order for step in Panel(ladder, [Device("F1"), Device("M1")]).steps]
        assert orders == [
            "press S2",
            "let S2 go",
            "trip F1",
            "reset F1",
            "switch the supply off",
            "switch the supply on",
        ]

    def test_a_ladder_that_is_not_valid_gives_no_panel(self):
        with pytest.raises(LadderError, match="has no rungs yet"):
            Panel(Ladder())

    def test_positions_are_words_for_every_device(self):
        ladder = Ladder()
        ladder.rung(NC("S1"), coil("Q1"))
        ladder.rung(NO("Q1"), lamp("P1"))
        panel = Panel(ladder, [Device("M1")])
        (state,) = panel.rest(panel.start).states
        assert panel.positions(state) == {"S1": "released", "Q1": "in", "P1": "lit", "M1": "standing"}
        assert panel.position("supply", state) == "on"
        assert panel.is_on("P1", state)
        assert not panel.is_on("P9", state)


class TestFurtherInputs:
    def filling(self, devices=None):
        ladder = Ladder("Filling line", devices)
        ladder.rung(NO("B1"), coil("K5"))
        ladder.rung(NO("S2"), reset("K5"))
        return ladder

    def test_of_a_counter_are_refused_with_the_counter(self):
        devices = [Device("B1"), Device("S2"), Device("K5", "counter", setting="up 3")]
        with pytest.raises(LadderError, match="Device K5: a counter works in time"):
            Panel(self.filling(devices))

    def test_of_what_is_a_plain_relay_here_are_refused_too(self):
        with pytest.raises(LadderError, match=r"reset\('K5'\): a reset input is that of a counter"):
            Panel(self.filling())
