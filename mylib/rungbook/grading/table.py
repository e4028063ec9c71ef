"""`table`: a truth table that is asked for, of a ladder that was drawn or filled in by hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from math import prod
from typing import Any

from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading.finding import MET, Finding, not_decided
from rungbook.grading.panel import on_panel
from rungbook.grading.requirement import Requirement
from rungbook.kit import Device
from rungbook.proof import TruthTable, truth_table

MAX_COMPARED = 1 << 14  # rows

Row = tuple[tuple[str, str], ...]  # (device, position) of every input


def table(
    asked: Ladder, points: float, look: str = "", *, outputs: tuple[str, ...] | None = None, form: bool = False
) -> Requirement:
    """Ask for the truth table of `asked`: what each coil's rung makes of every case, and each lamp.

    outputs: designations of coils and lamps; left out, all of `asked`. Two answers can be judged. A ladder: its table
    must equal the asked one on every row, helping relays included; all points or none, and the row told is one with as
    few devices away from rest as can be. Devices without a contact are no column. With `form`, a table filled in by
    hand: a dict row -> word of the one output, such as {"S1 pressed, S2 released": "out"}, inputs in any order; points
    are the share of rows rightly on, plus the share rightly off, less one, so that the same word in every row earns
    nothing.

    Raises LadderError, when the exercise is written, as `truth_table`; if `asked` lacks an output, there are more rows
    than 16,384, a form is not about one output, or that output is the same in every row.
    """
    wanted = truth_table(asked)
    names = {name.removesuffix(" next"): name for name in wanted.outputs}
    chosen = tuple(names) if outputs is None else tuple(outputs)
    for tag in chosen:
        if tag not in names:
            raise LadderError("table", f"the asked ladder has no load {tag}", tag, tuple(names))
    columns = _columns(asked, wanted)
    if prod(map(len, columns.values())) > MAX_COMPARED:
        raise LadderError("table", f"at most {MAX_COMPARED:,} rows", prod(map(len, columns.values())))
    if form:
        return _of_form(wanted, columns, chosen, names, points, look)
    own = {device.tag: device for device in (*asked.devices.values(), *(asked.declared or ()))}

    def judge(ladder: Ladder, devices: tuple[Device, ...]) -> Finding:
        there = on_panel(ladder, (own | {device.tag: device for device in devices}).values())
        missing = [tag for tag in chosen if tag not in (*there.coils(), *there.lamps())]
        if missing:
            return Finding(0, because=f"No rung ends in {missing[0]}.", look=look)
        mine = truth_table(there)
        words = columns | _columns(there, mine)
        if prod(map(len, words.values())) > MAX_COMPARED:
            return not_decided(f"The two tables have more than {MAX_COMPARED:,} rows")
        for row in _rows(words):
            is_so, should = _outputs(mine, row), _outputs(wanted, row)
            for tag in chosen:
                word, right = is_so[names[tag]], should[names[tag]]
                if word != right:
                    return Finding(0, f"{_case(row)}:", _says(tag, word, row), _says(tag, right, row), look=look)
        return MET

    sentence = f"The truth table of {' and '.join(chosen)} is as asked in every row."
    return Requirement(sentence, points, Ladder, judge)


def _rows(words: Mapping[str, tuple[str, ...]]) -> Iterator[Row]:
    """Every case, those with few devices away from rest first."""
    found = [tuple(zip(words, case, strict=True)) for case in product(*words.values())]
    yield from sorted(found, key=lambda row: sum(word != words[name][0] for name, word in row))


def _case(row: Row) -> str:
    return "In the row " + ", ".join(f"{name} {word}" for name, word in row)


def _says(tag: str, word: str, row: Row) -> str:
    """ "Q1 becomes in" where Q1 stands in the row as it is now, else "Q1 is in"."""
    return f"{tag} {'becomes' if tag in dict(row) else 'is'} {word}"


def _columns(ladder: Ladder, whole: TruthTable) -> dict[str, tuple[str, ...]]:
    """The inputs that have a contact on the ladder, each with its positions."""
    used = {contact.device for rung in ladder.rungs for contact in rung.all_contacts()}
    return {name: whole.words[name] for name in whole.inputs if name in used}


def _outputs(whole: TruthTable, row: Row) -> dict[str, str]:
    """The outputs in this row; where it does not name an input that input is at rest, since it does not matter."""
    return whole[{name: whole.words[name][0] for name in whole.inputs} | dict(row)]


def _of_form(
    wanted: TruthTable,
    columns: Mapping[str, tuple[str, ...]],
    chosen: tuple[str, ...],
    names: Mapping[str, str],
    points: float,
    look: str,
) -> Requirement:
    if len(chosen) != 1:
        raise LadderError("table", "a form is about one output", list(chosen), tuple(names))
    tag = chosen[0]
    right = {frozenset(row): _outputs(wanted, row)[names[tag]] for row in _rows(columns)}
    off, on = wanted.words[names[tag]]
    if len(set(right.values())) == 1:
        raise LadderError("table", f"{tag} is the same in every row, so one word would fill the form", tag)

    def judge(form: Mapping[str, Any], devices: tuple[Device, ...]) -> Finding:
        given = {_key(key): value for key, value in form.items()}
        good = {row for row, word in right.items() if _clean(given.get(row)) == word}
        if len(good) == len(right):
            return MET
        shares = [sum(right[row] == word for row in good) / list(right.values()).count(word) for word in (on, off)]
        first = next(row for row in _rows(columns) if frozenset(row) not in good)
        told = given.get(frozenset(first))
        seen = f"you wrote {str(told)[:40]!r}" if told not in (None, "") else "you wrote nothing"
        if told not in (None, "") and _clean(told) not in (off, on):
            seen += f"; the words are {off} and {on}"
        expected = _says(tag, right[frozenset(first)], first)
        return Finding(max(sum(shares) - 1, 0), f"{_case(first)}:", seen, expected, look=look)

    return Requirement(f"The truth table of {tag} is right in every row.", points, dict, judge)


def _key(text: str) -> frozenset[tuple[str, str]]:
    """ "S1 pressed, Q1 out" as the set of its pairs; an odd piece makes a key that is no row."""
    pieces = (piece.split(None, 1) for piece in text.split(","))
    return frozenset((piece[0], " ".join(piece[1].split())) if len(piece) == 2 else ("", "") for piece in pieces)


def _clean(value: object) -> str:
    return value.strip().casefold() if isinstance(value, str) else ""
