"""How the symbols of North American practice are drawn: IEEE 315 (ANSI Y32.2) and NEMA ICS 19, as data.

Every device is drawn at rest: not touched, no coil energised (NEMA ICS 19). A button's bar moves down when the button
is pressed, a blade up when its roller is pushed or its coil energised; so a bar above its terminals or a blade below
its terminal is normally open. A rotary selector is drawn in its off position, its other positions dashed.
Shapes are from memory of the two standards unless a line says more.
"""

from __future__ import annotations

from math import cos, pi, sin

from rungbook.drawing.shapes import Arc, Point, Ring, Shape, Stroke

_BAR = 12.0  # half the height of a contact bar
_GAP = 5.0  # half the distance between the bars
_POST = 16.0  # from the middle to the centre of a terminal circle
_R = 4.0  # radius of a terminal circle
_POSTS = (Ring((-_POST, 0.0), _R), Ring((_POST, 0.0), _R))
_OPEN = -9.0  # height of a button's bar clear of its terminals
_SHUT = _R + 1.0  # height of a bar that touches both terminals from below
_CIRCLE = 16.0  # radius of a coil
_LENS = 13.0  # radius of a lamp
_WORDS = {False: "normally open", True: "normally closed"}


def line(*points: Point, dashed: bool = False) -> Stroke:
    """A stroke through `points`."""
    return Stroke(points, dashed)


def bars(name: str, closed: bool, mark: str = "") -> Shape:
    """Contact of a relay (IEEE 315, section 4): two bars, with a slash if closed at rest."""
    pair = (line((-_GAP, -_BAR), (-_GAP, _BAR)), line((_GAP, -_BAR), (_GAP, _BAR)))
    slash = (line((-_BAR + 1, _BAR - 1), (_BAR - 1, -_BAR + 1)),) if closed else ()
    return Shape(f"{name}, {_WORDS[closed]}", _GAP, pair + slash, mark=mark)


def _button(name: str, closed: bool, head: tuple[Stroke, ...], stem: float, mark: str = "") -> Shape:
    """Two terminals bridged by a bar on a stem that ends at height `stem` under `head`."""
    bar = _SHUT if closed else _OPEN
    strokes = (line((-_POST - 3, bar), (_POST + 3, bar)), line((0.0, bar), (0.0, stem)), *head)
    return Shape(name, _POST + _R, strokes, _POSTS, mark=mark)


def push_button(closed: bool) -> Shape:
    """Momentary button: bar and stem, nothing that holds it."""
    return _button(f"push button, {_WORDS[closed]}", closed, (), -17.0 if closed else -23.0)


def mushroom(closed: bool) -> Shape:
    """Palm button of an emergency stop."""
    foot = -14.0 if closed else -20.0
    dome = tuple((round(-13 * cos(pi * n / 12), 3), round(foot - 9 * sin(pi * n / 12), 3)) for n in range(13))
    return _button(f"mushroom-head button, {_WORDS[closed]}", closed, (line(*dome, dome[0]),), foot)


def selector(closed: bool) -> Shape:
    """Two-position selector: handle drawn to the left (off), dashed to the right (on)."""
    pivot = -10.0 if closed else -16.0
    tip = (-15.0, pivot - 13)
    head = Stroke((tip, (-7.5, pivot - 11), (-12.3, pivot - 5.5), tip), filled=True)
    handle = (line((0.0, pivot), tip), head, line((0.0, pivot), (15.0, pivot - 13), dashed=True))
    return _button(f"selector, closed when {'off' if closed else 'on'}", closed, handle, pivot)


def selector_of_three(closed: bool, chart: tuple[bool, ...]) -> Shape:
    """Three-position selector: handle upright (off), dashed to both sides; closed at left, off, right as `chart`.

    The mark has an X for a position in which the contact is closed, an O for one in which it is open, from left to
    right (North American practice, from memory).
    """
    pivot = -10.0 if closed else -16.0
    tip = (0.0, pivot - 16)
    head = Stroke((tip, (3.5, pivot - 9), (-3.5, pivot - 9), tip), filled=True)
    sides = tuple(line((0.0, pivot), (x, pivot - 11), dashed=True) for x in (-14.0, 14.0))
    mark = " ".join("X" if shut else "O" for shut in chart)
    return _button(f"three-position selector, {mark}", closed, (line((0.0, pivot), tip), head, *sides), pivot, mark)


