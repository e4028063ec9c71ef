"""The bench in JupyterLab: from a press to its redraw, and what it costs to keep it running.

A press is a true pointer event of the browser, timed from the moment at which the browser says it happened to the end
of the frame that first shows it. Load is time of processors: `kernel` is the process that runs the notebook's code,
`browser` all processes of Chromium together, which is headless and draws without a graphics card, so its share is on
the high side. The server between them is not counted.
"""

from __future__ import annotations

import atexit
import os
import shutil
import sys
from collections.abc import Callable
from contextlib import ExitStack
from functools import cache
from pathlib import Path
from statistics import quantiles
from tempfile import TemporaryDirectory
from time import perf_counter

import nbformat
import psutil
from playwright.sync_api import Page, sync_playwright
from tests.benchmarks import MissingPeerError, measure

from rungbook import NC, NO, Device, Ladder, coil, lamp
from rungbook.bench.model import BenchModel

ROOT = Path(__file__).parents[2]
_CELL = f"""
import sys
sys.path.insert(0, {str(ROOT)!r})
from tests.benchmarks.bench import twelve_rungs
from rungbook import bench
bench(twelve_rungs())
"""
_BUTTON = '.rungbook-bench [data-device="S1"] button'
_SWITCH = '.rungbook-bench [data-device="S2"] button'
# notes when the pointer went down, and the end of the frame in which the diagram was first changed after that
_WATCH = f"""() => {{
  const diagram = document.querySelector('.rungbook-bench .diagram svg');
  window.pressed = window.redrawn = null;
  document.querySelector({_BUTTON!r}).addEventListener('pointerdown', (event) => {{
    window.pressed = event.timeStamp;
    window.redrawn = null;
  }}, {{capture: true}});
  new MutationObserver(() => {{
    if (window.pressed === null || window.redrawn !== null) return;
    window.redrawn = 0;
    requestAnimationFrame(() => {{
      const channel = new MessageChannel();
      channel.port1.onmessage = () => (window.redrawn = performance.now());
      channel.port2.postMessage(null);
    }});
  }}).observe(diagram, {{subtree: true, attributes: true, attributeFilter: ['class']}});
}}"""


def twelve_rungs() -> Ladder:
    """Twelve rungs: a relay that follows S1, a flashing timer, and what hangs on them."""
    tags = [f"K{k}" for k in range(3, 8)]
    panel = [Device("S1"), Device("S2", "two-position selector"), Device("K1")]
    panel += [Device("K2", "timer relay", setting="flash 500 ms"), *map(Device, tags)]
    panel += [Device(f"P{k}") for k in range(1, 6)]
    ladder = Ladder("Twelve rungs", panel)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("S2"), coil("K2"))
    for before, tag in zip(["K2", *tags], tags, strict=False):
        ladder.rung((NO(before) | NO("K1")) & NC("S1"), coil(tag))
    for k, tag in enumerate(tags, 1):
        ladder.rung(NO(tag), lamp(f"P{k}"))
    return ladder


@cache
def _page() -> Page:
    """A page with the bench of twelve rungs in JupyterLab; closed when the benchmarks end."""
    sys.path.insert(0, str(ROOT / "tests"))
    from jupyterlab_browser import comes_true, jupyterlab, open_notebook

    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if path is None:
        raise MissingPeerError("chromium")
    stack = ExitStack()
    atexit.register(stack.close)
    home = Path(stack.enter_context(TemporaryDirectory()))
    (home / "notebooks").mkdir()
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(_CELL.strip())], metadata=kernel)
    nbformat.write(book, home / "notebooks" / "bench.ipynb")
    address = stack.enter_context(jupyterlab(home, home / "notebooks"))
    playwright = stack.enter_context(sync_playwright())
    browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
    stack.callback(browser.close)
    page = open_notebook(browser, address, "bench.ipynb", 1500)
    page.add_style_tag(content=".Toastify{display:none!important}")
    page.evaluate("() => void window.jupyterapp.commands.execute('notebook:run-all-cells')")
    if not comes_true(page, "!!document.querySelector('.rungbook-bench .panel')", 60):
        raise RuntimeError("the bench did not show within a minute")
    page.wait_for_timeout(2000)
    page.locator(_BUTTON).scroll_into_view_if_needed()
    page.evaluate(_WATCH)
    page.locator(_BUTTON).hover()
    for _ in range(3):
        _press(page)
    return page


