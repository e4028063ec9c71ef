"""The title block of a sheet: what it says, and its lines and letters as SVG.

Three rows with fields that are common in title blocks (ISO 7200 lists them; the choice is from memory): title and
sheet, laboratory, group and date, names and paper. A field left empty is an empty box to fill in by hand.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from html import escape

from rungbook.drawing.adapter import number
from rungbook.drawing.metrics import FONTS, LINE, wrap
from rungbook.drawing.symbols import INK, PALE, PAPER
from rungbook.errors import LadderError
from rungbook.kit.limits import check_text

WIDTH, HEIGHT = 340.0, 84.0  # [px]
_ROW = 28.0
_PAD = 4.0
_LABEL = 6.5  # size of the letters of a label [px]
_LINES = ((10.5, 1), (8.0, 2))  # sizes of what a field says [px], and how many lines of that size there is room for
_TITLE_LINES = ((13.0, 1), (8.0, 2))
#: field -> label, row, from and to [px].
_BOXES = {
    "title": ("Title", 0, 0.0, 250.0),
    "sheet": ("Sheet", 0, 250.0, WIDTH),
    "lab": ("Laboratory", 1, 0.0, 125.0),
    "group": ("Group", 1, 125.0, 250.0),
    "date": ("Date", 1, 250.0, WIDTH),
    "drawn_by": ("Drawn by", 2, 0.0, 125.0),
    "checked_by": ("Checked by", 2, 125.0, 250.0),
    "paper": ("Paper", 2, 250.0, WIDTH),
}


@dataclass(frozen=True)
class TitleBlock:
    """What a title block says. title: "" for that of each picture. The others: "" leaves a box to fill in by hand.

    A title too long for its box ends in "…". Raises LadderError if a field is no printable text of one line, or one of
    the others does not fit its box.
    """

    title: str = ""
    lab: str = ""
    group: str = ""
    date: str = ""
    drawn_by: str = ""
    checked_by: str = ""

    def __post_init__(self) -> None:
        for field in fields(self):
            words = check_text("Title block", field.name, getattr(self, field.name))
            if (
                field.name != "title"
                and _set(field.name, words)[1][-1:]
                and _set(field.name, words)[1][-1].endswith("…")
            ):
                raise LadderError("Title block", f"the words for {field.name} do not fit two lines of their box", words)

    def says(self, title: str, sheet: str, paper: str) -> dict[str, str]:
        """Field -> words, for one sheet. title: of what is drawn on it."""
        own = {field.name: getattr(self, field.name) for field in fields(self)}
        return own | {"title": self.title or title, "sheet": sheet, "paper": paper}


def _set(field: str, words: str) -> tuple[float, tuple[str, ...]]:
    """Size and lines of the words of a field: the largest size in which they fit, else the smallest, cut."""
    _, _, left, right = _BOXES[field]
    bold = field == "title"
    for size, most in _TITLE_LINES if bold else _LINES:
        lines = wrap(words, size, right - left - 2 * _PAD, most, bold)
        if not lines or not lines[-1].endswith("…"):
            break
    return size, lines


def drawn(says: dict[str, str]) -> str:
    """Return the title block as SVG of `WIDTH` by `HEIGHT`. says: as `TitleBlock.says` returns."""
    marks = []
    for field, (label, row, left, right) in _BOXES.items():
        top = row * _ROW
        marks.append(
            f'<rect x="{number(left)}" y="{number(top)}" width="{number(right - left)}" height="{number(_ROW)}"'
            f' fill="{PAPER}" stroke="{INK}" stroke-width="0.8"/>'
        )
        x = number(left + _PAD)
        marks.append(
            f'<text x="{x}" y="{number(top + _LABEL + 1.5)}" font-size="{_LABEL}" fill="{PALE}">{label}</text>'
        )
        size, lines = _set(field, says[field])
        low = top + _ROW - (5.0 if len(lines) == 1 else 3.0) - (len(lines) - 1) * size * LINE
        weight = ' font-weight="bold"' if field == "title" else ""
        for n, line in enumerate(lines):
            y = number(low + n * size * LINE)
            marks.append(f'<text x="{x}" y="{y}" font-size="{size}"{weight} fill="{INK}">{escape(line)}</text>')
    marks.append(f'<path d="M0,{number(HEIGHT)}V0H{number(WIDTH)}" fill="none" stroke="{INK}" stroke-width="1.8"/>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(WIDTH)} {number(HEIGHT)}"'
        f' font-family="{FONTS}" overflow="visible" role="group" aria-label="Title block">{"".join(marks)}</svg>'
    )
