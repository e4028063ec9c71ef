"""Structured text cut into tokens, with the line of each; comments are kept, for they carry plates and notes."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rungbook.errors import LadderError
from rungbook.exchange.tree import wrong

MAX_CHARACTERS = 1_000_000  # of a text
MAX_TOKENS = 200_000

_PIECE = re.compile(
    r"(?P<blank>[ \t\r\f\ufeff]+)|(?P<line>\n)|(?P<open>\(\*)"
    r"|(?P<time>T\#(?:[0-9]+(?:ms|h|m|s))+(?![A-Za-z0-9_]))"
    r"|(?P<address>%[IQ]X[0-9]{1,4}\.[0-7](?![0-9]))|(?P<name>[A-Za-z][A-Za-z0-9]*(?:_[A-Za-z0-9]+)*)(?![A-Za-z0-9_])"
    r"|(?P<number>[0-9]+(?![A-Za-z0-9_]))|(?P<sign>:=|[:;(),.+\-><])",
    re.ASCII | re.IGNORECASE,
)


@dataclass(frozen=True)
class Token:
    """kind: "name", "number", "time", "address", "sign", "comment" or "end". text: as written, or its words."""

    kind: str
    text: str
    line: int

    @property
    def key(self) -> str:
        """The same for texts that mean the same: names in capital letters."""
        return self.text if self.kind == "comment" else self.text.upper()


def tokens_of(text: object) -> list[Token]:
    """Return the tokens of `text`, an "end" last.

    Raises LadderError if it is no text, has more than a million characters, a character or literal that is no part of
    this room's subset, or a comment that never ends or lies in another.
    """
    if not isinstance(text, str):
        raise LadderError("read_structured_text", "reads text", text)
    if len(text) > MAX_CHARACTERS:
        raise LadderError("read_structured_text", f"at most {MAX_CHARACTERS} characters", len(text))
    found: list[Token] = []
    at, line = 0, 1
    while at < len(text):
        piece = _PIECE.match(text, at)
        if piece is None:
            legal = ("names", "numbers", "T#5s", "%IX0.0", "%QX0.0", ":= : ; ( ) , . + - >", "(* comments *)")
            raise wrong(line, "no part of this subset of structured text", text[at : at + 20].split("\n")[0], *legal)
        at = piece.end()
        kind = str(piece.lastgroup)
        if kind == "line":
            line += 1
        elif kind == "open":
            end = text.find("*)", at)
            words = text[at:end]
            if end < 0 or "(*" in words:
                raise wrong(line, "a comment ends with *) before another one begins", text[at : at + 20])
            found.append(Token("comment", words.removeprefix(" ").removesuffix(" "), line))
            line += words.count("\n")
            at = end + 2
        elif kind != "blank":
            found.append(Token(kind, piece.group(), line))
        if len(found) > MAX_TOKENS:
            raise LadderError("read_structured_text", f"at most {MAX_TOKENS} tokens", len(found))
    return [*found, Token("end", "", line)]


_UNITS = {"h": 3_600_000, "m": 60_000, "s": 1000, "ms": 1}  # [ms]


def duration(milliseconds: int) -> str:
    """The literal of a time [ms]: `T#1m30s`."""
    text, rest = "", milliseconds
    for unit, size in _UNITS.items():
        count, rest = divmod(rest, size)
        text += f"{count}{unit}" if count else ""
    return f"T#{text or '0s'}"


def read_duration(text: str) -> int:
    """The time of a literal that the lexer has let through [ms]."""
    parts = re.findall(r"([0-9]{1,12})(ms|h|m|s)", text[2:], re.IGNORECASE)
    return sum(int(count) * _UNITS[unit.lower()] for count, unit in parts)
