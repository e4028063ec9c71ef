"""`rungbook class feedback`: nbgrader's feedback pages, looked through once more and packed to hand back.

The pages are nbgrader's own, made with the class folder's settings. Before one is handed back it is searched for the
lines of the hidden tests: a test cell that stopped with an error quotes them. What is handed back, and
stands under feedback/ from then on, went through `feedback_page.readable`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from html import unescape
from pathlib import Path

from nbformat.notebooknode import NotebookNode

from rungbook.classroom.class_folder import ClassFolder, write_bytes
from rungbook.classroom.feedback_page import readable
from rungbook.classroom.labs import Lab
from rungbook.classroom.marks import MARKED, NEWER, WAITS, read_marks
from rungbook.classroom.nbgrader_step import must_succeed, quiet
from rungbook.classroom.samples import MARKING_GUIDE
from rungbook.classroom.zips import zip_of
from rungbook.errors import LadderError

_BETWEEN = re.compile(r"^### BEGIN HIDDEN TESTS\n(.*?)^### END HIDDEN TESTS", re.DOTALL | re.MULTILINE)
_SHORT = 25  # characters; a shorter line of a hidden test may stand in any notebook


@dataclass(frozen=True)
class HandedBack:
    """What was made. folder: of the zip files. waiting: students whose answers nobody has read yet, left out unless
    asked for. withheld: student -> why the page is not handed back."""

    folder: Path
    students: tuple[str, ...]
    waiting: tuple[str, ...]
    withheld: dict[str, str] = field(default_factory=dict)


def hand_back(place: ClassFolder, lab: Lab, unread: bool = False, progress: bool = True) -> HandedBack:
    """Make the feedback pages of `lab`, and zip files of them: handback/LAB/students/ID.zip, handback/LAB/LAB.zip.

    unread: also for students with answers that wait for a reader; these show 0 points so far.

    Raises LadderError if nothing is marked yet.
    """
    from tqdm import tqdm

    marks = read_marks(place, [lab])
    ready = [one.student.id for one in marks if one.status in (MARKED, NEWER) or (unread and one.status == WAITS)]
    waiting = tuple(one.student.id for one in marks if one.status == WAITS)
    if not ready and not waiting:
        raise LadderError(lab.name, "nothing is marked yet; first collect and mark")
    folder = place.root / "handback" / lab.name
    pages: dict[str, bytes] = {}
    withheld: dict[str, str] = {}
    with quiet():
        api = place.api()
        for student in tqdm(ready, unit="page", disable=not progress, leave=False):
            try:
                must_succeed(api.generate_feedback(lab.name, student), f"feedback for {student}")
            except LadderError as problem:
                withheld[student] = str(problem).strip().splitlines()[-1]
                continue
            path = place.root / "feedback" / student / lab.name / f"{lab.short}.html"
            page = path.read_text(encoding="utf-8")
            found = leak(page, place.source_notebook(lab, student).cells)
            if found:
                withheld[student] = f"shows a line of a hidden test: {found}"
            else:
                pages[student] = readable(page).encode()
                write_bytes(path, pages[student])
    for student, page in pages.items():
        write_bytes(folder / "students" / f"{student}.zip", zip_of({f"{lab.name}/{lab.short}.html": page}))
    for student in withheld:
        (folder / "students" / f"{student}.zip").unlink(missing_ok=True)
    if pages:
        whole = {f"{student}/{lab.name}/{lab.short}.html": page for student, page in pages.items()}
        write_bytes(folder / f"{lab.name}.zip", zip_of(whole))
    return HandedBack(folder, tuple(pages), waiting, withheld)


def leak(page: str, source: Iterable[NotebookNode]) -> str:
    """Return the first line of a hidden test or marking guide of `source` that `page` shows; "" if it shows none."""
    text = re.sub(r"(?s)<style.*?</style>|<script.*?</script>|<[^>]+>", "", page)
    text = " ".join(unescape(text).split())
    if MARKING_GUIDE.strip("*") in text:
        return MARKING_GUIDE
    for cell in source:
        for block in _BETWEEN.findall(cell.source):
            for line in block.splitlines():
                told = " ".join(line.split())
                if len(told) > _SHORT and not told.startswith(("from ", "import ", "#")) and told in text:
                    return told
    return ""
