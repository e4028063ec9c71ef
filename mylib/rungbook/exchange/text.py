"""A ladder as structured text of IEC 61131-3."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rungbook.circuit import Ladder
from rungbook.exchange.composed import COMPOSED
from rungbook.exchange.lexer import duration
from rungbook.exchange.plan import PROGRAM, Plan, plan
from rungbook.exchange.remarks import escaped, of_ladder, of_rung
from rungbook.exchange.tree import Assign, Call, Declaration, Expr, Literal, Name

#: what every written program says of itself
CAUTION = (
    "For study. Emergency stops, overload relays and interlocking contacts of contactors act by wire, in the circuit "
    "of the coils, whatever a program does.",
    "De-energise, lock out and verify absence of voltage before wiring; qualified supervision; local codes decide.",
)


def structured_text(ladder: Ladder, wired: Mapping[str, str] | None = None) -> str:
    """Return `ladder` as structured text (IEC 61131-3, from memory), one assignment a load, rungs in their order.

    wired: designation -> "NO" or "NC", the contact of that device that stands on its input; left out, `plan` chooses.
    Raises LadderError as `rungbook.exchange.plan.plan`.
    """
    return text_of(plan(ladder, wired))


def text_of(made: Plan) -> str:
    """The structured text of a plan."""
    units = [COMPOSED[name] for name in dict.fromkeys(use.block for use in made.blocks.values()) if name in COMPOSED]
    lines = [f"(* {note} *)" for note in (*of_ladder(made.ladder), *CAUTION)]
    lines += [f"PROGRAM {PROGRAM}", *_sections(made)]
    for network in made.networks:
        lines += [f"    (* {note} *)" for note in of_rung(network.number, network.rung)]
        statements: list[Assign | Call] = [*made.assigns(network), *network.calls]
        lines += [f"    {_statement(one)}" for one in statements]
    return "\n".join([*units, *lines, "END_PROGRAM", ""])


def _sections(made: Plan) -> Iterable[str]:
    beside = {one.name: one.words for one in made.wiring}
    for retain, head in ((False, "VAR"), (True, "VAR RETAIN")):
        chosen = [one for one in made.declarations if one.retain is retain]
        if chosen:
            yield head
            yield from (f"    {_declared(made, one, beside.get(one.name, ''))}" for one in chosen)
            yield "END_VAR"


def _declared(made: Plan, one: Declaration, words: str) -> str:
    text = one.name + (f" AT {one.address}" if one.address else "") + f" : {one.type}"
    text += "" if one.initial is None else f" := {'TRUE' if one.initial else 'FALSE'}"
    return f"{text};{_plate(made, one.name, words)}"


def _plate(made: Plan, name: str, words: str) -> str:
    """The comment beside a declaration, for people: kind, plate, wiring."""
    device = made.ladder.devices.get(name.split("_")[0])
    if device is None:
        return ""
    told = f'{device.kind} "{escaped(device.label)}"' if device.label else device.kind
    return f" (* {'; '.join(part for part in (told, words) if part)} *)"


def _statement(one: Assign | Call) -> str:
    if isinstance(one, Assign):
        return f"{one.target} := {_expression(one.value)};"
    return f"{one.instance}({', '.join(f'{name} := {_expression(value)}' for name, value in one.arguments)});"


def literal(one: Literal) -> str:
    """A constant as text: TRUE, 3, T#5s."""
    if one.type == "BOOL":
        return "TRUE" if one.value else "FALSE"
    return duration(one.value // 1000) if one.type == "TIME" else str(one.value)


def _expression(value: Expr, within: str = "") -> str:
    if isinstance(value, Name):
        return str(value)
    if isinstance(value, Literal):
        return literal(value)
    if value.sign == "NOT":
        return f"NOT {_expression(value.parts[0], 'NOT')}"
    text = f" {value.sign} ".join(_expression(part, value.sign) for part in value.parts)
    return f"({text})" if value.sign == "OR" and within else text
