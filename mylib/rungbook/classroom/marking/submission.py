"""One submission from the bytes that were handed in to the marked notebook. Runs in a worker, on any machine.

A worker keeps a cage and a judge warm. A submission that breaks, loops or lies gives an outcome like any other.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import threading
import time
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import nbformat

from rungbook.classroom.marking import sanitise
from rungbook.classroom.marking.cage import Cage, Limits, Ran
from rungbook.classroom.marking.paper import Paper
from rungbook.classroom.marking.sheet import Sheet, blank, put_together, read_notebook
from rungbook.classroom.marking.written import written
from rungbook.errors import LadderError
from rungbook.grading import asks_for_a_reader
from rungbook.grading.handed import Handed

_MEMO = 5000  # verdicts that a worker remembers


@dataclass(frozen=True)
class Task:
    """data: the notebook as handed in; None if there is none, then `problem` says why. files: what lay beside it.
    hidden: folders the cage must not show. trusted: run it without walls. common: others are marked by the same paper.
    """

    student: str
    paper: Paper
    data: bytes | None
    files: Mapping[str, bytes] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    problem: str = ""
    limits: Limits = field(default_factory=Limits)
    hidden: tuple[str, ...] = ()
    trusted: bool = False
    common: bool = False


@dataclass(frozen=True)
class Outcome:
    """text: the autograded notebook. graded: its cells that nbgrader keeps account of. waiting: test cells that a
    person must look at. problem: why the submission could not be run to its end, "" if it could. notes: what else was
    found."""

    student: str
    text: str
    graded: tuple[dict[str, Any], ...]
    waiting: tuple[str, ...]
    problem: str
    notes: tuple[str, ...]
    seconds: float


class _Worker(threading.local):
    """The warm processes of this thread, and what it remembers."""

    def __init__(self) -> None:
        self.warm: dict[tuple[str, tuple[str, ...]], Cage] = {}
        self.memo: dict[str, list[Any]] = {}

    def get(self, kind: str, hidden: tuple[str, ...] = ()) -> Cage:
        if (kind, hidden) not in self.warm:
            self.warm[kind, hidden] = Cage(kind, [Path(folder) for folder in hidden])
        return self.warm[kind, hidden]

    def all(self, hidden: tuple[str, ...], trusted: bool) -> list[Cage]:
        return [self.get("open" if trusted else "cage", () if trusted else hidden), self.get("judge")]


_worker = _Worker()


def begin_to_warm_up(hidden: tuple[str, ...], trusted: bool) -> None:
    """Start the warm processes and do not wait: workers that are forked from this process share them."""
    with contextlib.suppress(OSError):  # `warm_up` says why
        for cage in _worker.all(hidden, trusted):
            cage.begin()


def warm_up(hidden: tuple[str, ...], trusted: bool) -> None:
    """Wait until this worker's processes are ready. Raises LadderError if one does not start."""
    for cage in _worker.all(hidden, trusted):
        cage.start()


def cool_down() -> None:
    """End the processes that were started here."""
    for cage in _worker.warm.values():
        cage.close()
    _worker.warm.clear()


def mark_submission(task: Task) -> Outcome:
    """Mark one submission. Raises LadderError only if the cage or the judge does not start at all."""
    began = time.monotonic()
    problem, sheet = task.problem, None
    if task.data is not None:
        try:
            sheet = put_together(task.paper, read_notebook(task.data))
        except LadderError as error:
            problem = str(error)
    ran = Ran()
    if sheet is None:
        sheet = blank(task.paper, problem)
    else:
        ran = _run(task, sheet)
        problem = ran.why
    waiting, notes = _judge(task, sheet, ran)
    text = _text(task.paper, sheet)
    graded = tuple(_counted(sheet.cells[place]) for place in sorted(sheet.papers))
    told = tuple(dict.fromkeys((*task.notes, *sheet.notes, *notes)))
    return Outcome(task.student, text, graded, waiting, problem, told, round(time.monotonic() - began, 3))


