"""The symbols of North American practice: IEEE 315 (ANSI Y32.2) and NEMA ICS 19, as data.

Every device is drawn at rest: not touched, no coil energised (NEMA ICS 19). A button's bar moves down when the button
is pressed, a limit switch's blade up when its roller is pushed; so a bar above its terminals or a blade below its
terminal is normally open. A rotary selector is drawn in its off position, the on position dashed.

A contact that a timer or counter moves is drawn as two bars with "TD" (time delay) or "CTR" (counter) below: that it
does not change with the coil, not in which direction it is delayed. A counter's or timer's further inputs are coil
circles with a letter under the designation: R reset, D count down (our own choice).
"""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, pi, sin
from types import MappingProxyType

from rungbook.drawing.shapes import Point, Ring, Shape, Stroke
from rungbook.errors import LadderError
from rungbook.kit import NC_KIND, NO_KIND

_BAR = 12.0  # half the height of a contact bar
_GAP = 5.0  # half the distance between the bars
_POST = 16.0  # from the middle to the centre of a terminal circle
_R = 4.0  # radius of a terminal circle
_POSTS = (Ring((-_POST, 0.0), _R), Ring((_POST, 0.0), _R))
_OPEN = -9.0  # height of a button's bar clear of its terminals
_SHUT = _R + 1.0  # height of a bar that touches both terminals from below
_CIRCLE = 16.0  # radius of a coil
_LENS = 13.0  # radius of a lamp


def _line(*points: Point) -> Stroke:
    return Stroke(points)


def _bars(name: str, closed: bool, mark: str = "") -> Shape:
    """Contact of a relay (IEEE 315, section 4): two bars, with a slash if closed at rest."""
    bars = (_line((-_GAP, -_BAR), (-_GAP, _BAR)), _line((_GAP, -_BAR), (_GAP, _BAR)))
    slash = (_line((-_BAR + 1, _BAR - 1), (_BAR - 1, -_BAR + 1)),) if closed else ()
    return Shape(name, _GAP, bars + slash, mark=mark)


def _button(name: str, closed: bool, head: tuple[Stroke, ...], stem: float) -> Shape:
    """Two terminals bridged by a bar on a stem that ends at height `stem` under `head`."""
    bar = _SHUT if closed else _OPEN
    strokes = (_line((-_POST - 3, bar), (_POST + 3, bar)), _line((0.0, bar), (0.0, stem)), *head)
    return Shape(name, _POST + _R, strokes, _POSTS)


def _mushroom(foot: float) -> tuple[Stroke, ...]:
    """Head of a palm button standing on height `foot`."""
    dome = tuple((round(-13 * cos(pi * n / 12), 3), round(foot - 9 * sin(pi * n / 12), 3)) for n in range(13))
    return (_line(*dome, dome[0]),)


def _handle(pivot: float) -> tuple[Stroke, ...]:
    """Handle of a selector turning about height `pivot`: drawn to the left (off), dashed to the right (on)."""
    tip = (-15.0, pivot - 13)
    head = Stroke((tip, (-7.5, pivot - 11), (-12.3, pivot - 5.5), tip), filled=True)
    return (_line((0.0, pivot), tip), head, Stroke(((0.0, pivot), (15.0, pivot - 13)), dashed=True))


def _limit(name: str, closed: bool) -> Shape:
    """Limit switch (IEEE 315, section 4): blade with the wedge of its roller below."""
    left, right = -_POST + _R - 1, _POST + 2.5
    if closed:  # rests on the upper side of the right terminal; pushed up, it leaves it
        y_left, y_right, drop = -2.5, -5.6, 9.0
    else:  # hangs below the right terminal; pushed up, it meets it
        y_left, y_right, drop = 2.5, 11.5, 9.0

    def on_blade(x: float) -> Point:
        return (x, round(y_left + (x - left) * (y_right - y_left) / (right - left), 3))

    top, end = on_blade(-4.0), on_blade(7.0)
    wedge = _line(top, (end[0], end[1] + drop), end)
    return Shape(name, _POST + _R, (_line(on_blade(left), on_blade(right)), wedge), _POSTS)


