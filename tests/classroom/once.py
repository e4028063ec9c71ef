"""Something that takes long to set up, made once for all processes of a test run. Nobody changes it: copy it."""

import fcntl
import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest


def once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], Any]) -> tuple[Path, Any]:
    """Return a folder that `make(folder)` filled in this or another process of the run, and what `make` returned, as
    JSON gives it back. The folder does not exist when `make` is called."""
    base = factory.getbasetemp()
    base = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    folder, told = base / "once" / name, base / "once" / f"{name}.json"
    told.parent.mkdir(exist_ok=True)
    with told.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not told.exists():
            shutil.rmtree(folder, ignore_errors=True)  # of a try that failed
            told.write_text(json.dumps(make(folder)), encoding="utf-8")
    return folder, json.loads(told.read_text(encoding="utf-8"))
