"""A ladder as XML in the manner of IEC 61131-10, its program as a ladder body (LD).

Element and attribute names are those of IEC 61131-10:2019 from memory; the published schema is no part of this project
and was not at hand. `tests/exchange/ladder.xsd` is a schema of our own for the subset written here: what passes it is
in this form, not proved to be in the published one. Positions are written in a raster of 1; they carry no meaning.

One `Rung` a rung of the ladder and one a call. The wired OR of power flow is several `Connection`s to one
`ConnectionPointIn`; parallel branches begin at the same points. Function blocks that are composed have bodies of
structured text.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.etree import ElementTree as ET

from rungbook.circuit import Contact, Ladder, Part, Series
from rungbook.exchange.composed import COMPOSED
from rungbook.exchange.parser import parse
from rungbook.exchange.plan import PROGRAM, Network, Plan, plan
from rungbook.exchange.remarks import of_ladder, of_rung
from rungbook.exchange.text import CAUTION, literal
from rungbook.exchange.tree import Call, Declaration, Literal, Name

SPACE = "www.iec.ch/public/TC65SC65BWG7TF10"
INSTANCE = "http://www.w3.org/2001/XMLSchema-instance"
_TYPE = f"{{{INSTANCE}}}type"


def ladder_xml(ladder: Ladder, wired: Mapping[str, str] | None = None) -> str:
    """Return `ladder` as an XML document in the manner of IEC 61131-10. wired: as in `structured_text`.

    Raises LadderError as `rungbook.exchange.plan.plan`.
    """
    made = plan(ladder, wired)
    root = ET.Element("Project", {"xmlns": SPACE, "schemaVersion": "1.0"})
    ET.SubElement(root, "FileHeader", companyName="", productName="Rungbook", productVersion="1")
    ET.SubElement(ET.SubElement(root, "ContentHeader", name=PROGRAM), "CoordinateInfo")
    space = ET.SubElement(ET.SubElement(root, "Types"), "GlobalNamespace")
    for name in dict.fromkeys(use.block for use in made.blocks.values()):
        if name in COMPOSED:
            _function_block(space, name)
    _program(space, made)
    ET.indent(root)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ET.tostring(root, encoding="unicode")}\n'


def _typed(parent: ET.Element, tag: str, kind: str, **attributes: str) -> ET.Element:
    return ET.SubElement(parent, tag, {_TYPE: kind, **attributes})


def _documented(parent: ET.Element, notes: Sequence[str]) -> None:
    for note in notes:
        _typed(parent, "Documentation", "SimpleText").text = note


# -- units and variables -----------------------------------------------------------------------------------------------


def _function_block(space: ET.Element, name: str) -> None:
    text = COMPOSED[name]
    (unit,) = parse(f"{text}PROGRAM X END_PROGRAM")[:1]
    block = ET.SubElement(space, "FunctionBlock", name=name)
    parameters = ET.SubElement(block, "Parameters")
    for section, tag in (("VAR_INPUT", "InputVars"), ("VAR_OUTPUT", "OutputVars")):
        held = ET.SubElement(parameters, tag)
        for one in (one for one in unit.declarations if one.section == section):
            _variable(held, one)
    held = ET.SubElement(block, "Vars", accessSpecifier="private")
    for one in (one for one in unit.declarations if one.section == "VAR"):
        _variable(held, one)
    body = _typed(ET.SubElement(block, "MainBody"), "BodyContent", "ST")
    statements = text.rpartition("END_VAR\n")[2].partition("END_FUNCTION_BLOCK")[0]
    ET.SubElement(body, "ST").text = "\n" + statements


def _variable(held: ET.Element, one: Declaration, words: str = "") -> None:
    variable = ET.SubElement(held, "Variable", name=one.name)
    ET.SubElement(ET.SubElement(variable, "Type"), "TypeName").text = one.type
    if one.initial is not None:
        value = ET.SubElement(variable, "InitialValue")
        ET.SubElement(value, "SimpleValue", value="TRUE" if one.initial else "FALSE")
    if one.address:
        ET.SubElement(variable, "Address", address=one.address)
    if words:
        _documented(variable, [words])


def _program(space: ET.Element, made: Plan) -> None:
    program = ET.SubElement(space, "Program", name=PROGRAM)
    _documented(program, [*of_ladder(made.ladder), *CAUTION])
    beside = {one.name: one.words for one in made.wiring}
    shared = {network.shared for network in made.networks}  # coils side by side need no variable between them
    for retain in (False, True):
        chosen = [one for one in made.declarations if one.retain is retain and one.name not in shared]
        if chosen:
            held = ET.SubElement(program, "Vars", accessSpecifier="private")
            if retain:
                held.set("retain", "true")
            for one in chosen:
                _variable(held, one, beside.get(one.name, ""))
    body = _typed(ET.SubElement(program, "MainBody"), "BodyContent", "LD")
    order = 0
    for network in made.networks:
        order += 1
        _Sheet(body, order).network(made, network)
        for call in network.calls:
            order += 1
            _Sheet(body, order).call(call, made.blocks[call.instance].block)


# -- ladder bodies -----------------------------------------------------------------------------------------------------


class _Sheet:
    """One `Rung` of the body, filled from left to right; points are numbered as they are made."""

    def __init__(self, body: ET.Element, order: int) -> None:
        self.rung = ET.SubElement(body, "Rung", evaluationOrder=str(order))
        self._points = 0
        self._row = self._bottom = 0

    def network(self, made: Plan, network: Network) -> None:
        for note in of_rung(network.number, network.rung):
            comment = _typed(self.rung, "CommonObject", "Comment")
            _typed(comment, "Content", "SimpleText").text = note
        ends = self._part(made, network.rung.contacts, [self._rail()], 1)
        for row, name in enumerate(network.targets):
            coil = self._object("LdObject", "Coil", 2 + _width(network.rung.contacts), row, operand=name)
            self._into(coil, ends)
            self._out(coil)

    def call(self, call: Call, kind: str) -> None:
        rail = self._rail()
        sources: list[tuple[str, int]] = []
        for name, value in call.arguments:
            self._row = len(sources)
            if isinstance(value, Literal):
                source = self._object("FbdObject", "DataSource", 1, self._row, identifier=literal(value))
            else:
                assert isinstance(value, Name)
                source = self._object("LdObject", "Contact", 1, self._row, operand=str(value))
                self._into(source, [rail])
            sources.append((name, self._out(source)))
        block = self._object("FbdObject", "Block", 2, 0, typeName=kind, instanceName=call.instance)
        held = ET.SubElement(block, "InputVariables")
        for name, point in sources:
            self._into(ET.SubElement(held, "InputVariable", parameterName=name), [point])
        held = ET.SubElement(block, "OutputVariables")
        self._out(ET.SubElement(held, "OutputVariable", parameterName="Q"))

    def _part(self, made: Plan, part: Part | None, points: list[int], column: int) -> list[int]:
        """Draw `part` from `points` on; return the points at which it ends."""
        if part is None:
            return points
        if isinstance(part, Contact):
            name, opposite = made.contact(part)
            contact = self._object("LdObject", "Contact", column, self._row, operand=str(name))
            if opposite:
                contact.set("negated", "true")
            self._into(contact, points)
            return [self._out(contact)]
        if isinstance(part, Series):
            for inner in part.parts:
                points = self._part(made, inner, points, column)
                column += _width(inner)
            return points
        ends, top = [], self._row
        for place, inner in enumerate(part.parts):  # type: ignore[attr-defined]
            if place:
                self._row = self._bottom = self._bottom + 1
            ends += self._part(made, inner, points, column)
        self._row = top
        return ends

    def _rail(self) -> int:
        return self._out(self._object("LdObject", "LeftPowerRail", 0, 0))

    def _object(self, tag: str, kind: str, column: int, row: int, **attributes: str) -> ET.Element:
        found = _typed(self.rung, tag, kind, **attributes)
        ET.SubElement(found, "RelPosition", x=str(column), y=str(row))
        return found

    def _into(self, element: ET.Element, points: Sequence[int]) -> None:
        point = ET.SubElement(element, "ConnectionPointIn")
        for one in points:
            ET.SubElement(point, "Connection", refConnectionPointOutId=str(one))

    def _out(self, element: ET.Element) -> int:
        self._points += 1
        ET.SubElement(element, "ConnectionPointOut", connectionPointOutId=str(self._points))
        return self._points


def _width(part: Part | None) -> int:
    """Columns that `part` takes."""
    if part is None or isinstance(part, Contact):
        return int(part is not None)
    widths = [_width(inner) for inner in part.parts]  # type: ignore[attr-defined]
    return sum(widths) if isinstance(part, Series) else max(widths)
