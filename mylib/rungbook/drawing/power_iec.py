"""Power symbols of IEC 60617: contactor, breaker, motor starter, switch-disconnector, fuse, overload relay, motor.

A contact is drawn open; its blade turns about the lower end. A half circle at the upper end says contactor, a cross
circuit breaker, a bar with a small circle switch-disconnector. Conformance is from memory of the standard.
"""

from __future__ import annotations

from types import MappingProxyType

from rungbook.drawing.power_shapes import Ink, Letters, PoleKind, PowerSymbols, arc, frame, handle, line
from rungbook.drawing.shapes import Point, Ring, Stroke

_HIGH = 72.0  # of a device with one symbol a pole
_TALL = 126.0  # of a device with contact, thermal and magnetic release in a row
_TOP, _HINGE = 26.0, 47.0
_TIP = (-12.0, 25.0)
_LINK = ((_TIP[0]) / 2, (_TIP[1] + _HINGE) / 2)  # middle of the blade


def _contact(end: float, *strokes: Stroke, rings: tuple[Ring, ...] = (), top: float = _TOP) -> Ink:
    """A make contact whose lower lead reaches to `end`, with the sign of its function at the upper end."""
    return Ink((line((0, 0), (0, top)), line(_TIP, (0, _HINGE), (0, end)), *strokes), rings)


def _cross(y: float) -> tuple[Stroke, Stroke]:
    return line((-4, y - 4), (4, y + 4)), line((-4, y + 4), (4, y - 4))


def _step(top: float, bottom: float, side: float) -> Stroke:
    """The conductor's way through a thermal release."""
    return line((0, top), (0, top + 4), (side, top + 4), (side, bottom - 4), (0, bottom - 4), (0, bottom))


def _long_frame(first: float, last: float) -> Ink:
    return Ink((frame(first - 12, 22, last + 12, 50),))


def _triangle(at: Point) -> Ink:
    """Mechanical interlock: a triangle in the link."""
    x, y = at
    return Ink((Stroke(((x - 6, y - 5), (x + 6, y - 5), (x, y + 6), (x - 6, y - 5))),))


_BY_HAND = handle(_LINK[1], _LINK[0])
_RELEASES = Ink(
    (
        frame(-9, 66, 9, 84),
        _step(66, 84, 5),
        line((0, 84), (0, 90)),
        frame(-9, 90, 9, 108),
        line((0, 108), (0, _TALL)),
    ),
    (),
    (Letters(0, 102.5, "I>"),),
)

#: two thyristors side by side, one each way
_THYRISTORS = Ink(
    (
        line((-12, -22), (-12, 22)),
        line((-20, -7), (-4, -7), (-12, 7), (-20, -7)),
        line((-20, 7), (-4, 7)),
        line((-16, 7), (-22, 14)),
        line((12, -22), (12, 22)),
        line((4, 7), (20, 7), (12, -7), (4, 7)),
        line((4, -7), (20, -7)),
        line((16, -7), (22, -14)),
        line((-12, -22), (12, -22)),
        line((-12, 22), (12, 22)),
    ),
)
#: alternating current of one frequency in, of another out, on either side of a diagonal
_CONVERTER = Ink(
    (line((-46, 24), (46, -24)),),
    (),
    (Letters(-26, -8, "3~ f1", "inside"), Letters(26, 18, "3~ f2", "inside")),
)

IEC = PowerSymbols(
    "iec",
    MappingProxyType(
        {
            "disconnect": PoleKind(
                "switch-disconnector",
                _contact(
                    _HIGH, line((-6, _TOP - 7), (6, _TOP - 7)), rings=(Ring((0.0, _TOP - 3.5), 3.5),), top=_TOP - 7
                ),
                _HIGH,
                _LINK,
                _BY_HAND,
            ),
            "circuit breaker": PoleKind("circuit breaker", _contact(_HIGH, *_cross(_TOP)), _HIGH, _LINK, _BY_HAND),
            "manual motor starter": PoleKind(
                "manual motor starter", _contact(66, *_cross(_TOP)) + _RELEASES, _TALL, _LINK, _BY_HAND
            ),
            "contactor": PoleKind(
                "main contact of a contactor", _contact(_HIGH, arc((0, _TOP - 4), 4, 4, 90, 270)), _HIGH, _LINK
            ),
            "fuse": PoleKind("fuse", Ink((line((0, 0), (0, _HIGH)), frame(-6, 20, 6, 52))), _HIGH),
            "overload relay": PoleKind(
                "overload relay",
                Ink((line((0, 0), (0, 24)), _step(24, 48, 7), line((0, 48), (0, _HIGH)))),
                _HIGH,
                common=_long_frame,
            ),
        }
    ),
    phase_marks=False,
    motor=("M", "3~"),
    one_phase_motor=("M", "1~"),
    earth="PE",
    ringed=True,
    interlock=_triangle,
    boxes=MappingProxyType({"soft starter": _THYRISTORS, "drive": _CONVERTER}),
)
