"""What a symbol of a power circuit is made of: the poles of a device, what they have in common, its pins. Plain data.

Coordinates [px]: the origin is the upper end of the first pole, x to the right, y downwards; poles are upright.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import cos, pi, sin, sqrt

from rungbook.drawing.shapes import Box, Point, Ring, Stroke

LEAST_PITCH = 40.0  # between two poles [px]
MOTOR_RADIUS = 48.0


@dataclass(frozen=True)
class Letters:
    """Letters that belong to a symbol, their baseline's middle at (x, y). role: a key of `sheet.STYLES`."""

    x: float
    y: float
    words: str
    role: str = "inside small"


@dataclass(frozen=True)
class Ink:
    """Strokes, circles and letters of a part of a symbol."""

    strokes: tuple[Stroke, ...] = ()
    rings: tuple[Ring, ...] = ()
    letters: tuple[Letters, ...] = ()

    def moved(self, dx: float, dy: float = 0.0) -> Ink:
        """The same shifted by (dx, dy)."""
        return Ink(
            tuple(Stroke(tuple((x + dx, y + dy) for x, y in s.points), s.dashed, s.filled) for s in self.strokes),
            tuple(Ring((r.centre[0] + dx, r.centre[1] + dy), r.radius) for r in self.rings),
            tuple(Letters(t.x + dx, t.y + dy, t.words, t.role) for t in self.letters),
        )

    def __add__(self, other: Ink) -> Ink:
        return Ink(self.strokes + other.strokes, self.rings + other.rings, self.letters + other.letters)


@dataclass(frozen=True)
class Pin:
    """Where a wire ends: `terminal` as the circuit names it, `label` as this set writes it. up: on the upper side."""

    terminal: str
    label: str
    at: Point
    up: bool


@dataclass(frozen=True)
class PowerShape:
    """A whole symbol. poles: one `Ink` a pole, in the order of its pins. link: ends of the mechanical link, if any.

    mark: letters that this set writes under the designation, such as "OL". `box` covers strokes and circles, without
    the width of the line; it is derived. height: from the upper pins to the lower end.
    """

    name: str
    pins: tuple[Pin, ...]
    poles: tuple[Ink, ...]
    common: Ink
    height: float
    link: tuple[Point, Point] | None = None
    mark: str = ""
    box: Box = field(init=False)

    def __post_init__(self) -> None:
        xs, ys = [], [0.0, self.height]
        for ink in (*self.poles, self.common):
            xs += [x for stroke in ink.strokes for x, _ in stroke.points]
            ys += [y for stroke in ink.strokes for _, y in stroke.points]
            for ring in ink.rings:
                (x, y), r = ring.centre, ring.radius
                xs += [x - r, x + r]
                ys += [y - r, y + r]
        object.__setattr__(self, "box", (min(xs), min(ys), max(xs), max(ys)))


@dataclass(frozen=True)
class PoleKind:
    """One pole of a kind of device: its ink from (0, 0) to (0, height); `link` a point of its moving part, if any.

    common: makes what stands once for all poles, from the x of the first and the last one.
    """

    name: str
    ink: Ink
    height: float
    link: Point | None = None
    common: Callable[[float, float], Ink] = lambda first, last: Ink()
    mark: str = ""


@dataclass(frozen=True)
class PowerSymbols:
    """A set of power symbols: `poles` by kind of device, and what it writes where.

    phase_marks: True if terminals are marked 1/L1, 2/T1 (but a fuse's) and U1/T1. motor: upper and lower line of
    letters in a three-phase motor's circle. earth: word at the protective earth, ringed if its sign is in a circle.
    interlock: makes the sign of a mechanical interlock about a point. boxes: what stands in the middle of a box, by
    kind of device.
    """

    name: str
    poles: Mapping[str, PoleKind]
    phase_marks: bool
    motor: tuple[str, str]
    one_phase_motor: tuple[str, str]
    earth: str
    ringed: bool
    interlock: Callable[[Point], Ink]
    boxes: Mapping[str, Ink]


def line(*points: Point) -> Stroke:
    """An open line through `points`."""
    return Stroke(points)


def frame(left: float, top: float, right: float, bottom: float) -> Stroke:
    """A rectangle."""
    return Stroke(((left, top), (right, top), (right, bottom), (left, bottom), (left, top)))


def arc(centre: Point, across: float, along: float, start: float, end: float) -> Stroke:
    """Part of an ellipse of half axes `across` and `along`, from `start` to `end` [degrees], 0 right, 90 down."""
    steps = max(6, round(abs(end - start) / 15))
    angles = [(start + (end - start) * n / steps) * pi / 180 for n in range(steps + 1)]
    return Stroke(tuple((round(centre[0] + across * cos(a), 3), round(centre[1] + along * sin(a), 3)) for a in angles))


def handle(y: float, x: float) -> Callable[[float, float], Ink]:
    """Return what makes a device operated by hand: a dashed link at height `y`, from a bar to `x` of the first pole."""

    def make(first: float, _: float) -> Ink:
        bar = first - 26
        return Ink((Stroke(((bar, y), (first + x, y)), dashed=True), line((bar, y - 6), (bar, y + 6))))

    return make


