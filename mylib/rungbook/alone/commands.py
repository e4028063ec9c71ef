"""The commands of somebody who learns without a class: `rungbook check`, `progress`, `hint`, `solution`, `practice`."""

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

    hint = commands.add_parser("hint", help="the next hint for an exercise: where to look, which rule, which contact")
    hint.add_argument("lab", metavar="LAB", help="such as lab02")
    hint.add_argument("exercise", metavar="EXERCISE", help="such as holding")
    hint.add_argument("notebook", nargs="?", type=Path, metavar="NOTEBOOK", help="default: the lab's, under course/")
    hint.set_defaults(run=_hint)

    solution = commands.add_parser("solution", help="the solution of an exercise, after an honest attempt")
    solution.add_argument("lab", metavar="LAB", help="such as lab02")
    solution.add_argument("exercise", metavar="EXERCISE", help="such as holding")
    solution.add_argument("--show", action="store_true", help="without an attempt; it is noted")
    solution.set_defaults(run=_solution)

    does = "exercises without end: read, complete, build, find the fault, calculate"
    practice = commands.add_parser("practice", help=does)
    practice.add_argument("kind", metavar="KIND", help="read, complete, build, fault or calculate")
    practice.add_argument("--level", type=int, default=1, help="1 to 5 (default: 1)")
    practice.add_argument("--seed", type=int, help="the same seed gives the same exercises (default: a new one)")
    practice.add_argument("--count", type=int, default=1, help="how many, no two alike (default: 1)")
    practice.add_argument("--to", type=Path, metavar="FILE", help="write a new notebook to work in, such as mine.ipynb")
    practice.set_defaults(run=_practice)

    progress = commands.add_parser("progress", help="your labs, points and attempts; what to repeat, and why")
    progress.set_defaults(run=_progress)


def _check(options: argparse.Namespace) -> int:
    from rungbook.alone.apart import read_notebook, run_apart
    from rungbook.alone.find import find_graders, find_notebook
    from rungbook.alone.in_notebook import note_attempts
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


def _hint(options: argparse.Namespace) -> int:
    from rungbook.alone.apart import read_notebook, run_apart
    from rungbook.alone.find import find_graders, find_notebook
    from rungbook.alone.hints import next_hint
    from rungbook.alone.progress import Progress

    graders = find_graders(options.lab)
    exercise = graders.exercise(options.exercise)
    path = (options.notebook or find_notebook(graders.short)).absolute()
    ran = run_apart(read_notebook(path), graders, path.parent)
    print(next_hint(exercise, ran.answers.get(exercise.grade_id, {}), Progress()))
    return 0


def _solution(options: argparse.Namespace) -> int:
    from rungbook.alone.find import find_graders
    from rungbook.alone.hints import open_solution
    from rungbook.alone.progress import Progress

    print(open_solution(find_graders(options.lab).exercise(options.exercise), options.show, Progress()))
    return 0


def _practice(options: argparse.Namespace) -> int:
    import secrets

    from rungbook.alone.practice import tasks
    from rungbook.alone.practice.notebook import write_notebook

    seed = secrets.randbelow(10**6) if options.seed is None else options.seed
    made = tasks(options.kind, options.level, seed, options.count)
    if options.to is None:
        print("\n\n".join(map(str, made)))
    else:
        write_notebook(options.to, made)
        print(f"written: {options.to} ({len(made)} exercise{'s' * (len(made) != 1)}, seed {seed})")
    return 0


def _progress(options: argparse.Namespace) -> int:
    from rungbook.alone.progress import Progress
    from rungbook.alone.repeat import report

    print(report(Progress().notes(), datetime.now(UTC)))
    return 0
