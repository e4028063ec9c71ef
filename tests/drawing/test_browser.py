"""Measured in a real browser, whose fonts decide: no two texts overlap and all are on the sheet."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest
from playwright.sync_api import Browser

from rungbook import draw

from .geometry import overlap
from .strategies import NAMED

_MEASURE = """() => [...document.querySelectorAll('svg text')].map(text => {
  const box = text.getBBox()
  return [text.textContent, box.x, box.y, box.x + box.width, box.y + box.height]
})"""


def _measured(browser: Browser, svg: str) -> list[Any]:
    page = browser.new_page(viewport={"width": 3000, "height": 1000})
    try:
        page.set_content(f"<body style='margin:0'>{svg}</body>")
        return list(page.evaluate(_MEASURE))
    finally:
        page.close()


@pytest.mark.parametrize("name", NAMED)
def test_no_two_texts_overlap_and_all_are_on_the_sheet(browser: Browser, name: str) -> None:
    svg = draw(NAMED[name]()).svg
    width, height = (float(svg.split(f'{side}="', 1)[1].split('"', 1)[0]) for side in ("width", "height"))
    texts = _measured(browser, svg)
    assert texts
    for words, left, top, right, bottom in texts:
        assert left >= 0, words
        assert top >= 0, words
        assert right <= width, words
        assert bottom <= height, words
    for one, other in combinations(texts, 2):
        assert not overlap(tuple(one[1:]), tuple(other[1:])), (one, other)


@pytest.mark.parametrize("name", NAMED)
def test_no_text_is_wider_than_was_planned(browser: Browser, name: str) -> None:
    from rungbook.drawing.layout import layout

    planned: dict[str, float] = {}
    for text in layout(NAMED[name]()).texts:
        planned[text.words] = max(text.width, planned.get(text.words, 0))
    for words, left, _, right, _ in _measured(browser, draw(NAMED[name]()).svg):
        assert right - left <= planned[words] + 0.5, words


def test_it_is_legible_at_the_width_of_a_notebook(browser: Browser) -> None:
    """At 900 px no text is smaller than 9 px."""
    page = browser.new_page(viewport={"width": 900, "height": 700})
    page.set_content(f"<body style='margin:0'>{draw(NAMED['six_by_five']()).svg}</body>")
    scale, least = page.evaluate(
        "() => { const svg = document.querySelector('svg'); const sizes = [...svg.querySelectorAll('text')]"
        ".map(text => parseFloat(getComputedStyle(text).fontSize));"
        " return [svg.getBoundingClientRect().width / svg.viewBox.baseVal.width, Math.min(...sizes)] }"
    )
    page.close()
    assert scale * least >= 9


def test_the_image_in_a_notebook_has_its_size_and_its_words(browser: Browser) -> None:
    picture = draw(NAMED["holding"]())
    page = browser.new_page()
    page.set_content(picture._repr_mimebundle_()["text/html"])
    image = page.get_by_role("img", name=picture.description.splitlines()[0])
    assert image.get_attribute("alt") == picture.description
    assert f'width="{image.evaluate("image => image.naturalWidth")}"' in picture.svg
    page.close()