def device_shape(symbols: PowerSymbols, kind: str, poles: Sequence[str], pitch: float) -> PowerShape:
    """Return the symbol of a device of `kind` with `poles`, such as ("1-2", "3-4", "5-6"), `pitch` [px] apart.

    A pole that is left out leaves its place empty. Raises KeyError if the set has no symbol of `kind`.
    """
    made = symbols.poles[kind]
    order = sorted(poles)
    places = [(int(pole[0]) - int(order[0][0])) // 2 * pitch for pole in order]
    pins = []
    for pole, x in zip(order, places, strict=True):
        upper, lower = pole.split("-")
        number = lower_number(upper)
        both = symbols.phase_marks and kind != "fuse"
        marks = (f"{upper}/L{number}", f"{lower}/T{number}") if both else (upper, lower)
        pins += [Pin(upper, marks[0], (x, 0.0), True), Pin(lower, marks[1], (x, made.height), False)]
    common = made.common(places[0], places[-1])
    link = None
    if made.link is not None:
        x, y = made.link
        link = ((places[0] + x, y), (places[-1] + x, y))
        if len(places) > 1:
            common += Ink((Stroke(link, dashed=True),))
    inks = tuple(made.ink.moved(x) for x in places)
    return PowerShape(made.name, tuple(pins), inks, common, made.height, link, made.mark)


def lower_number(upper: str) -> int:
    """The line, 1 to 3, of a main pole whose upper terminal is "1", "3" or "5"."""
    return (int(upper) + 1) // 2


def motor_shape(symbols: PowerSymbols, terminals: Sequence[str], pitch: float) -> PowerShape:
    """Return a motor's symbol: three terminals above and, of six, three below; two (U1, U2): a single-phase motor."""
    columns = 2 if len(terminals) == 2 else 3
    middle = (columns - 1) * pitch / 2
    high = 78.0  # of the middle of the circle
    six = len(terminals) == 6
    pins, leads = [], []
    for n, terminal in enumerate(terminals):
        x, up = n % columns * pitch, n < columns
        at = (x, 0.0 if up else 2 * high)
        label = f"{terminal}/T{n + 1}" if symbols.phase_marks and columns == 3 else terminal
        pins.append(Pin(terminal, label, at, up))
        leads.append(_motor_lead(at, (middle, high), 1 if up else -1))
    words = symbols.one_phase_motor if columns == 2 else symbols.motor
    letters = (Letters(middle, high - 2, words[0], "inside"), Letters(middle, high + 16, words[1], "inside"))
    side, down = middle + MOTOR_RADIUS, high + 12
    right = side + 18
    bars = tuple(
        line((right - half, down + 4.5 * n), (right + half, down + 4.5 * n)) for n, half in enumerate((8, 5, 2))
    )
    rings = [Ring((middle, high), MOTOR_RADIUS)]
    earth: tuple[Stroke, ...] = (line((side, high), (right, high), (right, down)), *bars)
    if symbols.ringed:
        rings.append(Ring((right, down + 4), 12.0))
    name = ("single-phase motor" if columns == 2 else "three-phase motor") + (", six leads" if six else "")
    word = Letters(right, down + 30, symbols.earth)
    common = Ink((*leads, *earth), tuple(rings), (*letters, word))
    height = 2 * high if six else high + MOTOR_RADIUS
    return PowerShape(name, tuple(pins), (), common, height)


def _motor_lead(at: Point, centre: Point, way: int) -> Stroke:
    """From a terminal straight to the circle where it can, else round a corner. way: 1 downwards, -1 upwards."""
    aside = at[0] - centre[0]
    if abs(aside) <= MOTOR_RADIUS - 4:
        return line(at, (at[0], centre[1] - way * sqrt(MOTOR_RADIUS**2 - aside**2)))
    slant = MOTOR_RADIUS / sqrt(2)
    edge = (centre[0] + (slant if aside > 0 else -slant), centre[1] - way * slant)
    turn = at[1] + way * 18
    return line(at, (at[0], turn), (edge[0], turn), edge)


def supply_shape(lines: Sequence[str], pitch: float) -> PowerShape:
    """Return the terminals of the supply, one for each of `lines`, their pins below."""
    xs = [n * pitch for n in range(len(lines))]
    pins = tuple(Pin(name, name, (x, 8.0), False) for name, x in zip(lines, xs, strict=True))
    poles = tuple(Ink(rings=(Ring((x, 4.0), 4.0),)) for x in xs)
    return PowerShape("supply", pins, poles, Ink(), 8.0)


def box_shape(symbols: PowerSymbols, kind: str, pitch: float) -> PowerShape:
    """Return the symbol of a "soft starter" or a "drive": a box with three lines in above and three out below.

    Raises KeyError if the set has no such box.
    """
    left, right, top, bottom, height = -18.0, 2 * pitch + 18, 18.0, 90.0, 108.0
    pins, leads = [], []
    for n, phase in enumerate("UVW"):
        x, number = n * pitch, n + 1
        both = (f"{2 * n + 1}/L{number}", f"{2 * n + 2}/T{number}")
        into, out = (f"L{number}", f"T{number}" if symbols.phase_marks else phase) if kind == "drive" else both
        pins += [Pin(into, into, (x, 0.0), True), Pin(out, out, (x, height), False)]
        leads.append(Ink((line((x, 0), (x, top)), line((x, bottom), (x, height)))))
    common = Ink((frame(left, top, right, bottom),)) + symbols.boxes[kind].moved(pitch, (top + bottom) / 2)
    return PowerShape(kind, tuple(pins), tuple(leads), common, height)
