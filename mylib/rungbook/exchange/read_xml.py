"""XML in the manner of IEC 61131-10 read back into a ladder: only what `ladder_xml` writes.

As with text: the ladder that was read is written again, and both documents must have the same elements, attributes and
texts in the same order; positions, product names and blanks between elements aside. Documents of other writers are not
read, the same ladder in other elements neither; see `ladder_xml` for how sure the names are.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.circuit import Ladder
from rungbook.exchange.composed import USES
from rungbook.exchange.ladder_xml import ladder_xml
from rungbook.exchange.lexer import read_duration
from rungbook.exchange.markup import Element, read_markup
from rungbook.exchange.rebuild import rebuild
from rungbook.exchange.series_parallel import Edge, way_between
from rungbook.exchange.tree import Assign, Call, Declaration, Expr, Literal, Name, Op, Statement, Unit, placed, wrong

_IGNORED = ("RelPosition", "FileHeader")


def read_ladder_xml(text: str) -> Ladder:
    """Return the ladder that `text`, written by `ladder_xml`, holds. Nothing is fetched, expanded or executed.

    Raises LadderError, naming the line, the rule, what was found and what is legal, if the text is no such document,
    has a document type, is too long or too deep, makes no valid ladder, or is not what would be written for it.
    """
    root = read_markup(text)
    if root.tag != "Project":
        raise wrong(root.line, "the outermost element of such a document", root.tag, "Project")
    space = root.one("Types").one("GlobalNamespace")
    program = _program(space.one("Program"))
    ladder, wired = rebuild(program)
    with placed(program.line):
        asked = read_markup(ladder_xml(ladder, wired))
    _same(root, asked)
    return ladder


def _same(one: Element, other: Element) -> None:
    rule = "not as this room writes the ladder that was read"
    if one.space != other.space:
        raise wrong(one.line, "the namespace of such a document", one.space, other.space)
    for found, asked in ((_start(one), _start(other)), (" ".join(one.text.split()), " ".join(other.text.split()))):
        if found != asked:
            raise wrong(one.line, rule, found, asked)
    mine, theirs = ([member for member in each.members if member.tag not in _IGNORED] for each in (one, other))
    for member, wanted in zip(mine, theirs, strict=False):
        _same(member, wanted)
    if len(mine) != len(theirs):
        more = mine[len(theirs)] if len(mine) > len(theirs) else None
        legal = _start(theirs[len(mine)]) if more is None else f"the end of {one.tag}"
        raise wrong(more.line if more else one.line, rule, _start(more) if more else f"the end of {one.tag}", legal)


def _start(one: Element) -> str:
    return f"<{' '.join([one.tag, *(f'{name}={value!r}' for name, value in sorted(one.attributes.items()))])}>"


# -- program -----------------------------------------------------------------------------------------------------------


def _program(element: Element) -> Unit:
    declarations = [one for held in element.all("Vars") for one in _variables(held)]
    body = element.one("MainBody").one("BodyContent")
    if body.get("type") != "LD":
        raise wrong(body.line, "the body of the program is a ladder", body.get("type"), "LD")
    statements = [one for rung in body.all("Rung") for one in _statements(rung)]
    notes = tuple(one.text for one in element.all("Documentation"))
    return Unit("PROGRAM", element.get("name"), tuple(declarations), tuple(statements), notes, element.line)


def _variables(held: Element) -> Iterator[Declaration]:
    for one in held.all("Variable"):
        initial = None
        for value in one.all("InitialValue"):
            given = value.one("SimpleValue").get("value")
            if given not in ("TRUE", "FALSE"):
                raise wrong(value.line, "an initial value of an input", given, "TRUE", "FALSE")
            initial = given == "TRUE"
        address = one.one("Address").get("address") if one.all("Address") else ""
        kind = one.one("Type").one("TypeName").text
        retain = held.attributes.get("retain") == "true"
        yield Declaration(one.get("name"), kind, "VAR", address, initial, retain, one.line)


def _statements(rung: Element) -> list[Statement]:
    notes = tuple(
        one.one("Content").text for one in rung.all("CommonObject") if one.attributes.get("type") == "Comment"
    )
    blocks = [one for one in rung.all("FbdObject") if one.attributes.get("type") == "Block"]
    if blocks:
        return [_call(rung, blocks[0], notes)]
    rails = [_point(one) for one in rung.all("LdObject") if one.get("type") == "LeftPowerRail"]
    if len(rails) != 1:
        raise wrong(rung.line, "a rung has one power rail at its left", len(rails), "LeftPowerRail")
    coils = [one for one in rung.all("LdObject") if one.get("type") == "Coil"]
    if not coils:
        raise wrong(rung.line, "a rung ends in a coil", "none", "Coil")
    value = _way(rung, rails[0], coils)
    names = [coil.get("operand") for coil in coils]
    if len(names) == 1:
        return [Assign(names[0], value, rung.line, notes)]
    shared = f"RUNG{rung.get('evaluationOrder')}"
    more = [Assign(name, Name(shared), coil.line) for name, coil in zip(names, coils, strict=True)]
    return [Assign(shared, value, rung.line, notes), *more]


def _point(element: Element) -> str:
    return element.one("ConnectionPointOut").get("connectionPointOutId")


def _sources(element: Element) -> frozenset[str]:
    points = [one.get("refConnectionPointOutId") for one in element.one("ConnectionPointIn").all("Connection")]
    if not points or len(set(points)) != len(points):
        raise wrong(element.line, "an input is connected, to each point once", ", ".join(points), "Connection")
    return frozenset(points)


def _way(rung: Element, rail: str, coils: list[Element]) -> Expr:
    """What the contacts between the rail and the coils make."""
    edges = []
    for one in rung.all("LdObject"):
        if one.get("type") == "Contact":
            edges.append(Edge(_sources(one), _point(one), _contact(one)))
        elif one.get("type") not in ("Coil", "LeftPowerRail"):
            raise wrong(one.line, "an object of a ladder", one.get("type"), "Contact", "Coil", "LeftPowerRail")
    ends = {_sources(coil) for coil in coils}
    if len(ends) != 1:
        raise wrong(coils[0].line, "coils of one rung hang on the same points", len(ends))
    return way_between(rail, edges, ends.pop(), rung.line)


def _contact(one: Element) -> Expr:
    if one.attributes.get("edge", "none") != "none":
        raise wrong(one.line, "a contact that sees edges is no contact of a relay", one.attributes["edge"], "none")
    name, _, member = one.get("operand").partition(".")
    negated = one.attributes.get("negated", "false")
    if negated not in ("true", "false"):
        raise wrong(one.line, "negated or not", negated, "true", "false")
    return Op("NOT", (Name(name, member),)) if negated == "true" else Name(name, member)


def _call(rung: Element, block: Element, notes: tuple[str, ...]) -> Call:
    sources: dict[str, Expr] = {}
    for one in rung.members:
        kind = one.attributes.get("type")
        if kind == "DataSource":
            sources[_point(one)] = _literal(one)
        elif kind == "Contact":
            sources[_point(one)] = _contact(one)
    arguments = []
    for one in block.one("InputVariables").all("InputVariable"):
        (point, *_) = _sources(one)
        if point not in sources:
            raise wrong(one.line, "an input of a block is fed by a contact or a value", point, *sources)
        arguments.append((one.get("parameterName"), sources[point]))
    kind = block.get("typeName")
    if kind not in {use.block for use in USES.values()}:
        raise wrong(block.line, "no block of this room", kind, *(use.block for use in USES.values()))
    return Call(block.get("instanceName"), tuple(arguments), rung.line, notes)


def _literal(one: Element) -> Literal:
    text = one.get("identifier")
    if text in ("TRUE", "FALSE"):
        return Literal(text == "TRUE", "BOOL")
    if text.isascii() and text.isdecimal() and len(text) < 10:
        return Literal(int(text), "INT")
    if text.startswith("T#"):
        return Literal(read_duration(text) * 1000, "TIME")
    raise wrong(one.line, "a constant", text, "TRUE", "FALSE", "3", "T#5s")
