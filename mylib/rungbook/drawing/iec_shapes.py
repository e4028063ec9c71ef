"""How the symbols of IEC 60617 are drawn, as data. Shapes and sections are from memory of the standard.

Sections are those of part 7 in the last printed edition; actuators and links are in its part 2, sections 12 and 13.

The standard shows a current path running downwards and contacts that close from left to right. A rung runs from left
to right, so every symbol is turned a quarter to the left, as IEC 61082-1 has it (from memory): contacts are hinged at
the right and move upwards when operated. What operates them stands below, on a dashed link; a make contact's blade
hangs below the wire, a break contact's blade lies above it against a stub.
"""

from __future__ import annotations

from math import radians, sin, tan

from rungbook.drawing.shapes import Arc, Point, Ring, Shape, Stroke

REACH = 22.0  # from the middle to a terminal of a contact
_EDGE = 11.0  # from the middle to the fixed contact, and to the hinge
_SLOPE = tan(radians(30))  # of the blade
_FOOT = 34.0  # where the sign of a hand-operated actuator stands
_A = 8.0  # half the width of a coil
_B = 15.0  # half its height
_BAND = 8.0  # height of the band of a slow coil
_LENS = 12.0  # radius of a lamp
_SIGN = 7.0  # half the side of a device's box on a link
_WORDS = {False: "make contact", True: "break contact"}

Parts = tuple[tuple[Stroke, ...], tuple[Ring, ...], tuple[Arc, ...]]
NOTHING: Parts = ((), (), ())


def _line(*points: Point, dashed: bool = False) -> Stroke:
    return Stroke(points, dashed)


def _blade_at(closed: bool, x: float) -> float:
    """Height of the blade at `x`: below the wire if open, above it if closed."""
    return round((_EDGE - x) * _SLOPE * (-1 if closed else 1), 3)


def _contact(closed: bool) -> tuple[Stroke, ...]:
    """Make contact or break contact (section 2)."""
    tip = -_EDGE - (3.5 if closed else 0.0)
    blade = _line((REACH, 0.0), (_EDGE, 0.0), (tip, _blade_at(closed, tip)))
    stub = ((-_EDGE, _blade_at(True, -_EDGE)),) if closed else ()
    return (_line((-REACH, 0.0), (-_EDGE, 0.0), *stub), blade)


def _link(closed: bool, end: float) -> Stroke:
    """Link from the middle of the blade to what operates it."""
    return _line((0.0, _blade_at(closed, 0.0)), (0.0, end), dashed=True)


def contact(name: str, closed: bool, actuator: Parts = NOTHING, foot: float = 0.0, mark: str = "") -> Shape:
    """A contact with its `actuator`, on a link that ends at height `foot`; without one if `foot` is 0."""
    link = (_link(closed, foot),) if foot else ()
    strokes, rings, arcs = actuator
    words = f"{name}, {_WORDS[closed]}"
    return Shape(words, REACH, (*_contact(closed), *link, *strokes), rings, mark=mark, arcs=arcs, below=True)


def _detent() -> tuple[Stroke, ...]:
    """Detent: a notch whose point rests on the link; the actuator stays where it was put."""
    return (_line((6.0, 18.5), (0.0, 22.5), (6.0, 26.5)),)


def _turned(foot: float = _FOOT) -> tuple[Stroke, ...]:
    """Operated by turning: a bar with one arm to the contact and one away from it."""
    return (_line((-8.0, foot + 5), (-8.0, foot), (8.0, foot), (8.0, foot - 5)),)


def push_button(closed: bool) -> Shape:
    """Operated by pushing: a bar with both arms towards the contact; it returns by itself (section 7)."""
    bar = _line((-8.0, _FOOT - 5), (-8.0, _FOOT), (8.0, _FOOT), (8.0, _FOOT - 5))
    return contact("push button", closed, ((bar,), (), ()), _FOOT)


def selector(closed: bool) -> Shape:
    """Operated by turning, staying put (section 7): closed when on (make) or off (break)."""
    return contact("two-position selector", closed, ((*_turned(), *_detent()), (), ()), _FOOT)


