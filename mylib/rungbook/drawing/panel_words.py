"""What stands in the middle of a device's face: designation, plate, setting, model; the head of a button or lamp."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.drawing.cells import line, lines
from rungbook.drawing.metrics import ASCENT, LINE, text_width, wrap
from rungbook.drawing.shapes import Point
from rungbook.drawing.sheet import STYLES, Text
from rungbook.kit import COLOURS, Device

HEAD = 8.5  # radius of a button's or lens's head
KIND_LINE = LINE * STYLES["kind"].size  # from one line of a model's name to the next
_BETWEEN = 1.0  # from the plate to what is set, and on to the model
_GAP = 5.0  # from the head to the designation
_HEADED = "SP"  # letters of the devices that have a head
_MOST = 3  # lines of a plate, of a setting, of a model's name
_LONGEST = {"plate": 96.0, "kind": 110.0}  # words longer than this are broken [px]
_EVEN = 6.0  # step in which the room is made narrower to even out lines
_PLATE = 58.0  # room for a plate at least


def balanced(words: str, role: str, room: float) -> tuple[str, ...]:
    """`words` in as few lines of at most `room` as can be, about equally long."""
    size = STYLES[role].size
    rows = wrap(words, size, room, _MOST)
    least = max((text_width(word, size) for word in words.split()), default=0.0)
    while len(rows) > 1 and room - _EVEN >= least:
        room -= _EVEN
        tighter = wrap(words, size, room, _MOST)
        if len(tighter) > len(rows) or tighter[-1].endswith("…"):
            break
        rows = tighter
    return rows


@dataclass(frozen=True)
class Broken:
    """The words of a face broken into lines, in the order in which they stand below one another."""

    tag: str
    letter: str
    head: bool
    blocks: tuple[tuple[str, tuple[str, ...]], ...]  # role, lines

    @property
    def height(self) -> float:
        """Room they need [px]."""
        return self._first + 5 + sum(len(rows) * LINE * STYLES[role].size + _BETWEEN for role, rows in self.blocks)

    @property
    def _first(self) -> float:
        return 2 * HEAD + 2 if self.head else LINE * STYLES["designation"].size

    def placed(self, middle: float, top: float) -> tuple[list[Text], tuple[tuple[Point, float], ...]]:
        """The texts centred on x = `middle`, from y = `top` down, and the head: its middle and radius."""
        size = STYLES["designation"].size
        if not self.head:
            texts = [line("designation", middle, top + 1 + ASCENT * size, self.tag, device=self.tag)]
            rings: tuple[tuple[Point, float], ...] = ()
        else:
            left = middle - (text_width(self.tag, size, True) + 2 * HEAD + _GAP) / 2
            centre = (left + HEAD, top + 1 + HEAD)
            rings = ((centre, HEAD),)
            at = (left + 2 * HEAD + _GAP, centre[1] + 0.36 * size)
            texts = [line("designation", *at, self.tag, "start", device=self.tag)]
            if self.letter:
                y = centre[1] + 0.36 * STYLES["inside small"].size
                texts.append(line("inside small", centre[0], y, self.letter, device=self.tag))
        top += self._first + 3
        for role, rows in self.blocks:
            texts += lines(role, middle, top, rows, "middle", self.tag)
            top += len(rows) * LINE * STYLES[role].size + _BETWEEN
        return texts, rings


@dataclass(frozen=True)
class Words:
    """The words of a face. letter: of its colour, "" if not known. parts: role and words, top to bottom."""

    tag: str
    letter: str
    parts: tuple[tuple[str, str], ...]

    @property
    def head(self) -> bool:
        """True if the device has a head, beside its designation."""
        return self.tag[0] in _HEADED

    @property
    def least(self) -> float:
        """Width that a face needs for them: for the designation, and the longest word of the rest within reason."""
        first = text_width(self.tag, STYLES["designation"].size, True) + (2 * HEAD + _GAP if self.head else 0)
        rest = [
            min(text_width(word, STYLES[role].size), _LONGEST[role])
            for role, words in self.parts
            for word in words.split()
        ]
        plate = any(role == "plate" and words.strip() for role, words in self.parts)
        return 14 + max([first, *rest, _PLATE if plate else 0.0])

    def broken(self, room: float) -> Broken:
        """The same in lines no wider than `room` [px]."""
        blocks = tuple((role, balanced(words, role, room)) for role, words in self.parts if words.strip())
        return Broken(self.tag, self.letter, self.head, blocks)


def words_of(device: Device, colour: str, model: str) -> Words:
    """What is written on the face of `device`: its plate and what is set as on a label, then the model."""
    parts = (("plate", device.label), ("plate", device.setting), ("kind", "" if device.label == model else model))
    return Words(device.tag, COLOURS.get(colour, ""), parts)
