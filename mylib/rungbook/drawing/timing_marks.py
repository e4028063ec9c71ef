"""The marks of one lane: its line with the words along it, the ramp of a timer, the curve of a relay's heat."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import ceil
from typing import NamedTuple

from rungbook.behaviour import Running, Warming
from rungbook.behaviour.overload import RESET_LEVEL
from rungbook.drawing.figure import Trail
from rungbook.drawing.metrics import text_width
from rungbook.drawing.seconds import trimmed
from rungbook.drawing.sheet import STYLES, Align, Text
from rungbook.drawing.timing_axis import Scale
from rungbook.drawing.timing_lanes import CHATTERS, Lane

HEIGHTS = {"states": 34.0, "time": 32.0, "heat": 66.0}  # least height of a lane
_HIGH, _LOW = 8.0, 26.0  # of a line of states, from the top of its lane
_WORD = 21.0  # baseline of a word between the two
_FULL, _EMPTY = 10.0, 26.0  # of a ramp
_TRIP, _COLD = 12.0, 58.0  # of a curve of heat
_AIR = 4.0  # from an edge to a word
CLOSE = 2.5  # changes closer than this cannot be told apart
MANY = 6  # so many of them are drawn as a band
_ZIGZAG = 4.0

HEAT_LEVELS = ((1.0, "trip 1"), (RESET_LEVEL, f"reset {RESET_LEVEL:g}"), (0.0, "cold 0"))

Marks = tuple[tuple[Trail, ...], tuple[Text, ...]]


class Piece(NamedTuple):
    """A stretch of a lane: `word` from `start` to `end`, or `close` changes that cannot be told apart, if any."""

    start: float
    word: str
    end: float
    close: int = 0


def marks(lane: Lane, top: float, scale: Scale) -> Marks:
    """Return the lines and texts of `lane`, whose upper edge is at `top`, within `scale`."""
    make = {"states": _states, "time": _ramps, "heat": _heat}[lane.kind]
    return make(lane, top, scale)


def bands(times: Sequence[float], scale: Scale) -> tuple[tuple[int, int], ...]:
    """Where changes at `times` come too close to be told apart: places of the first and the last of each such run."""
    gap = CLOSE * (scale.end - scale.start) / (scale.right - scale.left)
    found: list[tuple[int, int]] = []
    first = 0
    for place in range(1, len(times) + 1):
        if place == len(times) or times[place] - times[place - 1] >= gap:
            if place - first >= MANY:
                found.append((first, place - 1))
            first = place
    return tuple(found)


def within(lane: Lane, scale: Scale) -> list[tuple[float, str]]:
    """The spans of a lane of states that begin within `scale`, and the word at its start."""
    spans = lane.spans
    place = bisect_right([when for when, _ in spans], scale.start) - 1
    seen = [
        (when, word)
        for when, word in spans[max(place, 0) + 1 :]
        if when < scale.end or (when == scale.end and not scale.open)
    ]
    return [(scale.start, spans[max(place, 0)][1]), *seen]


def pieces(lane: Lane, scale: Scale) -> list[Piece]:
    """The spans of a lane of states within `scale`, in order, each run of close changes as one piece."""
    spans = within(lane, scale)
    ends = [*(when for when, _ in spans[1:]), scale.end]
    found: list[Piece] = []
    place = 0
    for first, last in bands(ends[:-1], scale):
        found += [Piece(*spans[k], ends[k]) for k in range(place, first + 1)]
        found.append(Piece(ends[first], "", ends[last], last - first + 1))
        place = last + 1
    return found + [Piece(*spans[k], ends[k]) for k in range(place, len(spans))]


def _states(lane: Lane, top: float, scale: Scale) -> Marks:
    known = pieces(lane, scale)
    restless = [(max(a, scale.start), min(b, scale.end)) for a, b in lane.chatter if a < scale.end and b > scale.start]
    restless += [(piece.start, piece.end) for piece in known if piece.word == CHATTERS]
    trails = [*_line(lane, known, top, scale), *_loud(lane, known, top, scale)]
    texts: list[Text] = []
    taken: list[tuple[float, float]] = []
    for piece in known:
        if piece.close:
            taken.append((scale.x(piece.start), scale.x(piece.end)))
            more = _centred(f"{piece.close} changes", *taken[-1], top)
            trails += [*_band(*taken[-1], top), *_clear(more, top)]
            texts += more
    for start, end in restless:
        taken.append((scale.x(start), scale.x(end)))
        more = _centred(CHATTERS, *taken[-1], top)
        trails += [_zigzag(*taken[-1], top), *_clear(more, top)]
        texts += more
    return tuple(trails), (*texts, *_words(lane, known, taken, top, scale))


def _y(lane: Lane, word: str, top: float) -> float:
    return top + _LOW - (_LOW - _HIGH) * lane.level(word)


def _line(lane: Lane, known: Iterable[Piece], top: float, scale: Scale) -> Iterator[Trail]:
    """The line of states, broken where a band or a zigzag stands for it."""
    run: list[tuple[float, float]] = []
    for piece in known:
        if piece.close or piece.word == CHATTERS:
            if run:
                yield Trail(tuple(run), 1.5)
            run = []
        else:
            y = _y(lane, piece.word, top)
            run += [(scale.x(piece.start), y), (scale.x(piece.end), y)]
    if run:
        yield Trail(tuple(run), 1.5)


def _loud(lane: Lane, known: Iterable[Piece], top: float, scale: Scale) -> Iterator[Trail]:
    """Thick strokes where a coil or lamp has voltage, or a motor turns."""
    for piece in known:
        if lane.loud and not piece.close and lane.level(piece.word) > 0:
            y = _y(lane, piece.word, top)
            yield Trail(((scale.x(piece.start), y), (scale.x(piece.end), y)), 3.2, "accent")


def _words(
    lane: Lane, known: Iterable[Piece], taken: Sequence[tuple[float, float]], top: float, scale: Scale
) -> Iterator[Text]:
    """The word of each piece that has room for it beside what is `taken`."""
    for piece in known:
        left, right = scale.x(piece.start), scale.x(piece.end)
        if piece.close or piece.word == CHATTERS or any(start <= left < stop for start, stop in taken):
            continue
        right = min([right, *(start for start, _ in taken if start >= left)])
        if text_width(piece.word, STYLES["word"].size) + 2 * _AIR <= right - left:
            middle = lane.level(piece.word) not in (0, 1)  # there the line itself runs where words stand
            yield _word(left + _AIR, _y(lane, piece.word, top) - _AIR if middle else top + _WORD, piece.word)


def _word(x: float, y: float, words: str, align: Align = "start") -> Text:
    return Text("word", x, y, ((words, False),), align)


def _centred(words: str, left: float, right: float, top: float) -> list[Text]:
    """The words in the middle between `left` and `right`, if they have room there."""
    if text_width(words, STYLES["word"].size) + 2 * _AIR > right - left:
        return []
    return [_word((left + right) / 2, top + _WORD, words, "middle")]


def _clear(texts: Iterable[Text], top: float) -> Iterator[Trail]:
    """White ground for the texts, as high as the line of a lane at `top`."""
    for text in texts:
        left, right, high, low = text.box[0] - 2, text.box[2] + 2, top + _HIGH - 3, top + _LOW + 2
        yield Trail(((left, high), (right, high), (right, low), (left, low), (left, high)), 0, filled="paper")


def _band(left: float, right: float, top: float) -> list[Trail]:
    """A hatched band: more changes than can be drawn."""
    high, low = top + _HIGH, top + _LOW
    corners = ((left, high), (right, high), (right, low), (left, low), (left, high))
    count = max(1, int((right - left) / _ZIGZAG))
    hatch = [left + (right - left) * k / count for k in range(1, count)]
    return [Trail(corners, 1.2, filled="wash"), *(Trail(((x, high), (x, low)), 0.7) for x in hatch)]


def _zigzag(left: float, right: float, top: float) -> Trail:
    count = max(2, ceil((right - left) / _ZIGZAG))
    return Trail(
        tuple((left + (right - left) * k / count, top + (_HIGH if k % 2 else _LOW)) for k in range(count + 1)), 1.2
    )


def gathered(one: Running, time: float) -> float:
    """Share of the time set that a timer has gathered at `time` [s], while it runs."""
    return one.begins + (one.ends - one.begins) * (time - one.start) / (one.end - one.start)


def _ramps(lane: Lane, top: float, scale: Scale) -> Marks:
    trails = [Trail(((scale.left, top + _FULL), (scale.right, top + _FULL)), 0.8, "pale", dashed=True)]
    trails.append(Trail(((scale.left, top + _EMPTY), (scale.right, top + _EMPTY)), 1.0))
    texts: list[Text] = []
    shown = [one for one in lane.running if one.end > scale.start and one.start < scale.end]
    dense = bands([one.start for one in shown], scale)
    hidden = {k for first, last in dense for k in range(first, last + 1)}
    for first, last in dense:
        box = scale.x(max(shown[first].start, scale.start)), scale.x(min(shown[last].end, scale.end))
        more = _centred(f"runs {last - first + 1} times", *box, top)
        trails += [*_band(*box, top), *_clear(more, top)]
        texts += more
    told = {one for place, one in enumerate(shown) if place not in hidden}
    for before, after in pairwise(lane.running):
        if after.begins and before.end < scale.end and after.start > scale.start and {before, after} & told:
            more = _centred(_gathered_words(lane, before), *_box(before.end, after.start, scale), top)
            trails += [_kept(before, after, top, scale), *_clear(more, top)]
            texts += more
            told.discard(before)
    for place, one in enumerate(shown):
        following = shown[place + 1].start if place + 1 < len(shown) else scale.end
        if place in hidden:
            continue
        start, end, low = max(one.start, scale.start), min(one.end, scale.end), top + _EMPTY
        left, right = scale.x(start), scale.x(end)
        upper = [(scale.x(time), low - (_EMPTY - _FULL) * gathered(one, time)) for time in (start, end)]
        trails.append(Trail(((left, low), *upper, (right, low)), 1.4, filled="wash"))
        words = _gathered_words(lane, one)
        room = scale.x(min(following, scale.end)) - right
        if one in told and one.end <= scale.end and text_width(words, STYLES["word"].size) + 2 * _AIR <= room:
            texts.append(_word(right + _AIR, top + _WORD, words))
    return tuple(trails), tuple(texts)


def _gathered_words(lane: Lane, one: Running) -> str:
    return lane.preset if one.ends == 1 else f"{trimmed(one.ends * 100, 0)} % of {lane.preset}"


def _box(start: float, end: float, scale: Scale) -> tuple[float, float]:
    """Left and right of the part of a stretch that lies within `scale`."""
    return scale.x(max(start, scale.start)), scale.x(min(end, scale.end))


def _kept(before: Running, after: Running, top: float, scale: Scale) -> Trail:
    """The level at which a cumulative timer waits between two stretches."""
    (left, right), low = _box(before.end, after.start, scale), top + _EMPTY
    high = low - (_EMPTY - _FULL) * before.ends
    return Trail(((left, low), (left, high), (right, high), (right, low)), 1.2, filled="wash")


def heat_points(warming: Iterable[Warming], scale: Scale) -> Iterator[tuple[float, float]]:
    """(time [s], heat) along the curve: at least one in three px, and the ends of every stretch."""
    for one in warming:
        start, end = max(one.start, scale.start), min(one.end, scale.end)
        if end < start or one.end < scale.start:
            continue
        count = max(1, ceil((scale.x(end) - scale.x(start)) / 3))
        for k in range(count + 1):
            time = start + (end - start) * k / count
            yield time, one.heat(time)


def heat_y(heat: float, top: float, most: float) -> float:
    """Height of `heat` in a lane at `top`, whose curve goes up to `most`."""
    return top + _COLD - (_COLD - _TRIP) * heat / most


def heat_most(lane: Lane) -> float:
    """The largest heat of the lane, at least that of a trip."""
    return max([1.0, *(max(one.begins, one.heat(one.end)) for one in lane.warming)])


def _heat(lane: Lane, top: float, scale: Scale) -> Marks:
    most = heat_most(lane)
    trails, texts = [], []
    for level, words in HEAT_LEVELS:
        y = heat_y(level, top, most)
        trails.append(Trail(((scale.left, y), (scale.right, y)), 0.8, "pale", dashed=level > 0))
        texts.append(_word(scale.left - _AIR - 2, y + 4, words, "end"))
    curve = [(scale.x(time), heat_y(heat, top, most)) for time, heat in heat_points(lane.warming, scale)]
    trails.append(Trail(tuple(_thinned(curve)), 2.4, "accent"))
    return tuple(trails), tuple(texts)


def _thinned(points: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """The points without those that lie where the one before lies."""
    yield points[0]
    for before, now in pairwise(points):
        if abs(now[0] - before[0]) + abs(now[1] - before[1]) > 0.02:
            yield now
