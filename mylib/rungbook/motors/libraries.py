"""The libraries that some of this room's work needs, and that the edition for the browser does not have."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

from rungbook.errors import LadderError


def library(name: str, what: str) -> ModuleType:
    """Return the module `name`, such as "scipy.integrate". Raises LadderError, naming `what`, without it."""
    try:
        return import_module(name)
    except ModuleNotFoundError as missing:
        whole = name.partition(".")[0]
        if missing.name not in (name, whole):
            raise
        rule = f"needs {whole}, which is not here; the edition for the browser has none, so take this cell to the lab"
        raise LadderError(what, rule) from None
