"""One exercise as the learner has it: what is asked, what is given, and the judge."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from html import escape
from itertools import zip_longest
from typing import Any

from rungbook.alone.practice.calculations import Solved, Way
from rungbook.alone.practice.measure import Measure
from rungbook.alone.progress import Note, Progress
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading import Requirement, mark
from rungbook.kit import Device


@dataclass(frozen=True)
class Task:
    """An exercise. given: the ladder to look at, None if there is none. form: fields to fill in. units: asked for in
    them, if they are numbers. token: of a hunt.

    solution: the circuit that it was made from, or the worked answers; None for a hunt. seed and number make it again,
    by `practice(kind, level, seed, number)`. key: its canonical form, by which no two of a run are alike.
    """

    kind: str
    level: int
    seed: int
    number: int
    title: str
    text: tuple[str, ...]
    measure: Measure | Way
    key: str
    panel: tuple[Device, ...] = field(repr=False)
    requirements: tuple[Requirement, ...] = field(repr=False)
    given: Ladder | None = field(default=None, repr=False)
    form: tuple[str, ...] = ()
    token: str = ""
    units: tuple[str, ...] = ()
    solution: Ladder | Solved | None = field(default=None, repr=False)

    @property
    def most(self) -> float:
        """Points at most."""
        return sum(requirement.points for requirement in self.requirements)

    def start(self) -> Any:
        """Return what the answer begins with: the form, an empty ladder on the panel, or the hunt."""
        if self.token:
            from rungbook.bench import FaultHunt

            assert self.given is not None
            return FaultHunt(self.given, self.token, lab="practice")
        return dict.fromkeys(self.form, "") if self.form else Ladder(self.title, self.panel)

    def mark(self, answer: object) -> float:
        """Judge `answer`, print the feedback, note the points for `rungbook progress`, return them.

        answer: a Ladder, the form filled in, or the hunt itself. Raises LadderError if it cannot be noted.
        """
        from rungbook.alone.in_notebook import not_while_marked

        not_while_marked("practice")
        if self.token and not isinstance(answer, dict):
            if not hasattr(answer, "answer"):
                raise LadderError("practice", "this answer is the hunt, as start() gives it", type(answer).__name__)
            answer = answer.answer()
        earned = mark("answer", {"answer": answer}, *self.requirements, devices=self.panel)
        data = {"seed": self.seed, "number": self.number, "points": earned, "most": self.most}
        Progress().add([Note("practice", f"{self.kind}-{self.level}", data)])
        return earned

    def __str__(self) -> str:
        lines = [f"{self.title} · {self.kind}, level {self.level}, seed {self.seed}, number {self.number}", *self.text]
        lines += [f"  {plate}" for plate in self._plates()]
        if self.given is not None:
            lines += [repr(self.given)]
        lines += [f"  {json.dumps(one, ensure_ascii=False)}: {asked}" for one, asked in self._fields()]
        call = f'practice("{self.kind}", {self.level}, {self.seed}, {self.number})'
        way = f"In a notebook: task = {call}; answer = task.start(); task.mark(answer)"
        more = "; afterwards task.solution" if self.solution is not None else ""
        return "\n".join([*lines, f"({self.measure})", f"{way}{more}"])

    __repr__ = __str__

    def _fields(self) -> list[tuple[str, str]]:
        """Field and what is to be written there."""
        return [(one, f"… {unit}".rstrip()) for one, unit in zip_longest(self.form, self.units, fillvalue="")]

    def _plates(self) -> list[str]:
        return [f"{one.tag}: {', '.join(filter(None, (one.kind, one.colour, one.label)))}" for one in self.panel]

    def _repr_html_(self) -> str:
        body = f"<h4>{escape(self.title)}</h4>" + "".join(f"<p>{escape(line)}</p>" for line in self.text)
        body += f"<ul>{''.join(f'<li>{escape(plate)}</li>' for plate in self._plates())}</ul>"
        if self.given is not None:
            from rungbook.drawing import draw

            body += draw(self.given).svg
        asked = "".join(f"<li>{escape(one)}: {escape(unit)}</li>" for one, unit in self._fields())
        body += f"<ul>{asked}</ul>" if asked else ""
        return f"<div>{body}</div>"
