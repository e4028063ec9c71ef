"""The libraries that some of this room's work uses where they are; the edition for the browser has none of them."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType


def library(name: str) -> ModuleType | None:
    """Return the module `name`, such as "scipy.integrate"; None if its library is not installed.

    An installed library that lacks a part of its own is an error of that library, and is raised.
    """
    try:
        return import_module(name)
    except ModuleNotFoundError as missing:
        # a kernel in the browser may say what is missing in words alone
        if missing.name not in (None, name, name.partition(".")[0]):
            raise
        return None
