"""Plots: what is read back from the drawing by its printed ticks is what went in; names cover nothing."""

from __future__ import annotations

from math import sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook.drawing.plot import DASHES, MOST, Axes, Dot, Level, Line, Plot
from rungbook.drawing.plot_layout import draw_plot, even_ticks, layout

from .figures import Path, check_figure, groups, paths, words
from .geometry import overlap

SVG = "{http://www.w3.org/2000/svg}"
RISE = tuple((k / 2, 3.0 * k) for k in range(21))
WAVE = tuple((k / 10, 30 + 25 * sin(k / 12)) for k in range(101))


def plot(**more: object) -> Plot:
    lines = (Line(RISE, "even", "accent"), Line(WAVE, "wave", dash=1))
    dots = (Dot(5.0, 30.0, "middle"), Dot(10.0, 60.0, "end", "cross", nudge=(-8, 4)))
    above = Axes("torque [N·m]", lines, dots, (Level(40.0, "rated", "pale"),), **more)  # type: ignore[arg-type]
    below = Axes("current [A]", (Line(((0.0, 5.0), (10.0, 2.0)), "even", "accent"),))
    return Plot("time [s]", 10.0, (above, below), (("dot", "up to speed"),), "A note.")


def reader(svg: str, field: int) -> tuple[float, float, float, float]:
    """By two printed ticks of each axis: x = (px - first) · second, y = (third - px) · fourth, as a person reads it."""
    axes = groups(svg, "axes")
    ups = [(float(t.text or 0), float(t.get("y", 0)) - 4) for t in axes[field].iter(f"{SVG}text") if _at(t, "end")]
    across = [(float(t.text or 0), float(t.get("x", 0))) for t in axes[-1].iter(f"{SVG}text") if _at(t, "middle")]
    (x0, px0), (x1, px1) = across[0], across[-1]
    (y0, py0), (y1, py1) = ups[0], ups[-1]
    wide, high = (x1 - x0) / (px1 - px0), (y1 - y0) / (py0 - py1)
    return px0 - x0 / wide, wide, py0 + y0 / high, high


def _at(text: object, anchor: str) -> bool:
    return text.get("text-anchor") == anchor and text.text.replace(".", "").replace("-", "").isdigit()  # type: ignore[attr-defined]


def numbers(svg: str, field: int, path: Path) -> Path:
    left, wide, base, high = reader(svg, field)
    return [((x - left) * wide, (base - y) * high) for x, y in path]


def curve(svg: str, name: str, field: int) -> list[Path]:
    (found,) = [
        group
        for group in groups(svg, "curve")
        if group.get("data-name") == name and group.get("data-field") == str(field)
    ]
    return paths(found)


class TestReadBack:
    @pytest.mark.parametrize("name", ["even", "wave"])
    def test_a_curve_has_the_numbers_that_went_in(self, name: str) -> None:
        svg = draw_plot(plot(), "Course", "words").svg
        (path,) = curve(svg, name, 0)
        for found, told in zip(numbers(svg, 0, path), RISE if name == "even" else WAVE, strict=True):
            assert found == pytest.approx(told, abs=0.02)

    def test_each_field_has_its_own_scale(self) -> None:
        svg = draw_plot(plot(), "Course", "words").svg
        (path,) = curve(svg, "even", 1)
        assert numbers(svg, 1, path) == [pytest.approx((0, 5), abs=0.01), pytest.approx((10, 2), abs=0.01)]

    def test_points_and_levels_stand_at_their_numbers(self) -> None:
        svg = draw_plot(plot(), "Course", "words").svg
        dot, cross = groups(svg, "point")
        (ring,) = paths(dot)
        middle = [(min(axis) + max(axis)) / 2 for axis in zip(*numbers(svg, 0, ring), strict=True)]
        assert middle == pytest.approx([5, 30], abs=0.1)
        assert len(paths(cross)) == 2
        (level,) = groups(svg, "level")
        assert [y for _, y in numbers(svg, 0, paths(level)[0])] == pytest.approx([40, 40], abs=0.05)
        assert words(level) == ["rated"]

    def test_what_leaves_the_field_is_cut_at_its_edge(self) -> None:
        svg = draw_plot(plot(top=40.0), "Course", "words").svg
        (even,) = curve(svg, "even", 0)
        assert numbers(svg, 0, even)[-1] == pytest.approx((40 / 6, 40), abs=0.05)
        one, two = curve(svg, "wave", 0)
        assert numbers(svg, 0, one)[-1][1] == pytest.approx(40, abs=0.05)
        assert numbers(svg, 0, two)[0][1] == pytest.approx(40, abs=0.05)

    def test_an_axis_begins_at_zero_unless_it_is_left_open(self) -> None:
        assert plot().fields[0].reach[0] == 0
        assert Axes("speed [rpm]", (Line(((0.0, 0.0), (60.0, 0.0))),)).reach == (0, 1)  # all of it stands still
        low, high = plot(bottom=None).fields[0].reach
        assert (low, high) == (pytest.approx(-3), pytest.approx(63))


