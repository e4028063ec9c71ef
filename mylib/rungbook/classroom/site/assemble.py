"""Put a site together: contents, tools and wheels become one folder, beside its place, and then move into it."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import rungbook
from rungbook.classroom.site.bundle import bundle, put_bytecode
from rungbook.classroom.site.contents import contents, front_page
from rungbook.classroom.site.tools import build_wheel, fetch_pyodide, fetch_wheels, find_tools, unpack_pyodide
from rungbook.errors import LadderError

MARK = "rungbook-site.json"
_KERNEL = "@jupyterlite/pyodide-kernel-extension:kernel"
# what the kernel would install at its start if these names were not told
_THERE = ("micropip", "piplite", "ipykernel", "comm", "pyodide-kernel", "jedi", "ipython")


@dataclass(frozen=True)
class Site:
    """A built site. folder: where it lies. size: all of its files [bytes]. notebooks: how many it shows.

    compiled: False if there was no node to make bytecode with, so that a kernel takes longer to start.
    """

    folder: Path
    size: int
    notebooks: int
    compiled: bool


def build_site(
    folder: Path,
    root: Path,
    tools: Path | None = None,
    pyodide: Path | None = None,
    more: Mapping[str, bytes] | None = None,
) -> Site:
    """Build the course under `root` as a static site in `folder`, which is new, empty, or an older site of ours.

    tools: an environment with what `tools.TOOLS` lists, made and filled if it is not there; by default
    `FOLDER-tools` beside the site. pyodide: the npm package of Pyodide as a file; by default npm fetches it.
    more: path -> content of what the browser's Python shall be able to import besides, such as packs of graders.
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
        wheels = part / "wheels"
        wheels.mkdir()
        fetch_wheels(using, packages, wheels)
        for wheel in using.kernel_wheels():
            shutil.copy(wheel, wheels)
        build_wheel(using.python, root, wheels)
        archive = runtime / "packages.zip"
        own = {"rungbook_start.py": _browser("rungbook_start.py")}
        bundle(wheels.glob("*.whl"), {**(more or {}), **own}, archive)
        (runtime / "pyodide-lock.json").write_text(_as_json({**packages, "packages": {}}), encoding="utf-8")
        python = "/lib/python{}{}.zip".format(*packages["info"]["python"].split("."))
        compiled = put_bytecode(runtime, {archive: "/lib/packages.zip", runtime / "python_stdlib.zip": python})
        (runtime / "start.mjs").write_bytes(_browser("start.mjs"))
        (lite / "jupyter-lite.json").write_text(_as_json(settings()), encoding="utf-8")
        for path, text in course.items():
            target = lite / "files" / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(text, encoding="utf-8", newline="\n")
        arguments: list[str | Path] = ["-m", "jupyterlite_core", "build", "--lite-dir", lite, "--output-dir", made]
        arguments += ["--apps", "lab", "--no-sourcemaps", "--no-unused-shared-packages", "--no-libarchive"]
        using.run("putting the site together", *arguments, cwd=lite)
        _start_with(made / "jupyter-lite.json", "./static/pyodide/start.mjs")
        _remember_path(made / "lab" / "index.html")
        (made / "index.html").write_text(front_page(course), encoding="utf-8", newline="\n")
        (made / MARK).write_text(_as_json({"rungbook": rungbook.__version__}), encoding="utf-8")
        _put(made, folder, part / "old")
    finally:
        shutil.rmtree(part, ignore_errors=True)
    size = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())
    return Site(folder, size, sum(path.endswith(".ipynb") for path in course), compiled)


def settings() -> dict[str, Any]:
    """The site's settings: the kernel finds all packages there and asks no index for others.

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
                _KERNEL: {"disablePyPIFallback": True, "loadPyodideOptions": {"packages": list(_THERE)}}
            },
        },
    }


def _start_with(settings: Path, address: str) -> None:
    """Have the kernel load its Python through the module `address`; the build has put Pyodide's own there."""
    told = json.loads(settings.read_text(encoding="utf-8"))
    told["jupyter-config-data"]["litePluginSettings"][_KERNEL]["pyodideUrl"] = address
    settings.write_text(_as_json(told), encoding="utf-8")


def _remember_path(page: Path) -> None:
    """Have JupyterLite's page open its notebook again when it is loaded again. Raises LadderError if it has no head."""
    text = page.read_text(encoding="utf-8")
    if text.count("<head>") != 1:
        raise LadderError("Site", "the page of JupyterLite begins otherwise than this edition knows", page.name)
    script = f"<head>\n<script>\n{_browser('again.js').decode()}</script>"
    page.write_text(text.replace("<head>", script), encoding="utf-8", newline="\n")


def _browser(name: str) -> bytes:
    """A file of `browser/`."""
    return (files(__package__) / "browser" / name).read_bytes()


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
