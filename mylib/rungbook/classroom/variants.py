"""A lab of one student's own: the lab's source with the words of `variants.toml` renamed, then built as any lab.

`variants.toml` beside the lab's source holds `[[pool]]` tables (`rungbook.grading.variants`):

| key | meaning |
|---|---|
| words | whole words of the source that are renamed |
| become | words of which each variant takes different ones, in any order |
| together | instead: lists of words, of which each variant takes one list as it stands |

The renaming goes through text, code, solutions, hidden tests and `samples.toml`, so they agree by themselves.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

from rungbook.classroom.build import for_students, instructor_notebook, notebook_text, replace_file
from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError
from rungbook.grading.variants import Pool, Variant, check_pools, choose, read_pools


def load_pools(lab: Lab) -> tuple[Pool, ...]:
    """Return the pools of the lab's variants, checked against its source and its samples.

    Raises LadderError if the lab has no variants.toml, the file is no TOML, or as `read_pools` and `check_pools`.
    """
    thing = f"{lab.name}, {lab.variants.name}"
    if not lab.variants.is_file():
        raise LadderError(lab.name, "has no variants.toml beside its source, so all students get the same lab")
    try:
        data = tomllib.loads(lab.variants.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as problem:
        raise LadderError(thing, f"is no TOML: {problem}") from None
    pools = read_pools(thing, data)
    texts = [path.read_text(encoding="utf-8") for path in (lab.source, lab.samples, lab.bench_source) if path.is_file()]
    check_pools(thing, pools, texts)
    return pools


def variant_of(lab: Lab, student: str, secret: bytes) -> Variant:
    """Return the student's variant of the lab. Raises LadderError as `load_pools` and `choose`."""
    return choose(load_pools(lab), secret, lab.name, student)


def read_secret(path: Path) -> bytes:
    """Return the instructor's secret, without blanks and line ends around it.

    Raises LadderError if the file cannot be read.
    """
    try:
        return path.read_bytes().strip()
    except OSError as problem:
        raise LadderError("Secret", f"cannot be read: {problem.strerror}", str(path)) from None


def build_variant(lab: Lab, variant: Variant, to: Path) -> tuple[Path, ...]:
    """Build `variant` of the lab under `to`: the instructor's notebook and what students get, as the course has them.

    Returns their paths, `to`/solutions/LAB/labNN.ipynb and `to`/course/LAB/labNN.ipynb, and the bench sheet if the lab
    has one. Both notebooks carry the variant's name in their metadata, as ["rungbook"]["variant"].

    Raises LadderError, and writes nothing, if `to` holds anything, or as `instructor_notebook` and `bench_sheet`.
    """
    if to.exists() and (not to.is_dir() or any(to.iterdir())):
        raise LadderError("Folder of a variant", "must be new or empty; nothing in it is touched", str(to))
    notebook = instructor_notebook(lab, variant)
    made = {lab.instructor: notebook_text(notebook)} | for_students(lab, notebook, variant)
    there = {to / path.relative_to(lab.root): text for path, text in made.items()}
    for path, text in there.items():
        replace_file(path, text)
    return tuple(there)
