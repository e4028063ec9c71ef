"""A notebook to practise in: each exercise with a cell for the answer and one that marks it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from rungbook.alone.practice.task import Task
from rungbook.errors import LadderError


def notebook_of(tasks: Sequence[Task]) -> dict[str, Any]:
    """Return a notebook, as JSON of format 4, with `tasks` to work on."""
    cells = ["from rungbook import NC, NO, Ladder, coil, draw, lamp, practice, run"]
    for n, task in enumerate(tasks, 1):
        cells.append(f'task{n} = practice("{task.kind}", {task.level}, {task.seed}, {task.number})\ntask{n}')
        show = "" if task.form else f"\nanswer{n}" if task.token else f"\ndraw(answer{n})"
        begin = json.dumps(task.start(), indent=4, ensure_ascii=False) if task.form else f"task{n}.start()"
        cells.append(f"answer{n} = {begin}\n# YOUR WORK HERE{show}")
        cells.append(f"task{n}.mark(answer{n})")
    made: list[dict[str, Any]] = [
        {
            "cell_type": "code",
            "id": f"practice-{n}",
            "metadata": {},
            "execution_count": None,
            "outputs": [],
            "source": text,
        }
        for n, text in enumerate(cells)
    ]
    kernel = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
    return {"nbformat": 4, "nbformat_minor": 5, "metadata": {"kernelspec": kernel}, "cells": made}


def write_notebook(path: Path, tasks: Sequence[Task]) -> None:
    """Write a new notebook. Raises LadderError if it is no .ipynb, is there already, or cannot be written."""
    if path.suffix != ".ipynb":
        raise LadderError("practice", "a notebook's name ends in .ipynb", str(path), (f"{path.stem or 'mine'}.ipynb",))
    text = json.dumps(notebook_of(tasks), indent=1, sort_keys=True, ensure_ascii=False) + "\n"
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise LadderError("practice", "is there already, and is left as it is", str(path)) from None
    except OSError as problem:
        raise LadderError("practice", f"cannot be written: {problem.strerror}", str(path)) from None
