"""The commands of somebody who learns without a class: `rungbook check`, `progress`."""

from __future__ import annotations

import argparse
import sys
from datetime import UTC, datetime
from pathlib import Path

from rungbook.errors import LadderError


def add_learner_commands(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add them to `commands`."""
    check = commands.add_parser("check", help="mark your own notebook here, with the class's graders and feedback")
    check.add_argument("lab", metavar="LAB", help="such as lab02, or an exercise, such as lab02-holding")
    check.add_argument("notebook", nargs="?", type=Path, metavar="NOTEBOOK", help="default: the lab's, under course/")
    check.set_defaults(run=_check)

    progress = commands.add_parser("progress", help="your labs, points and attempts; what to repeat, and why")
    progress.set_defaults(run=_progress)


def _check(options: argparse.Namespace) -> int:
    from rungbook.alone.apart import read_notebook, run_apart
    from rungbook.alone.check import note_attempts
    from rungbook.alone.find import find_graders, find_notebook
    from rungbook.alone.marks import mark_ran

    whole = options.lab[5:6] != "-" or not _is_exercise(options.lab)
    graders = find_graders(options.lab if whole else options.lab[:5])
    only = None if whole else graders.exercise(options.lab)
    path = (options.notebook or find_notebook(graders.short)).absolute()
    marks = mark_ran(run_apart(read_notebook(path), graders, path.parent), graders, only)
    print(marks)
    try:
        note_attempts(marks.marks)
    except LadderError as problem:  # the marks stand, whatever becomes of the note
        print(f"This run is not noted. {problem}", file=sys.stderr)
    return 0


def _is_exercise(wanted: str) -> bool:
    """True unless `wanted` is the whole name of a lab."""
    from rungbook.classroom.labs import find_labs, find_root

    try:
        return wanted not in (lab.name for lab in find_labs(find_root()))
    except LadderError:
        return False


def _progress(options: argparse.Namespace) -> int:
    from rungbook.alone.progress import Progress
    from rungbook.alone.repeat import report

    print(report(Progress().notes(), datetime.now(UTC)))
    return 0
