"""Timing diagrams: read back from the SVG they are the trace."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook import NC, NO, Device, Ladder, LadderError, coil, draw, lamp, reset, run
from rungbook.behaviour import Moment, Plant, Trace
from rungbook.behaviour.motor import Motor
from rungbook.behaviour.overload import RESET_LEVEL, Overload
from rungbook.behaviour.plant import Drive
from rungbook.circuit.power import direct
from rungbook.drawing import draw_trace
from rungbook.drawing.seconds import seconds
from rungbook.drawing.timing import scale_of
from rungbook.drawing.timing_describe import describe
from rungbook.drawing.timing_lanes import Course, course
from rungbook.drawing.timing_layout import layout

from .figures import check_figure, groups, paths, words

LONG = "delay of the wash pump after the apple elevator of the second line has come to speed"


def pump(setting: str = "on-delay 5 s") -> Ladder:
    panel = [Device("S1"), Device("S2"), Device("F1"), Device("Q1"), Device("P1")]
    ladder = Ladder("Wash pump", [*panel, Device("K1", "timer relay", setting=setting, label=LONG)])
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    return ladder


def tripping() -> Trace:
    plant = Plant(direct(), {"M1": Drive(Motor(1.0), 1.0, "F1", 0.3, Overload("10"))})
    return run(pump(), "press S2, let S2 go, wait 10 s, press S1, wait 2 s, let S1 go, press S2, wait 9 s", plant)


def shift() -> Ladder:
    panel = [Device("K1", "timer relay", setting="flash 500 ms"), Device("S1"), Device("P1")]
    ladder = Ladder("Shift", panel)
    ladder.rung(NC("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    return ladder


def lane(svg: str, tag: str, kind: str = "states") -> ET.Element:
    (found,) = [g for g in groups(svg, "lane") if (g.get("data-device"), g.get("data-kind")) == (tag, kind)]
    return found


def axis(svg: str) -> tuple[float, float]:
    ((left, _), (right, _)), *_ = paths(groups(svg, "axis")[0])
    return left, right


def edges(svg: str, tag: str, start: float, end: float) -> list[tuple[float, str]]:
    """(time [s], "up" or "down") of every vertical piece of the line of `tag`."""
    left, right = axis(svg)
    found = []
    for path in paths(lane(svg, tag), "1.5"):
        for (x, y), (then, low) in pairwise(path):
            if abs(y - low) > 0.01:
                assert x == then, "a change takes no time"
                found.append((start + (x - left) / (right - left) * (end - start), "up" if low < y else "down"))
    return found


def wanted(trace: Trace, tag: str, ups: Sequence[str]) -> list[tuple[float, str]]:
    return [(time, "up" if word in ups else "down") for time, device, word in trace.changes if device == tag]


def approximately(found: Sequence[tuple[float, str]], trace: Trace, px: float = 740) -> object:
    """Times to two hundredths of a px."""
    return [(pytest.approx(time, abs=0.02 * trace.end / px + 1e-9), way) for time, way in found]


class TestReadBack:
    @pytest.mark.parametrize(
        ("tag", "ups"), [("S1", ["pressed"]), ("S2", ["pressed"]), ("Q1", ["in"]), ("K1", ["in"]), ("P1", ["lit"])]
    )
    def test_every_edge_stands_at_its_time(self, tag: str, ups: list[str]) -> None:
        trace = tripping()
        found = edges(draw(trace).svg, tag, 0, trace.end)
        assert found == approximately(wanted(trace, tag, ups), trace)
        assert len(found) >= 2

    def test_every_order_stands_at_its_time_with_its_number_and_words(self) -> None:
        trace = tripping()
        svg = draw(trace).svg
        left, right = axis(svg)
        found = []
        for group in groups(svg, "order"):
            x = paths(group)[0][0][0]
            found.append((group.get("data-step"), *words(group), (x - left) / (right - left) * trace.end))
        assert found == [
            (str(n), f"{n} {moment.order}", pytest.approx(moment.time, abs=0.001))
            for n, moment in enumerate(trace.moments)
            if moment.order
        ]

    def test_a_timer_s_ramp_goes_from_its_start_to_the_time_set(self) -> None:
        trace = tripping()
        svg = draw(trace).svg
        left, right = axis(svg)
        ramps = [path for path in paths(lane(svg, "K1", "time"), "1.4") if len(path) == 4]
        (x, low), (_, begin), (then, top), _ = ramps[0]
        times = [(place - left) / (right - left) * trace.end for place in (x, then)]
        assert times == [pytest.approx(1.004, abs=0.002), pytest.approx(6.004, abs=0.002)]
        (full,) = [path[0][1] for path in paths(lane(svg, "K1", "time"), "0.8")]
        assert (begin, top) == (low, full)
        assert "5 s" in words(lane(svg, "K1", "time"))

    def test_a_cumulative_timer_s_ramp_waits_at_the_height_it_has_reached(self) -> None:
        panel = [Device("S5", "two-position selector"), Device("S3"), Device("P1")]
        ladder = Ladder("", [*panel, Device("K4", "timer relay", setting="cumulative on-delay 8 s")])
        ladder.rung(NO("S5"), coil("K4"))
        ladder.rung(NO("S3"), reset("K4"))
        ladder.rung(NO("K4"), lamp("P1"))
        script = "turn S5 on, wait 4 s, turn S5 off, wait 3 s, turn S5 on, wait 2 s, turn S5 off, wait 3 s, "
        script += "press S3, let S3 go, turn S5 on, wait 1 s"
        group = lane(draw(run(ladder, script)).svg, "K4", "time")
        low, full = (next(path[0][1] for path in paths(group, width)) for width in ("1", "0.8"))
        ramps = [path for path in paths(group, "1.4") if len(path) == 4]
        (held,) = paths(group, "1.2")
        (left, foot), (_, begin), (right, end), _ = held
        assert (left, right) == (ramps[0][-1][0], ramps[1][0][0]), (
            "from the end of one ramp to the next; none after reset"
        )
        assert begin == end == pytest.approx(low - 0.5 * (low - full), abs=0.1)
        assert foot == low
        assert words(group) == ["50 % of 8 s", "75 % of 8 s"], "once in the pause, once after the ramp before the reset"

    def test_the_curve_of_heat_is_that_of_the_relay(self) -> None:
        trace = tripping()
        svg = draw(trace).svg
        left, right = axis(svg)
        group = lane(svg, "F1", "heat")
        trip, back, cold = (path[0][1] for path in paths(group, "0.8"))
        (curve,) = paths(group, "2.4")
        assert (cold - back) / (cold - trip) == pytest.approx(RESET_LEVEL, abs=0.001)
        for x, y in curve:
            time = (x - left) / (right - left) * trace.end
            heats = [one.heat(time) for one in trace.warming if one.start - 0.01 <= time <= one.end + 0.01]
            assert any((cold - y) / (cold - trip) == pytest.approx(heat, abs=0.02) for heat in heats)
        assert max((cold - y) / (cold - trip) for _, y in curve) == pytest.approx(1.0, abs=0.005)

    def test_what_has_voltage_or_turns_is_thicker_and_in_the_accent_colour_only_there(self) -> None:
        trace = tripping()
        svg = draw(trace).svg
        left, right = axis(svg)
        ((start, _), (end, _)), *_ = paths(lane(svg, "Q1"), "3.2", "#B85C00")
        times = [(x - left) / (right - left) * trace.end for x in (start, end)]
        assert times == [pytest.approx(1.02, abs=0.01), pytest.approx(12.006, abs=0.01)]
        assert paths(lane(svg, "S1"), "3.2") == []

    @pytest.mark.parametrize(("since", "until"), [(5.0, 13.0), (0.0, 1.03), (12.0, 12.01)])
    def test_a_part_shows_what_happens_in_it(self, since: float, until: float) -> None:
        trace = tripping()
        found = edges(draw_trace(trace, since, until).svg, "Q1", since, until)
        inside = [one for one in wanted(trace, "Q1", ["in"]) if since < one[0] <= until]
        assert [(pytest.approx(time, abs=0.002), way) for time, way in inside] == found


class TestColumns:
    def test_a_script_without_times_has_a_column_an_order(self) -> None:
        svg = draw(run(pump(), "press S2, let S2 go, press S1")).svg
        assert [group.get("data-step") for group in groups(svg, "order")] == ["0", "1", "2", "3"]
        assert [" ".join(words(group)) for group in groups(svg, "order")] == [
            "0 at rest",
            "1 press S2",
            "2 let S2 go",
            "3 press S1",
        ]

    def test_the_words_of_a_lane_are_those_of_the_table_where_they_change(self) -> None:
        trace = run(pump(), "press S2, let S2 go, press S1")
        svg = draw(trace).svg
        for tag in ("S1", "S2", "Q1", "P1"):
            column = [moment.positions[tag] for moment in trace.moments]
            changes = [word for n, word in enumerate(column) if n == 0 or word != column[n - 1]]
            assert words(lane(svg, tag)) == changes

    def test_edges_stand_at_the_columns(self) -> None:
        svg = draw(run(pump(), "press S2, let S2 go, press S1")).svg
        heads = [paths(group)[0][0][0] for group in groups(svg, "order")]
        (line,) = paths(lane(svg, "S2"), "1.5")
        ups = [x for (x, y), (_, low) in pairwise(line) if y != low]
        assert ups == heads[1:3]

    def test_more_columns_than_have_room_go_on_below_and_all_are_there(self) -> None:
        orders = [
            f"{word} S{n}{end}" for _ in range(6) for n in (1, 2) for word, end in (("press", ""), ("let", " go"))
        ]
        trace = run(pump(), orders)
        figure = layout(course(trace))
        check_figure(figure)
        assert [int(group.get("data-step")) for group in figure.of("order")] == list(range(25))
        assert len({text.box[1] for group in figure.of("label") for text in group.texts if text.words == "S1"}) > 1

    def test_a_change_at_the_end_of_a_band_is_drawn_in_the_next_one_alone(self) -> None:
        orders = [f"{word} S2{end}" for _ in range(6) for word, end in (("press", ""), ("let", " go"))]
        svg = draw(run(pump(), orders), width=700).svg
        bands = [paths(g, "1.5") for g in groups(svg, "lane") if g.get("data-device") == "S2"]
        assert len(bands) > 1
        ups = sum(y != low for (line,) in bands for (_, y), (_, low) in pairwise(line))
        assert ups == len(orders) - (len(bands) - 1)  # one change stands at the left edge of each further band

    def test_chatter_is_a_zigzag_with_the_word(self) -> None:
        ladder = Ladder("Mill")
        ladder.rung(NO("S1") & NC("K1"), coil("K1"))
        picture = draw(run(ladder, "press S1, let S1 go"))
        group = lane(picture.svg, "K1")
        assert words(group) == ["chatters", "out", "out"]
        assert max(len(path) for path in paths(group, "1.2")) > 10
        assert "K1: out; chatters after order 1; out after order 2." in picture.description
        assert "After order 1: K1 chatters: the way to the coil opens and closes again every 21 ms." in (
            picture.description
        )


def test_the_description_tells_every_order_change_timer_and_heat() -> None:
    told = draw(tripping()).description.splitlines()
    assert told[0] == "Timing diagram 'Wash pump': 0 s to 24 s, 5 orders, 9 lanes."
    assert told[1] == (
        "Orders: 1 press S2, at 1 s; 2 let S2 go, at 2 s; 3 press S1, at 12 s; 4 let S1 go, at 14 s; "
        "5 press S2, at 15 s."
    )
    assert told[4] == "F1: set; tripped at 15.403668 s."
    assert told[5].startswith("F1 heat, as a share of the heat at which it trips: 0 at 0 s; 0 at 1.02 s; 0.427 at 1.68")
    assert told[6] == "Q1: out; in at 1.02 s; out at 12.006 s; in at 15.02 s; out at 15.409668 s."
    assert told[8] == (
        "K1 time (on-delay, set to 5 s), gathered while it runs: runs from 1.004 s to 6.004 s, the whole time; "
        "runs from 15.004 s to 15.403668 s, 8 % of the time."
    )


class TestFindings:
    def test_chatter_in_time_is_marked_from_its_begin_to_its_end(self) -> None:
        ladder = Ladder("Mill")
        ladder.rung(NO("S1") & NC("K1"), coil("K1"))
        trace = run(ladder, "press S1, wait 3 s, let S1 go")
        svg = draw(trace).svg
        left, right = axis(svg)
        zigzag = max(paths(lane(svg, "K1"), "1.2"), key=len)
        ends = [(x - left) / (right - left) * trace.end for x in (zigzag[0][0], zigzag[-1][0])]
        assert ends == [pytest.approx(1.004, abs=0.002), pytest.approx(trace.chatter[-1][1], abs=0.002)]
        assert "chatters" in words(lane(svg, "K1"))

    def test_a_race_is_marked_at_its_order_and_told_below(self) -> None:
        ladder = Ladder("Apple elevator")
        ladder.rung(NO("S1") & NC("K2"), coil("K1"))
        ladder.rung(NO("S1") & NC("K1"), coil("K2"))
        picture = draw(run(ladder, "press S1, wait 2 s"))
        assert words(groups(picture.svg, "order")[0]) == ["1 press S1: race"]
        told = "After order 1: a race: the outcome depends on which relay is quicker."
        assert words(groups(picture.svg, "notes")[0]) == [told]
        assert told in picture.description


class TestMany:
    def test_changes_too_close_to_be_drawn_are_counted(self) -> None:
        trace = run(shift(), "wait 8 h, press S1, wait 1 h")
        picture = draw(trace)
        assert "57601 changes" in words(lane(picture.svg, "P1"))
        assert (
            "P1: lit; 57601 changes between dark and lit from 0.5 s to 28800 s (8 h), then dark." in picture.description
        )
        assert edges(picture.svg, "S1", 0, trace.end) == approximately([(28_800.0, "up")], trace)
        assert len(picture.svg) < 100_000

    def test_orders_too_close_for_their_words_carry_numbers_and_are_listed(self) -> None:
        orders = [f"at {1 + k / 10:.1f} s {'press S2' if k % 2 == 0 else 'let S2 go'}" for k in range(20)]
        picture = draw(run(pump(), [*orders, "wait 30 s"]))
        told = " ".join(word for group in groups(picture.svg, "notes") for word in words(group))
        for number in range(1, 21):
            assert f"{number} {'press S2' if number % 2 else 'let S2 go'}" in told
            assert f"; {number} " in picture.description or f"Orders: {number} " in picture.description


WORDS = {"S": ("released", "pressed"), "Q": ("out", "in"), "P": ("dark", "lit")}
END = 8 * 3600 * 1_000_000


@st.composite
def traces(draw: st.DrawFn) -> Trace:
    """Traces of 1 to 12 devices, from 20 ms to 8 h long, with any changes."""
    count = draw(st.integers(1, 12))
    tags = [f"{'SQP'[n % 3]}{n // 3 + 1}" for n in range(count)]
    end = draw(st.sampled_from([20_000, 5_000_000, 61_000_000, END]))
    instants = st.lists(st.integers(1, end), max_size=8, unique=True)
    labels = st.sampled_from(["", "start", LONG])
    devices = {tag: Device(tag, label=draw(labels)) for tag in tags}
    changes = sorted(
        (time / 1e6, tag, WORDS[tag[0]][(n + 1) % 2]) for tag in tags for n, time in enumerate(sorted(draw(instants)))
    )
    orders = sorted(draw(instants))
    rest = {tag: WORDS[tag[0]][0] for tag in tags}
    moments = [Moment("", rest), *(Moment("turn S1 back from left", rest, "", time / 1e6) for time in orders)]
    return Trace("Filling line", tuple(moments), tuple(changes), True, end / 1e6, devices)


@given(traces())
@settings(max_examples=60)
def test_any_trace_is_drawn_without_overlap_and_read_back(trace: Trace) -> None:
    shown = course(trace)
    figure = layout(shown)
    check_figure(figure)
    scale = scale_of(figure, shown)
    assert scale is not None
    svg = draw(trace).svg
    told = describe(shown, scale)
    for tag in trace.devices:
        mine = wanted(trace, tag, ["pressed", "in", "lit"])
        drawn = edges(svg, tag, 0, trace.end)
        banded = re.search(rf"^{tag}\b.*: .*\d+ changes between", told, re.MULTILINE)
        if not banded:
            assert drawn == approximately(mine, trace, scale.right - scale.left)
            line = next(line for line in told.splitlines() if re.match(rf"{tag}( \(|:)", line))
            said = [WORDS[tag[0]][0], *(f"{w} at {seconds(t)}" for t, device, w in trace.changes if device == tag)]
            assert line.split(": ")[-1] == "; ".join(said) + "."


@given(traces())
@settings(max_examples=15)
def test_equal_traces_give_equal_bytes(trace: Trace) -> None:
    assert draw(trace) == draw(Trace(**vars(trace)))


class TestBadInput:
    def test_what_is_no_run_is_refused_with_the_choices(self) -> None:
        with pytest.raises(LadderError, match="draws what `run` returns"):
            draw_trace("press S1")  # type: ignore[arg-type]

    @pytest.mark.parametrize(("since", "until"), [(-1, 3), (2, 2), (0, 99), (True, 3), ("1", 3)])
    def test_a_part_that_is_none_is_refused(self, since: float, until: float) -> None:
        with pytest.raises(LadderError, match="since"):
            draw_trace(run(pump(), "press S2, wait 5 s"), since, until)

    def test_a_part_of_columns_is_refused(self) -> None:
        with pytest.raises(LadderError, match="a column an order"):
            draw_trace(run(pump(), "press S2"), 0, 1)

    @pytest.mark.parametrize("width", [100, 1e6, True, "wide"])
    def test_a_width_that_is_none_is_refused(self, width: float) -> None:
        with pytest.raises(LadderError, match="480 to 20000"):
            draw(run(pump(), "press S2"), width=width)

    def test_symbols_are_for_circuits(self) -> None:
        with pytest.raises(LadderError, match="symbols is for circuits"):
            draw(run(pump(), "press S2"), symbols="iec")


def test_lanes_come_in_the_order_hand_coil_lamp_motor() -> None:
    shown: Course = course(tripping())
    assert [one.label for one in shown.lanes] == [
        "S1", "S2", "F1", "F1 heat", "Q1", "K1", "K1 time", "P1", "M1",
    ]  # fmt: skip


def test_a_narrow_and_a_wide_one_hold_all_they_have_to_say() -> None:
    for width in (480.0, 900.0, 2000.0):
        check_figure(layout(course(tripping()), width))
