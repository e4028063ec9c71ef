"""A step of nbgrader's that must succeed, and its noise kept off the terminal."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from rungbook.errors import LadderError


@contextmanager
def quiet() -> Iterator[None]:
    """Keep the database layer's warnings about nbgrader's own queries out of a progress bar's way."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", module="nbgrader")
        yield


def must_succeed(result: dict[str, Any], doing: str) -> None:
    """Raise LadderError with the end of nbgrader's log if it failed."""
    if not result["success"]:
        log = "\n".join(text.strip() for text in (result.get("log"), result.get("error")) if text)
        raise LadderError("nbgrader", f"failed while {doing}. Its log ends:\n{log[-3000:]}\n")
