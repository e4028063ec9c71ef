"""The face of each device of the kit, seen from the front: a plain outline with terminals at its upper and lower edge.

Contacts stand in columns, one terminal above the other; a changeover has 12 and 14 above and its common terminal
below. A device with main poles has these at the left, then both coil terminals at the top, so that an overload relay,
all of whose control terminals are at its lower edge, can hang below without hiding one. Accessories with contacts are
a second outline in front, at the right. The arrangement is our own; a real part has its own (its data sheet).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil

from rungbook.drawing.cells import line, lines
from rungbook.drawing.panel_sheet import BOTTOM, TOP, Body, Pin
from rungbook.drawing.panel_words import KIND_LINE, balanced, words_of
from rungbook.drawing.sheet import STYLES, Text
from rungbook.kit import ContactBlock, Device, Fitted, contact_kind

POLE = 26.0  # from one main pole to the next
OUT = 6.0  # how far an accessory stands out above and below
_LEVEL = 14.0  # from an edge to the middle of its terminal numbers
_ROOM = 24.0  # height that an edge and its terminal numbers take
_KIND = 12.0  # height of the words NO and NC beside the numbers
_BARE = 8.0  # height of an edge without terminals
_SUPPLY = 52.0  # height of the supply's box

End = tuple[str, str]  # name of a terminal and the word beside it, "" for none
Column = tuple[End, End]  # the terminal above and the one below; a name "" for none
_NONE: End = ("", "")


@dataclass
class _Face:
    """A face while it grows from left to right. unit: from one hole of a terminal to the other."""

    tag: str
    unit: float
    height: float
    pins: list[Pin] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    x: float = 0.0  # left edge of the next column
    out: float = 0.0  # how far the edges of what is in front stand out

    def columns(self, columns: list[Column]) -> None:
        """Columns of control terminals, two units wide each."""
        for column in columns:
            middle = self.x + self.unit
            for side, (name, word) in zip((TOP, BOTTOM), column, strict=True):
                if name:
                    y = -self.out if side == TOP else self.height + self.out
                    holes = tuple((middle + sign * self.unit / 2, y) for sign in (-1, 1))
                    self._pin(Pin(self.tag, name, middle, y, side, holes, self.unit - 3), "terminal", word)
            self.x += 2 * self.unit

    def poles(self, poles: tuple[tuple[str, str], ...], covered: bool) -> None:
        """Main poles; their lower terminals are not shown if something hangs on them."""
        left = self.x
        for upper, lower in poles:
            middle = self.x + POLE / 2
            self._pin(Pin(self.tag, upper, middle, 0.0, TOP, half=POLE / 2 - 3), "pole")
            if not covered:
                self._pin(Pin(self.tag, lower, middle, self.height, BOTTOM, half=POLE / 2 - 3), "pole")
            self.x += POLE
        self.x = left + _up(len(poles) * POLE, self.unit)

    def _pin(self, pin: Pin, role: str, word: str = "") -> None:
        self.pins.append(pin)
        inwards = 1 if pin.side == TOP else -1
        for n, (kind, words) in enumerate(((role, pin.name), ("kind", word))):
            if words:
                y = pin.y + inwards * (_LEVEL + n * _KIND) + 0.36 * STYLES[kind].size
                self.texts.append(line(kind, pin.x, y, words, device=self.tag))


def supply(unit: float) -> Body:
    """The two terminals of the control supply, X1 and X2, both with their wires below."""
    face = _Face("", unit, _SUPPLY, x=unit / 2)
    face.columns([(_NONE, ("X1", "")), (_NONE, ("X2", ""))])
    width = face.x + unit / 2
    words = lines("kind", width / 2, 6, ("control", "supply"), "middle")
    return Body("", "supply", "Control supply", (0, 0, width, _SUPPLY), tuple(face.pins), (*face.texts, *words))


def is_overload(fitted: Fitted) -> bool:
    """True if the device is one that hangs below a contactor."""
    return fitted.model.kind == "overload relay"


def body(
    device: Device, colour: str, fitted: Fitted, unit: float, *, covered: bool = False, least: float = 0.0
) -> Body:
    """The face of `device`, left upper corner at (0, 0); its holes are at whole numbers of `unit`.

    colour: of button or lens, "" if not known. covered: something hangs on its lower main terminals. least: height.
    """
    own = _own_columns(fitted)
    poles = () if is_overload(fitted) else fitted.model.poles
    extras = [extra for extra in fitted.accessories if extra.terminals]
    fronts = [_columns(extra.contacts_on(fitted.model.kind)) for extra in extras]
    bare = unit * (1 + 2 * len(own)) + _up(len(poles) * POLE, unit)
    words = words_of(device, colour, fitted.model.name)
    wide = max(bare, _up(words.least, unit))
    middle = words.broken(wide - 12)
    captions = [_caption(extra.name, 2 * unit * len(front) - 8) for extra, front in zip(extras, fronts, strict=True)]
    above, below = _edges([*own, *(column for front in fronts for column in front)], bool(poles))
    deep = max([middle.height, *(len(caption) * KIND_LINE for caption in captions), least - above - below])
    face = _Face(device.tag, unit, float(ceil(above + deep + below)), x=unit / 2)
    face.poles(poles, covered)
    if not poles:
        face.x += (wide - bare) // (2 * unit) * unit
    face.columns(own)
    texts, rings = middle.placed(wide / 2, above + (deep - middle.height) / 2)
    face.x = wide + (unit / 2 if extras else 0.0)
    face.out = OUT
    blocks = []
    for front, caption in zip(fronts, captions, strict=True):
        left = face.x
        face.columns(front)
        blocks.append((left, -OUT, face.x, face.height + OUT))
        top = above + (deep - len(caption) * KIND_LINE) / 2
        texts += lines("kind", (left + face.x) / 2, top, caption, "middle", device.tag)
    box = (0.0, 0.0, face.x + (unit / 2 if extras else 0.0), face.height)
    title = f"{device.name}, {fitted.model.name}"
    return Body(
        device.tag, fitted.model.kind, title, box, tuple(face.pins), (*face.texts, *texts), tuple(blocks), rings
    )


def _caption(name: str, room: float) -> tuple[str, ...]:
    """The name of an accessory in lines; none if a word of it does not fit."""
    rows = balanced(name, "kind", room)
    return rows if " ".join(rows) == name else ()


def _up(value: float, unit: float) -> float:
    """`value` raised to a whole number of units."""
    return ceil(value / unit) * unit


def _edges(columns: list[Column], poles: bool) -> tuple[float, float]:
    """Height that the upper and the lower edge take with the numbers of their terminals."""
    found = []
    for side in (0, 1):
        ends = [column[side] for column in columns]
        marked = any(word for _, word in ends)
        found.append(_ROOM + _KIND * marked if poles or any(name for name, _ in ends) else _BARE)
    return found[0], found[1]


def _own_columns(fitted: Fitted) -> list[Column]:
    """The columns of control terminals of a device without its accessories."""
    model = fitted.model
    if is_overload(fitted):
        ends: dict[str, str] = {}
        for block in model.contacts:
            for end in block.ends:
                ends[end] = "" if end in ends else block.kind  # no word at a common terminal
        return [(_NONE, end) for end in ends.items()]
    found: list[Column] = []
    if model.supply and model.poles:
        found += [((end, ""), _NONE) for end in model.supply]
    elif model.supply:
        found.append(((model.supply[0], ""), (model.supply[1], "")))
    found += _columns(model.contacts)
    more = [(end, "") for end in model.more]
    more += [_NONE] * (len(more) % 2)
    return found + list(zip(more[::2], more[1::2], strict=True))


def _columns(contacts: tuple[ContactBlock, ...]) -> list[Column]:
    """A column for each contact; the second of a changeover has its common terminal in the first one's column."""
    firsts = [block.ends[0] for block in contacts]
    found: list[Column] = []
    for n, block in enumerate(contacts):
        common, other = block.ends
        if firsts.count(common) == 1:
            found.append(((common, block.kind if contact_kind(block.terminals) else ""), (other, "")))
        else:
            found.append(((other, block.kind), (common if firsts.index(common) == n else "", "")))
    return found
