"""Trip curves: read back from the SVG the curve is the model, the limits are the published ones."""

from __future__ import annotations

from itertools import pairwise
from math import log
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook import Device, LadderError
from rungbook.behaviour.overload import TRIP_CLASSES, WARM, trip_time
from rungbook.drawing import trip_curve
from rungbook.drawing.trip_curves import Operating, layout
from rungbook.kit import OverloadSetting

from .figures import check_figure, groups, paths, words

# IEC 60947-4-1: at 7.2 times the setting from cold, more than the first and at most the second time [s].
# 10A to 30 from a secondary page; class 5 from memory
AT_7_2 = {"5": (0.5, 5), "10A": (2, 10), "10": (4, 10), "20": (6, 20), "30": (9, 30)}
# IEC 60947-4-1, from memory: at 1.5 times the setting after running at the setting, at most [s]
AT_1_5 = {"5": 120, "10A": 120, "10": 240, "20": 480, "30": 720}
# UL/NEMA, from a secondary page: class n trips within n seconds at 600 %
AT_6 = {"10": 10, "20": 20, "30": 30}


class Axes:
    """Reads numbers off a picture by its printed ticks, as a person does."""

    def __init__(self, svg: str) -> None:
        (axes,) = groups(svg, "axes")
        self.texts = list(axes.iter("{http://www.w3.org/2000/svg}text"))
        self.x1, self.x10 = self._x("1"), self._x("10")
        self.y1, self.y1000 = self._y("1"), self._y("1000")

    def _x(self, words: str) -> float:
        (found,) = [float(t.get("x", 0)) for t in self.texts if t.text == words and t.get("text-anchor") == "middle"]
        return found

    def _y(self, words: str) -> float:
        (found,) = [float(t.get("y", 0)) - 4 for t in self.texts if t.text == words and t.get("text-anchor") == "end"]
        return found

    def current(self, x: float) -> float:
        return float(10 ** ((x - self.x1) / (self.x10 - self.x1)))

    def time(self, y: float) -> float:
        return float(1000 ** ((y - self.y1) / (self.y1000 - self.y1)))


def curves(svg: str) -> dict[str, ET.Element]:
    return {group.get("data-state", ""): group for group in groups(svg, "curve")}


@pytest.mark.parametrize("trip_class", TRIP_CLASSES)
class TestCurve:
    @pytest.mark.parametrize(("state", "heat"), [("cold", 0.0), ("warm", WARM)])
    def test_its_points_are_the_trip_times(self, trip_class: str, state: str, heat: float) -> None:
        svg = trip_curve(trip_class).svg
        axes = Axes(svg)
        (line,) = paths(curves(svg)[state])
        shown = [(axes.current(x), axes.time(y)) for x, y in line]
        assert len(shown) > 100
        assert shown[-1][0] == pytest.approx(10, rel=1e-4)
        for current, time in shown:
            if current > 1.2:  # closer to the ultimate current a hundredth of a px is more than 1 % of time
                assert time == pytest.approx(trip_time(trip_class, current, heat), rel=0.01)
        for (one, _), (two, _) in pairwise(line):
            assert one < two or axes.current(one) < 1.17

    def test_between_its_points_it_is_as_close(self, trip_class: str) -> None:
        svg = trip_curve(trip_class).svg
        axes = Axes(svg)
        (line,) = paths(curves(svg)["cold"])
        for (x, y), (then, low) in pairwise(line):
            current = axes.current((x + then) / 2)
            if current > 1.2:
                assert axes.time((y + low) / 2) == pytest.approx(trip_time(trip_class, current), rel=0.01)

    def test_limits_stand_where_they_are_published(self, trip_class: str) -> None:
        svg = trip_curve(trip_class).svg
        axes = Axes(svg)
        found = {}
        for group in groups(svg, "limit"):
            bar, *caps = paths(group)
            assert axes.current(bar[0][0]) == pytest.approx(float(group.get("data-current", 0)), rel=1e-3)
            found[group.get("data-current")] = [axes.time(cap[0][1]) for cap in caps]
        over, within = AT_7_2[trip_class]
        assert found["7.2"] == [pytest.approx(over, rel=1e-3), pytest.approx(within, rel=1e-3)]
        assert found["1.5"] == [pytest.approx(AT_1_5[trip_class], rel=1e-3)]
        assert found["1.05"] == found["1.2"] == [pytest.approx(7200, rel=1e-3)]  # from memory
        assert ("6" in found) == (trip_class in AT_6)
        if trip_class in AT_6:
            assert found["6"] == [pytest.approx(AT_6[trip_class], rel=1e-3)]

    def test_each_limit_is_told_in_words_with_its_source(self, trip_class: str) -> None:
        picture = trip_curve(trip_class, (6,))
        letters = [word for group in groups(picture.svg, "limit") for word in words(group)]
        told = " ".join(words(groups(picture.svg, "notes")[0]))
        for letter in letters:
            assert f"{letter}: " in told
            assert f"Limit {letter}: " in picture.description
        assert told.count("from memory") + told.count("second hand") == len(letters)


