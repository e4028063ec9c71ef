"""A hunt for a fault in JupyterLab: by mouse, and from the first reading to the marks by keyboard alone."""

from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import Browser, Page

from accessible import found_on, grave
from hunting import token_of
from jupyterlab_browser import NOTEBOOK, READY, comes_true, jupyterlab, open_notebook

BEGIN = """
from rungbook import *
from rungbook.bench import FaultHunt
from rungbook.grading import finds_fault, mark
pump = Ladder("Wash pump")
pump.rung(NC("S1") & (NO("S2") | NO("Q1", "13-14")) & NC("F1", "95-96"), coil("Q1"))
pump.rung(NO("Q1", "23-24"), lamp("P1", "green"))
"""
HUNT = '{name} = FaultHunt(pump, "{token}", lab="lab07")\n{name}'
ANSWER = "found = hunt.answer()"
MARKS = 'mark("found", globals(), finds_fault(pump, "{token}", 20, lab="lab07"))'
_TOAST = ".Toastify{display:none!important}"


@pytest.fixture(scope="module", name="opened")
def _opened(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Page, Path]]:
    home = tmp_path_factory.mktemp("hunt")
    folder = home / "notebooks"
    folder.mkdir()
    token, other = token_of("F1", "stays tripped"), token_of("supply", "fuse is blown")
    texts = (
        BEGIN,
        HUNT.format(name="hunt", token=token),
        HUNT.format(name="second", token=other),
        ANSWER,
        MARKS.format(token=token),
    )
    cells = [nbformat.v4.new_code_cell(text.strip()) for text in texts]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=kernel), folder / "hunt.ipynb")
    with jupyterlab(home, folder) as address:
        page = open_notebook(browser, address, "hunt.ipynb", 1500)
        page.context.grant_permissions(["clipboard-read", "clipboard-write"])
        page.add_style_tag(content=_TOAST)
        yield page, folder
        page.close()


@pytest.fixture(name="page")
def _page(opened: tuple[Page, Path]) -> Page:
    """The notebook run anew: both hunts as they begin."""
    page = opened[0]
    page.evaluate("() => void window.jupyterapp.commands.execute('notebook:clear-all-cell-outputs')")
    assert comes_true(page, "!document.querySelector('.rungbook-bench')", 10)
    page.evaluate("() => void window.jupyterapp.commands.execute('notebook:run-all-cells')")
    assert comes_true(page, "document.querySelectorAll('.rungbook-bench .panel').length === 2", 60)
    assert comes_true(page, READY, 60)
    return page


def bench(page, place=0):
    return page.locator(".rungbook-bench").nth(place)


def log(page, place=0):
    return [row.locator("td").all_text_contents()[1:3] for row in bench(page, place).locator(".log tbody tr").all()]


def has_rows(page, count, place=0):
    rows = f"document.querySelectorAll('.rungbook-bench')[{place}].querySelectorAll('.log tbody tr').length"
    return comes_true(page, f"{rows} === {count}", 10)


def point(page, lead):
    return bench(page).locator(f'.point[aria-label^="{lead},"]')


def test_the_hunt_has_no_serious_finding_of_axe(page):
    bench(page).locator('[data-device="S2"] button').click()
    assert has_rows(page, 1)
    assert grave(found_on(page, ".rungbook-bench")) == ""


class TestByMouse:
    def test_leads_by_tap_readings_as_acts_and_the_budget(self, page):
        hunt = bench(page)
        point(page, "S2:14").click()
        point(page, "X2").click()
        hunt.locator('[data-device="S2"] button').click()
        assert has_rows(page, 1)
        assert hunt.locator('[data-device="S2"] button').get_attribute("aria-pressed") == "true"
        hunt.get_by_role("button", name="Take the reading").click()
        assert has_rows(page, 2)
        assert log(page) == [["press S2", "Q1 out, P1 dark"], ["volts S2:14 – X2", "120.0 V"]]
        assert hunt.locator(".display").text_content() == "120.0 V"
        assert hunt.locator(".left").text_content().startswith("Readings left: 19 of 20")
        point(page, "F1:96").click()  # what was read stands no longer on the display
        assert hunt.locator(".display").text_content() == "take the reading"

    def test_ohms_on_a_live_circuit_are_refused_in_words(self, page):
        hunt = bench(page)
        hunt.get_by_role("radio", name="ohms").click()
        hunt.get_by_label("V lead on").select_option("S1:11")
        hunt.get_by_label("COM lead on").select_option("S1:12")
        hunt.get_by_role("button", name="Take the reading").click()
        assert has_rows(page, 1)
        assert hunt.locator(".display").text_content() == "--- live"
        assert hunt.locator(".remark").text_content().startswith("The circuit is live: switch the supply off")

    def test_no_current_path_is_shown_before_or_after_an_order(self, page):
        bench(page, 1).locator('[data-device="S2"] button').click()
        assert has_rows(page, 1, place=1)
        assert page.locator(".hunt .carries, .hunt .alive, .hunt .closed").count() == 0

    def test_two_hunts_do_not_disturb_each_other(self, page):
        bench(page, 1).get_by_role("button", name="Look").click()
        assert has_rows(page, 1, place=1)
        assert log(page) == []
        ids = page.evaluate("[...document.querySelectorAll('.hunt .diagram svg [id]')].map(one => one.id)")
        assert len(ids) == len(set(ids)) == 4

    def test_in_a_narrow_window_nothing_sticks_out(self, page):
        page.set_viewport_size({"width": 600, "height": 900})
        place = "document.querySelector('.rungbook-bench {}').getBoundingClientRect()"
        below = f"{place.format('.panel')}.top >= {place.format('.diagram')}.bottom"
        assert comes_true(page, below, 5)
        assert bench(page).evaluate("bench => bench.scrollWidth <= bench.clientWidth")
        page.set_viewport_size({"width": 1500, "height": 900})
        assert comes_true(page, f"!({below})", 5)


