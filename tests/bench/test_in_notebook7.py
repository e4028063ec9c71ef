"""The bench in Notebook 7, in a real browser: it is handled, its trace grows, the page reports no error."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page

from jupyterlab_browser import comes_true, notebook7, open_in_notebook7

ELEVATOR = """
from rungbook import *
from rungbook.circuit.power import reversing

panel = [
    Device("S1", colour="red", label="stop"),
    Device("S2", colour="green", label="up"),
    Device("S3", colour="green", label="down"),
    Device("Q1"),
    Device("Q2"),
]
elevator = Ladder("Apple elevator", panel)
elevator.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1"))
elevator.rung(NC("S1") & (NO("S3") | NO("Q2")) & NC("Q1"), coil("Q2"))
bench(elevator, reversing())
"""
DESK = "document.querySelector('.rungbook-bench')"


@dataclass
class Opened:
    """A page with the bench. troubles: what went wrong in its scripts, and what its console calls an error."""

    page: Page
    troubles: list[str]

    def comes_to(self, tag: str, word: str) -> bool:
        look = f"""{DESK}.querySelector('[data-device="{tag}"] .word').textContent.startsWith({word!r})"""
        return comes_true(self.page, look, 10)


@pytest.fixture(scope="module", name="opened")
def _opened(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Opened]:
    home = tmp_path_factory.mktemp("notebook7")
    folder: Path = home / "notebooks"
    folder.mkdir()
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(ELEVATOR.strip())], metadata=kernel)
    nbformat.write(book, folder / "bench.ipynb")
    with notebook7(home, folder) as address:
        page = open_in_notebook7(browser, address, "bench.ipynb", 1500)
        opened = Opened(page, [])  # what Notebook 7 says while it starts is its own

        def heard(said: ConsoleMessage) -> None:
            if said.type == "error":
                opened.troubles.append(said.text)

        page.on("pageerror", lambda error: opened.troubles.append(str(error)))
        page.on("console", heard)
        page.evaluate("() => void window.jupyterapp.commands.execute('notebook:run-all-cells')")
        assert comes_true(page, f"!!{DESK}?.querySelector('.panel')", 60)
        yield opened
        page.close()


def test_a_button_held_by_mouse_turns_the_motor_and_a_key_stops_it(opened: Opened) -> None:
    page = opened.page
    button = page.locator('.rungbook-bench [data-device="S3"] button').first
    button.scroll_into_view_if_needed()
    button.hover()
    page.mouse.down()
    assert opened.comes_to("Q2", "in")
    page.mouse.up()
    assert opened.comes_to("S3", "released")
    assert opened.comes_to("M1", "running backwards")
    arrow = (
        f"""getComputedStyle({DESK}.querySelector('.diagram [data-device="M1"] .turn.backwards')).display !== 'none'"""
    )
    assert page.evaluate(arrow)
    button.focus()
    page.keyboard.press("1")  # the stop button's own key
    assert opened.comes_to("Q2", "out")
    assert comes_true(page, f"!({arrow})", 5)


def test_the_trace_has_every_change_in_order(opened: Opened) -> None:
    rows = [
        text.split(" s", 1)[1] for text in opened.page.locator(".rungbook-bench .rows tbody tr").all_text_contents()
    ]
    assert [row for row in rows if row.startswith(("S", "Q"))] == [
        "S3 pressed",
        "Q2 in",
        "S3 released",
        "S1 pressed",
        "Q2 out",
        "S1 released",
    ]
    assert opened.page.locator(".rungbook-bench .strip .lane").count() >= 4


def test_the_whole_bench_is_in_sight_and_not_in_a_window_of_its_own(opened: Opened) -> None:
    area = f"{DESK}.closest('.jp-Cell-outputArea')"
    assert opened.page.evaluate(f"{area}.clientHeight >= {DESK}.clientHeight")


def test_neither_scripts_nor_console_report_an_error(opened: Opened) -> None:
    assert opened.troubles == []
