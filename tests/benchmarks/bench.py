"""The bench in JupyterLab: from a press to its redraw, and what it costs to keep it running.

A press is a true pointer event of the browser, timed from the moment at which the browser says it happened to the end
of the frame that first shows it. Load is time of processors: `kernel` is the process that runs the notebook's code,
`browser` all processes of Chromium together, which is headless and draws without a graphics card, so its share is on
the high side. The server between them is not counted.

What JupyterLab itself takes stands in rows of its own, measured with a widget that shows nothing: each message to the
kernel has it show a busy and an idle kernel, which costs more than all that a bench draws.
"""

from __future__ import annotations

import atexit
import os
import shutil
import sys
from collections.abc import Callable
from contextlib import ExitStack
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
_BENCH = f"""
import sys
sys.path.insert(0, {str(ROOT)!r})
from tests.benchmarks.bench import twelve_rungs
from rungbook import bench
bench(twelve_rungs({{setting!r}}))
"""
# as much as a bench exchanges with the kernel, and the least that can be looked at: one class of one element
_EMPTY = '''
import anywidget, traitlets
class Empty(anywidget.AnyWidget):
    _esm = """
    function render({ model, el }) {
      el.innerHTML = '<div class="rungbook-bench"><div class="panel" data-device="S1"><button>S1</button></div>' +
        '<div class="diagram"><svg width="9" height="9"></svg></div></div>';
      el.querySelector("button").addEventListener("pointerdown", () => model.send({ do: "order" }));
      let timer = null;
      window.exchange = (ms) => {
        clearInterval(timer);
        if (ms) timer = setInterval(() => model.send({ do: "time", at: performance.now() }), ms);
      };
      model.on("change:state", () => el.querySelector("svg").setAttribute("class", `n${model.get("state").number}`));
    }
    export default { render };"""
    state = traitlets.Dict().tag(sync=True)
    number = 0
    def __init__(self):
        super().__init__()
        self.on_msg(self.answer)
    def answer(self, *_):
        self.number += 1
        self.state = {"number": self.number, "words": "x" * 2000}
Empty()
'''
_CELLS = {
    "empty": _EMPTY,
    "bench": _BENCH.format(setting="flash 500 ms"),
    "quick": _BENCH.format(setting="flash 100 ms"),
}
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


def twelve_rungs(setting: str = "flash 500 ms") -> Ladder:
    """Twelve rungs: a relay that follows S1, a flashing timer, and what hangs on them."""
    tags = [f"K{k}" for k in range(3, 8)]
    panel = [Device("S1"), Device("S2", "two-position selector"), Device("K1")]
    panel += [Device("K2", "timer relay", setting=setting), *map(Device, tags)]
    panel += [Device(f"P{k}") for k in range(1, 6)]
    ladder = Ladder("Twelve rungs", panel)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("S2"), coil("K2"))
    for before, tag in zip(["K2", *tags], tags, strict=False):
        ladder.rung((NO(before) | NO("K1")) & NC("S1"), coil(tag))
    for k, tag in enumerate(tags, 1):
        ladder.rung(NO(tag), lamp(f"P{k}"))
    return ladder


_open: dict[str, Page] = {}  # the one that is open
_stack = ExitStack()
atexit.register(_stack.close)


def _page(what: str = "bench") -> Page:
    """A page of JupyterLab with one of `_CELLS`, alone; closed when another is asked for, or the benchmarks end."""
    if what not in _open:
        _open.clear()
        _stack.close()
        _open[what] = _opened(what, _stack)
    return _open[what]


def _opened(what: str, stack: ExitStack) -> Page:
    sys.path.insert(0, str(ROOT / "tests"))
    from jupyterlab_browser import comes_true, jupyterlab, open_notebook

    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if path is None:
        raise MissingPeerError("chromium")
    home = Path(stack.enter_context(TemporaryDirectory()))
    (home / "notebooks").mkdir()
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(_CELLS[what].strip())], metadata=kernel)
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


