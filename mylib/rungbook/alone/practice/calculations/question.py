"""One question of a calculation: what is asked, the worked answer, and what the usual mistakes come to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from html import escape

from rungbook.errors import LadderError
from rungbook.grading import Requirement, quantity
from rungbook.motors import CAUTION, EDITION, Answer, convert
from rungbook.motors.units import show

POINTS = 2.0
_HALF = 0.5  # of the points for the right number with another unit, as in the labs
_TABLES = ("Table ", "240.6(A)")  # a step that names one has something looked up in it


@dataclass(frozen=True)
class Question:
    """field: of the form. answer: with its way. unit: asked for. mistakes: (what a wrong method gives [unit], the
    sentence that tells it). because: said of a number that nothing explains. given: lines beside the plate.
    tolerance [% of the value]."""

    field: str
    answer: Answer
    unit: str
    mistakes: tuple[tuple[float, str], ...]
    because: str
    given: tuple[str, ...] = ()
    tolerance: float = 0.5

    @property
    def value(self) -> float:
        """The right value [unit]."""
        return convert(self.answer.value, self.answer.unit, self.unit)

    @property
    def shown(self) -> Answer:
        """The answer in the unit asked for; to change the unit is a step."""
        if self.unit == self.answer.unit:
            return self.answer
        step = f"{show(self.answer.value, self.answer.unit)} = {show(self.value, self.unit)}"
        return replace(self.answer, value=self.value, unit=self.unit, steps=(*self.answer.steps, step))

    @property
    def told(self) -> dict[float | Answer, str]:
        """The mistakes that can be told: none so near to the right value that rounding could make the one the other."""
        apart = 2 * self.tolerance / 100 * abs(self.value)
        return {wrong: why for wrong, why in self.mistakes if wrong > 0 and abs(wrong - self.value) > apart}

    def requirement(self) -> Requirement:
        """Return what marks it. Raises LadderError unless the worked answer, as it is shown, earns all points and each
        mistake none, told by its sentence or by that of another mistake with the same result."""
        half = _HALF if self.unit else 0.0
        asked = quantity(
            self.field,
            self.answer,
            self.unit,
            f"{self.tolerance:g} %",
            POINTS,
            self.told,
            wrong_unit=half,
            because=self.because,
            look="what is given, and the clause or the formula that this question is about",
        )
        if not asked.judge({self.field: show(self.value, self.unit)}, ()).met:
            raise LadderError("practice", "the worked answer, as shown, earns its points", show(self.value, self.unit))
        for wrong in map(float, self.told):
            found = asked.judge({self.field: f"{wrong:.8g} {self.unit}"}, ())
            if found.earned or found.because not in self.told.values():
                raise LadderError("practice", "a usual mistake earns nothing, and is told", show(wrong, self.unit))
        return asked


@dataclass(frozen=True)
class Way:
    """How long the shortest way to the answers is that is known. steps: of the worked answers, each counted once, as
    what one question has found serves the next. tables: how many of them look something up. hardness: their sum: to
    look up is to choose row and column beside."""

    steps: int
    tables: int

    @classmethod
    def to(cls, answers: Iterable[Answer]) -> Way:
        """Measure the way to `answers`."""
        steps = {step for answer in answers for step in answer.steps}
        return cls(len(steps), sum(any(name in step for name in _TABLES) for step in steps))

    @property
    def hardness(self) -> int:
        """Steps and tables."""
        return self.steps + self.tables

    @property
    def level(self) -> int:
        """1 to 5: up to 2, 4, 7, 10, and above."""
        return 1 + sum(self.hardness > bound for bound in (2, 4, 7, 10))

    def __str__(self) -> str:
        tables = f"{self.tables} table{'s' * (self.tables != 1)}"
        return f"{self.steps} step{'s' * (self.steps != 1)}, {tables}"


@dataclass(frozen=True)
class Solved:
    """The worked answers, field -> answer: the solution of a calculation."""

    answers: tuple[tuple[str, Answer], ...]

    @property
    def form(self) -> dict[str, str]:
        """The form filled in."""
        return {field: show(answer.value, answer.unit) for field, answer in self.answers}

    @property
    def notes(self) -> tuple[str, ...]:
        """Edition and caution, if one of them rests on the code."""
        return (f"{EDITION}.", CAUTION) if any(answer.code for _, answer in self.answers) else ()

    def __str__(self) -> str:
        lines = []
        for field, answer in self.answers:
            lines += [f"{field}: {show(answer.value, answer.unit)}", *(f"  {step}" for step in answer.steps)]
        return "\n".join([*lines, *self.notes])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        body = ""
        for field, answer in self.answers:
            steps = "".join(f"<li>{escape(step)}</li>" for step in answer.steps)
            body += f"<p>{escape(field)}: <b>{escape(show(answer.value, answer.unit))}</b></p><ol>{steps}</ol>"
        notes = "<br>".join(escape(note) for note in self.notes)
        return f"<div>{body}{f'<p><small>{notes}</small></p>' if notes else ''}</div>"
