"""Timers and counters of a relay panel against timed contacts in textbooks and the standard blocks of IEC 61131-3.

[L4-5] is *Lessons in Electric Circuits*, T. Kuphaldt, vol. IV, chapter 5. The blocks below are written from memory of
IEC 61131-3 ed. 3, Tables 43 to 46, scan by scan, without a look at the timers and counters of the package.
"""

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.behaviour import counters, timers
from rungbook.behaviour.counters import Counter, CounterState
from rungbook.behaviour.timers import Timer, TimerState

US = 1_000_000


@dataclass
class RTrig:
    seen: bool = False

    def __call__(self, clk):
        q, self.seen = clk and not self.seen, clk
        return q


class Ton:
    def __init__(self):
        self.begin = None

    def __call__(self, now, on, pt):
        if not on:
            self.begin = None
            return False, 0
        if self.begin is None:
            self.begin = now
        et = min(now - self.begin, pt)
        return et >= pt, et


class Tof:
    def __init__(self):
        self.begin, self.was_on = None, False

    def __call__(self, now, on, pt):
        if on:
            self.begin = None
        elif self.was_on:
            self.begin = now
        self.was_on = on
        if on:
            return True, 0
        if self.begin is None:
            return False, 0
        et = min(now - self.begin, pt)
        return et < pt, et


class Tp:
    """A pulse that has ended is ended before a new edge is looked at; the standard leaves that order open."""

    def __init__(self):
        self.edge, self.begin, self.over = RTrig(), None, False

    def __call__(self, now, on, pt):
        rises = self.edge(on)
        if self.begin is not None and now - self.begin >= pt:
            self.begin, self.over = None, True
        if self.begin is None and rises:
            self.begin, self.over = now, False
        if self.begin is not None:
            return True, now - self.begin
        if not on:
            self.over = False
        return False, pt if self.over else 0


class Ctu:
    def __init__(self, top):
        self.edge, self.cv, self.top = RTrig(), 0, top

    def __call__(self, cu, r, pv):
        counts = self.edge(cu)
        if r:
            self.cv = 0
        elif counts and self.cv < self.top:
            self.cv += 1
        return self.cv >= pv, self.cv


class Ctd:
    def __init__(self, bottom):
        self.edge, self.cv, self.bottom = RTrig(), 0, bottom

    def __call__(self, cd, ld, pv):
        counts = self.edge(cd)
        if ld:
            self.cv = pv
        elif counts and self.cv > self.bottom:
            self.cv -= 1
        return self.cv <= 0, self.cv


class Ctud:
    def __init__(self, bottom, top):
        self.up, self.down, self.cv, self.bottom, self.top = RTrig(), RTrig(), 0, bottom, top

    def __call__(self, cu, cd, r, ld, pv):
        up, down = self.up(cu), self.down(cd)
        if r:
            self.cv = 0
        elif ld:
            self.cv = pv
        elif not (up and down):
            if up and self.cv < self.top:
                self.cv += 1
            elif down and self.cv > self.bottom:
                self.cv -= 1
        return self.cv >= pv, self.cv <= 0, self.cv


SCANS = st.lists(st.tuples(st.integers(1, 4), st.booleans()), min_size=1, max_size=60)
LEVELS = st.lists(st.tuples(*[st.booleans()] * 4), min_size=1, max_size=60)


def sampled(function, preset, scans):
    """(output, elapsed [µs]) of our timer at each scan (gap [µs], input)."""
    state, now, seen = TimerState(Timer(function, preset / US)), 0, []
    for gap, on in scans:
        now += gap
        while (instant := timers.due(state)) is not None and instant < now:
            state = timers.step(state, instant, state.energised)
            assert timers.due(state) != instant, f"the change due at {instant} µs was not made"
        state = timers.step(state, now, on)
        seen.append((timers.output(state), timers.elapsed(state, now)))
    return seen


def scanned(block, preset, scans):
    now, seen = 0, []
    for gap, on in scans:
        now += gap
        seen.append(block(now, on, preset))
    return seen


class TestTimersAgreeWithTheBlocks:
    """Output and elapsed time at every scan; gaps of the size of the preset, so that coincidences are frequent."""

    @given(st.integers(1, 9), SCANS)
    def test_on_delay_is_ton(self, preset, scans):  # from memory
        assert sampled("on-delay", preset, scans) == scanned(Ton(), preset, scans)

    @given(st.integers(1, 9), SCANS)
    def test_off_delay_is_tof(self, preset, scans):  # from memory
        assert sampled("off-delay", preset, scans) == scanned(Tof(), preset, scans)

    @given(st.integers(1, 9), SCANS)
    def test_one_shot_rising_is_tp(self, preset, scans):  # from memory
        assert sampled("one-shot on rising edge", preset, scans) == scanned(Tp(), preset, scans)

    @given(st.integers(1, 9), SCANS)
    def test_one_shot_falling_is_tp_of_the_opposite_input(self, preset, scans):  # computed from TP
        block = Tp()
        block.edge.seen = True  # the opposite of an input that was off is one that was on
        ours = [out for out, _ in sampled("one-shot on falling edge", preset, scans)]
        assert ours == [out for out, _ in scanned(block, preset, [(gap, not on) for gap, on in scans])]

    def test_ton_with_an_input_shorter_than_pt_never_operates_and_et_goes_back(self):  # row 9.12, from memory
        assert sampled("on-delay", 5, [(1, True), (3, True), (1, False)]) == [(False, 0), (False, 3), (False, 0)]

    def test_ton_operates_at_pt_and_et_holds(self):  # row 9.13, from memory
        scans = [(1, True), (5, True), (50, True), (1, False)]
        assert sampled("on-delay", 5, scans) == [(False, 0), (True, 5), (True, 5), (False, 0)]

    def test_tp_ignores_a_second_edge_and_et_holds_until_the_input_falls(self):  # row 9.15, from memory
        scans = [(1, True), (2, False), (1, True), (1, True), (1, True), (9, True), (1, False)]
        ours = sampled("one-shot on rising edge", 5, scans)
        assert ours == [(True, 0), (True, 2), (True, 3), (True, 4), (False, 5), (False, 5), (False, 0)]


