"""Measured in a real browser: texts of diagrams, charts, tables and curves keep within what was planned for them."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import combinations

import pytest
from playwright.sync_api import Browser

from rungbook import draw, run, truth_table, wire
from rungbook.drawing import Picture, contact_chart, draw_table, trip_curve
from rungbook.drawing.figure import _COLOURS as COLOURS
from rungbook.drawing.plot_layout import draw_plot
from rungbook.kit import TRAINING_KIT

from .geometry import overlap
from .panel_kits import apple_elevator, wash_pump
from .test_browser import _measured as measured
from .test_plot import plot
from .test_tables import pump as small_pump
from .test_timing import pump, shift, tripping

PICTURES: dict[str, Callable[[], Picture]] = {
    "time": lambda: draw(tripping()),
    "columns": lambda: draw(run(pump(), "press S2, let S2 go, press S1, let S1 go, trip F1, reset F1")),
    "8 h": lambda: draw(run(shift(), "wait 8 h, press S1")),
    "20 ms": lambda: draw(run(pump(), "at 0.001 s press S2, at 0.015 s let S2 go, wait 5 ms")),
    "chart": lambda: draw(contact_chart("three-position selector")),
    "wire list": lambda: draw_table(wire(small_pump(), TRAINING_KIT)),
    "panel": lambda: draw(wire(wash_pump(), TRAINING_KIT)),
    "panel, a step": lambda: draw(wire(apple_elevator(), TRAINING_KIT), step=30),
    "truth table": lambda: draw(truth_table(small_pump())),
    "plot": lambda: draw_plot(plot(), "Course", "Torque and current over time."),
    "trip curve": lambda: trip_curve("10", (6, 7.2, 1.5, 1.1), (2, 6)),
}


@pytest.mark.parametrize("name", PICTURES)
def test_no_two_texts_overlap_and_all_are_on_the_sheet(browser: Browser, name: str) -> None:
    svg = PICTURES[name]().svg
    width, height = (float(svg.split(f'{side}="', 1)[1].split('"', 1)[0]) for side in ("width", "height"))
    texts = measured(browser, svg)
    assert len(texts) > 5
    for words, left, top, right, bottom in texts:
        assert left >= 0, words
        assert top >= 0, words
        assert right <= width, words
        assert bottom <= height, words
    for one, other in combinations(texts, 2):
        assert not overlap(tuple(one[1:]), tuple(other[1:])), (one, other)


def _contrast(colour: str) -> float:
    """Contrast ratio on white (WCAG 2, relative luminance)."""

    def linear(value: float) -> float:
        return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(int(colour[k : k + 2], 16) / 255) for k in (1, 3, 5))
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)


@pytest.mark.parametrize("name", PICTURES)
def test_what_says_something_has_a_contrast_of_at_least_4_5(name: str) -> None:
    svg = PICTURES[name]().svg
    inked = set(re.findall(r'<text [^>]*fill="(#\w+)"', svg)) | set(re.findall(r'<path [^>]*stroke="(#\w+)"', svg))
    assert inked
    for colour in inked - {COLOURS["grid"]}:  # lines of the grid lead to ticks and say nothing of their own
        assert _contrast(colour) >= 4.5, colour


@pytest.mark.parametrize("name", PICTURES)
def test_title_and_description_stand_in_the_svg_and_in_the_alternative_text(browser: Browser, name: str) -> None:
    picture = PICTURES[name]()
    page = browser.new_page()
    page.set_content(picture._repr_mimebundle_()["text/html"])
    assert page.locator("img").get_attribute("alt") == picture.description
    page.set_content(picture.svg)
    assert page.locator("svg > desc").text_content() == picture.description
    assert page.locator("svg > title").text_content()
    page.close()
