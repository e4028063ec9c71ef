"""Rungbook: draw a ladder, see what it does, prove it, before anything is energised.

The names below are all a notebook needs. The heavy ones load their room on first use, so that
`import rungbook` costs next to nothing and works where numpy, matplotlib or nbgrader are not installed.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rungbook.bench import bench  # the verb; a submodule that is imported later does not take its name
from rungbook.circuit import NC, NO, Ladder, coil, count_down, from_json, lamp, reset, to_json
from rungbook.errors import LadderError
from rungbook.kit import Device

if TYPE_CHECKING:
    from rungbook.alone import check, hint
    from rungbook.alone.practice import practice
    from rungbook.behaviour import run
    from rungbook.bench import FaultHunt
    from rungbook.circuit import wire
    from rungbook.drawing import draw
    from rungbook.proof import compare, prove, review, truth_table, try_faults

__version__ = "0.1.0"

_LATE = {
    "run": "rungbook.behaviour",
    "wire": "rungbook.circuit",
    "truth_table": "rungbook.proof",
    "compare": "rungbook.proof",
    "prove": "rungbook.proof",
    "try_faults": "rungbook.proof",
    "review": "rungbook.proof",
    "draw": "rungbook.drawing",
    "check": "rungbook.alone",
    "hint": "rungbook.alone",
    "practice": "rungbook.alone.practice",
    "FaultHunt": "rungbook.bench",
}

__all__ = [
    "NC",
    "NO",
    "Device",
    "FaultHunt",
    "Ladder",
    "LadderError",
    "bench",
    "check",
    "coil",
    "compare",
    "count_down",
    "draw",
    "from_json",
    "hint",
    "lamp",
    "practice",
    "prove",
    "reset",
    "review",
    "run",
    "to_json",
    "truth_table",
    "try_faults",
    "wire",
]


def __getattr__(name: str) -> Any:
    if name in _LATE:
        value = getattr(import_module(_LATE[name]), name)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'rungbook' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
