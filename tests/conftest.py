"""The same random cases in every run, so that a failure can be repeated; and one browser for all pictures."""

import os
import shutil
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, sync_playwright

settings.register_profile(
    "fixed", derandomize=True, deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("fixed")

QUIET = (
    "no-sandbox",
    "disable-gpu",
    "disable-quic",
    "no-first-run",
    "disable-background-networking",
    "disable-component-update",
    "disable-sync",
    "host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",  # nothing but this machine is found
)


def _chromium() -> str | None:
    """The browser that CHROMIUM names, else the first one found under its usual names."""
    if "CHROMIUM" in os.environ:
        return os.environ["CHROMIUM"]
    found = (shutil.which(name) for name in ("chromium", "chromium-browser", "google-chrome", "chrome"))
    return next((path for path in found if path), None)


def _found() -> str:
    """The path of the browser; without one the test fails in CI, and is left out elsewhere."""
    path = _chromium()
    if path is None or not os.path.exists(path):
        told = f"no browser at {path or 'any usual place'}; install chromium, or set CHROMIUM to the path of one"
        if os.environ.get("CI"):
            pytest.fail(told)
        pytest.skip(told)
    return path


@pytest.fixture(scope="session")
def chromium() -> str:
    return _found()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = _found()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=[f"--{option}" for option in QUIET])
        yield browser
        browser.close()
