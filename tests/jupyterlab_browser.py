"""JupyterLab, or Notebook 7, on a folder of its own, looked at in a real browser."""

import os
import re
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

_OPTIONS = (
    "--no-browser",
    "--ip=127.0.0.1",
    "--port=0",
    "--allow-root",
    "--IdentityProvider.token=a-test",
)
_LAB_OPTIONS = (
    "--LabApp.expose_app_in_browser=True",
    "--LabApp.news_url=None",
    "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
)
_NOTEBOOK_OPTIONS = ("--JupyterNotebookApp.expose_app_in_browser=True",)
NOTEBOOK = "window.jupyterapp.shell.currentWidget"
READY = f"{NOTEBOOK}?.context?.isReady && {NOTEBOOK}.sessionContext.session?.kernel?.status === 'idle'"


def jupyterlab(home: Path, folder: Path) -> AbstractContextManager[str]:
    """JupyterLab on `folder`, with settings of its own in `home`: its address."""
    return _server("jupyterlab", _LAB_OPTIONS, home, folder)


def notebook7(home: Path, folder: Path) -> AbstractContextManager[str]:
    """Notebook 7 on `folder`, with settings of its own in `home`: its address."""
    return _server("notebook", _NOTEBOOK_OPTIONS, home, folder)


@contextmanager
def _server(program: str, options: Iterable[str], home: Path, folder: Path) -> Iterator[str]:
    environment = os.environ | {
        "JUPYTER_CONFIG_DIR": str(home / "config"),
        "JUPYTER_RUNTIME_DIR": str(home / "run"),
        "JUPYTERLAB_SETTINGS_DIR": str(home / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces"),
    }
    command = [sys.executable, "-m", program, str(folder), *_OPTIONS, *options]
    log = home / "log.txt"
    with log.open("w") as file, subprocess.Popen(command, cwd=home, env=environment, stderr=file) as process:
        try:
            yield _address(program, process, log)
        finally:
            process.terminate()


def _address(program: str, process: subprocess.Popen, log: Path) -> str:
    """Where the server listens, as soon as its log tells."""
    for _ in range(600):
        found = re.search(r"(http://127\.0\.0\.1:\d+)/", log.read_text())
        if found:
            return found[1]
        assert process.poll() is None, f"{program} ended: {log.read_text()}"
        time.sleep(0.1)
    pytest.fail(f"{program} did not start in a minute: {log.read_text()}")


def comes_true(page: Page, expression: str, seconds: float) -> bool:
    """Wait until a JavaScript expression is true; say whether it came to that in time."""
    end = time.monotonic() + seconds
    while not page.evaluate(expression):
        if time.monotonic() > end:
            return False
        page.wait_for_timeout(100)
    return True


def open_notebook(browser: Browser, address: str, path: str, width: int = 1200) -> Page:
    """The notebook `path` in a page of JupyterLab, its kernel waiting."""
    page = browser.new_page(viewport={"width": width, "height": 900})
    return _opened(page, f"{address}/lab/tree/{path}?reset&token=a-test")


def open_in_notebook7(browser: Browser, address: str, path: str, width: int = 1200) -> Page:
    """The same in Notebook 7."""
    page = browser.new_page(viewport={"width": width, "height": 900})
    return _opened(page, f"{address}/notebooks/{path}?token=a-test")


def _opened(page: Page, url: str) -> Page:
    page.goto(url)
    page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=60_000)
    assert comes_true(page, READY, 60)
    return page
