"""The packages that the browser's Python imports: all wheels as one archive, which stands on its path as it is.

Unpacking two dozen wheels into the browser's memory takes longer than importing what a lab needs, and compiling their
sources longer still; so they become one zip file that Python imports from, with the bytecode of Pyodide's Python.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterable, Mapping
from importlib.resources import as_file, files
from pathlib import Path, PurePosixPath
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile, ZipInfo

from rungbook.errors import LadderError

_NOT_NEEDED = {"tests"}  # folders of wheels


def bundle(wheels: Iterable[Path], more: Mapping[str, bytes], target: Path) -> None:
    """Write the files of pure Python `wheels`, and of `more` (path in the archive -> content), into the zip `target`.

    The same files give the same archive. Tests of packages stay behind.
    Raises LadderError if a file is no wheel, is for one kind of machine only, or two wheels hold the same file.
    """
    whose: dict[str, str] = dict.fromkeys(more, "the site")
    with ZipFile(target, "w", ZIP_DEFLATED) as archive:
        for path, content in sorted(more.items()):
            archive.writestr(_entry(path), content)
        for wheel in sorted(wheels, key=lambda path: path.name):
            if not wheel.name.endswith("-none-any.whl"):
                raise LadderError("Wheel", "the browser takes pure Python wheels, …-none-any.whl", wheel.name)
            try:
                with ZipFile(wheel) as opened:
                    given = {name: opened.read(name) for name in opened.namelist() if _is_needed(name)}
            except BadZipFile as problem:
                raise LadderError("Wheel", f"is a zip file ({problem})", wheel.name) from None
            for path, content in given.items():
                if path in whose:
                    raise LadderError("Wheel", f"{path} is in {whose[path]} too", wheel.name)
                whose[path] = wheel.name
                archive.writestr(_entry(path), content)


def _is_needed(path: str) -> bool:
    return not path.endswith("/") and not _NOT_NEEDED & set(PurePosixPath(path).parts)


def _entry(path: str) -> ZipInfo:
    entry = ZipInfo(path, (2020, 2, 2, 0, 0, 0))
    entry.compress_type = ZIP_DEFLATED
    return entry


def put_bytecode(runtime: Path, archives: Mapping[Path, str]) -> bool:
    """Put the bytecode of the Pyodide in the folder `runtime` into `archives`. False, and nothing done, without node.

    archives: zip file of Python files -> where it will stand in the browser.

    Raises LadderError, with node's last words, if it fails.
    """
    node = shutil.which("node")
    if node is None:
        return False
    with as_file(files(__package__) / "browser" / "compile.mjs") as script:
        command = [node, str(script), str(runtime.resolve())]
        command += [word for path, place in archives.items() for word in (str(path.resolve()), place)]
        done = subprocess.run(command, capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False)
    if done.returncode:
        last = "\n".join((done.stderr.strip() or done.stdout.strip()).splitlines()[-8:])
        raise LadderError("Site", f"making bytecode failed (status {done.returncode}): {last}")
    return True
