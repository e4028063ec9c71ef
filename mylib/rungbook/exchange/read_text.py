"""Structured text read back into a ladder: only what `structured_text` writes.

After reading, the ladder is written again, and the two texts must have the same tokens, comments and capital letters
aside: so nothing of the text is read past, an address or a changed block least of all. Without its comments a text
still reads; kinds and plates of devices, notes, terminals and lenses are then not known. Not read: other languages and
types, expressions that are not the ways through contacts, blocks of other libraries, the same logic put otherwise.
"""

from __future__ import annotations

from itertools import zip_longest

from rungbook.circuit import Ladder
from rungbook.exchange.lexer import Token, tokens_of
from rungbook.exchange.machine import Machine
from rungbook.exchange.parser import parse
from rungbook.exchange.rebuild import rebuild
from rungbook.exchange.text import structured_text
from rungbook.exchange.tree import placed, wrong


def read_structured_text(text: str) -> Ladder:
    """Return the ladder that `text`, written by `structured_text`, holds. Nothing of it is executed.

    Raises LadderError, naming the line, the rule, what was found and what is legal, if the text is not of the subset,
    its names or types do not fit, it makes no valid ladder, or it is not what would be written for that ladder.
    """
    units = parse(text)
    Machine(units)  # every name declared, every type as it must be
    ladder, wired = rebuild(units[-1])
    with placed(units[-1].line):
        asked = structured_text(ladder, wired)
    _same(tokens_of(text), tokens_of(asked))
    return ladder


def _same(found: list[Token], asked: list[Token]) -> None:
    mine, theirs = ([token for token in tokens if token.kind != "comment"] for tokens in (found, asked))
    for one, other in zip_longest(mine, theirs, fillvalue=mine[-1]):
        if one.key != other.key:
            rule = "not as this room writes the ladder that was read so far"
            raise wrong(one.line, rule, one.text or "the end of the text", other.text or "the end of the text")
