"""A machine that runs a program of this room scan by scan: no text of a program is ever executed as Python.

Every expression and statement becomes a small function over one dictionary of values, keyed by the full name of each
variable ("K1.UP.Q"). All values are whole numbers: BOOL 0 and 1, INT, TIME in microseconds [us].
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from rungbook.exchange.blocks import STANDARD, Values
from rungbook.exchange.tree import Assign, Call, Declaration, Expr, If, Literal, Name, Op, Statement, Unit, wrong

_TYPES = ("BOOL", "TIME", "INT")
_SIGNS: Mapping[str, tuple[tuple[str, ...], str]] = {  # operator -> types of its operands, type of what it makes
    "OR": (("BOOL",), "BOOL"),
    "AND": (("BOOL",), "BOOL"),
    "NOT": (("BOOL",), "BOOL"),
    ">": (("INT", "TIME"), "BOOL"),
    "+": (("TIME", "INT"), ""),
    "-": (("TIME", "INT"), ""),
}
_Value = Callable[[], int]
_Work = Callable[[int], None]


class Machine:
    """The program of `units` (the last one), its variables, and what one scan does to them.

    Raises LadderError, with the line, if a name is not declared or declared twice, a type is unknown or does not fit, a
    block has not the input or output that is used, lacks one, or contains itself.
    """

    def __init__(self, units: tuple[Unit, ...]) -> None:
        self.values: Values = {}
        self.types: dict[str, str] = {}
        self._units = {unit.name: unit for unit in units[:-1]}
        self._retained: list[str] = []
        self._statements = self._unit(units[-1], "", ())
        self.cold = dict(self.values)

    def scan(self, since: int) -> None:
        """Run every statement once, top to bottom; `since` [us] has passed since the last scan."""
        for work in self._statements:
            work(since)

    def restart(self) -> None:
        """A cold start, but for the variables that are retained."""
        kept = {name: self.values[name] for name in self._retained}
        self.values.update(self.cold | kept)

    # -- declarations ----------------------------------------------------------------------------------------------

    def _declare(self, one: Declaration, prefix: str, above: tuple[str, ...]) -> dict[str, _Work]:
        """Give the variable, or all those of an instance, a place; return what a call of the instance does."""
        name = prefix + one.name
        if name in self.types:
            raise wrong(one.line, f"{one.name} is declared twice", one.name)
        self.types[name] = one.type
        before = len(self.values)
        works: dict[str, _Work] = {}
        if one.type in _TYPES:
            self.values[name] = int(bool(one.initial))
        elif one.type in STANDARD:
            works[one.name] = self._standard(name, one.type)
        elif one.type in self._units and one.type not in above:
            inner = self._unit(self._units[one.type], f"{name}.", (*above, one.type))
            works[one.name] = _all(inner)
        else:
            raise wrong(one.line, "no such type", one.type, *_TYPES, *STANDARD, *self._units)
        if one.retain:
            self._retained += list(self.values)[before:]
        return works

    def _standard(self, name: str, kind: str) -> _Work:
        block, values = STANDARD[kind], self.values
        for part, type_ in {**block.inputs, **block.outputs, **block.hidden}.items():
            values[f"{name}.{part}"], self.types[f"{name}.{part}"] = 0, type_
        full = {part: f"{name}.{part}" for part in block.cold()}

        def work(since: int) -> None:
            own = {part: values[key] for part, key in full.items()}
            block.work(own, since)
            for part, key in full.items():
                values[key] = own[part]

        return work

    def _unit(self, unit: Unit, prefix: str, above: tuple[str, ...]) -> list[_Work]:
        works: dict[str, _Work] = {}
        for one in unit.declarations:
            works |= self._declare(one, prefix, above)
        return [self._statement(statement, prefix, works) for statement in unit.statements]

    def ports(self, kind: str, section: str) -> dict[str, str]:
        """Names and types of the inputs ("VAR_INPUT") or outputs of a type of block."""
        if kind in STANDARD:
            return dict(STANDARD[kind].inputs if section == "VAR_INPUT" else STANDARD[kind].outputs)
        return {one.name: one.type for one in self._units[kind].declarations if one.section == section}

    # -- statements and expressions --------------------------------------------------------------------------------

    def _statement(self, one: Statement, prefix: str, works: Mapping[str, _Work]) -> _Work:
        values = self.values
        if isinstance(one, If):
            condition = self._value(one.condition, "BOOL", prefix, one.line)
            body = [self._statement(inner, prefix, works) for inner in one.body]

            def branch(since: int) -> None:
                if condition():
                    for work in body:
                        work(since)

            return branch
        if isinstance(one, Assign):
            target = prefix + one.target
            if self.types.get(target) not in _TYPES:
                raise wrong(one.line, "no variable of this name is declared", one.target, *self._names(prefix))
            value = self._value(one.value, self.types[target], prefix, one.line)

            def assign(since: int) -> None:
                values[target] = value()

            return assign
        if one.instance not in works:
            raise wrong(one.line, "no function block of this name is declared", one.instance, *works)
        return self._call(one, prefix, works[one.instance])

    def _call(self, one: Call, prefix: str, work: _Work) -> _Work:
        values = self.values
        ports = self.ports(self.types[prefix + one.instance], "VAR_INPUT")
        given = [name for name, _ in one.arguments]
        if sorted(given) != sorted(ports):
            raise wrong(one.line, f"{one.instance} is called with each of its inputs once", ", ".join(given), *ports)
        sources = [
            (f"{prefix}{one.instance}.{name}", self._value(value, ports[name], prefix, one.line))
            for name, value in one.arguments
        ]

        def call(since: int) -> None:
            for place, source in sources:
                values[place] = source()
            work(since)

        return call

    def _names(self, prefix: str) -> list[str]:
        own = [name.removeprefix(prefix) for name in self.types if name.startswith(prefix)]
        return [name for name in own if "." not in name]

    def _value(self, value: Expr, wanted: str, prefix: str, line: int) -> _Value:
        found, type_ = self._typed(value, prefix, line)
        if type_ != wanted:
            raise wrong(line, f"a value of type {wanted} stands here", type_, wanted)
        return found

    def _typed(self, value: Expr, prefix: str, line: int) -> tuple[_Value, str]:
        values = self.values
        if isinstance(value, Literal):
            constant = value.value
            return lambda: constant, value.type
        if isinstance(value, Name):
            place = self._place(value, prefix, line)
            return lambda: values[place], self.types[place]
        operands = [self._typed(part, prefix, line) for part in value.parts]
        taken, made = _SIGNS[value.sign]
        types = {type_ for _, type_ in operands}
        if len(types) != 1 or not types <= set(taken):
            raise wrong(line, f"{value.sign} takes operands of one type", ", ".join(sorted(types)), *taken)
        return _operation(value, [part for part, _ in operands]), made or types.pop()

    def _place(self, value: Name, prefix: str, line: int) -> str:
        place = f"{prefix}{value}"
        type_ = self.types.get(prefix + value.name)
        if type_ is None:
            raise wrong(line, "no variable of this name is declared", str(value), *self._names(prefix))
        if value.member and (type_ in _TYPES or value.member not in self.ports(type_, "VAR_OUTPUT")):
            legal = () if type_ in _TYPES else tuple(self.ports(type_, "VAR_OUTPUT"))
            raise wrong(line, f"{value.name} has no output of this name", str(value), *legal)
        if not value.member and type_ not in _TYPES:
            raise wrong(line, f"{value.name} is a function block, not a value", str(value))
        return place


def _all(works: list[_Work]) -> _Work:
    def work(since: int) -> None:
        for one in works:
            one(since)

    return work


def _operation(value: Op, parts: list[_Value]) -> _Value:
    one, other = parts[0], parts[-1]
    if value.sign == "OR":
        return lambda: int(any(part() for part in parts))
    if value.sign == "AND":
        return lambda: int(all(part() for part in parts))
    if value.sign == "NOT":
        return lambda: int(not one())
    if value.sign == ">":
        return lambda: int(one() > other())
    if value.sign == "+":
        return lambda: one() + other()
    return lambda: one() - other()
