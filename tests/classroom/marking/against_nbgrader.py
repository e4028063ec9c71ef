"""Mark the samples of all labs, or of those named, by `rungbook class mark` and by plain nbgrader, and compare cell by
cell: `python -m tests.classroom.marking.against_nbgrader [LAB …] [--minutes N]`.

A cell is compared by all that the gradebook says of it (points, points at most, whether it waits for a person,
comments) and, for a test cell, by what it printed for the student. Plain nbgrader takes 4 to 10 s a submission, so this
is a command, and a test does the same with some samples. The labs take turns: a run cut short has seen some of each.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from rungbook.classroom.build import notebook_text, replace_file
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.folder import make_class, open_class
from rungbook.classroom.labs import Lab, find_lab, find_labs
from rungbook.classroom.marking.engine import How, mark_lab
from rungbook.classroom.samples import hand_in, load_samples

ROOT = Path(__file__).parents[3]


def make(folder: Path, labs: Sequence[Lab]) -> None:
    """A class in which the samples of the labs are handed in."""
    make_class(folder, labs)
    api = open_class(folder)
    for lab in labs:
        result = api.generate_assignment(lab.name)
        assert result["success"], result["log"]
        for sample in load_samples(lab):
            path = folder / "submitted" / sample.student / lab.name / f"{lab.short}.ipynb"
            replace_file(path, notebook_text(hand_in(lab, sample)))


def grades(folder: Path, lab: str, student: str) -> dict[str, tuple[Any, ...]]:
    """Cell -> all that the gradebook says of it."""
    with open_class(folder).gradebook as gradebook:
        notebook = gradebook.find_submission_notebook(lab[:5], lab, student)
        found = {g.name: (g.auto_score, g.manual_score, g.max_score, g.needs_manual_grade) for g in notebook.grades}
        return found | {f"{c.name} comment": (c.auto_comment, c.manual_comment) for c in notebook.comments}


def printed(folder: Path, lab: str, student: str) -> dict[str, str]:
    """Test cell -> what it printed, in the marked notebook."""
    import nbformat

    notebook = nbformat.read(folder / "autograded" / student / lab / f"{lab[:5]}.ipynb", as_version=4)
    return {
        f"{cell.metadata.nbgrader.grade_id} printed": "".join(output.get("text", "") for output in cell.outputs)
        for cell in notebook.cells
        if cell.cell_type == "code" and cell.metadata.get("nbgrader", {}).get("grade")
    }


def differences(ours: Path, theirs: Path, lab: str, student: str) -> tuple[int, list[str]]:
    """Return how many cells of this submission were compared, and a line for each difference."""
    one, other = ({**grades(f, lab, student), **printed(f, lab, student)} for f in (ours, theirs))
    cells = {key.split(" ")[0] for key in one | other}
    apart = [key for key in sorted(one | other) if one.get(key) != other.get(key)]
    return len(cells), [f"{lab} {student} {key}: {one.get(key)!r}, nbgrader {other.get(key)!r}" for key in apart]


def in_turns(labs: Sequence[Lab]) -> Iterator[tuple[Lab, str]]:
    """Each lab's first sample, then each lab's second, and so on."""
    students = {lab: [sample.student for sample in load_samples(lab)] for lab in labs}
    for number in range(max(map(len, students.values()))):
        yield from ((lab, of[number]) for lab, of in students.items() if number < len(of))


def main(words: Sequence[str] | None = None) -> int:
    """Compare until all are compared or the time is over; return 1 if anything differs."""
    parser = argparse.ArgumentParser(prog="python -m tests.classroom.marking.against_nbgrader", description=__doc__)
    parser.add_argument("lab", nargs="*", help="such as lab04; left out: all")
    parser.add_argument("--minutes", type=float, default=20, help="stop after this time (default: 20)")
    given = parser.parse_args(words)
    labs = [find_lab(ROOT, one) for one in given.lab] or list(find_labs(ROOT))
    until = time.monotonic() + 60 * given.minutes
    seen: Counter[str] = Counter()
    cells, apart = 0, []
    with tempfile.TemporaryDirectory(prefix="rungbook-compare-") as place:
        ours, theirs = Path(place) / "ours", Path(place) / "theirs"
        make(ours, labs)
        shutil.copytree(ours, theirs)
        for lab in labs:
            mark_lab(ClassFolder(ours), ClassFolder(ours).lab(lab.name), How(progress=False))
        api = open_class(theirs)
        for lab, student in in_turns(labs):
            if time.monotonic() > until:
                print(f"the time is over before {lab.name} {student}", flush=True)
                break
            result = api.autograde(lab.name, student)
            if not result["success"]:
                apart.append(f"{lab.name} {student}: nbgrader failed: {result['error'] or result['log'][-500:]}")
                continue
            count, lines = differences(ours, theirs, lab.name, student)
            cells += count
            seen[lab.name] += 1
            apart += lines
            print(f"{sum(seen.values())} {lab.name} {student}: {count} cells, {len(lines)} differences", flush=True)
    print(*apart, sep="\n")
    print("; ".join(f"{name} {count}" for name, count in sorted(seen.items())))
    print(f"{len(seen)} labs, {sum(seen.values())} submissions, {cells} cells, {len(apart)} differences")
    return 1 if apart else 0


if __name__ == "__main__":
    sys.exit(main())
