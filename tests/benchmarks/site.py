"""The edition for the browser: from the address of lab 02, opened with an empty profile, until its first cell has run.

The site is built once and served by Python's own static server on this machine, so nothing is measured of a network,
and nothing is compressed on the way. Each run is a new Chromium, headless and without a graphics card. The hand clicks
into the cell as soon as it shows and presses Shift and Enter; the clock stops when the cell has its number. JupyterLab
loses what is pressed before the notebook has a kernel: the hand sees that no [*] comes, and presses again. Processor
time, of all processes of the browser, heeds less what else the machine does.

These measures are there only where SITE_TOOLS names the environment with the tools of `rungbook site`:
`SITE_TOOLS=/path/of/tools python -m tests.benchmarks site`.
"""

from __future__ import annotations

import atexit
import os
import shutil
import sys
from contextlib import ExitStack
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

import psutil
from playwright.sync_api import sync_playwright
from tests.benchmarks import MissingPeerError, Run, measure

ROOT = Path(__file__).parents[2]
TOOLS = os.environ.get("SITE_TOOLS")
PATIENCE = 300_000  # ms
AGAIN = 500  # ms after which the hand presses again
_PATH = "lab02-holding-circuit/lab02.ipynb"
_stack = ExitStack()
atexit.register(_stack.close)


@dataclass(frozen=True)
class _Opened:
    """shows: until the cell is there to click at. answers: until it has run. processor: of the browser. All in [s]."""

    shows: float
    answers: float
    processor: float


_runs: list[_Opened] = []


@cache
def _site() -> tuple[str, int]:
    """The address of the built site, and its size [bytes]."""
    sys.path.insert(0, str(ROOT / "tests"))
    from site_browser import built, served

    made = built(Path(_stack.enter_context(TemporaryDirectory())) / "cider", Path(str(TOOLS)))
    return _stack.enter_context(served(made.folder)), made.size


def _processor(browser: list[psutil.Process]) -> float:
    return sum(sum(process.cpu_times()[:2]) for process in browser)


def _open() -> _Opened:
    """One visit from an empty profile."""
    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if path is None:
        raise MissingPeerError("chromium")
    address, _ = _site()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1200, "height": 900})
        start = perf_counter()
        page.goto(f"{address}/lab/index.html?path={_PATH}")
        cell = page.locator(".jp-CodeCell").first
        cell.locator(".cm-content").click(timeout=PATIENCE)
        shows = perf_counter() - start
        prompt = cell.locator(".jp-InputPrompt")
        while prompt.inner_text() == "[ ]:" and perf_counter() - start < PATIENCE / 1000:
            cell.locator(".cm-content").click()
            page.keyboard.press("Shift+Enter")
            page.wait_for_timeout(AGAIN)
        cell.locator(".jp-InputPrompt", has_text="[1]:").wait_for(timeout=PATIENCE)
        answers = perf_counter() - start
        ours = [one for one in psutil.Process().children(recursive=True) if "chrom" in one.name()]
        processor = _processor(ours)
        browser.close()
    _runs.append(_Opened(shows, answers, processor))
    return _runs[-1]


def _of_the_same_runs(name: str) -> Run:
    left = list(_runs)
    return lambda: float(getattr(left.pop(0) if left else _open(), name))


def _first_cell() -> Run:
    """The goal of an edition that nobody has to install."""
    _site()
    return lambda: _open().answers


def _notebook() -> Run:
    """What JupyterLab's page takes, before its Python starts."""
    return _of_the_same_runs("shows")


def _processor_time() -> Run:
    """Of all processes of the browser, its own start included."""
    return _of_the_same_runs("processor")


def _size() -> Run:
    """Of all files, uncompressed."""
    return lambda: _site()[1] / 1e6


if TOOLS:
    measure("site: lab 02 from an empty profile, until its first cell has run", "s", at_most=15, runs=5)(_first_cell)
    measure("site: the same, until the notebook shows", "s", runs=5)(_notebook)
    measure("site: the same, processor time of the browser", "s", runs=5)(_processor_time)
    measure("site: size of its files", "MB", at_most=60, runs=5)(_size)
