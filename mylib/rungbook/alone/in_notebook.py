"""`check`: in a notebook. Of a ladder and orders, the visible check; of an exercise or a lab, its marks."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from typing import Any

from rungbook.alone.marks import Mark, Marks, begun_in, mark_answers
from rungbook.alone.progress import Note, Progress
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading import Checked
from rungbook.grading import check as try_orders
from rungbook.grading.handed import Handed, hand_over


def check(what: Ladder | str | None = None, *moments: tuple[str, Mapping[str, str]]) -> Checked | Marks:
    """Try orders on a ladder, or mark what stands in this notebook.

    `check(ladder, ("press S2", {"Q1": "in"}))` compares positions, as `rungbook.grading.check`; it carries no marks.
    `check("lab02-holding")` marks that exercise on the answers as they stand in the notebook, `check("lab02")` the
    whole lab, `check()` the lab in whose folder the notebook lies: with the graders of the learner's copy of the
    course. The attempt is noted for `rungbook progress`.

    Raises LadderError as `rungbook.grading.check`; if this copy has no graders; if there is no such lab or exercise; or
    while the notebook itself is being marked.
    """
    if moments or not (what is None or isinstance(what, str)):
        return try_orders(what, *moments)  # type: ignore[arg-type]
    from rungbook.alone.find import find_graders, lab_here, lab_of

    not_while_marked("check")
    wanted = lab_here() if what is None else what
    graders = find_graders(lab_of(wanted))
    whole = wanted in (graders.short, graders.lab)
    exercises = graders.exercises if whole else (graders.exercise(wanted),)
    names = names_here(2)
    marks = []
    for exercise in exercises:
        if exercise.written and whole:
            continue
        if exercise.written:
            rule = "is written in words, which a notebook's kernel cannot see; `rungbook check` takes it from the file"
            raise LadderError(f"Exercise {exercise.name}", rule)
        answers = answers_here(exercise.names, names)
        marks.append(mark_answers(exercise, answers, begun_in(answers)))
    note_attempts(marks)
    return Marks(graders.lab, tuple(marks))


def not_while_marked(verb: str) -> None:
    """Raise LadderError if this process marks a notebook: a mark must not hang on, or change, what is noted."""
    if os.environ.get("NBGRADER_EXECUTION"):
        raise LadderError(verb, "is not at hand while the notebook is being marked")


def names_here(depth: int) -> Mapping[str, Any]:
    """The names of the notebook: those of its kernel, or of the caller `depth` calls up."""
    shell = sys.modules.get("IPython")
    kernel = shell.get_ipython() if shell is not None and hasattr(shell, "get_ipython") else None
    return kernel.user_ns if kernel is not None else sys._getframe(depth).f_globals


def answers_here(wanted: tuple[str, ...], names: Mapping[str, Any]) -> dict[str, Handed]:
    """The answers among `names`, each as text."""
    return {name: hand_over(name, names[name]) for name in wanted if name in names}


def note_attempts(marks: list[Mark] | tuple[Mark, ...], progress: Progress | None = None) -> None:
    """Note what was begun; an answer in words, of which nobody here knows the points, with 0 of 0."""
    notes = []
    for mark in marks:
        if mark.begun:
            most = 0 if mark.exercise.written else mark.exercise.points
            data = {"points": mark.points or 0, "most": most, "first": mark.first, "digest": mark.digest}
            notes.append(Note("attempt", mark.exercise.name, data))
    if notes:
        (progress or Progress()).add(notes)