def _blade(closed: bool) -> tuple[Point, Point]:
    """A blade hinged at the left terminal: on the upper side of the right one if closed, hanging below if open."""
    left, right = -_POST + _R - 1, _POST + 2.5
    return ((left, -2.5), (right, -5.6)) if closed else ((left, 2.5), (right, 11.5))


def _on(blade: tuple[Point, Point], x: float) -> Point:
    (x0, y0), (x1, y1) = blade
    return (x, round(y0 + (x - x0) * (y1 - y0) / (x1 - x0), 3))


def limit(closed: bool) -> Shape:
    """Limit switch (IEEE 315, section 4): blade with the wedge of its roller below."""
    blade = _blade(closed)
    top, end = _on(blade, -4.0), _on(blade, 7.0)
    wedge = line(top, (end[0], end[1] + 9.0), end)
    return Shape(f"limit switch, {_WORDS[closed]}", _POST + _R, (line(*blade), wedge), _POSTS)


def timed(closed: bool, late: tuple[bool, bool], mark: str = "") -> Shape:
    """Contact delayed by a timer: blade with a stem, and at its foot an arrowhead the way in which it is late.

    late: when energised (the blade moves up late: arrow up), when de-energised (down). NEMA ICS 19 calls the four
    NOTC, NCTO (late when energised), NOTO, NCTC (late when de-energised); the arrows are from memory.
    """
    blade = _blade(closed)
    heads, foot = [], 20.0
    if late[1]:  # arrow down: the tip below its arms, at the end of the stem
        heads.append(line((-5.0, foot), (0.0, foot + 8), (5.0, foot)))
        foot += 8
    if late[0]:  # arrow up: the tip above its arms
        heads.append(line((-5.0, foot + 8), (0.0, foot), (5.0, foot + 8)))
    shut, released = ("opens", "closes") if closed else ("closes", "opens")
    words = [f"{shut} late"] * late[0] + [f"{released} late"] * late[1]
    stem = line(_on(blade, 0.0), (0.0, foot))
    name = f"timed contact, {_WORDS[closed]}, {' and '.join(words)}"
    return Shape(name, _POST + _R, (line(*blade), stem, *heads), _POSTS, mark=mark)


def fuse() -> Shape:
    """Fuse: its element drawn as a wave between two terminals (IEEE 315, section 9)."""
    arcs = (Arc((-6.0, 0.0), 6.0, 180, 360), Arc((6.0, 0.0), 6.0, 0, 180))
    return Shape("fuse", _POST + _R, (), _POSTS, arcs=arcs)


def coil(mark: str = "") -> Shape:
    """Coil: a circle round its designation."""
    return Shape("coil", _CIRCLE, (), (Ring((0.0, 0.0), _CIRCLE),), inside=True, mark=mark)


def further_input(name: str, letter: str) -> Shape:
    """Further input of a timer or counter: a coil's circle with a letter under the designation (our own choice)."""
    return Shape(name, _CIRCLE, (), (Ring((0.0, 0.0), _CIRCLE),), inside=True, letter=letter)


def box(name: str, mark: str) -> Shape:
    """Control input of an electronic device: a square round its designation."""
    a = _CIRCLE
    return Shape(name, a, (line((-a, -a), (a, -a), (a, a), (-a, a), (-a, -a)),), inside=True, mark=mark)


def lamp(letter: str = "") -> Shape:
    """Pilot lamp: a circle with four rays round the letter of its colour (IEEE 315, section 11)."""
    inner, outer = _LENS * sin(pi / 4), (_LENS + 7) * sin(pi / 4)
    rays = tuple(
        line((round(x * inner, 3), round(y * inner, 3)), (round(x * outer, 3), round(y * outer, 3)))
        for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    return Shape("pilot lamp", _LENS, rays, (Ring((0.0, 0.0), _LENS),), letter=letter)


def transformer() -> Shape:
    """Control transformer: two windings of four loops, two lines of its core between; H1, H2 above, X1, X2 below."""
    xs = (-18.0, -6.0, 6.0, 18.0)
    arcs = tuple(Arc((x, -12.0), 6.0, 0, 180) for x in xs) + tuple(Arc((x, 12.0), 6.0, 180, 360) for x in xs)
    leads = tuple(line((x, y), (x + (-6 if x < 0 else 6), y)) for y in (-12.0, 12.0) for x in (-24.0, 24.0))
    core = tuple(line((-24.0, y), (24.0, y)) for y in (-2.0, 2.0))
    points = ((-30.0, -12.0), (30.0, -12.0), (-30.0, 12.0), (30.0, 12.0))
    return Shape("control transformer", 30.0, leads + core, arcs=arcs, points=points)