class TestPoints:
    def test_a_point_lies_on_the_curve_and_is_told_with_its_amperes(self) -> None:
        picture = trip_curve(Device("F1", setting="2.4 A class 10 manual", label="wash pump"), (6,), (6,))
        axes = Axes(picture.svg)
        cold, warm = groups(picture.svg, "point")
        for group, heat in ((cold, 0.0), (warm, WARM)):
            (_, y), (x, _), *_ = paths(group, "1.6")[0]
            assert axes.current(x) == pytest.approx(6, rel=1e-3)
            assert axes.time(y) == pytest.approx(trip_time("10", 6, heat), rel=0.01)
        assert words(groups(picture.svg, "points")[0]) == [
            "1: 6 × setting = 14.4 A: trips after 9.14 s",
            "2: 6 × setting = 14.4 A, warm: trips after 2.38 s",
        ]
        assert "Operating point 1: 6 × setting = 14.4 A: trips after 9.14 s." in picture.description
        assert "Trip curve: F1 (wash pump), class 10, set to 2.4 A" in picture.description

    def test_one_that_never_trips_stands_at_the_upper_edge_and_says_so(self) -> None:
        picture = trip_curve("20", (1.1,))
        assert words(groups(picture.svg, "points")[0]) == ["1: 1.1 × setting: never trips"]

    @given(
        st.sampled_from(tuple(TRIP_CLASSES)),
        st.lists(st.tuples(st.floats(1, 10), st.sampled_from(["cold", "warm"])), max_size=10),
    )
    @settings(max_examples=40)
    def test_no_text_covers_another_wherever_the_points_are(
        self, trip_class: str, given_points: list[tuple[float, str]]
    ) -> None:
        heats = {"cold": 0.0, "warm": WARM}
        marked = [Operating(c, state, trip_time(trip_class, c, heats[state]), 2.5 * c) for c, state in given_points]
        check_figure(layout("Trip curve", trip_class, marked))


class TestInput:
    def test_class_setting_and_device_give_the_same_curve(self) -> None:
        drawn = [
            trip_curve("20").svg,
            trip_curve(OverloadSetting(2.0, "20", "manual")).svg,
            trip_curve(Device("F2", setting="2 A class 20 automatic")).svg,
        ]
        lines = [[paths(group) for group in groups(svg, "curve")] for svg in drawn]
        assert lines[0] == lines[1] == lines[2]

    def test_equal_input_gives_equal_bytes(self) -> None:
        assert trip_curve("10", (6,)) == trip_curve("10", [6])

    @pytest.mark.parametrize("relay", ["15", 10, None])
    def test_other_classes_are_refused(self, relay: str) -> None:
        with pytest.raises(LadderError, match="no such trip class") as caught:
            trip_curve(relay)
        assert caught.value.choices == ("5", "10A", "10", "20", "30")

    def test_a_relay_without_a_setting_is_refused(self) -> None:
        with pytest.raises(LadderError, match=r"2\.4 A class 10 manual"):
            trip_curve(Device("F1"))

    @pytest.mark.parametrize("points", [(0.9,), (10.1,), (float("nan"),), ("6",), (True,)])
    def test_points_out_of_range_are_refused(self, points: tuple[float, ...]) -> None:
        with pytest.raises(LadderError, match="a multiple of the setting, 1 to 10"):
            trip_curve("10", points)

    @pytest.mark.parametrize("points", [6, "6"])
    def test_points_that_are_no_list_are_refused(self, points: object) -> None:
        with pytest.raises(LadderError, match="multiples of the setting, such as"):
            trip_curve("10", points)  # type: ignore[arg-type]

    def test_more_than_ten_points_are_refused(self) -> None:
        with pytest.raises(LadderError, match="at most 10 operating points"):
            trip_curve("10", range(1, 8), range(1, 6))


def test_the_decades_are_equally_wide() -> None:
    axes = Axes(trip_curve("10").svg)
    places = [axes._y(words) for words in ("1", "10", "100", "1000")]
    steps = [before - after for before, after in pairwise(places)]
    assert steps == [pytest.approx(steps[0], abs=0.02)] * 3
    assert axes._x("2") - axes.x1 == pytest.approx((axes.x10 - axes.x1) * log(2) / log(10), abs=0.02)
