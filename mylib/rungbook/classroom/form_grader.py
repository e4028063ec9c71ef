"""`rungbook class open`: nbgrader's form grader on a class folder, in JupyterLab, reachable from this machine alone."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence

from rungbook.classroom.class_folder import ClassFolder

# the parts of nbgrader in the server and in the page: the form grader is switched on, the students' parts are off
EXTENSIONS = {
    "nbgrader.server_extensions.formgrader": True,
    "nbgrader.server_extensions.validate_assignment": False,
    "nbgrader.server_extensions.assignment_list": False,
    "nbgrader.server_extensions.course_list": False,
}


def command(place: ClassFolder, more: Sequence[str] = ()) -> list[str]:
    """The command that starts the server. `more` comes last, so it may say otherwise."""
    root = str(place.root.resolve())
    switched = [f"--ServerApp.jpserver_extensions={name}={on}" for name, on in EXTENSIONS.items()]
    start = [sys.executable, "-m", "jupyterlab", f"--ServerApp.root_dir={root}", "--ServerApp.ip=127.0.0.1"]
    return [*start, *switched, "--LabApp.default_url=/formgrader", *more]


def open_form_grader(place: ClassFolder, more: Sequence[str] = ()) -> int:
    """Start it in the class folder, so that nbgrader finds the settings, and wait for its end; return its status."""
    from rungbook.classroom.folder import scripts_on_path

    scripts_on_path()
    return subprocess.call(command(place, more), cwd=place.root, env=os.environ.copy())
