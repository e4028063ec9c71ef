"""A run stepped through on the drawing: one picture a moment, and a page that keyboards can use."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from rungbook import NO, Ladder, LadderError, coil, draw, run
from rungbook.drawing import draw_steps

from .strategies import NAMED

LADDER = NAMED["holding"]()
TRACE = run(LADDER, "press S2, let S2 go, trip F1")
_CLASSES = "() => [...document.querySelectorAll('[data-device]')].map(one => one.getAttribute('class'))"


def test_each_moment_is_a_picture() -> None:
    steps = draw_steps(LADDER, TRACE)
    assert len(steps) == 4
    assert [picture.svg for picture in steps] == [draw(LADDER, live=moment).svg for moment in TRACE]
    assert steps[1].svg == draw(LADDER, live=TRACE[1]).svg


def test_keys_and_buttons_step_through_the_run(browser: Browser) -> None:
    page = browser.new_page()
    wrong: list[object] = []
    page.on("pageerror", lambda error: wrong.append(error))
    page.set_content(draw_steps(LADDER, TRACE).html)
    said = page.get_by_role("status")
    assert said.inner_text() == "Step 3 of 3: trip F1"
    page.get_by_role("slider", name="Step of the run").focus()
    page.keyboard.press("ArrowLeft")
    assert said.inner_text() == "Step 2 of 3: let S2 go"
    assert page.evaluate(_CLASSES) == [
        "symbol carries closed",
        "symbol",
        "symbol carries closed away",
        "symbol carries closed",
        "symbol carries on",
        "symbol carries closed away",
        "symbol carries on",
    ]
    assert "Live after 'let S2 go'" in (page.locator("svg desc").text_content() or "")
    assert page.locator("[data-live=t1]").text_content() == "After: let S2 go."
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    assert said.inner_text() == "Step 3 of 3: trip F1"
    back = page.get_by_role("button", name="Step back")
    for _ in range(5):
        back.click(force=True)
    assert said.inner_text() == "Step 0 of 3: at rest"
    page.close()
    assert wrong == []


def test_every_step_shows_what_its_picture_shows(browser: Browser) -> None:
    page, single = browser.new_page(), browser.new_page()
    steps = draw_steps(LADDER, TRACE, "iec", "down")
    page.set_content(steps.html)
    looks = (
        "() => [...document.querySelectorAll('[data-live]')]"
        ".map(one => [one.dataset.live, one.getAttribute('class') || ''])"
    )
    for k, picture in enumerate(steps):
        page.get_by_role("slider").fill(str(k))
        single.set_content(picture.svg)
        assert page.evaluate(looks) == single.evaluate(looks)
    page.close()
    single.close()


def test_without_scripts_there_is_the_last_moment_and_all_words(browser: Browser) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.set_content(draw_steps(LADDER, TRACE).html)
    assert page.locator("svg desc").text_content() == draw(LADDER, live=TRACE[3]).description
    assert page.locator("li").count() == 4
    context.close()


def test_words_of_the_ladder_cannot_end_the_script(browser: Browser, tmp_path: Path) -> None:
    ladder = Ladder("</script><b>&amp;</b>")
    ladder.rung(NO("S1"), coil("Q1"), note="</script><b id='x'>")
    path = draw_steps(ladder, run(ladder, "press S1")).save(tmp_path / "steps.html")
    page = browser.new_page()
    page.goto(path.as_uri())
    assert page.locator("b").count() == 0
    page.get_by_role("button", name="Step back").click()
    assert page.get_by_role("status").inner_text() == "Step 0 of 1: at rest"
    page.close()


def test_two_of_them_on_one_page_step_apart(browser: Browser) -> None:
    page = browser.new_page()
    page.set_content(draw_steps(LADDER, TRACE).html * 2)
    page.get_by_role("button", name="Step back").nth(1).click()
    assert page.get_by_role("status").all_inner_texts() == ["Step 3 of 3: trip F1", "Step 2 of 3: let S2 go"]
    page.close()


def test_it_asks_for_nothing_from_outside() -> None:
    html = draw_steps(LADDER, TRACE).html.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert "http" not in html
    assert "src=" not in html


def test_what_is_no_run_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LadderError, match="steps through what `run` returns"):
        draw_steps(LADDER, TRACE[1])  # type: ignore[arg-type]
    with pytest.raises(LadderError, match="steps are a page of HTML") as caught:
        draw_steps(LADDER, TRACE).save(tmp_path / "steps.pdf")
    assert caught.value.choices == ("steps.html",)
