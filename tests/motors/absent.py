"""A Python in which some libraries are not installed, as the one in the browser."""

from __future__ import annotations

import sys
from importlib.machinery import PathFinder

import pytest


def hide(monkeypatch: pytest.MonkeyPatch, *names: str) -> None:
    """Have nothing of `names` be found."""
    for module in [one for one in sys.modules if one.partition(".")[0] in names]:
        monkeypatch.delitem(sys.modules, module)
    found = PathFinder.find_spec

    def without(module: str, path: object = None, target: object = None) -> object:
        return None if module.partition(".")[0] in names else found(module, path, target)  # type: ignore[arg-type]

    monkeypatch.setattr(PathFinder, "find_spec", without)