def selector_of_three(closed: bool, chart: tuple[bool, ...]) -> Shape:
    """Operated by turning, with a chart below: a dash for each position, left to right, a dot where it is closed."""
    level = _FOOT + 15
    xs = (-10.0, 0.0, 10.0)
    ticks = tuple(_line((x, level - 5), (x, level + 5)) for x in xs)
    dots = tuple(Ring((x, level), 2.6, "ink") for x, shut in zip(xs, chart, strict=True) if shut)
    words = ", ".join(p for p, shut in zip(("left", "off", "right"), chart, strict=True) if shut)
    parts = (*_turned(), *_detent(), *ticks)
    return contact(f"three-position selector closed at {words}", closed, (parts, dots, ()), _FOOT)


def emergency_stop(closed: bool) -> Shape:
    """Mushroom head that stays down (section 7); a break contact opens positively (arrow in a circle).

    Positive opening: IEC 60947-5-1, Annex K, from memory.
    """
    strokes = (*_detent(), _line((-10.0, _FOOT - 4), (10.0, _FOOT - 4)))
    rings: tuple[Ring, ...] = ()
    if closed:
        x, y, r = 17.0, 22.0, 7.0
        rings = (Ring((x, y), r, "none"),)
        strokes += (_line((x - r, y), (x + r, y)), _line((x + r - 5, y - 3), (x + r, y), (x + r - 5, y + 3)))
    return contact("emergency stop", closed, (strokes, rings, (Arc((0.0, _FOOT - 4), 10.0, 0, 180),)), _FOOT - 4)


def limit(closed: bool) -> Shape:
    """Position switch (section 8): a triangle on the blade, on the side from which that is pushed."""
    on = [(x, _blade_at(closed, x)) for x in (-5.0, 5.0)]
    tip = ((-3.5 if closed else 3.5), round(_blade_at(closed, 0.0) + 6.1, 3))  # square to the blade's middle
    return contact("position switch", closed, ((_line(on[0], tip, on[1]),), (), ()))


def _hump(top: float) -> Stroke:
    """Thermal actuator: a hump in a line, its top on the link."""
    return _line((-10.0, top + 6), (-5.0, top + 6), (-5.0, top), (5.0, top), (5.0, top + 6), (10.0, top + 6))


def overload(closed: bool) -> Shape:
    """Contact of a thermal overload relay: operated by a thermal actuator."""
    return contact("overload contact", closed, ((_hump(24.0),), (), ()), 24.0)


def starter(closed: bool, trip: bool) -> Shape:
    """Auxiliary contact of a manual motor starter: moved by its handle and its releases, or when it trips only.

    The overcurrent release is a half circle on the link, the handle the sign for turning.
    """
    if trip:
        return contact("trip contact", closed, ((_hump(24.0),), (), (Arc((0.0, 41.0), 5.0, 180, 360),)), 36.0)
    return contact("starter contact", closed, ((_hump(20.0), *_turned(38.0)), (), ()), 38.0)


def timed(closed: bool, late: tuple[bool, bool], mark: str = "") -> Shape:
    """Delayed contact (section 5): an arc on a double link, open to the side to which it moves late.

    late: when operated (the blade moves up: the arc is a cup), when released (the blade moves down: a dome). The arc
    is a parachute: it holds back a movement from the arc towards its centre.
    """
    cup, dome = Arc((0.0, 15.0), 9.0, 30, 150), Arc((0.0, 38.0 if late[0] else 33.0), 9.0, 210, 330)
    arcs = (cup,) * late[0] + (dome,) * late[1]
    foot = dome.at(270)[1] if late[1] else cup.at(90)[1]
    rails = tuple(_line((x, _blade_at(closed, x)), (x, foot)) for x in (-2.0, 2.0))
    verb = {False: ("closes", "opens"), True: ("opens", "closes")}[closed]
    words = " and ".join([f"{verb[0]} late"] * late[0] + [f"{verb[1]} late"] * late[1])
    return contact(f"timed contact, {words}", closed, (rails, (), arcs), mark=mark)


def lettered(name: str, closed: bool, mark: str) -> Shape:
    """Contact of a timer whose function has no sign: a link to a clock (circle with two hands), letters below."""
    middle = 27.0
    hands = _line((0.0, middle - 5.0), (0.0, middle), (4.0, middle))
    return contact(name, closed, ((hands,), (Ring((0.0, middle), _SIGN, "none"),), ()), middle - _SIGN, mark)


def boxed(name: str, closed: bool, sign: Parts, mark: str = "") -> Shape:
    """Contact of an electronic device or counter: a link to a small box with the device's `sign`."""
    strokes, rings, arcs = sign
    frame = rectangle(0.0, 20.0 + _SIGN, _SIGN, _SIGN)
    return contact(name, closed, ((frame, *strokes), rings, arcs), 20.0, mark)


