"""Is this file a notebook of the lab, and what stops it from being one."""

from __future__ import annotations

import codecs
import json
import re
import warnings
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from rungbook.classroom.without_outputs import MUCH, without_outputs
from rungbook.errors import LadderError

NEWEST = 4  # the notebook format that is read
_WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_ALIKE = 3  # cells that are as they were given out; so many make a notebook one of the lab
_LOST = "without nbgrader's metadata; its exercises are known by"
_LAB = re.compile(r"(lab[0-9]{2})-")


@dataclass(frozen=True)
class Reading:
    """A file as a notebook. text: of format 4, as it goes to the marker; None with a `problem` that says why not.

    remark: what is odd about it, though it can be marked. variant: the one it says it is.
    """

    text: str | None
    problem: str = ""
    remark: str = ""
    variant: str | None = None


def read_notebook(data: bytes, short: str, answers: Collection[str], texts: Collection[str] = ()) -> Reading:
    """Read a handed-in file as a notebook of lab `short`, such as "lab02". answers: grade_ids of its answer cells.

    UTF-8 with or without a byte order mark, or UTF-16 with one. Format 3 is upgraded to 4. A large one is read without
    its outputs. One that another program saved without nbgrader's metadata is known by the ids of its cells, or by
    `texts`, those of cells that no student changes: the marker recognises its exercises in the same ways.
    """
    remarks = []
    if len(data) > MUCH:
        try:
            small = without_outputs(_decode(data).encode() if data.startswith(_WIDE) else data)
        except LadderError as problem:
            return Reading(None, problem.rule.removeprefix("is "))
        except UnicodeDecodeError:
            return Reading(None, "damaged: it begins as UTF-16 and is not")
        remarks.append(f"{len(data) / 1e6:.0f} MB, taken without its outputs")
        data = small
    try:
        text = _decode(data)
    except UnicodeDecodeError as problem:
        return Reading(None, f"not UTF-8 (byte {problem.start} of {len(data)}); another program has changed it")
    if not text.strip():
        return Reading(None, "empty file")
    try:
        found = json.loads(text)
    except json.JSONDecodeError as problem:
        ends = problem.pos >= len(text.rstrip()) - 1 or problem.msg.startswith("Unterminated string")
        cut = " (it ends too soon: not all of it was uploaded)" if ends else ""
        return Reading(None, f"damaged: no JSON at line {problem.lineno}, {problem.msg.lower()}{cut}")
    except (RecursionError, ValueError) as problem:
        return Reading(None, f"damaged: {'nested too deeply' if isinstance(problem, RecursionError) else problem}")
    if not isinstance(found, dict) or not isinstance(found.get("nbformat"), int):
        return Reading(None, "JSON, but no notebook")
    if found["nbformat"] > NEWEST:
        return Reading(None, f"notebook of format {found['nbformat']}; the newest that is read is {NEWEST}")
    if found["nbformat"] < NEWEST:
        try:
            text, found = _upgrade(text)
        except Exception as problem:  # a converter meets whatever stands in the file
            return Reading(None, f"notebook of format {found['nbformat']} that cannot be upgraded: {problem}")
        remarks.append("upgraded from an older notebook format")
    cells = found.get("cells")
    if not isinstance(cells, list) or not all(isinstance(cell, dict) for cell in cells):
        return Reading(None, "damaged: a notebook without cells")
    ids, how = _exercises(cells, texts)
    labs = {match[1] for one in ids if (match := _LAB.match(one))}
    remarks += [how] if how else []
    if short not in labs and not (how and not ids):
        what = f"it is {' and '.join(sorted(labs))}" if labs else f"it has no exercise of {short}"
        return Reading(None, f"wrong {'lab' if labs else 'notebook'}: {what}")
    missing = [one for one in answers if one not in ids] if ids else []
    twice = sorted({one for one in ids if ids.count(one) > 1})
    if missing:
        remarks.append(f"without {', '.join(missing)}")
    if twice:
        remarks.append(f"twice {', '.join(twice)}")
    about = found.get("metadata")
    own = about.get("rungbook") if isinstance(about, dict) else None
    variant = own.get("variant") if isinstance(own, dict) else None
    return Reading(text, remark="; ".join(remarks), variant=variant if isinstance(variant, str) else None)


def _exercises(cells: list[dict[str, Any]], texts: Collection[str]) -> tuple[list[str], str]:
    """The names of the exercises, and by what else than nbgrader's metadata they are known, if it was lost."""
    ids = [grade_id for cell in cells if (grade_id := _grade_id(cell))]
    if ids:
        return ids, ""
    ids = [one for cell in cells if isinstance(one := cell.get("id"), str) and _LAB.match(one)]
    if ids:
        return ids, f"{_LOST} their ids"
    there = {_text(cell) for cell in cells}
    known = sum(text.strip() in there for text in texts)
    return [], f"{_LOST} the cells around them" if known >= min(_ALIKE, len(texts)) > 0 else ""


def _text(cell: dict[str, Any]) -> str:
    source = cell.get("source")
    return "".join(map(str, source)).strip() if isinstance(source, list | str) else ""


def _decode(data: bytes) -> str:
    if data.startswith(_WIDE):
        return data.decode("utf-16")
    return data.decode("utf-8-sig")


def _upgrade(text: str) -> tuple[str, Any]:
    import nbformat

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        text = nbformat.writes(nbformat.reads(text, as_version=NEWEST))
    return text, json.loads(text)


def _grade_id(cell: dict[str, Any]) -> str | None:
    about = cell.get("metadata")
    own = about.get("nbgrader") if isinstance(about, dict) else None
    found = own.get("grade_id") if isinstance(own, dict) else None
    return found if isinstance(found, str) else None
