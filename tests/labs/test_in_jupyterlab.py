"""Each released lab, opened in JupyterLab in a real browser and run from top to bottom, as a student does."""

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import Browser, Page

from rungbook.classroom.labs import Lab, find_labs

ROOT = Path(__file__).parents[2]
LABS = find_labs(ROOT)
_OPTIONS = (
    "--no-browser",
    "--ip=127.0.0.1",
    "--port=0",
    "--allow-root",
    "--IdentityProvider.token=a-test",
    "--LabApp.expose_app_in_browser=True",
    "--LabApp.news_url=None",
    "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
)
_NOTEBOOK = "window.jupyterapp.shell.currentWidget"
_READY = f"{_NOTEBOOK}?.context?.isReady && {_NOTEBOOK}.sessionContext.session?.kernel?.status === 'idle'"
_ALL_RUN = f"{_NOTEBOOK}.content.widgets.every(cell => cell.model.type !== 'code' || cell.model.executionCount)"
_SAVED = f"!{_NOTEBOOK}.context.model.dirty"


@pytest.fixture(scope="module", name="server")
def _server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """JupyterLab on a copy of course/, with settings of its own: its address and the copy."""
    home = tmp_path_factory.mktemp("lab")
    course = home / "course"
    shutil.copytree(ROOT / "course", course)
    environment = os.environ | {
        "JUPYTER_CONFIG_DIR": str(home / "config"),
        "JUPYTER_RUNTIME_DIR": str(home / "run"),
        "JUPYTERLAB_SETTINGS_DIR": str(home / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces"),
    }
    command = [sys.executable, "-m", "jupyterlab", str(course), *_OPTIONS]
    log = home / "log.txt"
    with log.open("w") as file, subprocess.Popen(command, cwd=home, env=environment, stderr=file) as process:
        try:
            yield _address(process, log), course
        finally:
            process.terminate()


def _address(process: subprocess.Popen, log: Path) -> str:
    """Where the server listens, as soon as its log tells."""
    for _ in range(600):
        found = re.search(r"(http://127\.0\.0\.1:\d+)/", log.read_text())
        if found:
            return found[1]
        assert process.poll() is None, f"JupyterLab ended: {log.read_text()}"
        time.sleep(0.1)
    pytest.fail(f"JupyterLab did not start in a minute: {log.read_text()}")


def comes_true(page: Page, expression: str, seconds: float) -> bool:
    """Wait until a JavaScript expression is true; say whether it came to that in time."""
    end = time.monotonic() + seconds
    while not page.evaluate(expression):
        if time.monotonic() > end:
            return False
        page.wait_for_timeout(100)
    return True


def open_lab(browser: Browser, address: str, lab: Lab) -> Page:
    """The lab's notebook in a page, its kernel waiting."""
    page = browser.new_page(viewport={"width": 1200, "height": 900})
    page.goto(f"{address}/lab/tree/{lab.name}/{lab.short}.ipynb?reset&token=a-test")
    page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=60_000)
    assert comes_true(page, _READY, 60)
    return page


@pytest.mark.parametrize("lab", LABS, ids=[lab.short for lab in LABS])
def test_lab_runs_and_shows_its_diagrams(browser: Browser, server: tuple[str, Path], lab: Lab) -> None:
    address, course = server
    page = open_lab(browser, address, lab)
    try:
        # not awaited: a dialogue would hold the promise back for ever
        page.evaluate("() => void window.jupyterapp.commands.execute('notebook:run-all-cells')")
        assert comes_true(page, _ALL_RUN, 60)
        page.evaluate("() => void window.jupyterapp.commands.execute('docmanager:save')")
        assert comes_true(page, _SAVED, 30)
        picture = page.locator(".jp-OutputArea-output img").first
        picture.scroll_into_view_if_needed()
        assert picture.get_attribute("alt").startswith("Ladder diagram")
        assert picture.evaluate("image => image.naturalWidth") > 200
    finally:
        page.close()
    saved = nbformat.read(course / lab.name / f"{lab.short}.ipynb", as_version=4)
    code = [cell for cell in saved.cells if cell.cell_type == "code"]
    assert all(cell.execution_count for cell in code)
    outputs = [(cell["id"], output) for cell in code for output in cell.outputs]
    assert [where for where, output in outputs if output.output_type in ("error", "stream")] == []
    drawn = [output for _, output in outputs if "image/svg+xml" in output.get("data", {})]
    assert len(drawn) == sum("draw(" in cell.source for cell in code)