def _press(page: Page) -> float:
    """One press: time [ms] from pointer down to the redrawn diagram. The button is let go again."""
    page.mouse.down()
    page.wait_for_function("window.redrawn", polling=20)
    taken = float(page.evaluate("window.redrawn - window.pressed"))
    page.wait_for_timeout(60)
    page.mouse.up()
    page.wait_for_timeout(90)
    return taken


@measure("bench: pointer down to redrawn diagram, JupyterLab", "ms", at_most=60, runs=100)
def press() -> Callable[[], float]:
    """The bench otherwise at rest."""
    page = _switched(False)
    page.locator(_BUTTON).hover()
    return lambda: _press(page)


@measure("bench: pointer down to redrawn diagram, 95 of 100 within", "ms", at_most=100, runs=5)
def press_at_worst() -> Callable[[], float]:
    """The 95th percentile of 40 presses."""
    page = _switched(False)
    page.locator(_BUTTON).hover()
    return lambda: quantiles([_press(page) for _ in range(40)], n=20)[-1]


def _switched(on: bool) -> Page:
    page = _page()
    switch = page.locator(_SWITCH)
    if (switch.get_attribute("aria-checked") == "true") != on:
        switch.click()
    page.wait_for_timeout(1500)
    return page


def _members() -> dict[str, list[psutil.Process]]:
    """The processes below this one, by what they do."""
    found: dict[str, list[psutil.Process]] = {"kernel": [], "browser": []}
    for one in psutil.Process().children(recursive=True):
        words = " ".join(one.cmdline())
        for who, sign in (("kernel", "ipykernel"), ("browser", "--no-sandbox")):  # the latter is handed on to each part
            if sign in words:
                found[who].append(one)
    return found


def _load(*who: str) -> float:
    """Time of processors that "kernel" and "browser" took, in % of one, over four seconds."""
    page = _page()
    members = _members()
    family = [one for name in who for one in members[name]]
    if not all(members[name] for name in who):
        raise RuntimeError(f"no process found of one of {who}")
    before = [sum(one.cpu_times()[:2]) for one in family]
    start = perf_counter()
    page.wait_for_timeout(4000)
    spent = sum(sum(one.cpu_times()[:2]) for one in family) - sum(before)
    return 100 * spent / (perf_counter() - start)


@measure("bench: 12 rungs, 10 updates/s, kernel + browser; peer: at rest", "% of a core", at_most=30, runs=5)
def load() -> tuple[Callable[[], float], Callable[[], float]]:
    """A flashing timer runs, its remaining time is told ten times a second."""

    def loaded(on: bool) -> float:
        _switched(on)
        return _load("kernel", "browser")

    return (lambda: loaded(True)), (lambda: loaded(False))


@measure("bench: 12 rungs, 10 updates/s, kernel alone", "% of a core", runs=5)
def load_of_kernel() -> Callable[[], float]:
    """The same, without the browser."""
    _switched(True)
    return lambda: _load("kernel")


@measure("bench: updates a second while a timer runs", "1/s", at_least=8, runs=5)
def updates() -> Callable[[], float]:
    """How often the remaining time on the page changes."""
    page = _switched(True)
    script = """() => new Promise((done) => {
      const words = document.querySelector('.rungbook-bench [data-device="K2"] .body .small');
      let count = 0;
      const watch = new MutationObserver(() => (count += 1));
      watch.observe(words, {childList: true, characterData: true, subtree: true});
      setTimeout(() => { watch.disconnect(); done(count / 3); }, 3000);
    })"""
    return lambda: float(page.evaluate(script))


@measure("bench: an order and its answer in the kernel, 12 rungs", "ms", runs=100)
def answer() -> Callable[[], float]:
    """Model alone: a press, brought to its time, and the whole state as plain data."""
    model = BenchModel(twelve_rungs())
    places = ["pressed", "released"] * 1000

    def run() -> float:
        start = perf_counter()
        model.order("S1", places.pop(), model.now + 0.1)
        model.state()
        return 1000 * (perf_counter() - start)

    return run
