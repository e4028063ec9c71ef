"""Assignments that a person has written, read into a ladder: `Q1 := S1 AND (S2 OR Q1) AND F1;`, one a coil or lamp.

Beside `read_structured_text`, which takes back what this room has written, this reads what a hand writes: no heading,
no declarations, parentheses and NOT wherever they are legal, `&` for AND. The panel says which names there are, and
`wired` which contact stands on each input. So `S1` is the NC contact of a button that is wired with its NC contact,
and `NOT S1` its NO contact. Not read: timers and counters, XOR, IF, comparisons; they are no contacts of this ladder.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from rungbook.circuit import NC, NO, Ladder, Load, Part
from rungbook.errors import LadderError
from rungbook.exchange.parser import parse
from rungbook.exchange.plan import check_opposite
from rungbook.exchange.tree import Assign, Expr, Literal, Name, Op, placed, wrong
from rungbook.kit import Device

_COMMENT = re.compile(r"\(\*.*?\*\)", re.DOTALL)
_SWAPPED = {"AND": "OR", "OR": "AND"}


def read_statements(
    text: object, devices: Iterable[Device], wired: Mapping[str, str] | None = None, title: str = ""
) -> Ladder:
    """Return the ladder of the assignments in `text`, a rung each, in their order; no rung for a text without any.

    devices: the panel. wired: designation -> "NO" or "NC", the contact that stands on the input of that device; left
    out, the NC contact of an emergency stop and of what protects (letter F), else the NO contact.
    Raises LadderError, naming the line, the rule, what was found and what is legal, if the text is not of this form, a
    name is none of the panel, an output has two assignments, or a device works in time.
    """
    if not isinstance(text, str):
        raise LadderError("read_statements", "reads text", text)
    reader = _Reader(devices, wired or {})
    ladder = Ladder(title, reader.panel.values())
    first: dict[str, int] = {}
    for one in _assignments(text):
        load = reader.load(one)
        if one.target in first:
            rule = f"{one.target} has its value from line {first[one.target]} already, and the last one written wins"
            raise wrong(one.line, rule, f"{one.target} := …", f"one assignment for {one.target}")
        first[one.target] = one.line
        with placed(one.line):
            always = one.value == Literal(True, "BOOL")
            ladder.rung(*(() if always else (reader.part(one.value, False, one.line),)), load)
    return ladder


def _assignments(text: str) -> list[Assign]:
    """The statements of `text`, the lines counted from the first that has something."""
    text = text.strip("\r\n")
    bare = _COMMENT.sub(lambda comment: re.sub(r"[^\n]", " ", comment[0]), text)
    for number, line in enumerate(bare.split("\n"), 1):
        if re.search(r"(?<![:<>])=", line):
            raise wrong(number, "a value is given with ':=', not with '=' alone", line.strip(), "Q1 := S1 AND S2;")
    try:
        (unit,) = parse(f"PROGRAM LINES {bare.replace('&', ' AND ')}\nEND_PROGRAM")
    except LadderError as problem:
        if problem.choices in ((";",), (")",)):
            rule = "before this AND, OR, a closing parenthesis or ';' is missing"
            raise LadderError(problem.thing, rule, problem.value) from None
        raise
    if unit.declarations:
        raise wrong(unit.declarations[0].line, "the variables are declared already", "VAR", "Q1 := S1 AND S2;")
    for one in unit.statements:
        if not isinstance(one, Assign):
            raise wrong(one.line, "only assignments are read here", type(one).__name__, "Q1 := S1 AND S2;")
    return [one for one in unit.statements if isinstance(one, Assign)]


class _Reader:
    """Names into contacts and loads of one panel."""

    def __init__(self, devices: Iterable[Device], wired: Mapping[str, str]) -> None:
        self.panel = {device.tag: device for device in devices}
        self.inputs = tuple(tag for tag, device in self.panel.items() if device.spec.operated)
        self.outputs = tuple(tag for tag, device in self.panel.items() if device.spec.load)
        for tag, kind in wired.items():
            if tag not in self.inputs:
                raise LadderError("wired", "names a device with contacts on an input", tag, self.inputs)
            if kind not in ("NO", "NC"):
                raise LadderError(f"wired, {tag}", "the contact on the input", kind, ("NO", "NC"))
        self.wired = {tag: wired.get(tag) or self._usual(tag) for tag in self.inputs}

    def _usual(self, tag: str) -> str:
        return "NC" if tag[0] == "F" or self.panel[tag].kind == "emergency stop" else "NO"

    def load(self, one: Assign) -> Load:
        """The coil or lamp that a statement gives a value to."""
        if one.target in self.inputs:
            rule = f"{one.target} is an input: the program reads it and cannot give it a value"
            raise wrong(one.line, rule, f"{one.target} := …", *self.outputs)
        if one.target not in self.outputs:
            raise wrong(one.line, "no output of this name", one.target, *self.outputs)
        if self.panel[one.target].spec.timed:
            raise wrong(one.line, "what works in time is a function block, not read here", one.target)
        return Load(one.target, self.panel[one.target].spec.load)

    def part(self, value: Expr, opposite: bool, line: int) -> Part:
        """The way through contacts that `value`, or NOT `value`, is."""
        if isinstance(value, Name):
            return self._contact(value, opposite, line)
        if isinstance(value, Op) and value.sign == "NOT":
            return self.part(value.parts[0], not opposite, line)
        if isinstance(value, Op) and value.sign in _SWAPPED:
            sign = _SWAPPED[value.sign] if opposite else value.sign
            whole, *more = (self.part(part, opposite, line) for part in value.parts)
            for part in more:
                whole = whole & part if sign == "AND" else whole | part
            return whole
        found = value.sign if isinstance(value, Op) else "a constant among variables"
        raise wrong(line, "an expression is made of variables, AND, OR, NOT and parentheses", found)

    def _contact(self, name: Name, opposite: bool, line: int) -> Part:
        tag = name.name
        known = (*self.inputs, *(tag for tag in self.outputs if not self.panel[tag].spec.timed))
        if name.member or tag not in known:
            raise wrong(line, "no variable of this name", str(name), *known)
        if self.panel[tag].spec.load == "lamp":
            rule = f"{tag} is a lamp: its ladder has no contact of it; read what it shows instead"
            raise wrong(line, rule, tag, *(one for one in known if self.panel[one].spec.load != "lamp"))
        kind = self.wired.get(tag, "NO")
        if opposite and tag in self.inputs:
            with placed(line):
                check_opposite(self.panel[tag])
        return (NO if (kind == "NO") != opposite else NC)(tag)
