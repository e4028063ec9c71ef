"""The aims of a lab, and which exercises show that a student has reached them.

The aims are the numbered list after "After this lab you can" at the head of the lab's source. `aims.toml` beside it:

| table | key | value |
|---|---|---|
| `[shown]` | number of an aim | grade_ids of the exercises that show it |
| `[unmarked]` | number of an aim | why no exercise shows it, and where it is seen instead |
| `[beside]` | `exercises` | grade_ids of exercises that belong to no aim |

Each aim stands in one of the first two, each exercise under an aim (or several) or beside them.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection
from dataclasses import dataclass

from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError

_LIST = re.compile(r"After this lab you can\n\n((?:\d+\. .*\n(?:   .*\n)*)+)")
_AIM = re.compile(r"^(\d+)\. (.*(?:\n   .*)*)", re.MULTILINE)


@dataclass(frozen=True)
class Aim:
    """One aim of a lab. text: as at its head, without markup. shown: grade_ids. unmarked: why there are none."""

    number: int
    text: str
    shown: tuple[str, ...] = ()
    unmarked: str = ""


def load_aims(lab: Lab, exercises: Collection[str]) -> tuple[Aim, ...]:
    """Return the lab's aims in order. exercises: the grade_ids of all that is marked in it.

    Without `aims.toml` (a class from before there was one) they are shown by nothing; without a source, or a list at
    its head, there are none.

    Raises LadderError if `aims.toml` is no TOML, has an unknown key, names an exercise or an aim that is not there,
    says both of an aim, or leaves one out.
    """
    if not lab.source.is_file():
        return ()
    found = _LIST.search(lab.source.read_text(encoding="utf-8").partition("\n```")[0])
    told = {int(one[1]): _plain(one[2]) for one in _AIM.finditer(found[1])} if found else {}
    if not lab.aims.is_file():
        return tuple(Aim(number, text) for number, text in told.items())
    thing = f"{lab.name}, {lab.aims.name}"
    try:
        data = tomllib.loads(lab.aims.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as problem:
        raise LadderError(thing, f"is no TOML: {problem}") from None
    unknown = set(data) - {"shown", "unmarked", "beside"} | {f"beside.{one}" for one in data.get("beside", {})} - {
        "beside.exercises"
    }
    if unknown:
        raise LadderError(thing, "unknown key", ", ".join(sorted(unknown)), ("shown", "unmarked", "beside.exercises"))
    shown, unmarked = data.get("shown", {}), data.get("unmarked", {})
    beside = data.get("beside", {}).get("exercises", [])
    numbers = [*shown, *unmarked]
    if sorted(numbers) != sorted(map(str, told)):
        rule = "each aim of the list at the head of the lab stands once, under shown or unmarked"
        raise LadderError(thing, rule, ", ".join(sorted(numbers)), tuple(map(str, told)))
    named = {one for names in shown.values() for one in names} | set(beside)
    if named != set(exercises) or not all(shown.values()):
        differ = sorted(named ^ set(exercises)) or ["an empty list"]
        rule = "each exercise of the lab stands under an aim or beside them, and no other name does"
        raise LadderError(thing, rule, ", ".join(differ), tuple(exercises))
    return tuple(
        Aim(number, text, tuple(shown.get(str(number), ())), str(unmarked.get(str(number), "")))
        for number, text in told.items()
    )


def _plain(text: str) -> str:
    return re.sub(r"[*_`]", "", " ".join(text.split())).rstrip(",.")
