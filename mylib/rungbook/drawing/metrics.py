"""How wide a text will be, known before there is a canvas.

Widths are those of DejaVu Sans rounded up to the next twentieth of an em, the widest of the fonts in `FONTS` but for
a few letters; a letter outside the table counts as the widest of its script. So a box is rarely too small, and a
browser that has another font of the list keeps within it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

FONTS = "DejaVu Sans, Verdana, Arial, sans-serif"

ASCENT = 0.93  # em above the baseline
DESCENT = 0.24  # em below the baseline
LINE = 1.2  # em from baseline to baseline


def _table(rows: Mapping[float, str]) -> Mapping[str, float]:
    return MappingProxyType({letter: width for width, letters in rows.items() for letter in letters})


_REGULAR = _table(
    {
        0.3: "'IJijl",
        0.35: " ,./:;\\|·",
        0.4: "()-[]ft",
        0.45: "!r",
        0.5: '"*_`–°',
        0.55: "?csz",
        0.6: "FLkvxy",
        0.65: "$0123456789EPSTYabdeghnopqu{}ß",
        0.7: "ABCKRVXZ",
        0.75: "NU",
        0.8: "&DGHOQ",
        0.85: "#+<=>^w~",
        0.9: "M",
        1.0: "%@Wm…—æ",
    }
)
_BOLD = _table(
    {
        0.35: " 'ijl",
        0.4: ",./:;IJ\\|·",
        0.45: "-f",
        0.5: "!()[]_`rt–°",
        0.55: '"*',
        0.6: "?csz",
        0.65: "Lx",
        0.7: "$0123456789EFTaekovy",
        0.75: "CPSYZbdghnpqu{}ß",
        0.8: "ABKRVX",
        0.85: "#+<=>DGHNU^~",
        0.9: "&OQ",
        0.95: "w",
        1.0: "@M…—",
        1.05: "%mæ",
        1.15: "W",
    }
)
_OTHER = 1.2  # em, a letter of no table
_PICTOGRAM = 1.5  # em, from U+1F000 on


@lru_cache(maxsize=2048)
def _letter(letter: str, bold: bool) -> float:
    """Width of one letter [em]; an accented letter is as wide as its base, a combining mark has no width."""
    table = _BOLD if bold else _REGULAR
    if letter in table:
        return table[letter]
    if unicodedata.combining(letter):
        return 0.0
    base = unicodedata.normalize("NFD", letter)[0]
    if base in table:
        return table[base]
    return _PICTOGRAM if ord(letter) >= 0x1F000 else _OTHER * (1.2 if bold else 1.0)


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width of `text` [px] at a font size of `size` [px]."""
    return size * sum(_letter(letter, bold) for letter in text)


def wrap(text: str, size: float, width: float, lines: int, bold: bool = False) -> tuple[str, ...]:
    """Break `text` into at most `lines` lines no wider than `width` [px], at spaces where there are any.

    What does not fit is cut, and the last line then ends in "…". Empty text gives no lines.
    """
    done: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if text_width(longer, size, bold) <= width:
            line = longer
            continue
        if line:
            done.append(line)
        while text_width(word, size, bold) > width and len(word) > 1:
            head = _fitting(word, size, width, bold)
            done.append(head)
            word = word[len(head) :]
        line = word
    if line:
        done.append(line)
    if len(done) <= lines:
        return tuple(done)
    last = done[lines - 1]
    while last and text_width(last + "…", size, bold) > width:
        last = last[:-1]
    return (*done[: lines - 1], last.rstrip() + "…")


def _fitting(word: str, size: float, width: float, bold: bool) -> str:
    """The longest beginning of `word`, at least one letter, that is no wider than `width` [px]."""
    end = 1
    while end < len(word) and text_width(word[: end + 1], size, bold) <= width:
        end += 1
    return word[:end]
