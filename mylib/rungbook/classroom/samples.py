"""Sample submissions of a lab: right and wrong answers of invented students, with the marks they must receive.

`samples.toml` beside the lab's source holds a list of `[[sample]]` tables:

| key | meaning |
|---|---|
| student, name | identifier in the gradebook, and the name shown |
| work | one line: what this student did |
| demo | true if `rungbook demo` hands it in |
| others | "solution" or "blank": what stands in the answer cells not listed |
| answers | table: grade_id of an answer cell -> its content |
| marks | table: grade_id of a test cell -> points it must receive |
| says | table: grade_id of a test cell -> text that must stand in its first line to mend |
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field

from nbformat.notebooknode import NotebookNode

from rungbook.classroom.build import instructor_notebook, released_notebook
from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError
from rungbook.grading.variants import Variant, renamed

MARKING_GUIDE = "*Marking guide.*"  # in a written answer's solution, begins what is for the reader who marks it


@dataclass(frozen=True)
class Sample:
    """One sample submission; see the table above."""

    student: str
    name: str
    work: str
    others: str = "solution"
    demo: bool = False
    answers: Mapping[str, str] = field(default_factory=dict)
    marks: Mapping[str, float] = field(default_factory=dict)
    says: Mapping[str, str] = field(default_factory=dict)


def load_samples(lab: Lab, variant: Variant | None = None) -> tuple[Sample, ...]:
    """Return the lab's samples in the order of the file, in the words of `variant` if there is one.

    Raises LadderError if a key is unknown or missing, a student stands twice, or `others` is neither of its words.
    """
    text = lab.samples.read_text(encoding="utf-8")
    data = tomllib.loads(text if variant is None else renamed(text, variant))
    samples: list[Sample] = []
    for number, entry in enumerate(data.get("sample", []), 1):
        thing = f"{lab.name}, sample {number}"
        unknown = set(entry) - set(Sample.__dataclass_fields__)
        missing = {"student", "name", "work"} - set(entry)
        if unknown or missing:
            keys = tuple(Sample.__dataclass_fields__)
            raise LadderError(thing, "unknown or missing key", ", ".join(sorted(unknown | missing)), keys)
        sample = Sample(**entry)
        if sample.others not in ("solution", "blank"):
            raise LadderError(
                thing, "'others' says what stands in the cells not listed", sample.others, ("solution", "blank")
            )
        if any(sample.student == other.student for other in samples):
            raise LadderError(thing, "one student, one sample", sample.student)
        samples.append(sample)
    return tuple(samples)


def hand_in(lab: Lab, sample: Sample, variant: Variant | None = None) -> NotebookNode:
    """Return the notebook that this student hands in: the released one with the answer cells filled.

    Raises LadderError if an answer names a cell that the lab does not have.
    """
    source = instructor_notebook(lab, variant)
    return filled(lab, sample, source, released_notebook(source))


def filled(lab: Lab, sample: Sample, source: NotebookNode, notebook: NotebookNode) -> NotebookNode:
    """Fill in and return `notebook`, the released form of `source`. Raises LadderError as `hand_in`."""
    solved = {cell["id"]: cell.source for cell in source.cells}
    ids = [cell["id"] for cell in notebook.cells if cell.metadata.get("nbgrader", {}).get("solution")]
    for grade_id in sample.answers:
        if grade_id not in ids:
            raise LadderError(f"{lab.name}, sample {sample.student}", "no such answer cell", grade_id, tuple(ids))
    for cell in notebook.cells:
        if cell["id"] not in ids:
            continue
        if cell["id"] in sample.answers:
            cell.source = sample.answers[cell["id"]].strip("\n")
        elif sample.others == "solution":
            text = solved[cell["id"]].split(MARKING_GUIDE)[0].rstrip()
            cell.source = "\n".join(line for line in text.split("\n") if not line.startswith("### "))
    return notebook