class TestCountersAgreeWithTheBlocks:
    @given(st.integers(1, 6), LEVELS)
    def test_up_is_ctu(self, preset, levels):  # from memory
        block, state = Ctu(999_999), CounterState(Counter("up", preset))
        for cu, r, *_ in levels:
            state = counters.step(state, up=cu, reset=r)
            assert (counters.output(state), state.value) == block(cu, r, preset)

    @given(st.integers(1, 6), LEVELS)
    def test_down_is_ctd(self, preset, levels):  # from memory
        block, state = Ctd(0), CounterState(Counter("down", preset))
        for cd, ld, *_ in levels:
            state = counters.step(state, down=cd, load=ld)
            assert (counters.output(state), state.value) == block(cd, ld, preset)

    @given(st.integers(1, 6), LEVELS, st.integers(1, 9))
    def test_up_down_is_ctud(self, preset, levels, rare):  # from memory
        block, state = Ctud(0, 999_999), CounterState(Counter("up-down", preset))
        for place, (cu, cd, r, ld) in enumerate(levels):
            r, ld = r and place % rare == 0, ld and place % rare == 0  # else it is nearly always reset or loaded
            state = counters.step(state, up=cu, down=cd, reset=r, load=ld)
            assert (counters.output(state), counters.at_zero(state), state.value) == block(cu, cd, r, ld, preset)

    def test_an_input_that_is_on_at_the_first_call_is_an_edge(self):  # row 9.3, R_TRIG, from memory
        assert counters.step(CounterState(Counter("up", 3)), up=True).value == 1

    def test_ctu_with_the_sequence_of_the_table(self):  # row 9.5, from memory
        state, seen = CounterState(Counter("up", 3)), []
        for cu, r in [(c, 0) for c in (0, 1, 1, 0, 1, 0, 1, 1, 0, 1)] + [(0, 1), (1, 1), (1, 0)]:
            state = counters.step(state, up=bool(cu), reset=bool(r))
            seen.append((state.value, counters.output(state)))
        assert [value for value, _ in seen] == [0, 1, 1, 1, 2, 2, 3, 3, 3, 4, 0, 0, 0]
        assert [place for place, (_, q) in enumerate(seen) if q] == [6, 7, 8, 9]

    def test_ctu_stops_at_the_top(self):  # row 9.7, from memory
        state = CounterState(Counter("up", 3), value=999_999)
        assert counters.step(state, up=True).value == 999_999

    def test_ctd_keeps_its_value_when_pv_changes_after_loading(self):  # row 9.9, from memory
        state = counters.step(CounterState(Counter("down", 4)), load=True)
        assert counters.with_preset(state, 9).value == 4

    def test_ctud_with_both_edges_in_one_call_stays(self):  # row 9.10, from memory
        state = CounterState(Counter("up-down", 4), value=2)
        assert counters.step(state, up=True, down=True).value == 2


class TestTimedContacts:
    """On-delay: [L4-5]. Off-delay: [L4-5], from memory. Input on from 1 s to 9 s, preset 5 s."""

    @staticmethod
    def closed(function, kind):
        """The seconds at which the contact is closed, looked at half-way through each second up to 20 s."""
        state, seen = TimerState(Timer(function, 5)), []
        for now in range(20):
            state = timers.step(state, now * US, 1 <= now < 9)
            late = timers.step(state, now * US + US // 2, state.energised)
            seen += [now] * (timers.output(late) == (kind == "NO"))
        return seen

    @pytest.mark.parametrize(
        ("function", "kind", "closed"),
        [
            pytest.param("on-delay", "NO", [6, 7, 8], id="NOTC closes late and opens at once"),
            pytest.param("on-delay", "NC", [*range(6), *range(9, 20)], id="NCTO opens late and closes at once"),
            pytest.param("off-delay", "NO", [*range(1, 14)], id="NOTO closes at once and opens late"),
            pytest.param("off-delay", "NC", [0, *range(14, 20)], id="NCTC opens at once and closes late"),
        ],
    )
    def test_a_timed_contact(self, function, kind, closed):
        assert self.closed(function, kind) == closed
