"""Trip curve of a thermal overload relay: multiples of the setting across, seconds up, both logarithmic.

Drawn as SVG like everything else, so that it needs no plotting library and works in the browser.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, hypot, inf, log, log10

from rungbook.behaviour.overload import TRIP_CLASSES, ULTIMATE, WARM, trip_time
from rungbook.drawing.beside import beside
from rungbook.drawing.figure import MARGIN, Figure, Group, Tone, Trail, heading, height_of, picture, stacked
from rungbook.drawing.metrics import ASCENT, text_width, wrap
from rungbook.drawing.picture import Picture
from rungbook.drawing.seconds import seconds, trimmed
from rungbook.drawing.shapes import Box, Point
from rungbook.drawing.sheet import STYLES, Align, Text
from rungbook.drawing.trip_limits import Limit, limits
from rungbook.errors import LadderError
from rungbook.kit import Device, OverloadSetting, parse_setting

LEAST, MOST = 1.0, 10.0  # multiples of the setting
SHORTEST, LONGEST = 0.1, 20_000.0  # times [s]
_LEFT, _TOP, _WIDE, _HIGH = 82.0, 60.0, 640.0, 500.0  # of the field
_RIGHT = 62.0  # room for minutes and hours
_STEPS = 120  # pieces of a curve
_TOLD = (1.2, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 7.2, 8.0, 10.0)  # multiples in the description
_LONG = ((60.0, "1 min"), (600.0, "10 min"), (3600.0, "1 h"), (7200.0, "2 h"))
_NEARLY = 1e-6  # so little above the ultimate trip current a curve begins; the line drawn there goes on upwards
_MARK = 4.5  # half the size of a mark
_FAR = 22.0  # from a point to its number, before a line leads there
_MOST_POINTS = 10
_HEATS = {"cold": 0.0, "warm": WARM}


@dataclass(frozen=True)
class Operating:
    """An operating point: `current` as a multiple of the setting, `state` "cold" or "warm", `time` to the trip [s].

    time None: it never trips. amps: the current [A], None if the setting is not known.
    """

    current: float
    state: str
    time: float | None
    amps: float | None

    @property
    def words(self) -> str:
        """Such as "6 × setting = 14.4 A: trips after 6.9 s"."""
        amps = "" if self.amps is None else f" = {trimmed(self.amps, 2)} A"
        warm = ", warm" if self.state == "warm" else ""
        then = "never trips" if self.time is None else f"trips after {_rounded(self.time)}"
        return f"{trimmed(self.current, 2)} × setting{amps}{warm}: {then}"


def _rounded(time: float) -> str:
    """The time to three figures: nobody reads more from a curve."""
    return seconds(float(f"{time:.3g}"))


def x_of(current: float) -> float:
    """Place of a multiple of the setting."""
    return _LEFT + _WIDE * log(current / LEAST) / log(MOST / LEAST)


def y_of(time: float) -> float:
    """Height of a time [s]."""
    return _TOP + _HIGH - _HIGH * log(time / SHORTEST) / log(LONGEST / SHORTEST)


def trip_curve(
    relay: str | Device | OverloadSetting, points: Iterable[float] = (), warm_points: Iterable[float] = ()
) -> Picture:
    """Return the trip curve of an overload relay as this course models it, cold and warm, between the limits.

    relay: a trip class ("5", "10A", "10", "20", "30"), a `Device` with its setting, or an `OverloadSetting`. points,
    warm_points: operating points as multiples of the setting, 1 to 10, from cold, or after running at the setting.
    Limits: IEC 60947-4-1, UL and NEMA (`rungbook.drawing.trip_limits`). +20 °C, all poles with the same current.

    Raises LadderError if there is no such class, nothing is set on the device, a point is out of range, or there
    are more than ten.
    """
    name, trip_class, amps = _relay(relay)
    marked = [
        Operating(
            current, state, trip_time(trip_class, current, _HEATS[state]), None if amps is None else current * amps
        )
        for state, given in (("cold", points), ("warm", warm_points))
        for current in _checked(given)
    ]
    if len(marked) > _MOST_POINTS:
        raise LadderError("trip_curve", f"at most {_MOST_POINTS} operating points", len(marked))
    title = f"Trip curve: {name}"
    figure = layout(title, trip_class, marked)
    return picture(figure, title, describe(title, trip_class, marked))


def _relay(relay: object) -> tuple[str, str, float | None]:
    """Name, trip class, and setting [A] if it is known."""
    if isinstance(relay, Device):
        setting = parse_setting(relay)
        if not isinstance(setting, OverloadSetting):
            rule = "needs an overload relay with its setting, such as '2.4 A class 10 manual'"
            raise LadderError(f"trip_curve of {relay.tag}", rule, relay.setting)
        name, trip_class, amps = _relay(setting)
        return f"{relay.name}, {name}", trip_class, amps
    if isinstance(relay, OverloadSetting):
        return f"class {relay.trip_class}, set to {relay.amps:g} A", relay.trip_class, relay.amps
    if not isinstance(relay, str) or relay not in TRIP_CLASSES:
        raise LadderError("trip_curve", "no such trip class", relay, tuple(TRIP_CLASSES))
    return f"class {relay}", relay, None


def _checked(points: object) -> tuple[float, ...]:
    if isinstance(points, str) or not isinstance(points, Iterable):
        raise LadderError("trip_curve", "points are multiples of the setting, such as (1.5, 6)", points)
    found = tuple(points)
    for point in found:
        if isinstance(point, bool) or not isinstance(point, int | float) or not LEAST <= point <= MOST:
            raise LadderError("trip_curve", f"a point is a multiple of the setting, {LEAST:g} to {MOST:g}", point)
    return tuple(map(float, found))


def curve(trip_class: str, state: str) -> tuple[tuple[float, float], ...]:
    """(multiple of the setting, time to the trip [s]) along the curve, closer together where it is steep."""
    first = ULTIMATE * (1 + _NEARLY)
    ratio = (MOST - ULTIMATE) / (first - ULTIMATE)
    currents = [ULTIMATE + (first - ULTIMATE) * ratio ** (k / _STEPS) for k in range(_STEPS)]
    found = []
    for current in (*currents, MOST):
        time = trip_time(trip_class, current, _HEATS[state])
        assert time is not None
        found.append((current, time))
    return tuple(found)


def layout(title: str, trip_class: str, marked: Sequence[Operating]) -> Figure:
    """Where everything stands."""
    letters = [chr(ord("a") + n) for n, _ in enumerate(limits(trip_class))]
    groups = [heading(title), _field(), *_curves(trip_class), _ultimate(trip_class)]
    named = list(zip(letters, limits(trip_class), strict=True))
    groups += [_limit_group(letter, limit) for letter, limit in named]
    groups.append(_list(marked))
    taken = [text.box for group in groups for text in group.texts]
    taken += [_wider(trail.box) for group in groups if group.get("class") == "limit" for trail in group.trails]
    taken += [(x - 3, y - 3, x + 3, y + 3) for state in _HEATS for x, y in _path(trip_class, state)]
    taken += [_around(point) for point in marked]
    for number, point in enumerate(marked, 1):
        group = _operating_group(number, point, taken)
        taken += [text.box for text in group.texts]
        groups.append(group)
    width = _LEFT + _WIDE + _RIGHT
    top = _TOP + _HIGH + 48
    lines = [line for note in _notes(named) for line in wrap(note, STYLES["note"].size, width - 2 * MARGIN, 9)]
    groups.append(Group((("class", "notes"),), (), stacked("note", MARGIN, top, lines)))
    return Figure(width, ceil(top + height_of("note", len(lines)) + MARGIN), tuple(groups))


def _field() -> Group:
    """Grid, frame, numbers and names of the axes."""
    trails: list[Trail] = []
    texts: list[Text] = []
    right, bottom = _LEFT + _WIDE, _TOP + _HIGH
    lower = bottom + 5 + ASCENT * STYLES["tick"].size
    for tenths in range(10, 101):
        current = tenths / 10
        whole, half = tenths % 10 == 0, tenths in (12, 15)
        if whole or (current < 2 and tenths % 2 == 0):
            x = x_of(current)
            trails.append(Trail(((x, _TOP), (x, bottom)), 0.9 if whole else 0.5, "grid"))
        if (whole and current != 9) or half:
            texts.append(_tick(x_of(current), lower, trimmed(current, 1)))
    for power in range(round(log10(SHORTEST)), int(log10(LONGEST)) + 1):
        for digit in range(1, 10):
            time = digit * 10.0**power
            if time <= LONGEST * 1.001:
                y = y_of(time)
                trails.append(Trail(((_LEFT, y), (right, y)), 0.9 if digit == 1 else 0.5, "grid"))
        words = trimmed(10.0**power, 1)
        texts.append(_tick(_LEFT - 7, y_of(10.0**power) + 4, words if power < 4 else "10 000", "end"))
    for time, words in _LONG:
        y = y_of(time)
        trails.append(Trail(((right, y), (right + 4, y)), 0.9))
        texts.append(_tick(right + 7, y + 4, words, "start"))
    corners = ((_LEFT, _TOP), (right, _TOP), (right, bottom), (_LEFT, bottom), (_LEFT, _TOP))
    trails.append(Trail(corners, 1.4))
    texts.append(_tick(_LEFT - 7, _TOP - 8, "time [s]", "end"))
    texts.append(_tick((_LEFT + right) / 2, lower + 17, "current, in multiples of the setting"))
    return Group((("class", "axes"),), tuple(trails), tuple(texts))


def _tick(x: float, y: float, words: str, align: Align = "middle") -> Text:
    return Text("tick", x, y, ((words, False),), align)


def _path(trip_class: str, state: str) -> tuple[Point, ...]:
    return tuple((x_of(current), y_of(time)) for current, time in curve(trip_class, state))


def _curves(trip_class: str) -> Iterator[Group]:
    for state in _HEATS:
        path = _path(trip_class, state)
        cold = state == "cold"
        line = Trail(path, 2.6 if cold else 1.6, "accent" if cold else "ink", dashed=not cold)
        x, y = path[-1]
        name = Text("mark", x - 6, y + (-12 if cold else 20), ((state, False),), "end")
        yield Group((("class", "curve"), ("data-state", state)), (line,), (name,), f"Trip curve from {state}")


def _ultimate(trip_class: str) -> Group:
    """The line at the ultimate trip current, from where the cold curve begins upwards."""
    x, y = _path(trip_class, "cold")[0]
    return Group((("class", "ultimate"),), (Trail(((x, y), (x, _TOP)), 1.2, "accent"),), (), f"{ULTIMATE:g} × setting")


def _limit_group(letter: str, limit: Limit) -> Group:
    """A bar at the limit's current over the times at which the relay must trip, with caps at its ends."""
    x = x_of(limit.current)
    low = y_of(limit.over or SHORTEST)
    high = y_of(limit.within or LONGEST)
    trails = [Trail(((x, low), (x, high)), 1.2, dashed=True)]
    if limit.over:
        trails.append(Trail(((x - _MARK, low), (x + _MARK, low)), 2.2))
    if limit.within is not None:
        trails.append(Trail(((x - _MARK, high), (x + _MARK, high)), 2.2))
    base = (low + 13) if limit.within is None else high - 5
    name = Text("mark", x, base, ((letter, False),))
    about = (("class", "limit"), ("data-current", trimmed(limit.current, 2)), ("data-letter", letter))
    return Group(about, tuple(trails), (name,), limit_words(limit))


