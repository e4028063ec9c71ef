"""`rungbook demo`: a whole week of an instructor in under a minute, on invented submissions.

Build the class, release the lab, hand in eight notebooks, mark them with nbgrader, write feedback pages and a CSV of
marks, and say where everything lies.
"""

from __future__ import annotations

import logging
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rungbook.classroom.build import notebook_text, replace_file
from rungbook.classroom.feedback_page import readable
from rungbook.classroom.folder import make_class, open_class
from rungbook.classroom.labs import Lab, find_lab, find_root
from rungbook.classroom.nbgrader_step import must_succeed, quiet
from rungbook.classroom.samples import Sample, hand_in, load_samples
from rungbook.grading import first_to_mend

DEMO_LAB = "lab02-holding-circuit"
DEMO_EXERCISE = "lab02-holding-marks"


@dataclass(frozen=True)
class Marked:
    """One marked submission: points in the demonstrated exercise and in all exercises marked by machine, each with
    its maximum, and the first line to mend ("" if there is none)."""

    sample: Sample
    exercise: tuple[float, float]
    lab: tuple[float, float]
    first: str


def demo(folder: Path | None = None, root: Path | None = None, progress: bool = True) -> tuple[Path, list[Marked]]:
    """Run the demonstration in `folder` (new or empty; left out: a new temporary folder); return it and the marks.

    Raises LadderError if the folder is not empty, no course is found, or nbgrader fails on a step (its log is quoted).
    """
    from tqdm import tqdm

    lab = find_lab(root or find_root(), DEMO_LAB)
    samples = [sample for sample in load_samples(lab) if sample.demo]
    folder = Path(tempfile.mkdtemp(prefix="rungbook-demo-")) if folder is None else folder
    make_class(folder, [lab])
    with quiet(), tqdm(total=2 * len(samples) + 3, unit="step", disable=not progress, leave=False) as bar:

        def step(text: str) -> None:
            bar.set_description(text)
            bar.update()

        bar.set_description("starting nbgrader")
        api = open_class(folder)
        step("releasing the lab")
        must_succeed(api.generate_assignment(lab.name), "releasing the lab")
        for sample in samples:
            first, last = sample.name.split(" ", 1)
            with api.gradebook as gradebook:
                gradebook.update_or_create_student(sample.student, first_name=first, last_name=last)
            path = folder / "submitted" / sample.student / lab.name / f"{lab.short}.ipynb"
            replace_file(path, notebook_text(hand_in(lab, sample)))
        step("submissions handed in")
        for sample in samples:
            bar.set_description(f"marking {sample.name}")
            must_succeed(api.autograde(lab.name, sample.student), f"marking {sample.student}")
            bar.update()
            bar.set_description(f"feedback for {sample.name}")
            must_succeed(api.generate_feedback(lab.name, sample.student), f"feedback for {sample.student}")
            page = folder / "feedback" / sample.student / lab.name / f"{lab.short}.html"
            replace_file(page, readable(page.read_text(encoding="utf-8")))
            bar.update()
        step("marks exported")
        marked = [_read(api, folder, lab, sample) for sample in samples]
        _export(api, folder / "marks.csv")
    return folder, marked


def _read(api: Any, folder: Path, lab: Lab, sample: Sample) -> Marked:
    import nbformat

    with api.gradebook as gradebook:
        submission = gradebook.find_submission_notebook(lab.short, lab.name, sample.student)
        grades = {grade.name: (grade.score, grade.max_score, grade.cell.cell_type) for grade in submission.grades}
    machine = {name: (score, most) for name, (score, most, kind) in grades.items() if kind == "code"}
    notebook = nbformat.read(folder / "autograded" / sample.student / lab.name / f"{lab.short}.ipynb", as_version=4)
    lines = {
        cell.metadata.nbgrader.grade_id: first_line(cell) for cell in notebook.cells if "nbgrader" in cell.metadata
    }
    lost = [name for name, (score, most) in machine.items() if score < most]
    lost.sort(key=lambda name: name != DEMO_EXERCISE)
    total = (sum(score for score, _ in machine.values()), sum(most for _, most in machine.values()))
    return Marked(sample, machine[DEMO_EXERCISE], total, lines[lost[0]] if lost else "")


def first_line(cell: Any) -> str:
    """The first thing to mend that a marked test cell printed, or ""."""
    printed = "".join(output.get("text", "") for output in cell.get("outputs", []))
    return first_to_mend(printed)


def _export(api: Any, path: Path) -> None:
    from nbgrader.plugins.export import CsvExportPlugin

    plugin = CsvExportPlugin(to=str(path))
    plugin.log.setLevel(logging.CRITICAL)
    with api.gradebook as gradebook:
        plugin.export(gradebook)


def report(folder: Path, marked: list[Marked]) -> str:
    """The marks as a table for the terminal: one row a student, its line of feedback below."""
    name = max(len(one.sample.name) for one in marked)
    lines = [f"{'student':<{name}}  {'holding circuit':<15}  lab", ""]
    for one in marked:
        exercise = f"{one.exercise[0]:g} of {one.exercise[1]:g}"
        lines.append(f"{one.sample.name:<{name}}  {exercise:<15}  {one.lab[0]:g} of {one.lab[1]:g}")
        lines.append(f"    {one.first or 'Nothing to mend.'}")
    lines += [
        "",
        "(15 more points for the written answer are given by hand, in nbgrader's form grader.)",
        f"feedback pages  {folder}/feedback/STUDENT/{DEMO_LAB}/lab02.html",
        f"gradebook       {folder}/gradebook.db",
        f"marks as CSV    {folder}/marks.csv",
        f"class folder    {folder}",
    ]
    return "\n".join(lines)
