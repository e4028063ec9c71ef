"""`rungbook class release`: the students' notebook and bench sheet of a lab, one for all or each student's variant.

nbgrader itself makes release/LAB/ from source/LAB/ and notes the lab's cells in the gradebook. Variants stand where
nbgrader's layout has a student's own release, release/STUDENT/LAB/. The record is written before any handout is, so
whatever a student may hold can be marked.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from rungbook.classroom.bench_sheet import bench_sheet
from rungbook.classroom.build import for_students, instructor_notebook
from rungbook.classroom.class_folder import ClassFolder, as_json, make_secret, write_bytes, write_private
from rungbook.classroom.labs import Lab
from rungbook.classroom.nbgrader_step import must_succeed, quiet
from rungbook.classroom.variants import load_pools
from rungbook.classroom.zips import zip_of
from rungbook.errors import LadderError
from rungbook.grading.variants import Variant, choose


@dataclass(frozen=True)
class Released:
    """What a release did. zips: folder of the handouts. new: the students not in the record before."""

    lab: Lab
    zips: Path
    varied: bool
    students: tuple[str, ...]
    new: tuple[str, ...]
    variants: int


def release(place: ClassFolder, lab: Lab, variants: bool = False, again: bool = False) -> Released:
    """Release `lab` to all students of the gradebook. A second run adds only what is missing, such as new students.

    variants: each student gets a variant of their own, chosen by id and the class's secret (made if missing). Once
    released so, a lab stays varied, and each student keeps the variant that was noted, whatever becomes of the source.
    again: release anew from the source as it stands; needed to go over from one kind to the other.

    Raises LadderError if the lab has no variants or no source, the secret is open to others, the lab was released in
    the other kind, or nbgrader fails.
    """
    record = {} if again else place.read_record(lab)
    if record and variants and not record["varied"]:
        rule = f"was released to all alike on {record['released'][:10]}; --again releases it anew, in variants"
        raise LadderError(lab.name, rule)
    variants = variants or bool(record.get("varied"))
    if variants and not lab.source.is_file():
        raise LadderError(lab.name, "has no source in this class to make variants of", str(lab.source))
    secret, pools = (make_secret(place.secret), load_pools(lab)) if variants else (b"", ())
    with quiet():
        api = place.api()
        with api.gradebook as gradebook:
            students = tuple(sorted(one.id for one in gradebook.students))
        common = place.root / "release" / lab.name
        if again or not (common / f"{lab.short}.ipynb").is_file():
            must_succeed(api.generate_assignment(lab.name, force=True), f"releasing {lab.name}")
    known = record.get("students", {})
    chosen = {one: choose(pools, secret, lab.name, one) for one in students if variants and one not in known}
    noted = known | {one: _noted(chosen.get(one)) for one in students if one not in known}
    now = datetime.now(UTC).isoformat(timespec="seconds")
    record = {"lab": lab.name, "released": record.get("released", now), "varied": variants, "students": noted}
    write_private(place.record(lab), as_json(record))

    sheet = bench_sheet(lab) if lab.bench_source.is_file() else None
    if sheet is not None:
        write_bytes(common / lab.bench_sheet.name, sheet.encode())
    same = {path.name: path.read_bytes() for path in sorted(common.iterdir()) if path.is_file()}
    zips = place.root / "handouts" / lab.name
    made: dict[str, dict[str, bytes]] = {}
    for one in students:
        files = same
        if variants:
            variant = Variant(noted[one]["variant"], noted[one]["becomes"])
            files = made.get(variant.name) or _files(lab, variant)
            made[variant.name] = files
            for name, data in files.items():
                write_bytes(place.root / "release" / one / lab.name / name, data)
        write_bytes(zips / "students" / f"{one}.zip", zip_of({f"{lab.name}/{name}": d for name, d in files.items()}))
    if variants:
        of = {one: made[noted[one]["variant"]] for one in students}
        whole = {f"{one}/{lab.name}/{name}": data for one, files in of.items() for name, data in files.items()}
    else:
        whole = {f"{lab.name}/{name}": data for name, data in same.items()}
    write_bytes(zips / f"{lab.name}.zip", zip_of(whole))
    return Released(lab, zips, variants, students, tuple(one for one in students if one not in known), len(made))


def _noted(variant: Variant | None) -> dict[str, object]:
    return {} if variant is None else {"variant": variant.name, "becomes": dict(variant.becomes)}


def _files(lab: Lab, variant: Variant) -> dict[str, bytes]:
    """What a student with this variant gets: file name -> content."""
    made = for_students(lab, instructor_notebook(lab, variant), variant)
    return {path.name: text.encode() for path, text in made.items()}


def variant_name(notebook_text: str) -> str | None:
    """The name of the variant that a notebook says it is; None if it says nothing."""
    try:
        told = json.loads(notebook_text)["metadata"]["rungbook"]["variant"]
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return told if isinstance(told, str) else None
