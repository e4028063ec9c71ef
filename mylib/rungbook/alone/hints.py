"""Hints in three steps, where to look, which rule, which contact, and the solution after an honest attempt.

Made from what the graders found in the learner's own answer (`Finding`), never from the solution's text.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

from rungbook.alone.graders import Exercise
from rungbook.alone.marks import mark_answers
from rungbook.alone.progress import Note, Progress
from rungbook.alone.repeat import HONEST, Standing, standings
from rungbook.errors import LadderError
from rungbook.grading.finding import Finding
from rungbook.grading.handed import Handed
from rungbook.grading.heard import Heard, listening

STEPS = ("Where to look", "Which rule", "Which contact")
_TAG = re.compile(r"\b[A-Z]\d{1,3}\b")


@dataclass(frozen=True)
class Hint:
    """A hint. step: 1 to 3, 0 if there is nothing to mend. about: a digest of what is to be mended."""

    exercise: str
    step: int
    text: str
    about: str = ""

    def __str__(self) -> str:
        if not self.step:
            return f"{self.exercise}: {self.text}"
        more = "" if self.step < len(STEPS) else "\nThat was the last hint for this mistake."
        return f"{self.exercise}, hint {self.step} of {len(STEPS)}. {STEPS[self.step - 1]}: {self.text}{more}"

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return "".join(f"<p>{escape(line)}</p>" for line in str(self).splitlines())


def hint(exercise: str) -> Hint:
    """Return the next hint for an exercise, "lab02-holding", on the answers as they stand in this notebook.

    The first says where to look, the second which rule is not kept, the third which contact of yours breaks it. Each is
    noted for `rungbook progress`; a new mistake begins anew. Raises LadderError as `check`.
    """
    from rungbook.alone.find import find_graders, lab_of
    from rungbook.alone.in_notebook import answers_here, names_here, not_while_marked

    not_while_marked("hint")
    found = find_graders(lab_of(exercise)).exercise(exercise)
    return next_hint(found, answers_here(found.names, names_here(2)), Progress())


def next_hint(exercise: Exercise, answers: Mapping[str, Handed], progress: Progress) -> Hint:
    """Return the next hint on `answers` and note it. Raises LadderError for an answer in words, or as `Progress`."""
    if exercise.written:
        rule = "is written in words, of which the graders know nothing; its model answer: rungbook solution"
        raise LadderError(f"Exercise {exercise.name}", rule)
    with listening() as heard:
        mark_answers(exercise, answers)
    first = next((one for one in heard if not one.finding.met and not one.finding.undecided), None)
    if first is None:
        return Hint(exercise.name, 0, "nothing to mend." if heard else "the graders found nothing to judge.")
    about = hashlib.sha256(f"{first.name}\0{first.sentence}".encode()).hexdigest()[:12]
    taken = [
        int(note.data["step"])
        for note in progress.notes()
        if note.kind == "hint" and note.exercise == exercise.name and note.data.get("about") == about
    ]
    step = min(len(STEPS), max(taken, default=0) + 1)
    if step not in taken:
        progress.add([Note("hint", exercise.name, {"step": step, "about": about})])
    return Hint(exercise.name, step, _told(step, first), about)


def _told(step: int, heard: Heard) -> str:
    found = heard.finding
    if step == 1:
        return f"{_place(heard)}."
    if step == 2:
        return f"{heard.sentence} Expected: {found.expected}." if found.expected else heard.sentence
    return " ".join(part for part in Finding(0, found.done, found.seen, "", found.because).parts())


def _place(heard: Heard) -> str:
    """Where to look: what the requirement says, else the devices that it names, else the field that is not right."""
    if heard.finding.look:
        return heard.finding.look.rstrip(".")
    tags = tuple(dict.fromkeys(_TAG.findall(heard.sentence)))
    if tags:
        return f"where {' and '.join(tags)} stand{'s' * (len(tags) == 1)}"
    field = heard.finding.seen.partition(": you wrote")[0]
    return f"{field}" if field else "the cell of this exercise"


def open_solution(exercise: Exercise, show: bool, progress: Progress) -> str:
    """Return the solution's text, if an honest attempt was made or `show` is the learner's choice; it is noted which.

    Honest: a run with some points, three different answers, or, of an answer in words, a run with any. Raises
    LadderError otherwise, or as `Progress`.
    """
    standing = standings(progress.notes()).get(exercise.name, Standing(exercise.name))
    if not (standing.honest or show):
        rule = (
            f"opens after a run of rungbook check with some points, or with {HONEST} different answers (so far: "
            f"{len(standing.tried)}); or now, with --show, which is noted"
        )
        raise LadderError(f"Solution of {exercise.name}", rule)
    progress.add([Note("solution", exercise.name, {"asked": not standing.honest})])
    return "\n\n".join(part.solution for part in exercise.parts)
