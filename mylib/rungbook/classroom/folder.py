"""A class folder in nbgrader's own layout, so that its commands and its form grader work on it unchanged.

DIR/nbgrader_config.py  gradebook.db  source/  release/  submitted/  autograded/  feedback/
"""

from __future__ import annotations

import os
import sysconfig
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from rungbook.classroom.build import CODE_STUB, TEXT_STUB, instructor_notebook, notebook_text, replace_file
from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError

CONFIG = f'''"""Settings of this class for nbgrader."""

from nbconvert.preprocessors import CSSHTMLHeaderPreprocessor
from nbgrader.preprocessors import ClearHiddenTests, GetGrades
from rungbook.classroom.reader import autograde_steps

c = get_config()  # noqa: F821  (nbgrader provides it)

c.CourseDirectory.course_id = "rungbook"

# what stands in the place of a solution; no error, so that an empty answer still runs
c.ClearSolutions.code_stub = {{"python": {CODE_STUB!r}}}
c.ClearSolutions.text_stub = {TEXT_STUB!r}

# a test cell that a student deleted is put back and marked
c.OverwriteCells.add_missing_cells = True

# seconds for one cell, then it is interrupted and the next one runs
c.Execute.timeout = 60
# the kernel's remark that its port on this machine is not encrypted is no news to an instructor
c.Execute.extra_arguments = ["--log-level=ERROR"]

# what the marker could not decide waits for a person, in the form grader; nobody loses points to a limit unseen
c.Autograde.autograde_preprocessors = autograde_steps()

# students see what a circuit does wrong, not how it was tested
c.GenerateFeedback.preprocessors = [ClearHiddenTests, GetGrades, CSSHTMLHeaderPreprocessor]
'''


def make_class(folder: Path, labs: Iterable[Lab]) -> None:
    """Make a class folder: nbgrader's settings, and the instructor's notebook of each lab under `source/`.

    Raises LadderError if `folder` exists and holds anything: nothing is ever overwritten.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise LadderError("Class folder", "must be new or empty; nothing in it is touched", str(folder))
    folder.mkdir(parents=True, exist_ok=True)
    replace_file(folder / "nbgrader_config.py", CONFIG)
    for lab in labs:
        path = folder / "source" / lab.name / f"{lab.short}.ipynb"
        replace_file(path, notebook_text(instructor_notebook(lab)))


def open_class(folder: Path) -> Any:
    """Return nbgrader's Python interface (`NbGraderAPI`) on a class folder, with the settings found in it.

    The gradebook is the folder's own file, or the database that `c.CourseDirectory.db_url` names, as nbgrader takes it.

    Raises LadderError if the folder has no nbgrader_config.py, or the database it names cannot be reached.
    """
    from nbgrader.apps.api import NbGraderAPI
    from nbgrader.coursedir import CourseDirectory
    from traitlets.config import Config
    from traitlets.config.loader import PyFileConfigLoader

    if not (folder / "nbgrader_config.py").is_file():
        raise LadderError("Class folder", "has no nbgrader_config.py", str(folder))
    scripts_on_path()
    config = Config()
    config.merge(PyFileConfigLoader("nbgrader_config.py", path=str(folder)).load_config())
    config.CourseDirectory.root = str(folder.resolve())
    course = CourseDirectory(config=config)
    if not course.db_url.startswith("sqlite:"):
        _must_be_there(course.db_url)
    return NbGraderAPI(course, config=config)


def _must_be_there(address: str) -> None:
    """Raise LadderError, without the password in `address`, if there is no such database or no driver for it."""
    from sqlalchemy import create_engine
    from sqlalchemy.engine import make_url
    from sqlalchemy.exc import SQLAlchemyError

    shown = "no address"
    try:
        shown = make_url(address).render_as_string()
        engine = create_engine(address)
        engine.connect().close()
        engine.dispose()
    except (ImportError, SQLAlchemyError) as problem:
        why = str(problem).partition("\n")[0]
        rule = f"c.CourseDirectory.db_url names a database that cannot be used: {why}"
        raise LadderError("Gradebook", rule, shown) from None


def scripts_on_path() -> None:
    """Put this environment's scripts first on PATH: nbgrader starts `alembic` by its bare name."""
    scripts = sysconfig.get_path("scripts")
    path = os.environ.get("PATH", "")
    if scripts not in path.split(os.pathsep):
        os.environ["PATH"] = os.pathsep.join([scripts, path]) if path else scripts