def _run(task: Task, sheet: Sheet) -> Ran:
    """Run the student's cells in the cage; put their outputs, as far as they may be kept, on the sheet."""
    steps = sheet.steps()
    cage = _worker.get("open" if task.trusted else "cage", () if task.trusted else task.hidden)
    opening = task.paper.opening()
    same = opening == [step.get("code") for step in steps[: len(opening)]]
    ran = cage.run(steps, task.files, task.limits, len(opening) if same else 0, task.common)
    if ran.failed:
        ran = cage.run(steps, task.files, task.limits)
    for number, step in enumerate(steps):
        if "place" not in step:
            continue
        cell = sheet.cells[step["place"]]
        if number in ran.outputs:
            claimed, count = ran.outputs[number]
            cell["execution_count"] = count
            cell["outputs"] = sanitise.outputs(claimed, count)
        elif ran.why:
            lines = [f"Stopped here: {ran.why}. The cells below were not run."]
            cell["outputs"] = [{"output_type": "error", "ename": "Stopped", "evalue": ran.why, "traceback": lines}]
            break
    return ran


def _judge(task: Task, sheet: Sheet, ran: Ran) -> tuple[tuple[str, ...], list[str]]:
    """Run the test cells on the answers; put their outputs on the sheet. Returns what waits for a person, and notes."""
    places = [place for place, paper in sorted(sheet.papers.items()) if paper.test]
    verdicts: dict[int, list[Any]] = {}
    asked: dict[int, str] = {}
    steps: list[dict[str, Any]] = []
    for place in places:
        paper = sheet.papers[place]
        keys = {name: ran.answers.get((paper.grade_id or "", name)) for name in paper.names}
        answers = {name: asdict(handed) for name, handed in keys.items() if isinstance(handed, Handed)}
        code = paper.source
        asked[place] = hashlib.sha256(json.dumps([code, answers], sort_keys=True).encode()).hexdigest()
        if asked[place] in _worker.memo:
            verdicts[place] = _worker.memo[asked[place]]
        else:
            steps.append({"place": place, "code": code, "answers": answers})
    notes = []
    while steps:
        wall = task.limits.cell * len(steps) + 10
        limits = Limits(cell=task.limits.cell, wall=wall, seconds=wall, memory=4_000_000_000)
        judged = _worker.get("judge").run(steps, {}, limits)
        for number, step in enumerate(steps):
            if number in judged.outputs:
                verdicts[step["place"]] = judged.outputs[number][0]
        left = [step for step in steps if step["place"] not in verdicts]
        if left:  # the first of them ended the process; the others are tried without it
            lines = [f"The marker stopped over this answer: {judged.why or 'no reason given'}"]
            told = {"output_type": "error", "ename": "NotMarked", "evalue": lines[0], "traceback": lines}
            verdicts[left[0]["place"]] = [told]
        steps = left[1:]
    waiting = []
    for place in places:
        grade_id = sheet.papers[place].grade_id or ""
        sheet.cells[place]["outputs"] = verdicts[place]
        error = next((one for one in verdicts[place] if one["output_type"] == "error"), None)
        if error is not None:
            notes.append(f"test cell {grade_id} stopped: {error['ename']}: {error['evalue'][:200]}")
        if error is not None or ran.failed or any(asks_for_a_reader(_printed(one)) for one in verdicts[place]):
            waiting.append(grade_id)
        if error is None and len(_worker.memo) < _MEMO:
            _worker.memo[asked[place]] = verdicts[place]
    return tuple(waiting), notes


def _counted(cell: dict[str, Any]) -> dict[str, Any]:
    """What the gradebook is told of a cell: of an answer, not its outputs."""
    return cell | {"outputs": []} if cell["metadata"]["nbgrader"]["solution"] and "outputs" in cell else cell


def _printed(output: Mapping[str, Any]) -> str:
    return str(output["text"]) if output.get("name") == "stdout" else ""


def _text(paper: Paper, sheet: Sheet) -> str:
    """The notebook as a file; if the student's part of it is not valid after all, without the student's attachments."""
    metadata = {"kernelspec": paper.kernel, "language_info": {"name": "python"}}
    if any("attachments" in cell for cell in sheet.cells):  # all else was put together field by field
        whole = {"nbformat": 4, "nbformat_minor": 5, "metadata": metadata, "cells": sheet.cells}
        try:
            nbformat.validate(nbformat.from_dict(whole))
        except nbformat.ValidationError:
            for cell in sheet.cells:
                cell.pop("attachments", None)
    text = written(sheet.cells, metadata)
    return text.encode("utf-8", "replace").decode()  # an answer may hold half a pair of a character, which no file can
