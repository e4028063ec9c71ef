"""What `mark` finds, for somebody who listens: the findings themselves, and not the printed feedback.

A mark prints; hints are made from the same findings and tell them a step at a time. Nobody else needs to listen.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from rungbook.grading.finding import Finding


@dataclass(frozen=True)
class Heard:
    """One requirement, judged. name: of the answer. sentence: what is asked, with the names of the plates."""

    name: str
    sentence: str
    finding: Finding


_ears: ContextVar[list[Heard] | None] = ContextVar("ears", default=None)


@contextmanager
def listening() -> Iterator[list[Heard]]:
    """Collect what every `mark` finds until the end of the `with`: a list that fills, in the order of requirements."""
    heard: list[Heard] = []
    token = _ears.set(heard)
    try:
        yield heard
    finally:
        _ears.reset(token)


def tell(name: str, sentence: str, finding: Finding) -> None:
    """Tell whoever listens."""
    ears = _ears.get()
    if ears is not None:
        ears.append(Heard(name, sentence, finding))