class TestByKeyboard:
    def stop_at(self, page, label):
        for _ in range(40):
            here = "document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
            if page.evaluate(here).startswith(label):
                return
            page.keyboard.press("Tab")
        raise AssertionError(f"Tab does not come to {label}")

    def back_to(self, page, label):
        for _ in range(40):
            here = "document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
            if page.evaluate(here).startswith(label):
                return
            page.keyboard.press("Shift+Tab")
        raise AssertionError(f"Shift+Tab does not come to {label}")

    def test_from_the_first_reading_to_the_marks_without_a_mouse(self, page, opened):
        keys = page.keyboard
        bench(page).get_by_role("button", name="Look").focus()
        keys.press("Enter")
        assert has_rows(page, 1)
        self.stop_at(page, "S2")
        keys.press("Space")
        assert has_rows(page, 2)
        self.stop_at(page, "COM lead on")
        keys.type("X2")
        for place, lead in enumerate(("S2:14", "F1:95", "F1:96"), 3):
            self.back_to(page, "V lead on")
            keys.type(lead)
            assert page.evaluate("document.activeElement.value") == lead
            self.back_to(page, "Take the reading")
            keys.press("Enter")
            assert has_rows(page, place)
            self.stop_at(page, "V lead on")
            page.wait_for_timeout(1100)  # the browser takes letters within a second as one word
        assert [shown for _, shown in log(page)][2:] == ["120.0 V", "120.0 V", "0.0 V"]
        self.stop_at(page, "Device that is at fault")
        keys.type("F1")
        keys.press("Tab")
        keys.type("stays tripped")
        keys.press("Tab")
        keys.press("Enter")
        over = "document.activeElement.tagName === 'TEXTAREA' && document.activeElement.value.includes('claim F1')"
        assert comes_true(page, over, 10)
        told = (
            "document.querySelector('.rungbook-bench .page').textContent.includes('Your readings leave nothing else.')"
        )
        assert comes_true(page, told, 20)
        keys.press("Tab")
        keys.press("Enter")
        assert comes_true(page, "document.querySelector('.cell .aids .small').textContent === 'Copied.'", 5)
        page.evaluate(f"() => {{ {NOTEBOOK}.content.activeCellIndex = 3; {NOTEBOOK}.content.mode = 'command'; }}")
        page.evaluate(f"() => {NOTEBOOK}.content.node.focus()")
        page.evaluate(f"() => {NOTEBOOK}.content.activeCell.node.focus()")
        keys.press("Enter")
        keys.press("Control+a")
        keys.press("Control+v")
        pasted = f"{NOTEBOOK}.content.widgets[3].model.sharedModel.getSource().startsWith('found = hunt.from_acts')"
        assert comes_true(page, pasted, 5)
        page.evaluate("() => void window.jupyterapp.commands.execute('notebook:restart-run-all')")
        self.restart(page)
        marks = "document.querySelectorAll('.jp-Cell')[4].textContent.includes('found: 20 of 20 points')"
        assert comes_true(page, marks, 60)
        assert log(page) == []  # the bench begins anew, the answer is in the cell

    def restart(self, page):
        """Answer the question whether to restart."""
        if comes_true(page, "!!document.querySelector('.jp-Dialog .jp-mod-accept')", 5):
            page.keyboard.press("Enter")
        assert comes_true(page, "document.querySelectorAll('.rungbook-bench:not(.dead) .panel').length === 2", 60)
        assert comes_true(page, READY, 60)


class TestSaved:
    def test_a_saved_notebook_keeps_the_log_and_neither_fault_nor_token_beside_the_cell(self, page, opened):
        bench(page).locator('[data-device="S2"] button').click()
        assert has_rows(page, 1)
        kept = "document.querySelector('.rungbook-bench-last').textContent.includes('press S2')"
        assert comes_true(page, kept, 10)
        assert not page.locator(".rungbook-bench-last").first.is_visible()
        page.evaluate("() => void window.jupyterapp.commands.execute('docmanager:save')")
        assert comes_true(page, f"!{NOTEBOOK}.context.model.dirty", 10)
        saved = nbformat.read(opened[1] / "hunt.ipynb", as_version=4)
        outputs = [str(out) for out in saved.cells[1].outputs]
        assert any("<img alt=" in out and "press S2" in out for out in outputs)
        text = str([outputs, saved.metadata, [cell.metadata for cell in saved.cells]])
        assert token_of("F1", "stays tripped") not in text
        assert not any(word in text for word in ("has tripped", "StuckDevice", "HeldContact"))

    def test_a_kernel_that_goes_leaves_the_bench_dead_and_says_so(self, page):
        page.evaluate(f"() => void {NOTEBOOK}.sessionContext.session.kernel.restart()")
        assert comes_true(page, "document.querySelectorAll('.rungbook-bench.dead').length === 2", 20)
        assert "run the cell again" in bench(page).locator(".said").text_content()
        assert bench(page).locator("button:not(:disabled):not(.cell button)").count() == 0
        assert comes_true(page, READY, 60)
