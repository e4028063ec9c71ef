"""XML read with care: no document type, no entity of its own, bounded length, depth and number of elements.

The standard library's expat does the reading; it is asked for events, so that each element knows its line. Namespaces
are resolved: an element's tag is its local name, and its space is kept beside it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.parsers import expat

from rungbook.errors import LadderError
from rungbook.exchange.tree import wrong

MAX_CHARACTERS = 4_000_000
MAX_ELEMENTS = 100_000
MAX_DEPTH = 30
_BETWEEN = " "  # between the namespace and the local name; a namespace has no blank


@dataclass
class Element:
    """An element: local name `tag`, its namespace, attributes by local name, members, its own text, its line."""

    tag: str
    space: str
    attributes: dict[str, str]
    line: int
    members: list[Element] = field(default_factory=list)
    text: str = ""

    def all(self, tag: str) -> list[Element]:
        """The members with this tag."""
        return [one for one in self.members if one.tag == tag]

    def one(self, tag: str) -> Element:
        """The only member with this tag. Raises LadderError if there is none or more than one."""
        found = self.all(tag)
        if len(found) != 1:
            raise wrong(self.line, f"{self.tag} has one {tag}", len(found), tag)
        return found[0]

    def get(self, name: str) -> str:
        """An attribute. Raises LadderError if it is missing."""
        if name not in self.attributes:
            raise wrong(self.line, f"{self.tag} has the attribute {name}", ", ".join(self.attributes), name)
        return self.attributes[name]


def read_markup(text: object) -> Element:
    """Return the outermost element of `text`.

    Raises LadderError, with the line, if it is no text, too long, no well-formed XML, has a document type, a
    processing instruction or an entity of its own, or more elements or levels than a ladder needs.
    """
    if not isinstance(text, str):
        raise LadderError("read_ladder_xml", "reads text", text)
    if len(text) > MAX_CHARACTERS:
        raise LadderError("read_ladder_xml", f"at most {MAX_CHARACTERS} characters", len(text))
    try:
        data = text.removeprefix("\ufeff").encode()
    except UnicodeEncodeError:
        raise LadderError("read_ladder_xml", "half a character (a lone surrogate) is no text") from None
    return _Reader().read(data)


class _Reader:
    def __init__(self) -> None:
        self._open: list[Element] = []
        self._root: Element | None = None
        self._count = 0
        self._parser = expat.ParserCreate("utf-8", _BETWEEN)
        self._parser.buffer_text = True
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._characters
        self._parser.StartDoctypeDeclHandler = self._doctype
        self._parser.EntityDeclHandler = self._refused
        self._parser.ProcessingInstructionHandler = self._refused
        self._parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)

    def read(self, data: bytes) -> Element:
        try:
            self._parser.Parse(data, True)
        except expat.ExpatError as problem:
            raise wrong(problem.lineno, "no well-formed XML", expat.ErrorString(problem.code)) from None
        assert self._root is not None
        return self._root

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        line = self._parser.CurrentLineNumber
        self._count += 1
        if self._count > MAX_ELEMENTS:
            raise wrong(line, f"at most {MAX_ELEMENTS} elements", self._count)
        if len(self._open) >= MAX_DEPTH:
            raise wrong(line, f"at most {MAX_DEPTH} elements within one another", len(self._open) + 1)
        space, _, tag = name.rpartition(_BETWEEN)
        local = {key.rpartition(_BETWEEN)[2]: value for key, value in attributes.items()}
        if len(local) != len(attributes):
            raise wrong(line, "two attributes have one local name", ", ".join(attributes))
        element = Element(tag, space, local, line)
        if self._open:
            self._open[-1].members.append(element)
        else:
            self._root = element
        self._open.append(element)

    def _end(self, name: str) -> None:
        self._open.pop()

    def _characters(self, text: str) -> None:
        self._open[-1].text += text

    def _doctype(self, name: str, *more: object) -> None:
        raise wrong(self._parser.CurrentLineNumber, "a document type has no place here", f"<!DOCTYPE {name}")

    def _refused(self, *what: object) -> None:
        raise wrong(self._parser.CurrentLineNumber, "instructions and entities have no place here", what[0])