def rectangle(x: float, y: float, a: float, b: float) -> Stroke:
    """A rectangle round (x, y), half as wide as `a` and half as high as `b`."""
    return _line((x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b), (x - a, y - b))


#: signs in the small box on a link, round (0, 20 + _SIGN)
_MIDDLE = 20.0 + _SIGN
COUNTER: Parts = ((), (Ring((0.0, _MIDDLE), 3.5, "none"),), ())  # a nought
RAMP: Parts = ((_line((-5.0, _MIDDLE + 4), (1.0, _MIDDLE - 4), (5.0, _MIDDLE - 4)),), (), ())
CONVERTER: Parts = ((_line((-_SIGN, _MIDDLE + _SIGN), (_SIGN, _MIDDLE - _SIGN)),), (), ())
PROGRAM: Parts = (tuple(_line((-4.0, _MIDDLE + y), (4.0, _MIDDLE + y)) for y in (-3.0, 0.0, 3.0)), (), ())
BLOWN: Parts = ((_line((0.0, _MIDDLE - _SIGN), (0.0, _MIDDLE + _SIGN)),), (), ())


def fuse() -> Shape:
    """Fuse (section 21): a rectangle with the conductor through it."""
    return Shape("fuse", REACH, (rectangle(0.0, 0.0, 13.0, 5.0), _line((-REACH, 0.0), (REACH, 0.0))))


def coil(late: tuple[bool, bool] = (False, False), mark: str = "") -> Shape:
    """Coil (section 15): a rectangle, its wires at the middle of the long sides.

    late: a crossed band at one end for a coil that operates slowly, a filled band for one that releases slowly.
    """
    strokes = [rectangle(0.0, 0.0, _A, _B)]
    low = _B
    if late[0]:
        strokes.append(_line((-_A, low), (_A, low + _BAND), (_A, low), (-_A, low + _BAND)))
        strokes.append(_line((-_A, low), (-_A, low + _BAND), (_A, low + _BAND), (_A, low)))
        low += _BAND
    if late[1]:
        corners = ((-_A, low), (_A, low), (_A, low + _BAND), (-_A, low + _BAND), (-_A, low))
        strokes.append(Stroke(corners, filled=True))
    words = " and ".join(["operates slowly"] * late[0] + ["releases slowly"] * late[1])
    return Shape(f"coil, {words}" if words else "coil", _A, tuple(strokes), mark=mark)


def further_input(name: str, letter: str) -> Shape:
    """Further input of a timer or counter: a square with a letter (our own choice; it is no coil)."""
    return Shape(name, 10.0, (rectangle(0.0, 0.0, 10.0, 10.0),), letter=letter)


def run_input() -> Shape:
    """Control input of a soft starter: a square with a ramp."""
    ramp = _line((-10.0, 8.0), (2.0, -8.0), (10.0, -8.0))
    return Shape("run input of a soft starter", 14.0, (rectangle(0.0, 0.0, 14.0, 14.0), ramp))


def supply() -> Shape:
    """Supply of a programmable relay: a square with three steps of a program (our own choice)."""
    steps = tuple(_line((-8.0, y), (8.0, y)) for y in (-6.0, 0.0, 6.0))
    return Shape("supply of a programmable relay", 14.0, (rectangle(0.0, 0.0, 14.0, 14.0), *steps))


def lamp(code: str = "") -> Shape:
    """Lamp (part 8, section 10): a circle with a cross, the code of its colour beside it."""
    a = round(_LENS * sin(radians(45)), 3)
    cross = (_line((-a, -a), (a, a)), _line((-a, a), (a, -a)))
    return Shape("lamp", _LENS, cross, (Ring((0.0, 0.0), _LENS, "none"),), mark=code)


def transformer() -> Shape:
    """Control transformer (part 6, section 9, form 2): two windings of half circles; H1, H2 above, X1, X2 below."""
    xs = (-15.0, -5.0, 5.0, 15.0)
    arcs = tuple(Arc((x, -9.0), 5.0, 0, 180) for x in xs) + tuple(Arc((x, 9.0), 5.0, 180, 360) for x in xs)
    leads = tuple(_line((x, y), (1.5 * x, y)) for y in (-9.0, 9.0) for x in (-20.0, 20.0))
    points = ((-30.0, -9.0), (30.0, -9.0), (-30.0, 9.0), (30.0, 9.0))
    return Shape("control transformer", 30.0, leads, arcs=arcs, points=points)