def _pair(make: Mapping[str, Shape], *kinds: str) -> dict[tuple[str, str], Shape]:
    return {(kind, contact): shape for kind in kinds for contact, shape in make.items()}


def _delayed(kind: str, name: str, mark: str) -> dict[tuple[str, str], Shape]:
    shapes = {
        NO_KIND: _bars(f"{name}, normally open", False, mark),
        NC_KIND: _bars(f"{name}, normally closed", True, mark),
    }
    return _pair(shapes, kind)


def _rays() -> tuple[Stroke, ...]:
    inner, outer = _LENS * sin(pi / 4), (_LENS + 7) * sin(pi / 4)
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple(
        _line((round(x * inner, 3), round(y * inner, 3)), (round(x * outer, 3), round(y * outer, 3)))
        for x, y in corners
    )


#: (kind of device, "NO" or "NC") -> symbol of such a contact.
CONTACTS: Mapping[tuple[str, str], Shape] = MappingProxyType(
    _pair(
        {
            NO_KIND: _bars("relay contact, normally open", False),
            NC_KIND: _bars("relay contact, normally closed", True),
        },
        "contactor",
        "control relay",
    )
    | _pair(
        {
            NO_KIND: _bars("overload contact, normally open", False, "OL"),
            NC_KIND: _bars("overload contact, normally closed", True, "OL"),
        },
        "overload relay",
    )
    | _delayed("timer relay", "timed contact", "TD")
    | _delayed("counter", "counter contact", "CTR")
    | _pair(
        {
            NO_KIND: _button("push button, normally open", False, (), -23.0),
            NC_KIND: _button("push button, normally closed", True, (), -17.0),
        },
        "push button",
    )
    | _pair(
        {
            NO_KIND: _button("mushroom-head button, normally open", False, _mushroom(-20.0), -20.0),
            NC_KIND: _button("mushroom-head button, normally closed", True, _mushroom(-14.0), -14.0),
        },
        "emergency stop",
    )
    | _pair(
        {
            NO_KIND: _button("selector, closed when on", False, _handle(-16.0), -16.0),
            NC_KIND: _button("selector, closed when off", True, _handle(-10.0), -10.0),
        },
        "two-position selector",
    )
    | _pair(
        {
            NO_KIND: _limit("limit switch, normally open", False),
            NC_KIND: _limit("limit switch, normally closed", True),
        },
        "limit switch",
    )
)

#: kind of load -> symbol.
LOADS: Mapping[str, Shape] = MappingProxyType(
    {
        "coil": Shape("coil", _CIRCLE, (), (Ring((0.0, 0.0), _CIRCLE),), inside=True),
        "reset": Shape("reset input", _CIRCLE, (), (Ring((0.0, 0.0), _CIRCLE),), inside=True, letter="R"),
        "down": Shape("count-down input", _CIRCLE, (), (Ring((0.0, 0.0), _CIRCLE),), inside=True, letter="D"),
        "lamp": Shape("pilot lamp", _LENS, _rays(), (Ring((0.0, 0.0), _LENS),), inside=True),
    }
)


def contact_shape(kind: str, contact: str, timed: bool = True) -> Shape:
    """Return the symbol of a contact ("NO" or "NC") of a device of `kind`.

    timed: of a timer relay or counter, False for a contact that changes over with its coil, which is drawn as a
    relay's. Raises LadderError if this set has no symbol for it.
    """
    if (kind, contact) not in CONTACTS:
        known = tuple(sorted({name for name, _ in CONTACTS}))
        raise LadderError("draw", f"no symbol for {_article(contact)} contact of {_article(kind)}", choices=known)
    return CONTACTS["control relay" if kind in ("timer relay", "counter") and not timed else kind, contact]


def _article(words: str) -> str:
    return f"a{'n' if words[0] in 'aeiouN' else ''} {words}"


def load_shape(load: str) -> Shape:
    """Return the symbol of a load (`Load.kind`). Raises LadderError if this set has no symbol for it."""
    if load not in LOADS:
        raise LadderError("draw", f"no symbol for a {load}", choices=tuple(LOADS))
    return LOADS[load]
