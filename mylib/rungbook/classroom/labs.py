"""Where labs live: `solutions/labNN-name/` is what an instructor keeps, `course/labNN-name/` what a student opens."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from rungbook.errors import LadderError

_NAME = re.compile(r"(lab[0-9]{2})-[a-z0-9-]+\Z")


@dataclass(frozen=True)
class Lab:
    """One lab. root: the course's top folder. name: "lab02-holding-circuit", its folder's and nbgrader's name."""

    root: Path
    name: str

    @property
    def short(self) -> str:
        """ "lab02", the notebook's name."""
        return self.name[:5]

    @property
    def source(self) -> Path:
        """The Markdown text, the only hand-edited form."""
        return self.root / "solutions" / self.name / f"{self.short}.md"

    @property
    def instructor(self) -> Path:
        """The built notebook with solutions and hidden tests; not tracked."""
        return self.root / "solutions" / self.name / f"{self.short}.ipynb"

    @property
    def released(self) -> Path:
        """The built notebook that students open; tracked."""
        return self.root / "course" / self.name / f"{self.short}.ipynb"

    @property
    def samples(self) -> Path:
        """Sample answers, right and wrong, with the marks they must receive."""
        return self.root / "solutions" / self.name / "samples.toml"

    @property
    def aims(self) -> Path:
        """Which exercises show which of the aims at the head of the lab."""
        return self.root / "solutions" / self.name / "aims.toml"

    @property
    def variants(self) -> Path:
        """Which words change from student to student; a lab may have none."""
        return self.root / "solutions" / self.name / "variants.toml"

    @property
    def bench_source(self) -> Path:
        """Markdown text of the sheet for the bench; a lab may have none."""
        return self.root / "solutions" / self.name / "bench-sheet.md"

    @property
    def bench_sheet(self) -> Path:
        """The sheet as a page to print; tracked."""
        return self.root / "course" / self.name / "bench-sheet.html"


def find_root(start: Path | None = None, *, students: bool = False) -> Path:
    """Return the course's top folder: the nearest one, from `start` (default: here) upwards, that holds the labs.

    It has the sources, `solutions/labNN-name/labNN.md`, or, with `students`, the released notebooks under `course/`.
    Falls back on the folder of an editable installation. Raises LadderError if there is none.
    """
    start = (start or Path.cwd()).resolve()
    pattern = "course/lab[0-9][0-9]-*/lab[0-9][0-9].ipynb" if students else "solutions/lab[0-9][0-9]-*/lab[0-9][0-9].md"
    for folder in (start, *start.parents, *Path(__file__).resolve().parents):
        if any(folder.glob(pattern)):
            return folder
    rule = f"no folder with {pattern} from here upwards; go to the folder of the course"
    raise LadderError("Course", rule, str(start))


def find_labs(root: Path) -> tuple[Lab, ...]:
    """Return all labs under `root`, by number. Raises LadderError if a folder has a source but no proper name."""
    labs = []
    for source in sorted((root / "solutions").glob("*/lab*.md")):
        match = _NAME.match(source.parent.name)
        if match is None or source.stem != match[1]:
            rule = "a lab is solutions/labNN-name/labNN.md, name in small letters, digits and hyphens"
            raise LadderError("Lab", rule, str(source.relative_to(root)))
        labs.append(Lab(root, source.parent.name))
    return tuple(labs)


def find_lab(root: Path, wanted: str) -> Lab:
    """Return the lab whose name, or "labNN", is `wanted`. Raises LadderError, listing the labs, if there is none."""
    labs = find_labs(root)
    for lab in labs:
        if wanted in (lab.name, lab.short):
            return lab
    raise LadderError("Lab", "no such lab", wanted, tuple(lab.name for lab in labs))