def _times_of_presses(page: Page) -> Callable[[], float]:
    page.locator(_BUTTON).hover()
    return lambda: _press(page)


@measure("bench: JupyterLab alone, pointer down to redrawn, empty widget", "ms", runs=100)
def press_empty() -> Callable[[], float]:
    """A press, an answer of the kernel, one class of one element: what no bench in JupyterLab can be quicker than."""
    return _times_of_presses(_page("empty"))


@measure("bench: JupyterLab alone, kernel + browser, blank notebook", "% of a core", runs=5)
def load_blank() -> Callable[[], float]:
    """Nothing happens."""
    return lambda: _exchanging(0)


@measure("bench: JupyterLab alone, kernel + browser, empty widget, 2 messages/s", "% of a core", runs=5)
def load_few() -> Callable[[], float]:
    """As many as the flashing timer of 500 ms needs."""
    return lambda: _exchanging(500)


@measure("bench: JupyterLab alone, kernel + browser, empty widget, 10 messages/s", "% of a core", runs=5)
def load_empty() -> Callable[[], float]:
    """As many as changes of state ten times a second need."""
    return lambda: _exchanging(100)


def _exchanging(gap: int) -> float:
    """The load while the empty widget sends a message every `gap` ms, never if that is 0."""
    page = _page("empty")
    page.evaluate(f"window.exchange({gap})")
    page.wait_for_timeout(1500)
    spent = _load(page, "kernel", "browser")
    page.evaluate("window.exchange(0)")
    return spent


@measure("bench: pointer down to redrawn diagram, JupyterLab", "ms", at_most=60, runs=100)
def press() -> Callable[[], float]:
    """The bench otherwise at rest."""
    return _times_of_presses(_switched(False))


@measure("bench: pointer down to redrawn diagram, 95 of 100 within", "ms", at_most=100, runs=5)
def press_at_worst() -> Callable[[], float]:
    """The 95th percentile of 40 presses."""
    once = _times_of_presses(_switched(False))
    return lambda: quantiles([once() for _ in range(40)], n=20)[-1]


def _switched(on: bool, what: str = "bench") -> Page:
    page = _page(what)
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


def _load(page: Page, *who: str) -> float:
    """Time of processors that "kernel" and "browser" took, in % of one, over four seconds."""
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
    """A timer flashes every 500 ms, its remaining time is told ten times a second."""

    def loaded(on: bool) -> float:
        return _load(_switched(on), "kernel", "browser")

    return (lambda: loaded(True)), (lambda: loaded(False))


@measure("bench: 12 rungs, 10 updates/s, kernel alone", "% of a core", runs=5)
def load_of_kernel() -> Callable[[], float]:
    """The same, without the browser."""
    page = _switched(True)
    return lambda: _load(page, "kernel")


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


@measure("bench: 12 rungs, 10 changes of state/s, kernel + browser", "% of a core", runs=5)
def load_quick() -> Callable[[], float]:
    """The timer flashes every 100 ms. No goal: ten messages a second to an empty widget take more than the other."""
    page = _switched(True, "quick")
    return lambda: _load(page, "kernel", "browser")


@measure("bench: changes of state shown a second, of 10", "1/s", at_least=9, runs=5)
def shown_quick() -> Callable[[], float]:
    """How often the timer's contact in the diagram is drawn anew: whether the row above is what it says."""
    page = _switched(True, "quick")
    script = """() => new Promise((done) => {
      const contact = document.querySelector('.rungbook-bench .diagram [data-device="K2"][data-live]');
      let shown = contact.getAttribute('class');
      let count = 0;
      const watch = new MutationObserver(() => {
        count += contact.getAttribute('class') !== shown;
        shown = contact.getAttribute('class');
      });
      watch.observe(contact, {attributes: true, attributeFilter: ['class']});
      setTimeout(() => { watch.disconnect(); done(count / 4); }, 4000);
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
