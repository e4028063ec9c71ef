"""The graders of a lab as plain data: its exercises, each with the test cell that judges it and the answers it takes.

Made by `find.py` from the lab's source; this file knows no file and no library, so a pack of graders can come from
anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.errors import LadderError

_TEST = "-marks"  # ends the grade_id of a test cell in this course


@dataclass(frozen=True)
class Part:
    """A cell in which the learner answers. released: its text as given out. solution: as the source has it."""

    grade_id: str
    released: str
    solution: str


@dataclass(frozen=True)
class Exercise:
    """What is marked by itself. grade_id: of its test cell, or of a written answer. points: at most these.

    test: source of the test cell, "" for a written answer, which nobody marks here. names: the answers that the test
    cell asks for. parts: the answer cells since the exercise before.
    """

    grade_id: str
    points: float
    test: str
    names: tuple[str, ...]
    parts: tuple[Part, ...]

    @property
    def name(self) -> str:
        """ "lab02-holding", by which a learner names it."""
        return self.grade_id.removesuffix(_TEST)

    @property
    def written(self) -> bool:
        """True for an answer in words, which a person reads."""
        return not self.test


@dataclass(frozen=True)
class Graders:
    """All exercises of a lab, in its order. lab: "lab02-holding-circuit"."""

    lab: str
    exercises: tuple[Exercise, ...]

    @property
    def short(self) -> str:
        """ "lab02"."""
        return self.lab[:5]

    def exercise(self, wanted: str) -> Exercise:
        """Return the exercise called `wanted`: "lab02-holding", "holding", or the name of an answer that it asks for.

        Raises LadderError, listing the exercises, if there is none.
        """
        for one in self.exercises:
            if wanted in (one.name, one.grade_id, one.name.removeprefix(f"{self.short}-")):
                return one
        for one in self.exercises:
            if wanted in one.names:
                return one
        raise LadderError(
            "Exercise", f"{self.lab} has none of this name", wanted, tuple(e.name for e in self.exercises)
        )
