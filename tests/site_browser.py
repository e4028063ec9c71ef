"""The built site, served on this machine and looked at in a real browser that finds no other."""

import functools
import json
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Page

from jupyterlab_browser import NOTEBOOK, READY, comes_true
from rungbook.alone.find import sealed_packs
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab
from rungbook.classroom.site import Site, build_site

ROOT = Path(__file__).parents[1]
PATIENCE = 180  # s; on a machine that is busy with other tests


def built(folder: Path, tools: Path) -> Site:
    """The site of this checkout in `folder`, with a handle for the test's own hands."""
    made = build_site(folder, ROOT, tools, more=sealed_packs(ROOT))
    settings = made.folder / "jupyter-lite.json"
    told = json.loads(settings.read_text(encoding="utf-8"))
    told["jupyter-config-data"]["exposeAppInBrowser"] = True
    settings.write_text(json.dumps(told), encoding="utf-8")
    return made


class _Quiet(SimpleHTTPRequestHandler):
    """A static server that writes no log."""

    def log_message(self, format: str, *args: object) -> None:
        pass


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a static server for `folder`."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=folder))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


@dataclass
class Visit:
    """A student's browser with an empty profile, and everything that it asked for. base: the site's address."""

    base: str
    context: BrowserContext
    asked: list[str] = field(default_factory=list)

    def open(self, path: str) -> Page:
        """The notebook `path`, its kernel waiting."""
        page = self.context.new_page()
        page.goto(f"{self.base}/lab/index.html?path={path}")
        return self.opened(page, path)

    def opened(self, page: Page, path: str) -> Page:
        """The same page, once it shows `path` and no notebook that was open before, its kernel waiting."""
        page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=PATIENCE * 1000)
        it = f"{NOTEBOOK}?.context?.path === {json.dumps(path)}"
        assert comes_true(page, f"{it} && {READY}", PATIENCE), page.locator("body").inner_text()[:500]
        return page


@contextmanager
def visiting(browser: Browser, base: str) -> Iterator[Visit]:
    """A visit from an empty profile."""
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    visit = Visit(base, context)
    context.on("request", lambda request: visit.asked.append(request.url))
    try:
        yield visit
    finally:
        context.close()


def solved(lab: str) -> dict[str, str]:
    """grade_id -> source of every code cell in which a student answers, with the solution."""
    cells = instructor_notebook(find_lab(ROOT, lab)).cells
    meta = [(cell, cell.metadata.get("nbgrader", {})) for cell in cells]
    return {told["grade_id"]: cell.source for cell, told in meta if told.get("solution") and cell.cell_type == "code"}


def sources(page: Page) -> dict[str, str]:
    """grade_id -> source of every cell of the open notebook that has one."""
    return page.evaluate(
        f"""Object.fromEntries({NOTEBOOK}.content.widgets
        .filter(cell => cell.model.sharedModel.getMetadata("nbgrader"))
        .map(cell => [cell.model.sharedModel.getMetadata("nbgrader").grade_id, cell.model.sharedModel.getSource()]))"""
    )


def fill_in(page: Page, answers: Mapping[str, str]) -> None:
    """Put `answers`, grade_id -> source, into their cells."""
    page.evaluate(
        f"""answers => {NOTEBOOK}.content.widgets.forEach(cell => {{
            const shared = cell.model.sharedModel, told = shared.getMetadata("nbgrader");
            if (told && answers[told.grade_id]) shared.setSource(answers[told.grade_id]);
        }})""",
        dict(answers),
    )


def run_all(page: Page) -> list[tuple[str, list[dict]]]:
    """Run every cell, and go on after one that fails; return source and outputs of each code cell."""
    return page.evaluate(
        f"""async () => {{
            const panel = {NOTEBOOK}, commands = window.jupyterapp.commands;
            for (let k = 0; k < panel.content.widgets.length; k++) {{
                if (panel.content.widgets[k].model.type !== "code") continue;
                panel.content.deselectAll();
                panel.content.activeCellIndex = k;
                await commands.execute("notebook:run-cell");
            }}
            return panel.content.widgets.filter(cell => cell.model.type === "code")
                .map(cell => [cell.model.sharedModel.getSource(), cell.model.sharedModel.getOutputs()]);
        }}"""
    )


def run_new(page: Page, code: str) -> list[dict]:
    """Run `code` in a new cell at the end of the notebook, as a student does; return its outputs."""
    return page.evaluate(
        f"""async code => {{
            const panel = {NOTEBOOK}, commands = window.jupyterapp.commands;
            panel.content.deselectAll();
            panel.content.activeCellIndex = panel.content.widgets.length - 1;
            await commands.execute("notebook:insert-cell-below");
            panel.content.activeCell.model.sharedModel.setSource(code);
            await commands.execute("notebook:run-cell");
            return panel.content.activeCell.model.sharedModel.getOutputs();
        }}""",
        code,
    )


def shown(outputs: Sequence[Mapping]) -> str:
    """What outputs say, as plain text: streams, values, errors."""
    texts = []
    for one in outputs:
        data = one.get("data", {}).get("text/plain", one.get("text", one.get("evalue", "")))
        texts.append("".join(data) if isinstance(data, list) else data)
    return "\n".join(texts)
