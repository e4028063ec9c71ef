"""A small class, and the commands as a person types them, for the tests of the instructor's week."""

import contextlib
import io
import os
import shutil
from pathlib import Path

from rungbook.classroom.build import notebook_text
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.labs import find_lab
from rungbook.classroom.samples import Sample, filled, load_samples
from rungbook.cli import main

ROOT = Path(__file__).parents[2]
ROSTER = """id,first_name,last_name,email
alder,Ina,Alder,ina@cider.example
birch,Tom,Birch,
cedar,Mara,Cedar,mara@cider.example
elder,Jon,Elder,
hazel,Lea,Hazel,
larch,Ole,Larch,
"""
LAB2 = find_lab(ROOT, "lab02")
SAMPLES = {sample.student: sample for sample in load_samples(LAB2)}


def rungbook(*arguments: object, cwd: Path | None = None) -> tuple[int, str, str]:
    """Run a command in this process: status, standard output, standard error."""
    out, err = io.StringIO(), io.StringIO()
    before = Path.cwd()
    os.chdir(cwd or ROOT)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                status = main([str(one) for one in arguments])
            except SystemExit as stopped:  # argparse
                status = int(stopped.code or 0)
    finally:
        os.chdir(before)
    return status, out.getvalue(), err.getvalue()


def new_class(folder: Path, labs: str = "01-03", roster: str = ROSTER) -> ClassFolder:
    """`rungbook class new` for a term from 7 September 2026, in UTC."""
    (folder.parent / "students.csv").write_text(roster, encoding="utf-8")
    asked = ("class", "new", folder, "--roster", folder.parent / "students.csv", "--labs", labs)
    status, _, problem = rungbook(*asked, "--term", "2026-09-07", "--zone", "UTC")
    assert status == 0, problem
    return ClassFolder(folder)


def copied(place: ClassFolder, to: Path) -> ClassFolder:
    """The class folder once more, to be changed by one test."""
    shutil.copytree(place.root, to)
    return ClassFolder(to)


def work(sample: Sample, released: str) -> str:
    """The notebook that this sample's student hands in, on the released one."""
    import nbformat

    from rungbook.classroom.build import instructor_notebook

    return notebook_text(filled(LAB2, sample, instructor_notebook(LAB2), nbformat.reads(released, as_version=4)))


def everything(folder: Path) -> dict[str, bytes]:
    """Every file below `folder` with its content."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
