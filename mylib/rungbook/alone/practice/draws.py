"""Whole numbers drawn from a seed by HMAC, not by `random`, whose algorithm may change: a seed is good for ever."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")
_KEY = b"rungbook practice 1"


class Draws:
    """A stream of draws that the words decide: `Draws("build", "3", "17")`."""

    def __init__(self, *words: str) -> None:
        self._words = "\0".join(words)
        self._count = 0

    def below(self, bound: int) -> int:
        """Return a whole number from 0 to `bound` - 1, each equally likely but for one part in 2**200."""
        text = f"{self._words}\0{self._count}".encode()
        self._count += 1
        return int.from_bytes(hmac.new(_KEY, text, hashlib.sha256).digest(), "big") % bound

    def pick(self, things: Sequence[T]) -> T:
        """Return one of `things`."""
        return things[self.below(len(things))]

    def some(self, things: Sequence[T], count: int) -> list[T]:
        """Return `count` of `things`, each at most once, in a drawn order."""
        left = list(things)
        return [left.pop(self.below(len(left))) for _ in range(count)]