def limit_words(limit: Limit) -> str:
    """Such as "7.2 × setting, cold: trips after more than 4 s and within 10 s (IEC 60947-4-1, at second hand)"."""
    times = [f"after more than {seconds(limit.over)}"] if limit.over and limit.within is not None else []
    times += [f"within {seconds(limit.within)}"] if limit.within is not None else []
    then = f"trips {' and '.join(times)}" if times else f"no trip within {seconds(limit.over)}"
    return f"{trimmed(limit.current, 2)} × setting, {limit.state}: {then} ({limit.source})"


def _operating_group(number: int, point: Operating, taken: Sequence[Box]) -> Group:
    """A diamond on the curve with the number of the point beside it, where that covers nothing."""
    x = x_of(point.current)
    y = _TOP if point.time is None else max(_TOP, y_of(point.time))
    corners = ((x - _MARK, y), (x, y - _MARK), (x + _MARK, y), (x, y + _MARK), (x - _MARK, y))
    field = (_LEFT, _TOP, _LEFT + _WIDE, inf)
    name = beside(str(number), x, y, taken, field)
    about = (("class", "point"), ("data-point", str(number)))
    middle = (name.x, (name.box[1] + name.box[3]) / 2)
    leader = [Trail(((x, y), middle), 0.8)] if hypot(middle[0] - x, middle[1] - y) > _FAR else []
    filled: Tone = "paper" if y == _TOP else "ink"
    return Group(about, (*leader, Trail(corners, 1.6, filled=filled)), (name,), point.words)