class TestLegend:
    def test_names_each_line_once_and_each_sign(self) -> None:
        svg = draw_plot(plot(), "Course", "words").svg
        assert [words(group) for group in groups(svg, "legend")] == [["even"], ["wave"], ["up to speed"]]

    def test_two_lines_of_one_name_are_both_there_if_they_look_different(self) -> None:
        lines = (Line(RISE, "direct"), Line(WAVE, "direct", dash=1), Line(RISE, "direct"))
        svg = draw_plot(Plot("x [m]", 10.0, (Axes("y [V]", lines),)), "Ways", "words").svg
        assert [words(group) for group in groups(svg, "legend")] == [["direct"], ["direct"]]

    def test_lines_differ_in_their_dashes_not_in_colour_alone(self) -> None:
        assert len(set(DASHES)) == len(DASHES) == MOST + 1
        lines = tuple(Line(((0.0, n), (1.0, n)), f"way {n}", dash=n) for n in range(MOST))
        svg = draw_plot(Plot("x [m]", 1.0, (Axes("y [V]", lines),)), "Ways", "words").svg
        for kind in ("legend", "curve"):
            drawn = [path.get("stroke-dasharray") for group in groups(svg, kind) for path in group.iter(f"{SVG}path")]
            assert drawn == [None, "9 3", "3 3", "12 3 3 3", "15 3 3 3 3 3"], kind

    def test_long_names_go_on_in_further_rows(self) -> None:
        lines = tuple(
            Line(((0.0, 0.0), (1.0, n)), f"autotransformer {n} %: class 10, cold", dash=n) for n in range(MOST)
        )
        figure = layout(Plot("x [m]", 1.0, (Axes("y [V]", lines),)), "Heat")
        check_figure(figure)
        assert len({group.texts[0].y for group in figure.of("legend")}) == 3


class TestTexts:
    def test_stand_apart_and_on_the_sheet(self) -> None:
        check_figure(layout(plot(), "Course"))

    @settings(max_examples=40, deadline=None)
    @given(st.floats(0, 10), st.floats(0, 60), st.floats(0, 10), st.floats(0, 60))
    def test_names_of_points_cover_no_curve_and_no_other_name(self, x: float, y: float, u: float, v: float) -> None:
        axes = Axes("y [V]", (Line(WAVE),), (Dot(x, y, "breakdown"), Dot(u, v, "rated")), top=70.0)
        figure = layout(Plot("x [m]", 10.0, (axes,)), "Points")
        one, other = (group.texts[0].box for group in figure.of("point"))
        assert not overlap(one, other)
        (drawn,) = figure.of("curve")
        for left, top, right, bottom in (one, other):
            inside = [p for p in drawn.trails[0].points if left < p[0] < right and top < p[1] < bottom]
            assert inside == []

    def test_the_note_stands_below(self) -> None:
        figure = layout(plot(), "Course")
        (notes,) = figure.of("notes")
        assert [text.words for text in notes.texts] == ["A note."]
        assert all(text.y <= notes.texts[0].y for text in figure.texts)


@pytest.mark.parametrize(
    ("low", "high", "most", "expected"),
    [
        (0, 1800, 10, ["0", "200", "400", "600", "800", "1000", "1200", "1400", "1600", "1800"]),
        (0, 0.07, 4, ["0", "0.02", "0.04", "0.06"]),
        (69.4, 121, 6, ["70", "80", "90", "100", "110", "120"]),
        (-3, 63, 4, ["0", "20", "40", "60"]),
        (0, 1, 1, ["0", "1"]),
    ],
)
def test_ticks_are_round_numbers(low: float, high: float, most: int, expected: list[str]) -> None:
    assert [text for _, text in even_ticks(low, high, most)] == expected
