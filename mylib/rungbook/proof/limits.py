"""How much work a question may cost: states first, the same on every computer; seconds as the safety net."""

from __future__ import annotations

from time import monotonic

MAX_STATES = 50_000
MAX_SECONDS = 20.0


class TooMany(Exception):
    """More work than the limit: the question is not decided, and nobody is marked down for it."""


class Deadline:
    """A moment after which work stops. seconds: from now [s]."""

    def __init__(self, seconds: float = MAX_SECONDS) -> None:
        self._seconds, self._end = seconds, monotonic() + seconds

    def check(self) -> None:
        """Raise TooMany if the time is up."""
        if monotonic() > self._end:
            raise TooMany(f"it takes more than {self._seconds:g} s")