def _list(marked: Sequence[Operating]) -> Group:
    """The operating points in words, in the corner above the curves."""
    lines = [f"{number}: {point.words}" for number, point in enumerate(marked, 1)]
    size = STYLES["mark"].size
    left = _LEFT + _WIDE - 12 - max((text_width(line, size, True) for line in lines), default=0)
    return Group((("class", "points"),), (), stacked("mark", left, _TOP + 10, lines))


def _wider(box: Box) -> Box:
    return (box[0] - 2, box[1] - 2, box[2] + 2, box[3] + 2)


def _around(point: Operating) -> Box:
    x, y = x_of(point.current), _TOP if point.time is None else max(_TOP, y_of(point.time))
    return (x - _MARK, y - _MARK, x + _MARK, y + _MARK)


def _notes(named: Sequence[tuple[str, Limit]]) -> tuple[str, ...]:
    return (
        *(f"{letter}: {limit_words(limit)}." for letter, limit in named),
        f"Curves: the model of this course, cold and after running at the setting; "
        f"up to {ULTIMATE:g} × setting it never trips.",
        "A real relay may be anywhere within the limits; its data sheet decides.",
    )


def describe(title: str, trip_class: str, marked: Sequence[Operating]) -> str:
    """The curve in words: times at usual multiples, limits, operating points."""
    said = [
        f"{title}. Time to the trip over the current in multiples of the setting, both axes logarithmic, "
        f"{LEAST:g} to {MOST:g} and {SHORTEST:g} to {LONGEST:g} s."
    ]
    for state, heat in _HEATS.items():
        times = ((current, trip_time(trip_class, current, heat)) for current in _TOLD)
        listed = [f"{trimmed(current, 1)} × after {_rounded(time)}" for current, time in times if time is not None]
        said.append(f"Curve from {state}: {'; '.join(listed)}.")
    named = [(chr(ord("a") + n), limit) for n, limit in enumerate(limits(trip_class))]
    said += [f"Operating point {number}: {point.words}." for number, point in enumerate(marked, 1)]
    return "\n".join([*said, *(f"Limit {note}" if note[1] == ":" else note for note in _notes(named))])
