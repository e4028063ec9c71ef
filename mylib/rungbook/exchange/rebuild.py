"""From a program that was read, as text or as XML, back to the ladder it was written from."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from rungbook.circuit import NC, NO, Contact, Ladder, Load, Part, Series
from rungbook.circuit.parts import Parallel
from rungbook.exchange import remarks
from rungbook.exchange.composed import FUNCTION_OF, USES, Use
from rungbook.exchange.plan import terminals_in
from rungbook.exchange.tree import Assign, Call, Declaration, Expr, Literal, Name, Op, Unit, placed, wrong
from rungbook.kit import Device, contact_kind
from rungbook.kit.device import check_tag

_TAG = re.compile(r"[A-Z][0-9]{1,3}(?![0-9])")
_SHARED = re.compile(r"RUNG[1-9][0-9]*\Z")


@dataclass
class _Rung:
    """One rung as it is gathered: what it makes, its loads, its comments, the line of its first statement."""

    value: Expr
    loads: list[Load]
    remarks: remarks.Rungs
    line: int


def rebuild(program: Unit) -> tuple[Ladder, dict[str, str]]:
    """Return the ladder of `program`, and the contact ("NO", "NC") that stands on the input of each device.

    Raises LadderError, with the line, if a declaration or statement is none of those that this room writes, or what is
    said makes no valid ladder.
    """
    return _Rebuild(program).ladder()


class _Rebuild:
    def __init__(self, program: Unit) -> None:
        self.program = program
        with placed(program.line):
            self.head = remarks.read_head(program.notes, program.line)
        self.declared = {one.name: one for one in program.declarations}
        for one in program.declarations:
            if self.declared[one.name] is not one:
                raise wrong(one.line, f"{one.name} is declared twice", one.name)
        self.blocks: dict[str, Use] = {}
        for one in program.declarations:
            if one.type in FUNCTION_OF:
                self.blocks[self._tag(one.name, one.line)] = USES[FUNCTION_OF[one.type]]
            elif one.type != "BOOL":
                raise wrong(one.line, "no type of this room", one.type, "BOOL", *FUNCTION_OF)
        self.settings: dict[str, str] = {}
        self.kinds = {device.tag: device for device in self.head.devices}
        self.pairs: dict[str, int] = {}  # terminals given to instantaneous contacts without a list of terminals

    @staticmethod
    def _tag(name: str, line: int) -> str:
        match = _TAG.match(name)
        if match is None:
            raise wrong(line, "a variable begins with the designation of its device", name, "S1", "K1_IN", "S1_13_14")
        return check_tag(f"line {line}", match[0])

    def ladder(self) -> tuple[Ladder, dict[str, str]]:
        rungs = list(self._rungs())
        devices = self.head.devices or self._devices(rungs)
        with placed(self.program.line):
            ladder = Ladder(self.head.title, devices or None)
        for one in rungs:
            with placed(one.line):
                loads = [replace(load, colour=one.remarks.lenses.get(load.device, "")) for load in one.loads]
                contacts = [] if one.value == Literal(True, "BOOL") else [self._part(one.value, one.line)]
                ladder.rung(*self._on_terminals(contacts, loads, one), note=one.remarks.note)
        return ladder, self._wired(ladder)

    def _wired(self, ladder: Ladder) -> dict[str, str]:
        found = {}
        for name, one in self.declared.items():
            if one.address.startswith("%I") and name in ladder.devices:
                spec = ladder.devices[name].spec
                kinds = [kind for kind in ("NO", "NC") if (spec.rest in spec.closed_in(kind)) is one.initial]
                if len(kinds) == 1:
                    found[name] = kinds[0]
        return found

    def _devices(self, rungs: list[_Rung]) -> list[Device]:
        """Devices in the order of use, if a timer or counter is among them and nothing else declares them."""
        if not self.blocks:
            return []
        tags: dict[str, None] = {}
        for one in rungs:
            if one.value != Literal(True, "BOOL"):
                with placed(one.line):
                    contacts = list(self._part(one.value, one.line).contacts())
                tags |= dict.fromkeys(contact.device for contact in contacts)
            tags |= dict.fromkeys(load.device for load in one.loads)
        self.pairs.clear()
        kinds = {tag: "counter" if use.setting == "PV" else "timer relay" for tag, use in self.blocks.items()}
        with placed(self.program.line):
            return [Device(tag, kinds.get(tag, ""), setting=self.settings.get(tag, "")) for tag in tags]

    # -- statements ------------------------------------------------------------------------------------------------

    def _rungs(self) -> Iterator[_Rung]:
        pending: _Rung | None = None
        shared = ""
        for one in self.program.statements:
            if isinstance(one, Call):
                self._setting(one)
                continue
            if not isinstance(one, Assign):
                raise wrong(one.line, "no statement of a ladder", "IF", "NAME := …;", "NAME(…);")
            if _SHARED.match(one.target):
                if pending is not None:
                    yield pending
                shared = one.target
                pending = _Rung(one.value, [], remarks.read_rung(one.notes, one.line), one.line)
            elif pending is not None and shared and one.value == Name(shared):
                pending.loads.append(self._load(one))
            else:
                if pending is not None:
                    yield pending
                shared = ""
                pending = _Rung(one.value, [self._load(one)], remarks.read_rung(one.notes, one.line), one.line)
        if pending is not None:
            yield pending

    def _setting(self, one: Call) -> None:
        use = self.blocks.get(one.instance)
        if use is None:
            raise wrong(one.line, "no timer or counter of this name is declared", one.instance, *self.blocks)
        values = dict(one.arguments)
        value = values.get(use.setting)
        wanted = "TIME" if use.setting == "PT" else "INT"
        if not isinstance(value, Literal) or value.type != wanted:
            legal = "PT := T#5s" if use.setting == "PT" else "PV := 3"
            raise wrong(one.line, f"{one.instance} has its {use.setting} as a constant", ", ".join(values), legal)
        amount = _time(value.value // 1000) if wanted == "TIME" else str(value.value)
        self.settings[one.instance] = f"{FUNCTION_OF[use.block]} {amount}"

    def _load(self, one: Assign) -> Load:
        tag = self._tag(one.target, one.line)
        declaration = self.declared.get(one.target)
        if declaration is None or declaration.type != "BOOL" or declaration.address.startswith("%I"):
            legal = [
                name for name, it in self.declared.items() if it.type == "BOOL" and not it.address.startswith("%I")
            ]
            raise wrong(one.line, "no coil, lamp or input of a block is declared by this name", one.target, *legal)
        use = self.blocks.get(tag)
        kinds = {tag: "lamp" if tag[0] == "P" else "coil"}
        if use is not None:
            kinds = {f"{tag}_{name}": kind for kind, name in use.inputs.items()}
        if one.target not in kinds:
            raise wrong(one.line, "no load of a ladder", one.target, *kinds)
        with placed(one.line):
            return Load(tag, kinds[one.target])

    # -- contacts --------------------------------------------------------------------------------------------------

    def _part(self, value: Expr, line: int) -> Part:
        if isinstance(value, Name):
            return self._contact(value, False, line)
        if isinstance(value, Op) and value.sign == "NOT" and isinstance(value.parts[0], Name):
            return self._contact(value.parts[0], True, line)
        if isinstance(value, Op) and value.sign in ("AND", "OR"):
            whole = self._part(value.parts[0], line)
            for part in value.parts[1:]:
                more = self._part(part, line)
                whole = whole & more if value.sign == "AND" else whole | more
            return whole
        found = value.sign if isinstance(value, Op) else "a constant among contacts"
        raise wrong(line, "a way through contacts is made of AND, OR, and NOT before a variable", found, "AND", "OR")

    def _contact(self, name: Name, opposite: bool, line: int) -> Contact:
        tag = self._tag(name.name, line)
        one = self.declared.get(name.name)
        if one is None:
            raise wrong(line, "no variable of this name is declared", str(name), *self.declared)
        if one.address.startswith("%I"):
            return self._input(one, tag, opposite, line)
        use = self.blocks.get(tag)
        if use is None and name == Name(tag):
            return (NC if opposite else NO)(tag)
        if use is not None and name == Name(tag, "Q"):
            return (NC if opposite else NO)(tag)
        if use is not None and name == Name(f"{tag}_{use.inputs['coil']}"):
            self.pairs[tag] = self.pairs.get(tag, 0) + 1
            tens = self.pairs[tag]
            return NC(tag, f"{tens}1-{tens}2") if opposite else NO(tag, f"{tens}3-{tens}4")
        legal = (f"{tag}.Q", f"{tag}_{use.inputs['coil']}") if use else (tag,)
        raise wrong(line, "no contact of a ladder", str(name), *legal)

    def _input(self, one: Declaration, tag: str, opposite: bool, line: int) -> Contact:
        if one.initial is None:
            raise wrong(one.line, "an input has what it reads at rest as its initial value", one.name, "TRUE", "FALSE")
        pair = terminals_in(one.name, tag)
        if one.name != tag and not pair:
            raise wrong(one.line, "an input has the designation of its device", one.name, tag, f"{tag}_13_14")
        if pair:
            kind = contact_kind(pair)
            if opposite or kind is None:
                raise wrong(line, "a contact on terminals of its own is read as it is", f"NOT {one.name}", one.name)
            return Contact(tag, kind, pair)
        wired = "NC" if one.initial else "NO"
        return (NC if (wired == "NC") != opposite else NO)(tag)

    def _on_terminals(self, contacts: list[Part], loads: list[Load], one: _Rung) -> list[Part | Load]:
        """Contacts and loads with the terminals that the rung's comment lists."""
        listed = one.remarks.terminals
        if not listed:
            return [*contacts, *loads]
        there = [item for part in contacts for item in part.contacts()]
        tags = [*(item.device for item in there), *(load.device for load in loads)]
        if [tag for tag, _ in listed] != tags:
            rule = "the list of terminals names each contact and load of its rung, in reading order"
            raise wrong(one.line, rule, ", ".join(tag for tag, _ in listed), ", ".join(tags))
        pairs = iter([pair for _, pair in listed])

        def copy(part: Part) -> Part:
            if isinstance(part, Contact):
                return replace(part, terminals=next(pairs))
            assert isinstance(part, Series | Parallel)
            return type(part)(tuple(copy(inner) for inner in part.parts))

        return [*map(copy, contacts), *(replace(load, terminals=next(pairs)) for load in loads)]


def _time(milliseconds: int) -> str:
    """A time as a timer's setting says it: "5 s", "1.5 s", "6000 min"."""
    for unit, size in (("s", 1000), ("min", 60_000), ("h", 3_600_000)):
        if milliseconds < 10_000 * size and milliseconds * 1000 % size == 0:
            whole, rest = divmod(milliseconds * 1000 // size, 1000)
            return f"{whole}.{rest:03}".rstrip("0").rstrip(".") + f" {unit}"
    return f"{milliseconds} ms"
