import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.behaviour import counters
from rungbook.behaviour.counters import MAX_COUNT, Counter, CounterState


def pulse(state, *inputs):
    """The state after these inputs had voltage and lost it again."""
    return counters.step(counters.step(state, **dict.fromkeys(inputs, True)))


class TestUp:
    def test_it_counts_rising_edges_and_operates_at_the_preset(self):
        state, seen = CounterState(Counter("up", 3)), []
        for level in (0, 1, 1, 0, 1, 0, 1, 1, 0, 1):
            state = counters.step(state, up=bool(level))
            seen.append((state.value, counters.output(state)))
        assert seen[:6] == [(0, False), (1, False), (1, False), (1, False), (2, False), (2, False)]
        assert seen[6:] == [(3, True), (3, True), (3, True), (4, True)]

    def test_reset_acts_by_its_level_and_an_edge_under_it_is_lost(self):
        state = pulse(pulse(CounterState(Counter("up", 3)), "up"), "up")
        state = counters.step(state, reset=True)
        state = counters.step(state, reset=True, up=True)
        state = counters.step(state, up=True)
        assert state.value == 0

    def test_it_stops_at_the_top(self):
        state = CounterState(Counter("up", 3), value=999_998)
        assert [pulse(state, "up").value, pulse(pulse(state, "up"), "up").value] == [999_999, 999_999]


class TestDown:
    def test_it_counts_down_from_what_was_loaded_and_operates_at_zero(self):
        state = pulse(CounterState(Counter("down", 2)), "load")
        seen = [(state.value, counters.output(state))]
        for _ in range(3):
            state = pulse(state, "down")
            seen.append((state.value, counters.output(state)))
        assert seen == [(2, False), (1, False), (0, True), (0, True)]

    def test_load_wins_over_counting(self):
        state = CounterState(Counter("down", 5), value=2)
        assert counters.step(state, load=True, down=True).value == 5

    def test_out_of_the_box_it_stands_at_zero(self):
        assert counters.output(CounterState(Counter("down", 5)))


class TestUpDown:
    def test_it_goes_both_ways(self):
        state, seen = CounterState(Counter("up-down", 2)), []
        for name in ("up", "up", "down", "down", "down", "load"):
            state = pulse(state, name)
            seen.append((state.value, counters.output(state), counters.at_zero(state)))
        assert seen == [
            (1, False, False),
            (2, True, False),
            (1, False, False),
            (0, False, True),
            (0, False, True),
            (2, True, False),
        ]

    @pytest.mark.parametrize("value", [0, 5, MAX_COUNT])
    def test_both_edges_at_once_leave_the_value_as_it_is(self, value):
        assert pulse(CounterState(Counter("up-down", 2), value=value), "up", "down").value == value

    def test_reset_wins_over_load(self):
        state = CounterState(Counter("up-down", 7), value=3)
        assert counters.step(state, reset=True, load=True).value == 0


class TestPreset:
    def test_another_preset_leaves_the_value_and_moves_the_contacts(self):
        state = CounterState(Counter("up", 3), value=4)
        changed = counters.with_preset(state, 5)
        assert (changed.value, counters.output(state), counters.output(changed)) == (4, True, False)

    @pytest.mark.parametrize("preset", [0, -1, 1_000_000, 2.0, True, "3", None], ids=repr)
    def test_a_preset_out_of_range_is_refused(self, preset):
        with pytest.raises(LadderError, match="a whole number from 1 to 999 999") as caught:
            Counter("up", preset)
        assert caught.value.value is preset


class TestBadInput:
    def test_an_unknown_kind_is_named_with_the_kinds_there_are(self):
        with pytest.raises(LadderError, match="Choices: up, down, up-down"):
            Counter("sideways", 3)

    @pytest.mark.parametrize(
        ("kind", "name", "choices"),
        [
            ("up", "down", ("up", "reset")),
            ("up", "load", ("up", "reset")),
            ("down", "reset", ("down", "load")),
            ("down", "up", ("down", "load")),
        ],
    )
    def test_an_input_it_has_not_is_refused(self, kind, name, choices):
        with pytest.raises(LadderError, match="no such input") as caught:
            counters.step(CounterState(Counter(kind, 3)), **{name: True})
        assert (caught.value.value, caught.value.choices) == (name, choices)


@given(st.lists(st.tuples(*[st.booleans()] * 4), max_size=40), st.sampled_from([0, 1, MAX_COUNT - 1, MAX_COUNT]))
def test_the_value_never_leaves_its_range_and_counting_moves_it_by_one(levels, value):
    state = CounterState(Counter("up-down", 3), value=value)
    for up, down, reset, load in levels:
        before = state.value
        state = counters.step(state, up=up, down=down, reset=reset, load=load)
        assert 0 <= state.value <= MAX_COUNT
        if not reset and not load:
            assert abs(state.value - before) <= 1
