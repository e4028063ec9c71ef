"""Answers and graders to marks: the test cells of the source, run on answers as JSON, as the class's marker does it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from rungbook.alone.cells import Ran, run_here
from rungbook.alone.graders import Exercise, Graders
from rungbook.classroom.marking.judge import run_test, taken
from rungbook.grading import asks_for_a_reader, first_to_mend
from rungbook.grading.handed import Handed


@dataclass(frozen=True)
class Mark:
    """What one exercise earned. points: None if only a reader can tell. printed: the feedback, as the class gets it.

    begun: False if nothing was done in it. digest: of the answers, by which two attempts are told apart.
    """

    exercise: Exercise
    points: float | None
    printed: str
    begun: bool
    digest: str

    @property
    def first(self) -> str:
        """What is to be mended first, on one line, or ""."""
        return first_to_mend(self.printed)

    @property
    def waits(self) -> bool:
        """True if something could not be decided, or only a reader can tell."""
        return self.points is None or asks_for_a_reader(self.printed)


@dataclass(frozen=True)
class Marks:
    """The marks of a notebook, in the lab's order. stopped: cells that ended with an error. Shows itself as text."""

    lab: str
    marks: tuple[Mark, ...]
    stopped: tuple[str, ...] = ()

    @property
    def points(self) -> float:
        """Points earned where no reader is needed."""
        return sum(mark.points or 0 for mark in self.marks)

    @property
    def most(self) -> float:
        """Points that can be earned where no reader is needed."""
        return sum(mark.exercise.points for mark in self.marks if not mark.exercise.written)

    def __bool__(self) -> bool:
        return self.points == self.most

    def __str__(self) -> str:
        blocks = [f"Before the marks: {one}" for one in self.stopped]
        blocks += [_shown(mark) for mark in self.marks]
        unread = sum(mark.exercise.points for mark in self.marks if mark.exercise.written)
        total = f"{self.lab}: {self.points:g} of {self.most:g} points"
        return "\n\n".join([*blocks, f"{total}; {unread:g} more for a reader" if unread else total])

    __repr__ = __str__


def _shown(mark: Mark) -> str:
    name, most = mark.exercise.name, mark.exercise.points
    if mark.exercise.written:
        word = "written; compare it with the model answer" if mark.begun else "not begun"
        return f"{name} · {word} ({most:g} points)"
    if not mark.begun:
        return f"{name} · not begun (0 of {most:g} points)"
    return f"{name}\n{mark.printed.strip()}"


def mark_notebook(notebook: object, graders: Graders) -> Marks:
    """Run a notebook, JSON read, in this process and mark it. Raises LadderError as `read_cells`."""
    return mark_ran(run_here(notebook, graders), graders)


def mark_ran(ran: Ran, graders: Graders, only: Exercise | None = None) -> Marks:
    """Mark what a notebook left when it was run; `only` one exercise of it if given."""
    found = []
    for exercise in graders.exercises if only is None else (only,):
        begun = _begun(exercise, ran.texts)
        if exercise.written:
            found.append(_read_by_nobody(exercise, ran, begun))
        else:
            found.append(mark_answers(exercise, ran.answers.get(exercise.grade_id, {}), begun))
    return Marks(graders.lab, tuple(found), (*ran.stopped, *([ran.why] if ran.why else [])))


def _begun(exercise: Exercise, texts: Mapping[str, str]) -> bool:
    """True if an answer cell is not as it was given out, or there is none of the exercise's own."""
    given = [texts.get(part.grade_id, "").strip() in ("", part.released.strip()) for part in exercise.parts]
    return not given or not all(given)


def _read_by_nobody(exercise: Exercise, ran: Ran, begun: bool) -> Mark:
    texts = [ran.texts.get(part.grade_id, "") for part in exercise.parts]
    return Mark(exercise, None if begun else 0, "", begun, _digest(texts))


def mark_answers(exercise: Exercise, answers: Mapping[str, Handed], begun: bool = True) -> Mark:
    """Run the test cell of `exercise` on `answers`: name -> answer as text; one that is not there was not defined.

    begun: False if the learner's cell is as it was given out. Raises nothing: a test cell that fails earns 0, as in
    nbgrader.
    """
    namespace: dict[str, Any] = {"__name__": "__main__"}
    namespace |= {name: taken(name, handed) for name, handed in answers.items()}
    outputs = run_test(exercise.test, namespace)
    printed = "".join(one["text"] for one in outputs if one.get("name") == "stdout")
    failed = next((one for one in outputs if one["output_type"] == "error"), None)
    if failed is not None:
        printed += f"The marker stopped over this answer: {failed['ename']}: {failed['evalue']}\n"
    digest = _digest({name: asdict(handed) for name, handed in answers.items()})
    points = score(outputs, exercise.points)
    return Mark(exercise, points, printed, begun or points > 0, digest)


def score(outputs: list[dict[str, Any]], most: float) -> float:
    """Return the points that nbgrader reads from a test cell's outputs: 0 after an error or anything on standard error,
    else the number displayed, else all (nbgrader 0.9, `utils.determine_grade`, read in its code)."""
    for one in outputs:
        if one["output_type"] == "error" or one.get("name") == "stderr":
            return 0
        if one["output_type"] == "execute_result":
            try:
                points = float(one["data"]["text/plain"])
            except ValueError:
                return most
            return min(most, max(0, points))
    return most


def begun_in(answers: Mapping[str, Handed]) -> bool:
    """False if no answer holds anything: ladders without rungs, forms whose every word is blank."""
    return any(_holds_something(handed) for handed in answers.values())


def _holds_something(handed: Handed) -> bool:
    if handed.text is None:
        return True
    data = json.loads(handed.text)
    if handed.kind == "Ladder":
        return bool(data.get("rungs"))
    return bool(data) and any(value not in ("", None, [], {}) for value in data.values())


def _digest(data: object) -> str:
    return hashlib.sha256(json.dumps(data, sort_keys=True).encode()).hexdigest()[:16]
