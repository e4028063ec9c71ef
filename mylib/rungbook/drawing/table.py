"""The contact table below a coil in a ladder whose paths run down: on which path each of its contacts stands.

Two columns, normally open left and normally closed right, a number for each contact (common practice where current
paths run down).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

from rungbook.drawing.cells import SPACE, line
from rungbook.drawing.metrics import LINE, text_width
from rungbook.drawing.references import Reference
from rungbook.drawing.sheet import STYLES, Line, Text
from rungbook.kit import NC_KIND, NO_KIND

_KINDS = (NO_KIND, NC_KIND)
_RULE = 0.9  # width of a rule [px]


@dataclass(frozen=True)
class ContactTable:
    """The table of a coil: its rules and texts relative to the middle of its upper edge. half: half its width."""

    half: float
    height: float
    lines: tuple[Line, ...]
    texts: tuple[Text, ...]


def contact_table(entries: tuple[Reference, ...], tag: str, name: Callable[[int], str] = str) -> ContactTable | None:
    """Return the table of the contacts `entries` of coil `tag`; None if there are none. name: how a path is named."""
    if not entries:
        return None
    size = STYLES["table"].size
    columns = [[name(path) for path, kind in entries if kind == wanted] for wanted in _KINDS]
    widest = max(text_width(words, size) for words in (*_KINDS, *columns[0], *columns[1]))
    wide, high = ceil(widest + 4 * SPACE), LINE * size + 1
    height = ceil(high * (1 + max(map(len, columns))) + SPACE)
    base = 0.76 * size + SPACE  # of the first line, below the upper edge
    texts: list[Text] = []
    for x, kind, column in zip((-wide / 2, wide / 2), _KINDS, columns, strict=True):
        rows = [kind, *(column or ["–"])]
        texts += [
            line("table", x, base + n * high + (SPACE if n else 0), words, device=tag) for n, words in enumerate(rows)
        ]
    under = base + 0.24 * size + 1
    rules = (((-wide, under), (wide, under)), ((0.0, 0.0), (0.0, float(height))))
    return ContactTable(wide, height, tuple(Line("table", points, _RULE, device=tag) for points in rules), tuple(texts))
