"""A `Plot` laid out as a `Figure`: legend, fields with ticks, curves, points with names that cover nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, ceil, cos, degrees, floor, hypot, log10, pi, sin

from rungbook.drawing.beside import ANGLES, beside, covers
from rungbook.drawing.figure import MARGIN, Figure, Group, Tone, Trail, heading, height_of, picture, stacked
from rungbook.drawing.metrics import ASCENT, text_width, wrap
from rungbook.drawing.picture import Picture
from rungbook.drawing.plot import DASHES, Axes, Dot, Level, Line, Plot, Sign
from rungbook.drawing.seconds import round_step, trimmed
from rungbook.drawing.shapes import Box, Point
from rungbook.drawing.sheet import STYLES, Text

_LEFT, _WIDE, _RIGHT = 76.0, 624.0, 30.0
_HIGH = {1: 300.0, 2: 210.0}  # of a field, by their number
_LEAST_HIGH = 180.0
_TOP = 44.0  # from the upper edge to the legend
_NAME = 24.0  # above a field, for the name of its axis
_GAP = 16.0  # below a field that another one follows
_ACROSS, _UP = 60.0, 28.0  # least distance of two ticks
_SAMPLE = 40.0  # length of a line in the legend
_SIZE = 4.0  # half the size of a sign
_ROW = 18.0  # of the legend
_CORNERS = 16  # of a dot


@dataclass(frozen=True)
class _Field:
    """From numbers to places: x from 0 to `end`, y from `low` at the bottom to `high` at `top`."""

    end: float
    low: float
    high: float
    top: float
    height: float

    @property
    def box(self) -> Box:
        return (_LEFT, self.top, _LEFT + _WIDE, self.top + self.height)

    def place(self, x: float, y: float) -> Point:
        share = (y - self.low) / (self.high - self.low)
        return (_LEFT + _WIDE * x / self.end, self.top + self.height * (1 - share))


def draw_plot(plot: Plot, title: str, words: str) -> Picture:
    """Return `plot` as a picture with `title` over it and the description `words`."""
    return picture(layout(plot, title), title, words)


def layout(plot: Plot, title: str) -> Figure:
    """Where everything stands."""
    legend, top = _legend(plot)
    groups = [heading(title), *legend]
    high = _HIGH.get(len(plot.fields), _LEAST_HIGH)
    bottom = top
    for number, axes in enumerate(plot.fields):
        low, most = axes.reach
        field = _Field(plot.end, low, most, bottom + _NAME, high)
        last = number == len(plot.fields) - 1
        groups += _field_groups(number, axes, field, plot.name if last else "")
        bottom = field.box[3] + (0 if last else _GAP)
    bottom += 44
    width = _LEFT + _WIDE + _RIGHT
    lines = wrap(plot.note, STYLES["note"].size, width - 2 * MARGIN, 9)
    groups.append(Group((("class", "notes"),), (), stacked("note", MARGIN, bottom, lines)))
    return Figure(width, ceil(bottom + height_of("note", len(lines)) + MARGIN), tuple(groups))


def _legend(plot: Plot) -> tuple[list[Group], float]:
    """A sample of each line and sign with its name, in rows; and where they end."""
    size = STYLES["note"].size
    groups, x, row = [], _LEFT, 0
    entries: list[tuple[str, float, Line | Sign]] = [(line.name, _SAMPLE, line) for line in plot.named]
    entries += [(name, 2 * _SIZE, sign) for sign, name in plot.signs]
    for name, wide, what in entries:
        room = wide + 8 + text_width(name, size)
        if x > _LEFT and x + room > _LEFT + _WIDE + _RIGHT - MARGIN:
            x, row = _LEFT, row + 1
        y = _TOP + row * _ROW
        middle = y + ASCENT * size / 2 + 1
        if isinstance(what, Line):
            trails: Sequence[Trail] = (_stroke(((x, middle), (x + wide, middle)), what),)
        else:
            trails = _sign(what, x + _SIZE, middle, "ink")
        texts = (Text("note", x + wide + 8, y + ASCENT * size, ((name, False),), "start"),)
        groups.append(Group((("class", "legend"), ("data-name", name)), tuple(trails), texts))
        x += room + 22
    return groups, _TOP + (row + 1) * _ROW if groups else _TOP - 8


def _field_groups(number: int, axes: Axes, field: _Field, name: str) -> Iterator[Group]:
    """Grid and ticks, lines, levels, points. name: of the axis below, "" if another field follows."""
    about = ("data-field", str(number))
    yield _frame(number, axes, field, name)
    taken: list[Box] = []
    for line in axes.lines:
        pieces = list(_inside([field.place(*point) for point in line.points], field.box))
        taken += _along(pieces)
        trails = tuple(_stroke(piece, line) for piece in pieces)
        yield Group((("class", "curve"), about, ("data-name", line.name)), trails, (), line.name)
    places = [field.place(dot.x, dot.y) for dot in axes.dots]
    taken += [(x - _SIZE - 1, y - _SIZE - 1, x + _SIZE + 1, y + _SIZE + 1) for x, y in places]
    ends = [
        (field.place(level.at, field.low), field.place(level.at, field.high))
        if level.upright
        else (field.place(0, level.at), field.place(field.end, level.at))
        for level in axes.levels
    ]
    taken += _along(ends)
    for level, (start, end) in zip(axes.levels, ends, strict=True):
        texts = (_level_name(level, start, end, taken, field.box),) if level.name else ()
        taken += [text.box for text in texts]
        yield Group((("class", "level"), about), (Trail((start, end), 1.1, level.tone),), texts, level.name)
    for dot, (x, y) in zip(axes.dots, places, strict=True):
        texts = (_dot_name(dot, x, y, taken, field.box),) if dot.name else ()
        taken += [text.box for text in texts]
        yield Group((("class", "point"), about), _sign(dot.sign, x, y, dot.tone), texts, dot.name)


def _frame(number: int, axes: Axes, field: _Field, name: str) -> Group:
    """Grid, the two axes, numbers and names."""
    left, top, right, bottom = field.box
    trails, texts = [], []
    for at, words in even_ticks(0.0, field.end, int(_WIDE / _ACROSS)):
        x = field.place(at, field.low)[0]
        trails += [Trail(((x, top), (x, bottom)), 0.8, "grid"), Trail(((x, bottom), (x, bottom + 5)), 1.2)]
        if name:
            texts.append(Text("tick", x, bottom + 7 + ASCENT * STYLES["tick"].size, ((words, False),)))
    for at, words in even_ticks(field.low, field.high, int(field.height / _UP)):
        y = field.place(0.0, at)[1]
        trails += [Trail(((left, y), (right, y)), 0.8, "grid"), Trail(((left - 5, y), (left, y)), 1.2)]
        texts.append(Text("tick", left - 8, y + 4, ((words, False),), "end"))
    trails.append(Trail(((left, top), (left, bottom), (right, bottom)), 1.4))
    texts.append(Text("note", MARGIN, top - 9, ((axes.name, False),), "start"))
    if name:
        texts.append(Text("note", (left + right) / 2, bottom + 36, ((name, False),)))
    return Group((("class", "axes"), ("data-field", str(number))), tuple(trails), tuple(texts))


def even_ticks(low: float, high: float, most: int) -> list[tuple[float, str]]:
    """Round numbers from `low` to `high`, evenly spaced, at most `most` and one, each with its words."""
    step = round_step((high - low) / most)
    places = max(0, -floor(log10(step) + 1e-9))
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [(n * step, trimmed(n * step, places)) for n in range(first, last + 1)]


def _stroke(points: Sequence[Point], line: Line) -> Trail:
    dashes = DASHES[line.dash]
    return Trail(tuple(points), line.width, line.tone, dashed=bool(dashes), dashes=dashes)


def _sign(sign: Sign, x: float, y: float, tone: Tone) -> tuple[Trail, ...]:
    """A dot, or two strokes across one another."""
    if sign == "dot":
        corners = (2 * pi * k / _CORNERS for k in range(_CORNERS + 1))
        round_ = tuple((x + _SIZE * cos(angle), y + _SIZE * sin(angle)) for angle in corners)
        return (Trail(round_, 0.8, tone, filled=tone),)
    arm = _SIZE + 1
    return tuple(Trail(((x - arm, y - arm * way), (x + arm, y + arm * way)), 2.6, tone) for way in (1, -1))


def _dot_name(dot: Dot, x: float, y: float, taken: Sequence[Box], field: Box) -> Text:
    best = degrees(atan2(dot.nudge[1], dot.nudge[0]))
    angles = sorted(ANGLES, key=lambda angle: abs((angle - best + 180) % 360 - 180))
    return beside(dot.name, x, y, taken, field, angles, sided=True)


def _level_name(level: Level, start: Point, end: Point, taken: Sequence[Box], field: Box) -> Text:
    """The name along the line, over it or under it, from its `end` on, at the first place where it covers nothing."""
    from_left = level.end == "left"
    wide = text_width(level.name, STYLES["mark"].size, True)
    steps = range(6, int(_WIDE - wide), 10)
    text = None
    for far in steps:
        for up in (-5.0, 14.0):
            x = start[0] + far if from_left else end[0] - far
            text = Text("mark", x, start[1] + up, ((level.name, False),), "start" if from_left else "end")
            inside = field[1] < text.box[1] and text.box[3] < field[3]
            if inside and not any(covers(text.box, other) for other in taken):
                return text
    assert text is not None
    return text


def _along(pieces: Iterable[Sequence[Point]]) -> Iterator[Box]:
    """Small boxes along lines, close enough that no text slips between them."""
    for piece in pieces:
        for (x, y), (u, v) in pairwise(piece):
            count = max(1, ceil(hypot(u - x, v - y) / 4))
            for k in range(count + 1):
                a, b = x + (u - x) * k / count, y + (v - y) * k / count
                yield (a - 2, b - 2, a + 2, b + 2)


def _inside(points: Sequence[Point], box: Box) -> Iterator[tuple[Point, ...]]:
    """The parts of a line through `points` that lie in `box`."""
    piece: list[Point] = []
    for one, other in pairwise(points):
        part = _clipped(one, other, box)
        if part is None:
            if len(piece) > 1:
                yield tuple(piece)
            piece = []
            continue
        if piece and piece[-1] != part[0]:
            yield tuple(piece)
            piece = []
        piece += part[len(piece) > 0 :]
    if len(piece) > 1:
        yield tuple(piece)


def _clipped(one: Point, other: Point, box: Box) -> tuple[Point, Point] | None:
    """The part of a straight line in `box`; None if it is outside."""
    dx, dy = other[0] - one[0], other[1] - one[1]
    start, end = 0.0, 1.0
    for way, room in (
        (-dx, one[0] - box[0]),
        (dx, box[2] - one[0]),
        (-dy, one[1] - box[1]),
        (dy, box[3] - one[1]),
    ):
        if way == 0:
            if room < -1e-9:
                return None
        elif way < 0:
            start = max(start, (room + 1e-9) / way)
        else:
            end = min(end, (room + 1e-9) / way)
    if start > end:
        return None
    first = one if start == 0 else (one[0] + start * dx, one[1] + start * dy)
    return first, other if end == 1 else (one[0] + end * dx, one[1] + end * dy)
