"""With what a site is made: an environment of its own with the tools, the files of Pyodide, the wheels for the browser.

The tools stand apart from the course's environment, because what they install into JupyterLab is for the browser
edition alone. pip and npm fetch everything, from wherever they are set up to look; the built site fetches nothing.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tarfile
import venv
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rungbook.errors import LadderError

# what puts the site together; the two of the widgets bring the front end of the bench
TOOLS = (
    "jupyterlite-core==0.8.6",
    "jupyterlite-pyodide-kernel==0.8.6",
    "jupyter-server==2.21.1",
    "hatchling==1.33.0",
    "ipywidgets==8.1.9",
    "anywidget==0.11.0",
)
# what the browser's Python loads beside Pyodide's own choice of versions
WHEELS = (
    "schemdraw==0.23",
    "ipywidgets==8.1.9",
    "anywidget==0.11.0",
    "psygnal==0.16.1",
    "comm==0.2.3",
)
# these come in the versions that Pyodide names in its list
FROM_PYODIDE = (
    "ipython",
    "asttokens",
    "decorator",
    "executing",
    "matplotlib-inline",
    "prompt-toolkit",
    "pure-eval",
    "pygments",
    "six",
    "stack-data",
    "traitlets",
    "typing-extensions",
    "wcwidth",
)
# of Pyodide's own package; maps, types and the consoles stay behind
PYODIDE_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")
# the kernel's own wheels, in the front end's package; without its installer, since there is nothing to install
KERNEL_WHEELS = ("ipykernel", "pyodide_kernel")


@dataclass(frozen=True)
class Tools:
    """An environment with the tools of `TOOLS`. python: its interpreter."""

    python: Path

    def run(self, what: str, *arguments: str | Path, cwd: Path | None = None) -> str:
        """Run `python arguments` there and return what it prints. Raises LadderError with its last words."""
        return _run(what, [self.python, *arguments], cwd)

    def has_all(self) -> bool:
        """Whether every tool is there in the version asked for."""
        code = """
import sys
from importlib.metadata import PackageNotFoundError, version
def there(pin):
    name, _, wanted = pin.partition("==")
    try:
        return version(name) == wanted
    except PackageNotFoundError:
        return False
sys.exit(not all(map(there, sys.argv[1:])))
"""
        return subprocess.run([self.python, "-c", code, *TOOLS], check=False).returncode == 0

    def pyodide_version(self) -> str:
        """The version of Pyodide that the kernel was made for."""
        code = "from jupyterlite_pyodide_kernel.constants import PYODIDE_VERSION; print(PYODIDE_VERSION)"
        return self.run("asking for the version of Pyodide", "-c", code).strip()

    def kernel_wheels(self) -> list[Path]:
        """The kernel's own wheels. Raises LadderError if one is not there."""
        prefix = Path(self.run("asking for the place of the tools", "-c", "import sys; print(sys.prefix)").strip())
        folder = prefix / "share/jupyter/labextensions/@jupyterlite/pyodide-kernel-extension/static/pypi"
        found = [path for name in KERNEL_WHEELS for path in sorted(folder.glob(f"{name}-*.whl"))]
        if len(found) != len(KERNEL_WHEELS):
            raise LadderError("Tools", "hold one wheel each of " + ", ".join(KERNEL_WHEELS), str(folder))
        return found


def find_tools(folder: Path) -> Tools:
    """Return the tools in the environment `folder`, which is made, and filled with pip, where that is needed.

    Raises LadderError if `folder` is something else than an environment, or pip fails.
    """
    tools = Tools(_python_of(folder))
    if not tools.python.exists():
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise LadderError("Tools", "an environment for Python, or a new or empty folder", str(folder))
        venv.create(folder, with_pip=True)
    if not tools.has_all():
        tools.run("installing the tools", "-m", "pip", "install", "--quiet", *TOOLS)
    return tools


def fetch_pyodide(version: str, folder: Path) -> Path:
    """Fetch the npm package of Pyodide into `folder` and return its file.

    Raises LadderError if there is no npm, or it fails.
    """
    npm = shutil.which("npm")
    if npm is None:
        rule = f"npm fetches it, and there is no npm here; fetch the npm package pyodide {version} elsewhere"
        raise LadderError("Pyodide", rule, choices=("--pyodide FILE.tgz",))
    _run("fetching Pyodide", [npm, "pack", f"pyodide@{version}", "--silent"], folder)
    return folder / f"pyodide-{version}.tgz"


def unpack_pyodide(package: Path, version: str, folder: Path) -> dict[str, Any]:
    """Write Pyodide's files from its npm `package` into `folder`; return its list of packages, which names versions.

    Raises LadderError if the file is no such package, or of another version.
    """
    try:
        with tarfile.open(package) as archive:
            told = json.loads(_member(archive, "package.json"))["version"]
            if told != version:
                raise LadderError("Pyodide", f"the kernel was made for version {version}", told)
            for name in PYODIDE_FILES:
                (folder / name).write_bytes(_member(archive, name))
    except (OSError, tarfile.TarError, KeyError, ValueError) as problem:
        raise LadderError("Pyodide", f"is an npm package of Pyodide {version} ({problem})", str(package)) from None
    packages: dict[str, Any] = json.loads((folder / "pyodide-lock.json").read_text(encoding="utf-8"))
    return packages


def _member(archive: tarfile.TarFile, name: str) -> bytes:
    file = archive.extractfile(f"package/{name}")
    if file is None:
        raise KeyError(f"{name} is no file")
    return file.read()


def fetch_wheels(tools: Tools, packages: dict[str, Any], folder: Path) -> None:
    """Fetch the wheels for the browser into `folder`, those of `FROM_PYODIDE` in the version that `packages` names.

    Raises LadderError if pip fails.
    """
    pins = [f"{name}=={packages['packages'][name]['version']}" for name in FROM_PYODIDE]
    command = ["-m", "pip", "download", "--quiet", "--no-deps", "--only-binary=:all:", "--platform", "any"]
    python = packages["info"]["python"].rpartition(".")[0]
    tools.run("fetching the wheels", *command, "--python-version", python, "--dest", folder.resolve(), *pins, *WHEELS)


def build_wheel(python: Path, root: Path, folder: Path) -> Path:
    """Build the wheel of this package from the course's folder `root` into `folder`; return it. Needs hatchling.

    Raises LadderError if the build fails.
    """
    with_time = os.environ | {"SOURCE_DATE_EPOCH": "1580601600"}  # so the same source gives the same bytes
    command: list[str | Path] = [
        python,
        "-m",
        "hatchling",
        "build",
        "--target",
        "wheel",
        "--directory",
        folder.resolve(),
    ]
    _run("building the wheel of rungbook", command, root, with_time)
    (wheel,) = folder.glob("rungbook-*-py3-none-any.whl")
    return wheel


def _python_of(folder: Path) -> Path:
    return folder.absolute() / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")


def _run(what: str, command: Sequence[str | Path], cwd: Path | None, environment: dict[str, str] | None = None) -> str:
    done = subprocess.run(
        command, cwd=cwd, env=environment, capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False
    )
    if done.returncode:
        last = "\n".join((done.stderr.strip() or done.stdout.strip()).splitlines()[-8:])
        raise LadderError("Site", f"{what} failed (status {done.returncode}): {last}")
    return done.stdout
