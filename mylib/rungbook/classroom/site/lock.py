"""The list of packages that the browser's Python loads: `pyodide-lock.json`, made from the wheels beside it.

The list names no address: Pyodide looks for each file where the list itself lies. It holds just the wheels of the site,
so nothing else can be asked for, and they are loaded together, without a look at what each of them requires.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from email.parser import HeaderParser
from pathlib import Path, PurePosixPath
from typing import Any
from zipfile import BadZipFile, ZipFile

from rungbook.errors import LadderError


def lock(base: Mapping[str, Any], wheels: Iterable[Path]) -> dict[str, Any]:
    """Return `base`, the list that came with Pyodide, with the packages of `wheels` in the place of its own.

    Raises LadderError as `entry`, or if two wheels are of one package.
    """
    packages: dict[str, Any] = {}
    for wheel in sorted(wheels, key=lambda path: path.name):
        made = entry(wheel)
        if made["name"] in packages:
            two = f"{packages[made['name']]['file_name']} and {made['file_name']}"
            raise LadderError("List of packages", "one wheel a package", two)
        packages[made["name"]] = made
    return {**base, "packages": dict(sorted(packages.items()))}


def entry(wheel: Path) -> dict[str, Any]:
    """Return what Pyodide's list says of one pure Python wheel: name, version, file, SHA-256, what it lets import.

    `depends` is empty: a kernel of the site loads all wheels of the list at once.
    Raises LadderError if the file is no wheel, or a wheel for one kind of machine only.
    """
    if not wheel.name.endswith("-none-any.whl"):
        raise LadderError("Wheel", "the browser takes pure Python wheels, …-none-any.whl", wheel.name)
    try:
        with ZipFile(wheel) as archive:
            names = [PurePosixPath(name) for name in archive.namelist()]
            (metadata,) = (name for name in names if name.match("*.dist-info/METADATA") and len(name.parts) == 2)
            told = HeaderParser().parsestr(archive.read(str(metadata)).decode("utf-8"))
    except (BadZipFile, ValueError) as problem:
        raise LadderError("Wheel", f"is a zip file with one METADATA ({problem})", wheel.name) from None
    return {
        "depends": [],
        "file_name": wheel.name,
        "imports": sorted(_imports(names)),
        "install_dir": "site",
        "name": str(told["Name"]).lower().replace("_", "-").replace(".", "-"),
        "package_type": "package",
        "sha256": hashlib.sha256(wheel.read_bytes()).hexdigest(),
        "unvendored_tests": False,
        "version": str(told["Version"]),
    }


def _imports(names: Iterable[PurePosixPath]) -> set[str]:
    """The modules and packages at the top of a wheel with these files."""
    found = set()
    for name in names:
        if name.suffix != ".py":
            continue
        top = name.parts[0].removesuffix(".py")
        if top.isidentifier() and (len(name.parts) == 1 or name.parts[1] == "__init__.py"):
            found.add(top)
    return found
