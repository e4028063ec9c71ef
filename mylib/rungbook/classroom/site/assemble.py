"""Put a site together: contents, tools and wheels become one folder, beside its place, and then move into it."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import rungbook
from rungbook.classroom.site.contents import contents, front_page
from rungbook.classroom.site.lock import lock
from rungbook.classroom.site.tools import build_wheel, fetch_pyodide, fetch_wheels, find_tools, unpack_pyodide
from rungbook.errors import LadderError

MARK = "rungbook-site.json"
_KERNEL = "@jupyterlite/pyodide-kernel-extension:kernel"


@dataclass(frozen=True)
class Site:
    """A built site. folder: where it lies. size: all of its files [bytes]. notebooks: how many it shows."""

    folder: Path
    size: int
    notebooks: int


def build_site(folder: Path, root: Path, tools: Path | None = None, pyodide: Path | None = None) -> Site:
    """Build the course under `root` as a static site in `folder`, which is new, empty, or an older site of ours.

    tools: an environment with what `tools.TOOLS` lists, made and filled if it is not there; by default
    `FOLDER-tools` beside the site. pyodide: the npm package of Pyodide as a file; by default npm fetches it.
    The site is built beside its place and moved there, so it is whole or as it was. What students have in their
    browsers stays, as long as the address stays.

    Raises LadderError, and leaves `folder` as it was, if it holds anything else, its parent does not exist, a tool
    cannot be had, or a step of the build fails.
    """
    folder = folder.absolute()
    if folder.exists() and (not folder.is_dir() or (any(folder.iterdir()) and not (folder / MARK).is_file())):
        raise LadderError("Site", "goes to a new or empty folder, or replaces an older site", str(folder))
    if not folder.parent.is_dir():
        raise LadderError("Site", "the folder around it does not exist", str(folder))
    if not (root / "pyproject.toml").is_file():
        raise LadderError("Site", "is built in a checkout of the course, where pyproject.toml is", str(root))
    course = contents(root)
    using = find_tools(tools or folder.with_name(f"{folder.name}-tools"))
    part = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    try:
        lite, made = part / "lite", part / "site"
        runtime = lite / "static" / "pyodide"
        runtime.mkdir(parents=True)
        version = using.pyodide_version()
        packages = unpack_pyodide(pyodide or fetch_pyodide(version, part), version, runtime)
        fetch_wheels(using, packages, runtime)
        for wheel in using.kernel_wheels():
            shutil.copy(wheel, runtime)
        build_wheel(using.python, root, runtime)
        listed = lock(packages, runtime.glob("*.whl"))
        (runtime / "pyodide-lock.json").write_text(_as_json(listed), encoding="utf-8")
        (lite / "jupyter-lite.json").write_text(_as_json(settings(listed["packages"])), encoding="utf-8")
        for path, text in course.items():
            target = lite / "files" / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(text, encoding="utf-8", newline="\n")
        arguments: list[str | Path] = ["-m", "jupyterlite_core", "build", "--lite-dir", lite, "--output-dir", made]
        arguments += ["--apps", "lab", "--no-sourcemaps", "--no-unused-shared-packages", "--no-libarchive"]
        using.run("putting the site together", *arguments, cwd=lite)
        (made / "index.html").write_text(front_page(course), encoding="utf-8", newline="\n")
        (made / MARK).write_text(_as_json({"rungbook": rungbook.__version__}), encoding="utf-8")
        _put(made, folder, part / "old")
    finally:
        shutil.rmtree(part, ignore_errors=True)
    size = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())
    return Site(folder, size, sum(path.endswith(".ipynb") for path in course))


def settings(packages: Iterable[str]) -> dict[str, Any]:
    """The site's settings: the kernel loads all `packages` at its start and asks no index for others.

    Work is kept in IndexedDB. Which notebooks are open is not kept: what was open before would hide the one that a link
    of the front page opens.
    """
    return {
        "jupyter-lite-schema-version": 0,
        "jupyter-config-data": {
            "appName": "Rungbook",
            "contentsStorageName": "Rungbook work",
            "contentsStorageDrivers": ["asyncStorage", "localStorageWrapper"],  # never only in memory
            "settingsStorageName": "Rungbook settings",
            "enableMemoryStorage": True,
            "workspacesStorageDrivers": ["memoryStorageDriver"],
            "litePluginSettings": {
                _KERNEL: {"disablePyPIFallback": True, "loadPyodideOptions": {"packages": sorted(packages)}}
            },
        },
    }


def _put(made: Path, folder: Path, old: Path) -> None:
    """Move a finished site to its place; what was there goes to `old`, and comes back if the move fails."""
    if folder.exists():
        os.replace(folder, old)
    try:
        os.replace(made, folder)
    except BaseException:
        if old.exists():
            os.replace(old, folder)
        raise


def _as_json(data: Any) -> str:
    return json.dumps(data, indent=1, sort_keys=True) + "\n"
